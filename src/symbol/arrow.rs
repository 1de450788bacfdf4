use kurbo::{Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// Length and half of the width of the arrow's head, in mm.
const HEAD: f64 = 1.9;
const HALF_HEAD: f64 = 0.8;

/// The start of the work: an arrow from `tail` along the direction of work, of a length in mm.
pub fn start_arrow(tail: Point, direction: Vec2, length_mm: f64) -> Symbol {
    let length = if length_mm.is_finite() {
        length_mm.max(HEAD)
    } else {
        HEAD
    };
    let mut drawn = Symbol::default();
    drawn.line((0.0, 0.0), (0.0, length - HEAD));
    drawn.fill.move_to((0.0, length));
    drawn.fill.line_to((HALF_HEAD, length - HEAD));
    drawn.fill.line_to((-HALF_HEAD, length - HEAD));
    drawn.fill.close_path();
    Axes::along(tail, direction).place(drawn)
}
