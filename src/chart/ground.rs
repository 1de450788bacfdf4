//! The round of an earlier panel that a panel stands on.

use super::cut::{Cut, edges_rows, is_flap, is_folded_flat, joins_parts, splits_off};
use super::glyph::set_stitch;
use super::lines::{anchor_course, stretch_under};
use super::panel::Glyph;
use super::place::{Want, open_fans, settle};
use super::scene::{Scene, Spot};
use super::sizes::CHAIN_MM;
use crate::fabric::{Piece, Role, StitchId};
use crate::terms::{Height, Into};

/// How far above its foot a leg leaves room for a chain beside it, in mm, and the least length of such chains.
const OVER_FOOT_MM: f64 = 1.6;
/// See [`OVER_FOOT_MM`].
const LEAST_LIFT_MM: f64 = 2.2;

/// The round that the panel stands on: on places of its own, if it is given them, or spread evenly.
pub(super) fn place_anchor(scene: &mut Scene, own: Option<&[f64]>) {
    let Some(anchor) = anchor_course(scene.fabric, scene.piece, &scene.cut) else {
        return;
    };
    let spans = vec![None; anchor.slots.slots.len()];
    let ground = scene.ground;
    let stretch = stretch_under(scene.piece, &scene.cut, &anchor);
    let want = match own {
        Some(places) => Want::At(places),
        None => Want::Over(&spans, stretch),
    };
    settle(scene, &anchor, &ground, &ground, want);
}

/// True if what the panel stands on is placed under its first round, not the other way round: a fold lies in two layers, a leg stands on
/// a part of the round below, as do a flap and one of two that a round joins, and an edging stands on the ends of many rows.
pub(super) fn anchor_follows(piece: &Piece, cut: &Cut) -> bool {
    let Some(first) = cut.courses.first() else {
        return false;
    };
    let k = first.rounds.start;
    let round = &piece.rounds[k];
    cut.anchor.is_some()
        && (is_folded_flat(piece, round)
            || splits_off(piece, k)
            || is_flap(piece, k)
            || joins_parts(piece, round)
            || edges_rows(piece, round))
}

/// Those stitches below that the first round is worked into, each straight under the middle of what is worked into it.
pub(super) fn place_anchor_under(scene: &mut Scene) {
    let piece = scene.piece;
    let round = &piece.rounds[scene.cut.courses[0].rounds.start];
    let worked: Vec<StitchId> = piece
        .round_stitches(round)
        .filter(|(id, stitch)| stitch.kind.height > Height::Chain && scene.spots.get(*id).is_some())
        .map(|(id, _)| id)
        .collect();
    let groups: Vec<&[StitchId]> = worked
        .chunk_by(|&a, &b| piece.feet(a) == piece.feet(b))
        .collect();
    for (i, siblings) in groups.iter().enumerate() {
        let ends = [siblings.first(), siblings.last()];
        let places = ends.map(|id| scene.spots.get(*id?));
        let [Some(first), Some(last)] = places else {
            continue;
        };
        // An edging may end in the corner that it begins in.
        let before = groups.last().filter(|last| {
            i == 0 && groups.len() > 1 && piece.feet(last[0]) == piece.feet(siblings[0])
        });
        let before = before.and_then(|before| scene.spots.get(before[0]));
        let middle = match (before, first.track.length()) {
            (Some(before), Some(length)) => match lift_before(scene, siblings[0]) {
                // Its legs open to both sides of the chain that lifts the hook.
                Some(lift) => lift.s,
                None => (before.s - length + last.s) / 2.0,
            },
            _ => (first.s + last.s) / 2.0,
        };
        let s = first.track.carry(middle, &scene.ground);
        let feet = piece.feet(siblings[0]);
        for (layer, &foot) in feet.iter().enumerate() {
            if foot.0 < round.stitches.start && scene.spots.get(foot).is_none() {
                set_under(scene, foot, s, layer == 0);
            }
        }
    }
    if edges_rows(piece, round) {
        stand_off(scene, &worked);
    }
}

/// The last chain that lifts the hook for a stitch.
fn lift_before(scene: &Scene, id: StitchId) -> Option<Spot> {
    let before = StitchId(id.0.checked_sub(1)?);
    let lifts = scene.piece.stitch(before).role == Role::Lift;
    scene.spots.get(before).filter(|_| lifts).copied()
}

/// A stitch that the first round is worked into. One symbol stands for both layers of a fold.
fn set_under(scene: &mut Scene, foot: StitchId, s: f64, is_drawn: bool) {
    let track = scene.ground;
    let head = track.at(s, 0.0);
    let kind = scene.piece.stitch(foot).kind;
    let glyph = match kind.height {
        _ if !is_drawn => Glyph::None,
        Height::Chain => Glyph::Chain {
            centre: head,
            direction: track.along(s),
            length_mm: CHAIN_MM,
        },
        _ => Glyph::Stitch {
            kind,
            into: Into::Stitch,
            clear_mm: 0.0,
        },
    };
    let spot = Spot {
        head,
        track,
        s,
        glyph,
    };
    scene.spots.set(foot, spot);
}

/// Lets stitches keep clear of what they stand on, which has come to lie under them.
fn stand_off(scene: &mut Scene, worked: &[StitchId]) {
    for &id in worked {
        if let Some(spot) = scene.spots.get(id).copied() {
            set_stitch(scene, id, &spot.track, spot.s);
        }
    }
    if let Some(&first) = worked.first()
        && let Some(lift) = lift_before(scene, first)
    {
        shorten_lift(scene, first, &lift);
    }
    let slots = std::mem::take(&mut scene.cut.courses[0].slots);
    open_fans(scene, &slots);
    scene.cut.courses[0].slots = slots;
}

/// Chains that lift the hook for a stitch, moved up to where its leg leaves them room.
fn shorten_lift(scene: &mut Scene, worked: StitchId, last: &Spot) {
    let up = last.track.up(last.s);
    let start = scene.piece.rounds[scene.cut.courses[0].rounds.start]
        .stitches
        .start;
    let count = worked.0 - start;
    let room = (scene.cut.courses[0].height_mm - OVER_FOOT_MM).max(LEAST_LIFT_MM);
    let length_mm = (room / f64::from(count)).min(CHAIN_MM);
    for i in 0..count {
        let head = last.track.at(last.s, 0.0) - up * (length_mm * f64::from(count - 1 - i));
        let glyph = Glyph::Chain {
            centre: head - up * (length_mm / 2.0),
            direction: up,
            length_mm,
        };
        scene.spots.set(
            StitchId(start + i),
            Spot {
                head,
                glyph,
                ..*last
            },
        );
    }
}
