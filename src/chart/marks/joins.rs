use super::callouts::Callouts;
use super::over;
use crate::chart::fit;
use crate::chart::panel::Mark;
use crate::chart::scene::{Scene, Spot};
use crate::chart::sizes::LABEL_MM;
use crate::fabric::{Join, StitchId};
use crate::symbol;
use crate::text::Weight;

/// Widest name of a part, in mm.
const NAME_MM: f64 = 40.0;

/// Stitches that join a part: an arc along their heads and, outside the work, the part's name and its layers.
pub(super) fn joins(scene: &Scene, callouts: &mut Callouts) -> Vec<Mark> {
    let mut marks = Vec::new();
    for join in &scene.piece.joins {
        let mut shown = join.stitches.iter().map(|(id, _)| id);
        let is_shown = |id: &&StitchId| is_shown(scene, id.0) && scene.owns(**id);
        let (Some(first), last) = (shown.find(is_shown), shown.rfind(is_shown)) else {
            continue;
        };
        let last = last.unwrap_or(first);
        if let (Some(first), Some(last)) = (scene.spots.get(*first), scene.spots.get(*last)) {
            marks.push(mark(scene, join, first, last, callouts));
        }
    }
    marks
}

fn is_shown(scene: &Scene, stitch: u32) -> bool {
    let rounds = &scene.piece.rounds;
    let courses = &scene.cut.courses;
    match (courses.first(), courses.last()) {
        (Some(first), Some(last)) => {
            let from = rounds[first.rounds.start].stitches.start;
            (from..rounds[last.rounds.end - 1].stitches.end).contains(&stitch)
        }
        _ => false,
    }
}

fn mark(scene: &Scene, join: &Join, first: &Spot, last: &Spot, callouts: &mut Callouts) -> Mark {
    let half = symbol::STITCH_WIDTH_MM / 2.0 - 0.3;
    let name = part_name(scene, join);
    let layers = match join.layers {
        1 => "1 layer".to_owned(),
        layers => format!("{layers} layers"),
    };
    let (from, to) = (first.s - half, last.s + half);
    let ink = callouts.along(&first.track, from, to, &[&name, &layers]);
    let stitches = join.stitches.len();
    over(
        format!("{name} is joined, {layers}, {stitches} stitches"),
        ink,
    )
}

fn part_name(scene: &Scene, join: &Join) -> String {
    let Some(part) = scene.fabric.pieces.get(join.part) else {
        return String::new();
    };
    let name = fit::fitted(&part.name, LABEL_MM, Weight::Bold, NAME_MM);
    if part.make > 1 {
        format!("{name} {}", join.copy)
    } else {
        name
    }
}
