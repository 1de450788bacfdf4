//! Plain stems joined at both ends.

use super::{PEN_MM, Symbol, tall};

/// Stems drawn at least and at most: more would run together.
const FEWEST: u8 = 2;
const MOST: u8 = 6;
/// Distance between stems at the belly, in mm.
const SPACING: f64 = 1.1;

/// `stems` stems from `start` to the head at `length`.
pub(super) fn puff(start: f64, length: f64, stems: u8) -> Symbol {
    belly(start, tall::top(length), stems)
}

/// Stems that part at the foot and meet at the top.
pub(super) fn belly(start: f64, top: f64, stems: u8) -> Symbol {
    let mut drawn = Symbol::default();
    let height = top - start;
    for x in offsets(stems) {
        // A cubic passes at three quarters of where both handles stand.
        let handle = x * 4.0 / 3.0;
        drawn.stroke.move_to((0.0, start));
        drawn.stroke.curve_to(
            (handle, start + height * 0.2),
            (handle, top - height * 0.2),
            (0.0, top),
        );
    }
    drawn
}

/// How far each stem stands out at the belly, in mm, from left to right.
pub(super) fn offsets(stems: u8) -> impl Iterator<Item = f64> {
    let stems = stems.clamp(FEWEST, MOST);
    (0..stems).map(move |stem| (f64::from(stem) - f64::from(stems - 1) / 2.0) * SPACING)
}

/// Width of the ink, in mm.
pub(super) fn width(stems: u8) -> f64 {
    offsets(stems).last().unwrap_or(0.0) * 2.0 + PEN_MM
}
