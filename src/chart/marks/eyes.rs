use kurbo::{Circle, Shape};

use super::callouts::Callouts;
use super::over;
use crate::chart::panel::{self, Ink, Mark};
use crate::chart::scene::Scene;
use crate::fabric::{EyePlace, StepKind, StitchId};
use crate::terms::Height;

/// Radius of the ring where an eye goes through, in mm: about the point where two stitches meet.
const RADIUS_MM: f64 = 1.1;

/// Eyes at their place: a ring about each stitch that they go through, an arc from one to the other, and how far they are apart. Where the
/// words name no stitches, the rounds that they sit between are pointed at.
pub(super) fn eyes(scene: &Scene, callouts: &mut Callouts) -> Vec<Mark> {
    let places = scene.piece.steps.iter().filter_map(|step| match step.kind {
        StepKind::Eyes(place) => Some(place),
        _ => None,
    });
    places
        .filter_map(|place| mark(scene, place, callouts))
        .collect()
}

fn mark(scene: &Scene, place: EyePlace, callouts: &mut Callouts) -> Option<Mark> {
    let (below, above) = place.rounds?;
    let round = round_of(scene, below)?;
    let between = format!("between rounds {below} and {above}");
    let told = match place.apart {
        Some(1) => "1 st apart".to_owned(),
        Some(apart) => format!("{apart} sts apart"),
        None => between.clone(),
    };
    let stitch = |number: u32| {
        let id = nth(scene, round, number)?;
        scene.spots.get(id).filter(|_| scene.owns(id))
    };
    let ends = place
        .stitches
        .and_then(|(one, other)| Some((stitch(one)?, stitch(other)?)));
    let Some((one, other)) = ends else {
        let edge = &scene.piece.rounds[round].edge;
        let last = edge.iter().rev().find(|&&id| scene.owns(id))?;
        let first = edge.iter().find(|&&id| scene.owns(id))?;
        let (first, last) = (scene.spots.get(*first)?, scene.spots.get(*last)?);
        let lines: Vec<&str> = match place.apart {
            Some(_) => vec!["Eyes", &between, &told],
            None => vec!["Eyes", &between],
        };
        let ink = callouts.from(&first.track, first.s, last.s, &lines);
        return Some(over(format!("Eyes {between}"), ink));
    };
    let mut ink = callouts.along(&one.track, one.s, other.s, &["Eyes", &told]);
    ink.extend([one, other].map(|spot| Ink::Line {
        path: Circle::new(spot.head, RADIUS_MM).to_path(0.01),
        line: panel::Line::Strong,
    }));
    Some(over(format!("Eyes {between}, {told}"), ink))
}

/// The round of a number, if the panel shows it: a place in the piece's rounds.
fn round_of(scene: &Scene, number: u32) -> Option<usize> {
    let mut rounds = scene
        .courses()
        .flat_map(|(_, course)| course.rounds.clone());
    rounds.find(|&round| scene.piece.rounds[round].number == number)
}

/// A stitch of a round by its number, from 1; chains aside.
fn nth(scene: &Scene, round: usize, number: u32) -> Option<StitchId> {
    let piece = scene.piece;
    let mut heads = piece.rounds[round]
        .edge
        .iter()
        .filter(|&&id| piece.stitch(id).kind.height > Height::Chain);
    heads.nth(number.checked_sub(1)? as usize).copied()
}
