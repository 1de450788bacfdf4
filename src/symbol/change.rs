use kurbo::{Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// Half of the diamond's width and height, in mm.
const HALF_WIDTH: f64 = 0.6;
const HALF_HEIGHT: f64 = 0.85;

/// A change of yarn: a small filled diamond about the head of the stitch in whose last yarn-over it
/// happens, standing along `up`.
pub fn yarn_change(at: Point, up: Vec2) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.fill.move_to((0.0, HALF_HEIGHT));
    drawn.fill.line_to((HALF_WIDTH, 0.0));
    drawn.fill.line_to((0.0, -HALF_HEIGHT));
    drawn.fill.line_to((-HALF_WIDTH, 0.0));
    drawn.fill.close_path();
    Axes::along(at, up).place(drawn)
}
