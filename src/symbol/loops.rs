use kurbo::Point;

use super::axes::Axes;
use super::{Symbol, single};

/// How far the loop hangs down and stands out, in mm.
const DROP: f64 = 2.1;
const OUT: f64 = 2.4;

/// A loop stitch: a short stitch with a long loop of yarn hanging from its bar at the back (from memory).
pub fn loop_stitch(foot: Point, head: Point) -> Symbol {
    let axes = Axes::between(foot, head);
    let mut drawn = single::cross(0.5_f64.min(axes.length / 6.0), axes.length);
    let level = single::bar_level(axes.length);
    let end = single::HALF_BAR;
    drawn.stroke.move_to((end, level));
    drawn.stroke.curve_to(
        (end + OUT, level),
        (end + OUT * 0.7, level - DROP),
        (end, level - DROP),
    );
    drawn.stroke.curve_to(
        (end - 0.55, level - DROP),
        (end - 0.45, level - 0.5),
        (end, level),
    );
    axes.place(drawn)
}
