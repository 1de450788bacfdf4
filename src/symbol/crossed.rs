use kurbo::Point;

use super::axes::Axes;
use super::{Symbol, tall};
use crate::terms::Height;

/// Half of the gap in the stem that passes behind, in mm.
const HALF_GAP: f64 = 0.75;

/// Two crossed stitches of a height: the one worked second goes back to the stitch that was skipped, in front of the
/// first, whose stem is broken where they cross (from memory). Feet and heads in the order of work.
pub fn crossed(height: Height, feet: [Point; 2], heads: [Point; 2]) -> Symbol {
    let mut drawn = Symbol::default();
    for place in [0, 1] {
        // The first stitch skips one and stands on the second foot.
        let axes = Axes::between(feet[1 - place], heads[place]);
        let mut leg = tall::upper(axes.length, height.bars());
        let (start, level) = (tall::gap(axes.length), tall::top(axes.length));
        let middle = (start + level) / 2.0;
        if place == 0 {
            leg.line((0.0, start), (0.0, (middle - HALF_GAP).max(start)));
            leg.line((0.0, (middle + HALF_GAP).min(level)), (0.0, level));
        } else {
            leg.line((0.0, start), (0.0, level));
        }
        drawn.add(axes.place(leg));
    }
    drawn
}
