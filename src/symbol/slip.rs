//! The dot of the slip stitch.

use super::Symbol;

/// Radius of the dot, in mm.
const RADIUS: f64 = 0.62;
/// From the head down to the dot's middle, in mm.
const DROP: f64 = 0.9;

/// A dot just under the head at `length`.
pub(super) fn dot(length: f64) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.dot((0.0, length - DROP.min(length * 0.45)), RADIUS);
    drawn
}
