use kurbo::Vec2;

use super::over;
use crate::chart::cut::steps_after;
use crate::chart::panel::{Ink, Layout, Mark, Tone};
use crate::chart::scene::{Scene, Spot};
use crate::fabric::{StepKind, StitchId};
use crate::symbol;

/// From a head to the tip of the triangle at it, in mm.
const OFF_MM: f64 = 0.7;

/// Where a yarn is joined in and where it is fastened off.
pub(super) fn ends(scene: &Scene) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (k, course) in scene.courses() {
        let steps = |rounds| steps_after(scene.piece, rounds).iter();
        if steps(course.rounds.start).any(|step| step.kind == StepKind::JoinYarn) {
            marks.extend(joined(scene, k));
        }
        let is_last = k + 1 == scene.cut.courses.len();
        let ends = steps(course.rounds.end).find(|step| step.kind == StepKind::FastenOff);
        if let (true, Some(step)) = (is_last, ends) {
            marks.extend(fastened(scene, step.after));
        }
    }
    marks
}

/// An open triangle that points at the foot of a course's first stitch, along the line.
fn joined(scene: &Scene, k: usize) -> Option<Mark> {
    let course = &scene.cut.courses[k];
    let first = StitchId(scene.piece.rounds[course.rounds.start].stitches.start);
    let spot = scene.spots.get(first)?;
    let below = scene.below(k);
    let s = spot.track.carry(spot.s, below);
    let tip = below.at(s, 0.0) - below.along(s) * OFF_MM;
    let triangle = symbol::join_yarn(tip, below.along(s));
    Some(over("Join yarn", vec![Ink::Symbol(triangle, Tone::Ink)]))
}

/// A filled triangle beyond the head of the last stitch.
fn fastened(scene: &Scene, after: Option<StitchId>) -> Option<Mark> {
    let spot = scene.spots.get(after?)?;
    let away = away(scene, spot);
    let triangle = symbol::fasten_off(spot.head + away * OFF_MM, -away);
    Some(over("Fasten off", vec![Ink::Symbol(triangle, Tone::Ink)]))
}

/// The direction in which the work grows.
fn away(scene: &Scene, spot: &Spot) -> Vec2 {
    use crate::chart::panel::Direction;
    let up = spot.track.up(spot.s);
    match (scene.cut.layout, scene.cut.direction) {
        (Layout::Rings, Direction::Inward) => -up,
        _ => up,
    }
}
