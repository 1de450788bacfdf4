use kurbo::Vec2;

use super::callouts::Callouts;
use super::over;
use crate::chart::cut::steps_after;
use crate::chart::panel::{Direction, Ink, Layout, Mark, Tone};
use crate::chart::scene::{Scene, Spot};
use crate::fabric::{StepKind, StitchId};
use crate::symbol;
use crate::terms::Height;

/// From a head to the tip of the triangle at it, in mm.
const OFF_MM: f64 = 0.7;
/// Part of a ring, before its end, along which a leader to it may start.
const LAST_PART: f64 = 0.3;

/// Where the yarn is fastened off at the end of a panel.
pub(super) fn ends(scene: &Scene) -> Vec<Mark> {
    let Some(last) = scene.cut.courses.last() else {
        return Vec::new();
    };
    let mut steps = steps_after(scene.piece, last.rounds.end).iter();
    steps
        .find(|step| step.kind == StepKind::FastenOff)
        .and_then(|step| fastened(scene, step.after))
        .into_iter()
        .collect()
}

/// A filled triangle beyond the head of the last stitch.
fn fastened(scene: &Scene, after: Option<StitchId>) -> Option<Mark> {
    let after = after.filter(|&id| scene.owns(id))?;
    let spot = scene.spots.get(after)?;
    let away = away(scene, spot);
    // A chain's place is its middle.
    let half = match scene.piece.stitch(after).kind.height {
        Height::Chain => symbol::CHAIN_HALF_WIDTH_MM,
        _ => 0.0,
    };
    let triangle = symbol::fasten_off(spot.head + away * (half + OFF_MM), -away);
    Some(over("Fasten off", vec![Ink::Symbol(triangle, Tone::Ink)]))
}

/// Where stuffing goes in, between rounds of a panel: pointed at from outside, near the end of the round.
pub(super) fn stuffing(scene: &Scene, callouts: &mut Callouts) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (k, course) in scene.courses() {
        let mut steps = steps_after(scene.piece, course.rounds.end).iter();
        let last = course.slots.slots.last().map(|slot| slot.last());
        let own = last.filter(|&last| scene.owns(last));
        let spot = own.and_then(|last| scene.spots.get(last));
        if let (true, Some(spot)) = (steps.any(|step| step.kind == StepKind::Stuff), spot) {
            let track = &scene.tracks[k];
            let first = course.slots.slots.first();
            let first = first.and_then(|slot| scene.spots.get(slot.first()));
            let row = first.map_or(0.0, |first| spot.s - first.s);
            let length = match scene.cut.layout {
                Layout::Strip => row,
                Layout::Rings => track.length().unwrap_or(0.0),
            };
            let words = ["Stuff here"];
            let has_room =
                |part: &f64| callouts.has_room(track, spot.s - length * part, spot.s, &words);
            let part = [LAST_PART, 0.5, 1.0].into_iter().find(has_room);
            let reach = length * part.unwrap_or(LAST_PART);
            let ink = callouts.from(track, spot.s - reach, spot.s, &words);
            let number = scene.piece.rounds[course.rounds.end - 1].number;
            marks.push(over(format!("Stuff after round {number}"), ink));
        }
    }
    marks
}

/// The direction in which the work grows.
fn away(scene: &Scene, spot: &Spot) -> Vec2 {
    let up = spot.track.up(spot.s);
    match (scene.cut.layout, scene.cut.direction) {
        (Layout::Rings, Direction::Inward) => -up,
        _ => up,
    }
}
