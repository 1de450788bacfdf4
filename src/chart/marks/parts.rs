use kurbo::BezPath;

use super::{centred, over};
use crate::chart::panel::{Direction, Ink, Line, Mark, Tone};
use crate::chart::scene::Scene;
use crate::chart::sizes::LABEL_MM;
use crate::text::{self, Weight};

/// A line farther away than this has nothing to do with a round, in mm.
const FARTHEST_MM: f64 = 20.0;
/// How far the thin line reaches below a chain, in mm.
const BELOW_MM: f64 = 1.6;
/// How far beyond the last line the words stand, in mm.
const BEYOND_MM: f64 = 3.4;

/// Where rounds go on to other parts: a thin line across them, and which part it is.
pub(super) fn goes_on(scene: &Scene) -> Vec<Mark> {
    let Some(part) = &scene.part else {
        return Vec::new();
    };
    let ends = [(0, part.number - 1), (1, part.number + 1)];
    ends.into_iter()
        .filter_map(|(end, other)| mark(scene, end, other))
        .collect()
}

fn mark(scene: &Scene, end: usize, other: usize) -> Option<Mark> {
    let part = scene.part.as_ref()?;
    let mut path = BezPath::new();
    let mut top = None;
    for (k, goes_on) in part.goes_on.iter().enumerate() {
        let Some(s) = goes_on[end] else {
            continue;
        };
        let (track, below) = (&scene.tracks[k], scene.below(k));
        let height = track.reach_mm() - below.reach_mm();
        path.move_to(match height.abs() > FARTHEST_MM {
            // Nothing lies on the line below a chain that rounds start from.
            true => track.at(s, -BELOW_MM),
            false => below.at(track.carry(s, below), 0.0),
        });
        path.line_to(track.at(s, 0.0));
        top = Some((k, s));
    }
    let (k, s) = top?;
    let beyond = BEYOND_MM + scene.cut.courses[k].slots.crown_mm();
    let words = format!("{other} of {}", part.of);
    // Words are wider than high: beside a steep line they stand farther off.
    let room = text::extents(&words, LABEL_MM, Weight::Regular);
    let beyond = beyond + room.width_mm / 2.0 * scene.tracks[k].up(s).x.abs();
    let lift = match scene.cut.direction {
        Direction::Outward => beyond,
        Direction::Inward => -beyond,
    };
    let at = scene.tracks[k].at(s, lift);
    let ink = vec![
        Ink::Line {
            path,
            line: Line::Rule,
        },
        Ink::Words(centred(words, at, Weight::Regular, Tone::Quiet)),
    ];
    Some(over(format!("Goes on in part {other} of {}", part.of), ink))
}
