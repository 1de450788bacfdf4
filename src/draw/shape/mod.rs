//! Relaxed pieces and the whole toy as plates: three views, stitch by stitch, with their sizes.

mod figure;
mod plate;
mod portrait;
mod scene;
mod tone;

pub use plate::{Plate, plate_svg};
pub use portrait::portrait_svg;
