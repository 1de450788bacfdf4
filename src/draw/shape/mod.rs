//! Relaxed pieces and the whole toy as plates: three views, stitch by stitch, with their sizes.

mod figure;
mod plate;
mod scene;
mod tone;

pub use plate::{Plate, plate_svg};
