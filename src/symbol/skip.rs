use kurbo::{Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// Half of the bow's width and how high it rises, in mm.
const HALF_WIDTH: f64 = 1.6;
const RISE: f64 = 1.5;
/// How low the dash under the bow is and half of its length, in mm.
const HALF_DASH: f64 = 0.55;

/// A stitch that is left unworked: a bow over its head at `over`, which shows as a dash, open to the side away from `up`
/// (from memory).
pub fn skip(over: Point, up: Vec2) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.bar((0.0, 0.0), HALF_DASH, 0.0);
    drawn.stroke.move_to((-HALF_WIDTH, 0.0));
    drawn.stroke.curve_to(
        (-HALF_WIDTH * 0.7, RISE),
        (HALF_WIDTH * 0.7, RISE),
        (HALF_WIDTH, 0.0),
    );
    Axes::along(over, up).place(drawn)
}
