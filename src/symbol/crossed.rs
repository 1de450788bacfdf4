use kurbo::Point;

use super::axes::Axes;
use super::{Symbol, tall};
use crate::terms::Height;

/// Half of the gap in the stem that passes behind, in mm.
const HALF_GAP: f64 = 0.75;

/// Two crossed stitches of a height: the one worked second goes back to the stitch that was skipped, in front of the
/// first, whose stem is broken where they cross (from memory). Feet and heads in the order of the round.
pub fn crossed(height: Height, feet: [Point; 2], heads: [Point; 2]) -> Symbol {
    let [mut drawn, second] = crossed_pair(height, [feet[1], feet[0]], heads);
    drawn.add(second);
    drawn
}

/// The same as two symbols. Feet and heads in the order of work: the first stitch skips one and stands on the foot farther on.
pub fn crossed_pair(height: Height, feet: [Point; 2], heads: [Point; 2]) -> [Symbol; 2] {
    [0, 1].map(|place| {
        let axes = Axes::between(feet[place], heads[place]);
        let mut leg = tall::upper(axes.length, height.bars());
        let (start, level) = (tall::gap(axes.length), tall::top(axes.length));
        if place == 0 {
            let behind = share_before_crossing(feet, heads) * axes.length;
            leg.line((0.0, start), (0.0, (behind - HALF_GAP).max(start)));
            leg.line((0.0, (behind + HALF_GAP).min(level)), (0.0, level));
        } else {
            leg.line((0.0, start), (0.0, level));
        }
        axes.place(leg)
    })
}

/// The part of the first stem that lies below the second, from 0 to 1.
fn share_before_crossing(feet: [Point; 2], heads: [Point; 2]) -> f64 {
    let (first, second) = (heads[0] - feet[0], heads[1] - feet[1]);
    let turn = first.cross(second);
    if turn.abs() < f64::EPSILON {
        return 0.5;
    }
    ((feet[1] - feet[0]).cross(second) / turn).clamp(0.0, 1.0)
}
