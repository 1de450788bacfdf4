//! The T of half double, and the T with bars of the taller stitches.

use super::Symbol;

/// Half of the bar at the head, in mm.
pub(super) const HALF_TOP: f64 = 1.3;
/// Half of a bar across a stem, in mm, and how much it rises on the right.
const HALF_BAR: f64 = 0.85;
const RISE: f64 = 0.38;
/// Half of a bar across one of several legs, in mm.
const HALF_LEG_BAR: f64 = 0.7;
/// From the head to the first bar, and from bar to bar, in mm.
const FIRST_BAR: f64 = 1.75;
const NEXT_BAR: f64 = 1.15;
/// Clear paper between the bar at the head and the head, in mm.
const GAP: f64 = 0.5;

/// A T from `start` to the head at `length`, with bars across its stem.
pub(super) fn tee(start: f64, length: f64, bars: u32) -> Symbol {
    let level = top(length);
    let mut drawn = Symbol::default();
    drawn.line((0.0, start), (0.0, level));
    drawn.add(top_bar(length));
    for down in bars_along(level - start, bars) {
        drawn.bar((0.0, level - down), HALF_BAR, RISE);
    }
    drawn
}

/// The bar at the head and the bars across, for a stem that is drawn apart.
pub(super) fn upper(length: f64, bars: u32) -> Symbol {
    let level = top(length);
    let mut drawn = top_bar(length);
    for down in bars_along(level - gap(length), bars) {
        drawn.bar((0.0, level - down), HALF_BAR, RISE);
    }
    drawn
}

/// Clear paper at either end of a stem, in mm.
pub(super) fn gap(length: f64) -> f64 {
    GAP * (length / 3.0).min(1.0)
}

/// A leg of stitches worked together: its bars are counted up from the foot, where the legs are
/// apart, and lie square to it, so that legs on both sides look alike.
pub(super) fn leg(start: f64, end: f64, bars: u32) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.line((0.0, start), (0.0, end));
    for up in bars_along(end - start, bars) {
        drawn.bar((0.0, start + up), HALF_LEG_BAR, 0.0);
    }
    drawn
}

/// The bar at the head.
pub(super) fn top_bar(length: f64) -> Symbol {
    let mut drawn = Symbol::default();
    drawn.bar((0.0, top(length)), HALF_TOP, 0.0);
    drawn
}

/// How high the bar at the head lies, in mm from the foot.
pub(super) fn top(length: f64) -> f64 {
    length - gap(length)
}

/// Where bars lie on a stem, in mm from the end that they are counted from; closer together on a short stem.
fn bars_along(stem: f64, bars: u32) -> impl Iterator<Item = f64> {
    let needed = FIRST_BAR + f64::from(bars) * NEXT_BAR;
    let scale = (stem / needed).min(1.0);
    (0..bars).map(move |bar| (FIRST_BAR + f64::from(bar) * NEXT_BAR) * scale)
}
