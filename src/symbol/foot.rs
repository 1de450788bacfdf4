//! Where a stem meets what it is worked into: a gap, the arc of a single loop, or the hook round a post.

use super::Symbol;
use crate::terms::Into;

/// Clear paper between a foot and its stem, in mm.
const GAP: f64 = 0.55;
/// Half of an arc's width, and how far its ends are from its middle along the stem, in mm.
const HALF_ARC: f64 = 0.95;
const ARC_DEPTH: f64 = 0.5;
/// How high the middle of an arc lies, in mm.
const FRONT_LOOP: f64 = 0.22;
const BACK_LOOP: f64 = 0.52;
/// Radius of a hook and how high its lowest point lies, in mm.
const HOOK_RADIUS: f64 = 0.6;
const HOOK_LIFT: f64 = 0.3;

/// The lower end of a stem, in the stem's axes.
pub(super) struct Foot {
    /// What is drawn there.
    pub drawn: Symbol,
    /// How high the stem begins, in mm.
    pub start: f64,
}

/// The foot of a stem of a length in mm, its arc left out. Short stems have a smaller gap and still show
/// themselves.
pub(super) fn foot(into: Into, length: f64) -> Foot {
    let scale = (length / 3.0).min(1.0);
    match into {
        Into::FrontPost => hook(scale, 1.0),
        Into::BackPost => hook(scale, -1.0),
        Into::FrontLoop => bare(FRONT_LOOP),
        Into::BackLoop => bare(BACK_LOOP),
        Into::Stitch | Into::Space | Into::Ring | Into::Chain | Into::RowEnd | Into::Part => {
            bare(GAP * scale)
        }
    }
}

/// What a symbol shows of a place, when charts show the right side (hookincrochet.com, "About crochet symbol
/// charts"): front and back change places in rows worked with the wrong side facing.
pub fn seen_from_right_side(into: Into, wrong_side: bool) -> Into {
    match into {
        Into::FrontLoop if wrong_side => Into::BackLoop,
        Into::BackLoop if wrong_side => Into::FrontLoop,
        Into::FrontPost if wrong_side => Into::BackPost,
        Into::BackPost if wrong_side => Into::FrontPost,
        _ => into,
    }
}

fn bare(start: f64) -> Foot {
    Foot {
        drawn: Symbol::default(),
        start,
    }
}

/// The arc at the foot of what is worked into one loop: open upwards for the front loop, downwards for
/// the back loop (from memory). Nothing for other places.
pub(super) fn arc(into: Into) -> Symbol {
    let mut drawn = Symbol::default();
    let (middle, depth) = match into {
        Into::FrontLoop => (FRONT_LOOP, ARC_DEPTH),
        Into::BackLoop => (BACK_LOOP, -ARC_DEPTH),
        _ => return drawn,
    };
    let ends = middle + depth;
    let handles = middle - depth / 3.0;
    drawn.stroke.move_to((-HALF_ARC, ends));
    drawn.stroke.curve_to(
        (-HALF_ARC * 0.6, handles),
        (HALF_ARC * 0.6, handles),
        (HALF_ARC, ends),
    );
    drawn
}

/// A hook under the stem that comes up on one side: on the right for the front post, on the left for
/// the back post (from memory).
fn hook(scale: f64, side: f64) -> Foot {
    let level = (HOOK_LIFT + HOOK_RADIUS) * scale;
    let across = side * 2.0 * HOOK_RADIUS;
    // Handles of four thirds of the radius make a cubic a half circle.
    let handles = level - HOOK_RADIUS * 4.0 / 3.0;
    let mut drawn = Symbol::default();
    drawn.stroke.move_to((0.0, level));
    drawn
        .stroke
        .curve_to((0.0, handles), (across, handles), (across, level));
    Foot {
        drawn,
        start: level,
    }
}
