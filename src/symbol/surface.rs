use kurbo::{Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// Radius of the dot, and where the yarn beside it starts, in mm.
const RADIUS: f64 = 0.62;
const FROM: f64 = 0.95;
/// The most yarn that shows to each side, in mm.
const LONGEST: f64 = 4.0;

/// A slip stitch worked on the surface of finished fabric: a dot with the yarn running on both sides of it, along a direction
/// (from memory). The yarn shows up to `reach_mm` from the middle; where that is within the dot, not at all.
pub fn surface_slip(at: Point, along: Vec2, reach_mm: f64) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.dot((0.0, 0.0), RADIUS);
    let reach_mm = reach_mm.min(LONGEST);
    if reach_mm > FROM {
        drawn.line((0.0, -reach_mm), (0.0, -FROM));
        drawn.line((0.0, FROM), (0.0, reach_mm));
    }
    Axes::along(at, along).place(drawn)
}
