//! Columns of chains: those that lift the hook and those that stand for a stitch.

use kurbo::{Point, Vec2};

use super::glyph::{OFF_CHAIN_MM, lies_along};
use super::panel::{Glyph, Layout};
use super::scene::{Scene, Spot};
use super::sizes::CHAIN_MM;
use super::track::Track;
use crate::fabric::{Piece, Role, StitchId};
use crate::terms::Into;

/// How far a column of chains keeps off the middle ring, in mm.
const OFF_RING_MM: f64 = 0.4;

/// Paper between such a column and the one over it in rows, in mm.
const UNDER_NEXT_MM: f64 = 0.5;

/// From which cosine of the angle between a stitch and the chain that it is worked along its leg leaves no room beside the chain.
const LEANS_OVER: f64 = 0.5;

/// Where on the line below a column of chains starts: straight under its head or, where it only lifts the hook, so that it runs beside the leg of
/// the next stitch. `places` are its own and those after it.
pub(super) fn column_base(
    scene: &Scene,
    first: StitchId,
    count: u32,
    track: &Track,
    below: &Track,
    places: &[f64],
) -> f64 {
    let straight = track.carry(places[0], below);
    let lifts = scene.piece.stitch(first).role == Role::Lift;
    let next = StitchId(first.0 + count);
    let leg = places.get(1).and_then(|&next_s| {
        if scene.piece.stitch(next).into == Into::Ring {
            return None;
        }
        let foot = scene.piece.feet(next).first()?;
        let spot = scene.spots.get(*foot)?;
        let lean = spot.track.carry(spot.s, below) - track.carry(next_s, below);
        let lean = match below.length() {
            Some(length) => lean - (lean / length).round() * length,
            None => lean,
        };
        // On a wider line below it stays as near to the leg as on its own.
        let apart = track.carry(next_s, below) - straight;
        Some(lean + (apart - (next_s - places[0])).max(0.0))
    });
    match leg {
        Some(lean) if lifts => straight + lean,
        _ => straight,
    }
}

/// Sets a column: its first chain and how many, the line of its head and the place on it, the line it starts from and the place there. `next` is
/// the head of the stitch after it.
pub(super) fn set_column(
    scene: &mut Scene,
    (first, count): (StitchId, u32),
    (track, s): (&Track, f64),
    (below, base_s): (&Track, f64),
    on_chains: bool,
    next: Option<Point>,
) {
    let on_chain = stand_on(scene.piece, first)
        .first()
        .is_some_and(|&foot| lies_along(scene, foot));
    let from_middle = *below == scene.ground && scene.cut.anchor.is_none();
    let clear = match (on_chain, from_middle) {
        (true, _) => OFF_CHAIN_MM,
        (_, true) if on_chains => OFF_CHAIN_MM + 0.6,
        (_, true) => OFF_RING_MM,
        _ if scene.piece.stitch(first).role == Role::Lift => 0.6,
        _ => 0.0,
    };
    let base = below.at(base_s, 0.0);
    let out = track.at(s, 0.0) - base;
    let base = base + out * (clear / out.length().max(1.0));
    let leans = |&(end, on): &(Point, Vec2)| {
        next.is_some_and(|next| (next - end).normalize().dot(on) > LEANS_OVER)
    };
    let end = end_of_chain(scene, first).filter(|_| count == 1);
    let (base, way) = match end.filter(leans) {
        Some((end, on)) => (end, on * (track.at(s, 0.0) - base).length()),
        None => (base, track.at(s, 0.0) - base),
    };
    let whole = way.length();
    let last = StitchId(first.0 + count - 1);
    // Chains that stand for a stitch reach its head; those that only lift need not.
    let stands = scene.piece.stitch(last).role == Role::Head;
    let reach = if stands {
        whole
    } else {
        let free = match scene.cut.layout {
            Layout::Strip => (whole - UNDER_NEXT_MM).max(whole / 2.0),
            Layout::Rings => whole,
        };
        free.min(f64::from(count) * CHAIN_MM)
    };
    // Of the round that a panel stands on only heads are shown: a chain that only lifted the hook has none.
    let is_under = !stands && track == below;
    let step = way * (reach / whole.max(1e-9) / f64::from(count));
    for i in 0..count {
        let centre = base + step * (f64::from(i) + 0.5);
        let glyph = match is_under {
            true => Glyph::None,
            false => Glyph::Chain {
                centre,
                direction: step,
                length_mm: reach / f64::from(count),
            },
        };
        scene.spots.set(
            StitchId(first.0 + i),
            Spot {
                head: base + step * f64::from(i + 1),
                track: *track,
                s,
                glyph,
            },
        );
    }
}

/// Where a chain that stitches go round ends, and which way it runs there: the chain that only lifts the hook goes on along it where
/// the next stitch leans over it.
fn end_of_chain(scene: &Scene, first: StitchId) -> Option<(Point, Vec2)> {
    let chain = |back: u32| {
        let id = StitchId(first.0.checked_sub(back)?);
        let is_worked = scene.piece.stitch(id).role == Role::Foundation;
        match scene.spots.get(id).filter(|_| is_worked)?.glyph {
            Glyph::Chain { centre, .. } => Some(centre),
            _ => None,
        }
    };
    let lifts = scene.piece.stitch(first).role == Role::Lift;
    let rings = scene.cut.layout == Layout::Rings;
    let (last, before) = (chain(1)?, chain(2)?);
    let on = (last - before).normalize();
    let goes_on = lifts && rings && (last - before).length() < 2.0 * CHAIN_MM;
    goes_on.then_some((last + on * (CHAIN_MM / 2.0), on))
}

/// What a column of chains stands over: the stitch that it grows from or, where that is a slip stitch, what the slip stitch goes into.
pub(super) fn stand_on(piece: &Piece, first: StitchId) -> &[StitchId] {
    if piece.stitch(first).role == Role::Lift {
        return &[];
    }
    let feet = piece.feet(first);
    match feet {
        [foot] if matches!(piece.stitch(*foot).role, Role::Close | Role::Travel) => {
            piece.feet(*foot)
        }
        _ => feet,
    }
}
