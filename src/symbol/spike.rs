use kurbo::Point;

use super::axes::Axes;
use super::{Symbol, single};

/// Clear paper under the tip, and how far its barbs reach out and up, in mm.
const GAP: f64 = 0.3;
const HALF_TIP: f64 = 0.62;
const TIP: f64 = 0.8;

/// A spike stitch: a short stitch whose foot is in a round further down, so that its yarn lies long over the
/// rounds between. The cross keeps its size; the long stem ends in a tip (from memory).
pub fn spike(foot: Point, head: Point) -> Symbol {
    let axes = Axes::between(foot, head);
    let start = GAP.min(axes.length / 4.0);
    let mut drawn = single::cross(start, axes.length);
    drawn.stroke.move_to((-HALF_TIP, start + TIP));
    drawn.stroke.line_to((0.0, start));
    drawn.stroke.line_to((HALF_TIP, start + TIP));
    axes.place(drawn)
}
