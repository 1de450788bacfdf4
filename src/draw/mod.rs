//! Pictures as SVG, with one look.

pub mod number;
pub mod theme;
mod panel;

pub use panel::panel_svg;
