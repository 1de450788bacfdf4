use kurbo::{Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// A stitch marker: a small open drop whose tip is at `at`, standing along `up`.
pub fn marker(at: Point, up: Vec2) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.stroke.move_to((0.0, 0.0));
    drawn.stroke.curve_to((0.3, 0.8), (0.9, 1.1), (0.9, 1.9));
    drawn.stroke.curve_to((0.9, 3.0), (-0.9, 3.0), (-0.9, 1.9));
    drawn.stroke.curve_to((-0.9, 1.1), (-0.3, 0.8), (0.0, 0.0));
    drawn.stroke.close_path();
    Axes::along(at, up).place(drawn)
}
