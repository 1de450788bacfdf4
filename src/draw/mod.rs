//! Pictures as SVG, with one look.

pub mod number;
mod panel;
pub mod theme;

pub use panel::panel_svg;
