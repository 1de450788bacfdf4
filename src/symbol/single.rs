//! The cross of the short stitch, and the A of short stitches worked together.

use kurbo::Point;

use super::Symbol;
use super::axes::Axes;

/// Half of the bar, in mm.
pub(super) const HALF_BAR: f64 = 1.15;
/// From the head down to the bar, in mm: far enough from a shared foot that the bars of an increase stay apart.
const BAR_DROP: f64 = 1.3;
/// Clear paper between the stem and the head, in mm.
const GAP: f64 = 0.4;
/// Half of the width and height of the slanted cross, in mm.
const HALF_SLANT: f64 = 1.4;
/// From the head down to the bar that legs share, and how far it passes the outer legs, in mm.
const SHARED_BAR_DROP: f64 = 1.65;
const OVERHANG: f64 = 0.62;

/// A cross from `start` to the head at `length`.
pub(super) fn cross(start: f64, length: f64) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.line((0.0, start), (0.0, top(length)));
    drawn.bar((0.0, bar_level(length)), HALF_BAR, 0.0);
    drawn
}

/// The same stitch as the trade's other cross, ×, for charts that use that one throughout.
pub fn slanted_single(foot: Point, head: Point) -> Symbol {
    let axes = Axes::between(foot, head);
    let (low, high) = (GAP * scale(axes.length), top(axes.length));
    let half = (high - low).min(2.0 * HALF_SLANT) / 2.0;
    let middle = (low + high) / 2.0;
    let mut drawn = Symbol::default();
    drawn.line((-half, middle - half), (half, middle + half));
    drawn.line((-half, middle + half), (half, middle - half));
    axes.place(drawn)
}

/// How high the bar of a single leg lies, in mm from the foot.
pub(super) fn bar_level(length: f64) -> f64 {
    length - BAR_DROP * scale(length)
}

/// The bar of several legs that meet under the head at `length`: it crosses them all. Feet in the axes
/// of the whole symbol.
pub(super) fn shared_bar(length: f64, feet: impl Iterator<Item = Point>) -> Symbol {
    let level = length - SHARED_BAR_DROP * scale(length);
    let apex = top(length);
    let (mut left, mut right) = (0.0_f64, 0.0_f64);
    for foot in feet.filter(|foot| foot.y < level) {
        let across = foot.x * (apex - level) / (apex - foot.y);
        left = left.min(across);
        right = right.max(across);
    }
    let mut drawn = Symbol::default();
    drawn.line((left - OVERHANG, level), (right + OVERHANG, level));
    drawn
}

/// How high the stem ends, in mm from the foot.
pub(super) fn top(length: f64) -> f64 {
    length - GAP * scale(length)
}

fn scale(length: f64) -> f64 {
    (length / 3.0).min(1.0)
}
