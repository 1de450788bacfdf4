//! Where a stem meets what it is worked into: a gap, the arc of a single loop, or the hook round a post.

use super::Symbol;
use crate::terms::Into;

/// Clear paper between a foot and its stem, in mm.
const GAP_MM: f64 = 0.55;

/// The lower end of a stem, in the stem's axes.
pub(super) struct Foot {
    /// The mark at the foot.
    pub mark: Symbol,
    /// How high the stem begins, in mm.
    pub start: f64,
}

/// The foot of a stem of a length in mm. Short stems have a smaller gap and still show themselves.
pub(super) fn foot(into: Into, length: f64) -> Foot {
    let scale = (length / 3.0).min(1.0);
    match into {
        Into::FrontLoop => arc(0.25 * scale, 0.5),
        Into::BackLoop => arc(0.55 * scale, -0.5),
        Into::FrontPost => hook(scale, 1.0),
        Into::BackPost => hook(scale, -1.0),
        Into::Stitch | Into::Space | Into::Ring | Into::Chain | Into::Part => Foot {
            mark: Symbol::default(),
            start: GAP_MM * scale,
        },
    }
}

/// An arc whose middle is on the stem and whose ends stand higher by `rise`: open upwards for the front
/// loop, downwards for the back loop (from memory).
fn arc(middle: f64, rise: f64) -> Foot {
    const HALF: f64 = 0.95;
    let ends = middle + rise;
    let mut mark = Symbol::default();
    mark.stroke.move_to((-HALF, ends));
    mark.stroke.curve_to(
        (-HALF * 0.6, middle - rise * 0.33),
        (HALF * 0.6, middle - rise * 0.33),
        (HALF, ends),
    );
    Foot {
        mark,
        start: middle,
    }
}

/// A hook under the stem that comes up on one side: on the right for the front post, on the left for
/// the back post (from memory).
fn hook(scale: f64, side: f64) -> Foot {
    const RADIUS: f64 = 0.6;
    const HANDLE: f64 = RADIUS * 4.0 / 3.0;
    let level = (0.3 + RADIUS) * scale;
    let mut mark = Symbol::default();
    mark.stroke.move_to((0.0, level));
    mark.stroke.curve_to(
        (0.0, level - HANDLE),
        (side * 2.0 * RADIUS, level - HANDLE),
        (side * 2.0 * RADIUS, level),
    );
    Foot { mark, start: level }
}
