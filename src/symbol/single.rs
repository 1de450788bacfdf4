//! The cross of the short stitch.

use super::Symbol;

/// Half of the bar, in mm.
const HALF_BAR: f64 = 1.15;
/// From the head down to the bar, in mm: far enough from a shared foot that the bars of an increase stay apart.
const BAR_DROP: f64 = 1.3;
/// Clear paper between the stem and the head, in mm.
const GAP: f64 = 0.4;

/// A cross from `start` to the head at `length`.
pub(super) fn cross(start: f64, length: f64) -> Symbol {
    let mut drawn = top(length);
    drawn.line((0.0, start), (0.0, bar_height(length)));
    drawn
}

/// The bar and what stands above it.
pub(super) fn top(length: f64) -> Symbol {
    let mut drawn = Symbol::default();
    let bar = bar_height(length);
    drawn.line((0.0, bar), (0.0, length - GAP * scale(length)));
    drawn.bar((0.0, bar), HALF_BAR, 0.0);
    drawn
}

/// How high the bar lies, in mm from the foot.
pub(super) fn bar_height(length: f64) -> f64 {
    length - BAR_DROP * scale(length)
}

fn scale(length: f64) -> f64 {
    (length / 3.0).min(1.0)
}
