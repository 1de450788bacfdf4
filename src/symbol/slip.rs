//! The dot of the slip stitch.

use super::Symbol;

/// Radius of the dot, in mm.
const RADIUS: f64 = 0.7;
/// From the head down to the dot's middle, in mm.
const DROP: f64 = 1.1;

/// A dot just under the head at `length`.
pub(super) fn dot(length: f64) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.dot((0.0, length - DROP.min(length / 2.0)), RADIUS);
    drawn
}
