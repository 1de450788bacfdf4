use kurbo::{Affine, Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// Half of the width and the length of the bend, and the size of the arrow's head, in mm.
const HALF_WIDTH: f64 = 1.25;
const LENGTH: f64 = 3.4;
const HEAD: f64 = 1.3;
const HALF_HEAD: f64 = 0.7;

/// Turn the work: an arrow that comes back beside itself, on the side of `to`. `at` is the middle of its open end, `out` the way it
/// reaches (from memory).
pub fn turn(at: Point, out: Vec2, to: Vec2) -> Symbol {
    let bend = LENGTH - HALF_WIDTH;
    let handle = bend + HALF_WIDTH * 4.0 / 3.0;
    let mut drawn = Symbol::default();
    drawn.stroke.move_to((-HALF_WIDTH, 0.0));
    drawn.stroke.line_to((-HALF_WIDTH, bend));
    drawn.stroke.curve_to(
        (-HALF_WIDTH, handle),
        (HALF_WIDTH, handle),
        (HALF_WIDTH, bend),
    );
    drawn.stroke.line_to((HALF_WIDTH, HEAD));
    drawn.fill.move_to((HALF_WIDTH, 0.0));
    drawn.fill.line_to((HALF_WIDTH - HALF_HEAD, HEAD));
    drawn.fill.line_to((HALF_WIDTH + HALF_HEAD, HEAD));
    drawn.fill.close_path();
    let axes = Axes::along(at, out);
    if (axes.paper(1.0, 0.0) - axes.paper(0.0, 0.0)).dot(to) < 0.0 {
        drawn = drawn.transformed(Affine::FLIP_X);
    }
    axes.place(drawn)
}
