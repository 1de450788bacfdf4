//! The cross of the short stitch, and the A of short stitches worked together.

use kurbo::{Point, Vec2};

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
/// Below this a leg has no direction, in mm.
const SHORTEST_MM: f64 = 1e-6;
/// How far down a leg the bar crosses it at most.
const MOST_OF_LEG: f64 = 0.75;

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

/// The bar of several legs that meet under the head at `length`: it crosses them all, square to the middle between the outer ones, so that
/// an A that leans is still an A. Feet in the axes of the whole symbol.
pub(super) fn shared_bar(length: f64, feet: impl Iterator<Item = Point>) -> Symbol {
    let drop = SHARED_BAR_DROP * scale(length);
    let apex = Point::new(0.0, top(length));
    let reach = apex.y - (length - drop);
    let down = |way: &Vec2| libm::atan2(way.x, -way.y);
    let mut ways: Vec<Vec2> = feet
        .map(|foot| foot - apex)
        .filter(|way| way.y < -reach.max(SHORTEST_MM) && way.is_finite())
        .collect();
    ways.sort_by(|a, b| down(a).total_cmp(&down(b)));
    let mut drawn = Symbol::default();
    let (Some(left), Some(right)) = (ways.first(), ways.last()) else {
        drawn.bar((0.0, length - drop), OVERHANG, 0.0);
        return drawn;
    };
    let shorter = left.length().min(right.length());
    let (left, right) = (left.normalize(), right.normalize());
    let middle = match left + right {
        both if both.length() > f64::EPSILON => both.normalize(),
        _ => Vec2::new(0.0, -1.0),
    };
    let level = (reach / left.dot(middle)).min(MOST_OF_LEG * shorter);
    let (from, to) = (apex + left * level, apex + right * level);
    let along = Vec2::new(-middle.y, middle.x);
    let (from, to) = (from - along * OVERHANG, to + along * OVERHANG);
    drawn.line((from.x, from.y), (to.x, to.y));
    drawn
}

/// How high the stem ends, in mm from the foot.
pub(super) fn top(length: f64) -> f64 {
    length - GAP * scale(length)
}

fn scale(length: f64) -> f64 {
    (length / 3.0).min(1.0)
}
