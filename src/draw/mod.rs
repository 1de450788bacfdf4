//! Pictures as SVG, with one look.

pub mod ink;
mod key;
pub mod number;
mod panel;
pub mod theme;

pub use key::{Key, KeyEntry, KeyMark, key_svg};
pub use panel::panel_svg;
