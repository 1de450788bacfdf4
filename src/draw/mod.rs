//! Pictures as SVG, with one look.

pub mod ink;
pub mod key;
pub mod number;
mod panel;
pub mod theme;

pub use panel::panel_svg;
