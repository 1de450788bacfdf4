//! Stems that spread from one foot to an oval.

use super::{PEN_MM, Symbol, puff, tall};

/// Half of the oval's height, in mm.
const HALF_HEIGHT: f64 = 0.5;
/// Half of a bar, in mm, and how much it rises on the right.
const HALF_BAR: f64 = 0.32;
const RISE: f64 = 0.16;
/// From bar to bar, in mm.
const NEXT_BAR: f64 = 0.9;

/// `stems` stems with bars from `start` to an oval under the head at `length`.
pub(super) fn popcorn(start: f64, length: f64, stems: u8, bars: u32) -> Symbol {
    let mut drawn = Symbol::default();
    let half_width = half_width(stems);
    let level = tall::top(length) - HALF_HEIGHT;
    drawn.open_oval((0.0, level), half_width, HALF_HEIGHT);
    for x in puff::offsets(stems) {
        let across = x / half_width;
        let end = level - HALF_HEIGHT * (1.0 - across * across).max(0.0).sqrt();
        drawn.stroke.move_to((0.0, start));
        drawn
            .stroke
            .quad_to((x, start + (end - start) * 0.4), (x, end));
        for bar in 0..bars {
            let down = 1.3 + f64::from(bar) * NEXT_BAR;
            drawn.bar((x, level - HALF_HEIGHT - down), HALF_BAR, RISE);
        }
    }
    drawn
}

/// Width of the ink, in mm.
pub(super) fn width(stems: u8) -> f64 {
    half_width(stems) * 2.0 + PEN_MM
}

fn half_width(stems: u8) -> f64 {
    puff::offsets(stems).last().unwrap_or(0.0) + 0.35
}
