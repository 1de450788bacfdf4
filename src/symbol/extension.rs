//! The chain at the foot of an extended stitch.

use super::Symbol;
use super::foot::Foot;

/// Half of the oval's width and height, in mm.
const HALF_WIDTH: f64 = 0.5;
const HALF_HEIGHT: f64 = 0.75;

/// A small oval on `start`, the stem of a stitch of a length in mm going on above it.
pub(super) fn oval(start: f64, length: f64) -> Foot {
    let half_height = HALF_HEIGHT * (length / 4.0).min(1.0);
    let mut drawn = Symbol::default();
    drawn.open_oval((0.0, start + half_height), HALF_WIDTH, half_height);
    Foot {
        drawn,
        start: start + 2.0 * half_height,
    }
}
