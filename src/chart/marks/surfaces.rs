use super::callouts::Callouts;
use super::over;
use crate::chart::cut::Course;
use crate::chart::panel::{Layout, Mark};
use crate::chart::scene::Scene;
use crate::fabric::Surface;
use crate::terms::{Height, Stitch};

/// Part of a ring, before its end, along which a leader to it may start.
const LAST_PART: f64 = 0.3;

/// What is worked on the face of a round, and in which yarn: told from outside rings. Rows have it in their caption.
pub(super) fn surfaces(scene: &Scene, callouts: &mut Callouts) -> Vec<Mark> {
    if scene.cut.layout == Layout::Strip {
        return Vec::new();
    }
    let mut marks = Vec::new();
    for (surface, k, course) in shown(scene) {
        let slots = &course.slots.slots;
        let ends = [slots.first(), slots.last()].map(|slot| scene.spots.get(slot?.last()));
        let [Some(first), Some(end)] = ends else {
            continue;
        };
        let from = end.s - (end.s - first.s) * LAST_PART;
        let [what, place] = told(scene, surface);
        let ink = callouts.from(&scene.tracks[k], from, end.s, &[&what, &place]);
        marks.push(over("", ink));
    }
    marks
}

/// The same in a line of caption; nothing if there is nothing.
pub(in crate::chart) fn surface_caption(scene: &Scene) -> Option<String> {
    let all = shown(scene).map(|(surface, ..)| told(scene, surface).join(" "));
    let all: Vec<String> = all.collect();
    (!all.is_empty()).then(|| format!("On the face: {}.", all.join(", ")))
}

/// What is worked on the face of a panel's rounds, with the course that it lies on.
fn shown<'a>(scene: &'a Scene) -> impl Iterator<Item = (&'a Surface, usize, &'a Course)> {
    scene.piece.surfaces.iter().filter_map(|surface| {
        let last = surface.rounds.end - 1;
        let mut courses = scene.courses();
        let (k, course) = courses.find(|(_, course)| course.rounds.contains(&last))?;
        Some((surface, k, course))
    })
}

/// What it is, and where.
fn told(scene: &Scene, surface: &Surface) -> [String; 2] {
    let slip = Stitch::plain(Height::Slip).abbreviation(scene.fabric.terms);
    let number = |round: usize| scene.piece.rounds[round].number;
    let last = surface.rounds.end - 1;
    let place = match surface.rounds.len() {
        1 => format!("on round {}", number(last)),
        _ => format!(
            "between rounds {} and {}",
            number(surface.rounds.start),
            number(last)
        ),
    };
    let yarn = surface.yarn;
    let yarn = yarn.and_then(|yarn| scene.fabric.yarns.get(usize::from(yarn.0)));
    let what = match yarn {
        Some(yarn) => format!("surface {slip} in {}", yarn.letter),
        None => format!("surface {slip}"),
    };
    [what, place]
}
