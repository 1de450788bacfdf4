//! Barred stems joined at both ends.

use super::{PEN_MM, Symbol, puff, tall};

/// Half of the bar across a stem, in mm, and how much it rises on the right.
const HALF_BAR: f64 = 0.32;
const RISE: f64 = 0.16;
/// From bar to bar, in mm.
const NEXT_BAR: f64 = 0.9;

/// `stems` barred stems from `start` to the head at `length`.
pub(super) fn bobble(start: f64, length: f64, stems: u8, bars: u32) -> Symbol {
    let level = tall::top(length);
    let mut drawn = puff::belly(start, level, stems);
    drawn.bar((0.0, level), tall::HALF_TOP * 0.6, 0.0);
    for x in puff::offsets(stems) {
        for bar in 0..bars {
            let above = f64::from(bar) - f64::from(bars - 1) / 2.0;
            let middle = (start + level) / 2.0 + above * NEXT_BAR;
            drawn.bar((x, middle), HALF_BAR, RISE);
        }
    }
    drawn
}

/// Width of the ink, in mm.
pub(super) fn width(stems: u8) -> f64 {
    puff::offsets(stems).last().unwrap_or(0.0) * 2.0 + 2.0 * HALF_BAR + PEN_MM
}
