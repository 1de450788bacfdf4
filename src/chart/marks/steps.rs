use kurbo::Vec2;

use super::over;
use crate::chart::cut::steps_after;
use crate::chart::panel::{Ink, Layout, Mark, Tone};
use crate::chart::scene::{Scene, Spot};
use crate::fabric::{StepKind, StitchId};
use crate::symbol;

/// From a head to the tip of the triangle at it, in mm.
const OFF_MM: f64 = 0.7;

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
    let spot = scene.spots.get(after.filter(|&id| scene.owns(id))?)?;
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
