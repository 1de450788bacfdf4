//! Pictures as SVG, with one look.

mod document;
pub mod ink;
mod key;
mod look;
pub mod number;
mod panel;
mod placed;
mod shape;
pub mod theme;

pub use document::{blank, described, paper, sheet};
pub use key::{Key, KeyEntry, KeyMark, key_svg, whole_key_svg};
pub use look::{Ground, InkUse, Look, SymbolSize};
pub use panel::{clean, panel_svg, panel_svg_in, stitches_ink};
pub use placed::{plan_svg, unrolled_svg};
pub use shape::{Plate, plate_svg, portrait_svg};
