use std::collections::BTreeMap;

use super::callouts::Callouts;
use super::over;
use crate::chart::panel::Mark;
use crate::chart::scene::Scene;
use crate::fabric::{Piece, StitchId};
use crate::terms::Into;

/// Loops that were left free and that a later round is worked into: an arc along them and the round that takes them.
pub(super) fn loops(scene: &Scene, callouts: &mut Callouts) -> Vec<Mark> {
    let mut marks = Vec::new();
    for ((round, later), taken) in taken_later(scene) {
        let is_shown = |(_, course): &(usize, &crate::chart::cut::Course)| {
            course.rounds.end == round as usize + 1
        };
        if !scene.courses().any(|course| is_shown(&course)) {
            continue;
        }
        let (Some(first), Some(last)) = (scene.spots.get(taken.first), scene.spots.get(taken.last))
        else {
            continue;
        };
        let number = scene.piece.rounds[later as usize].number;
        let loops = match taken.loops {
            Into::BackLoop => "back loops",
            _ => "front loops",
        };
        let told = format!("taken up in round {number}");
        let (from, to) = (first.s.min(last.s), first.s.max(last.s));
        let ink = callouts.along(&first.track, from, to, &[loops, &told]);
        marks.push(over(
            format!("The free {loops} of these stitches are {told}"),
            ink,
        ));
    }
    marks
}

/// Loops of one round that one later round is worked into.
struct Taken {
    first: StitchId,
    last: StitchId,
    loops: Into,
}

/// Those of this panel, by the round whose loops they are and the round that is worked into them (places in the piece's rounds).
fn taken_later(scene: &Scene) -> BTreeMap<(u32, u32), Taken> {
    let piece = scene.piece;
    let mut all: BTreeMap<(u32, u32), Taken> = BTreeMap::new();
    let own = scene.facts.into_free_loops.iter();
    for &(id, foot) in own.filter(|&&(_, foot)| scene.owns(foot)) {
        let stitch = piece.stitch(id);
        let rounds = (piece.stitch(foot).round, stitch.round);
        let taken = all.entry(rounds).or_insert(Taken {
            first: foot,
            last: foot,
            loops: stitch.into,
        });
        taken.first = taken.first.min(foot);
        taken.last = taken.last.max(foot);
    }
    all
}

/// Stitches worked into the loops of a round that others lie over, with what each is worked into.
pub(in crate::chart) fn into_free_loops(piece: &Piece) -> Vec<(StitchId, StitchId)> {
    let ids = (0..piece.stitches.len() as u32).map(StitchId);
    let taken = ids.filter_map(|id| {
        let stitch = piece.stitch(id);
        if !matches!(stitch.into, Into::FrontLoop | Into::BackLoop) {
            return None;
        }
        let &foot = piece.feet(id).first()?;
        (piece.stitch(foot).round + 1 < stitch.round).then_some((id, foot))
    });
    taken.collect()
}
