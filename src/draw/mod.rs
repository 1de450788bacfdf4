//! Pictures as SVG, with one look.

pub mod ink;
pub mod key;
pub mod number;
pub mod theme;
