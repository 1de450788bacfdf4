//! The round of an earlier panel that a panel stands on.

use super::cut::{Cut, is_folded_flat, joins_parts, splits_off};
use super::lines::{anchor_course, stretch_under};
use super::panel::Glyph;
use super::place::{Want, settle};
use super::scene::{Scene, Spot};
use crate::fabric::Piece;
use crate::terms::{Height, Into};

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

/// True if what the panel stands on is placed under its first round, not the other way round: a fold lies in two layers, and a leg stands on
/// a part of the round below, as does one of two that a round joins.
pub(super) fn anchor_follows(piece: &Piece, cut: &Cut) -> bool {
    let Some(first) = cut.courses.first() else {
        return false;
    };
    let k = first.rounds.start;
    let round = &piece.rounds[k];
    cut.anchor.is_some()
        && (is_folded_flat(piece, round) || splits_off(piece, k) || joins_parts(piece, round))
}

/// Those stitches of the round below that the first round is worked into, each straight under the first that is worked into it.
pub(super) fn place_anchor_under(scene: &mut Scene) {
    let piece = scene.piece;
    let ground = scene.ground;
    let round = &piece.rounds[scene.cut.courses[0].rounds.start];
    for (id, stitch) in piece.round_stitches(round) {
        let Some(spot) = scene.spots.get(id).copied() else {
            continue;
        };
        if stitch.kind.height == Height::Chain {
            continue;
        }
        let s = spot.track.carry(spot.s, &ground);
        for &foot in piece.feet(id) {
            let below = piece.stitch(foot);
            if foot.0 >= round.stitches.start || scene.spots.get(foot).is_some() {
                continue;
            }
            // One symbol stands for both layers of a fold.
            let is_first = piece.feet(id).first() == Some(&foot);
            let glyph = if is_first {
                Glyph::Stitch {
                    kind: below.kind,
                    into: Into::Stitch,
                    clear_mm: 0.0,
                }
            } else {
                Glyph::None
            };
            let head = ground.at(s, 0.0);
            let track = ground;
            scene.spots.set(
                foot,
                Spot {
                    head,
                    track,
                    s,
                    glyph,
                },
            );
        }
    }
}
