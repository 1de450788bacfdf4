use kurbo::Point;

use super::axes::Axes;
use super::{Symbol, single};

/// How far the wave reaches to each side, and how high it rises, in mm.
const HALF_WAVE: f64 = 1.6;
const SWING: f64 = 1.1;

/// The short stitch worked backwards, against the direction of work: its bar is a wave (from memory).
pub fn reverse_single(foot: Point, head: Point) -> Symbol {
    let axes = Axes::between(foot, head);
    let mut drawn = Symbol::default();
    let level = single::bar_level(axes.length);
    let start = 0.5_f64.min(axes.length / 6.0);
    drawn.line((0.0, start), (0.0, single::top(axes.length)));
    drawn.stroke.move_to((-HALF_WAVE, level - 0.2));
    drawn.stroke.curve_to(
        (-HALF_WAVE * 0.4, level + SWING),
        (HALF_WAVE * 0.4, level - SWING),
        (HALF_WAVE, level + 0.2),
    );
    axes.place(drawn)
}
