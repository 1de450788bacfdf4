use std::collections::BTreeMap;

use super::callouts::Callouts;
use super::over;
use crate::chart::panel::Mark;
use crate::chart::scene::Scene;
use crate::fabric::StitchId;
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

/// Those of this panel, by the round whose loops they are and the round that is worked into them (places in the piece's rounds), where others lie between.
fn taken_later(scene: &Scene) -> BTreeMap<(u32, u32), Taken> {
    let piece = scene.piece;
    let mut all: BTreeMap<(u32, u32), Taken> = BTreeMap::new();
    for (place, stitch) in piece.stitches.iter().enumerate() {
        if !matches!(stitch.into, Into::FrontLoop | Into::BackLoop) {
            continue;
        }
        let Some(&foot) = piece.feet(StitchId(place as u32)).first() else {
            continue;
        };
        let round = piece.stitch(foot).round;
        if round + 1 >= stitch.round || !scene.owns(foot) {
            continue;
        }
        let taken = all.entry((round, stitch.round)).or_insert(Taken {
            first: foot,
            last: foot,
            loops: stitch.into,
        });
        taken.first = taken.first.min(foot);
        taken.last = taken.last.max(foot);
    }
    all
}
