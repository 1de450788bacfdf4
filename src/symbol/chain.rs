use kurbo::{Point, Vec2};

use super::axes::Axes;
use super::{PEN_MM, Symbol};

/// Half of the oval's width, to the middle of its line, in mm.
pub const CHAIN_HALF_WIDTH_MM: f64 = 0.68;
/// Clear paper between ovals of a chain, in mm.
const CLEAR: f64 = 0.3;
/// Ovals are never longer or shorter than this, in mm of path.
const LONGEST: f64 = 2.7;
const SHORTEST: f64 = 1.6;

/// A chain: an open oval about its centre, lengthwise along a direction, in a place of a length in mm.
/// Ovals that follow one another at that length have a little clear paper between them.
pub fn chain(centre: Point, direction: Vec2, length_mm: f64) -> Symbol {
    let length = if length_mm.is_finite() {
        length_mm
    } else {
        LONGEST
    };
    let half = (length - PEN_MM - CLEAR).clamp(SHORTEST, LONGEST) / 2.0;
    let mut drawn = Symbol::default();
    drawn.open_oval((0.0, 0.0), CHAIN_HALF_WIDTH_MM, half);
    Axes::along(centre, direction).place(drawn)
}
