//! Pictures as SVG, with one look.

pub mod number;
pub mod theme;
