use kurbo::{BezPath, Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// Length and half of the base, in mm.
const LENGTH: f64 = 2.4;
const HALF_BASE: f64 = 0.95;

/// Join in a yarn: an open triangle with its tip at `tip`, pointing along a direction.
pub fn join_yarn(tip: Point, direction: Vec2) -> Symbol {
    let drawn = Symbol {
        stroke: triangle(),
        fill: BezPath::new(),
    };
    Axes::along(tip, direction).place(drawn)
}

/// Fasten off: a filled triangle with its tip at `tip`, pointing along a direction.
pub fn fasten_off(tip: Point, direction: Vec2) -> Symbol {
    let drawn = Symbol {
        stroke: triangle(),
        fill: triangle(),
    };
    Axes::along(tip, direction).place(drawn)
}

fn triangle() -> BezPath {
    let mut path = BezPath::new();
    path.move_to((0.0, 0.0));
    path.line_to((HALF_BASE, -LENGTH));
    path.line_to((-HALF_BASE, -LENGTH));
    path.close_path();
    path
}
