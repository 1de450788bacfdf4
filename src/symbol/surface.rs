use kurbo::{Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// Radius of the dot, and where the yarn beside it starts and ends, in mm.
const RADIUS: f64 = 0.62;
const FROM: f64 = 1.05;
const TO: f64 = 2.0;

/// A slip stitch worked on the surface of finished fabric: a dot with the yarn running on both sides of it, along a direction
/// (from memory).
pub fn surface_slip(at: Point, along: Vec2) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.dot((0.0, 0.0), RADIUS);
    drawn.line((0.0, -TO), (0.0, -FROM));
    drawn.line((0.0, FROM), (0.0, TO));
    Axes::along(at, along).place(drawn)
}
