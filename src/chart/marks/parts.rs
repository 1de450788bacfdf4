use kurbo::{BezPath, Rect};

use super::{centred, over};
use crate::chart::panel::{Direction, Ink, Line, Mark, Tone, Words};
use crate::chart::quality::words_box;
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
    let ends = ends(scene).into_iter();
    let mark = |end: End| {
        let line = Ink::Line {
            path: end.path,
            line: Line::Rule,
        };
        let says = format!("Goes on in part {}", end.words.text);
        over(says, vec![line, Ink::Words(end.words)])
    };
    ends.map(mark).collect()
}

/// The words that say which parts come before and after.
pub(super) fn words(scene: &Scene) -> Vec<Words> {
    ends(scene).into_iter().map(|end| end.words).collect()
}

/// Where rounds go on to another part.
struct End {
    path: BezPath,
    words: Words,
}

fn ends(scene: &Scene) -> Vec<End> {
    let Some(part) = &scene.part else {
        return Vec::new();
    };
    let mut found: Vec<End> = Vec::new();
    for (end, other) in [(0, part.number - 1), (1, part.number + 1)] {
        let before = found.first().map(|end| words_box(&end.words));
        found.extend(end_at(scene, end, other, before));
    }
    found
}

/// One of the two ends, its words clear of those at the other.
fn end_at(scene: &Scene, end: usize, other: usize, before: Option<Rect>) -> Option<End> {
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
    let beyond = BEYOND_MM + scene.cut.courses[k].slots.crown_mm;
    let text = format!("{other} of {}", part.of);
    // Words are wider than high: beside a steep line they stand farther off.
    let room = text::extents(&text, LABEL_MM, Weight::Regular);
    let mut beyond = beyond + room.width_mm / 2.0 * scene.tracks[k].up(s).x.abs();
    loop {
        let lift = match scene.cut.direction {
            Direction::Outward => beyond,
            Direction::Inward => -beyond,
        };
        let at = scene.tracks[k].at(s, lift);
        let words = centred(text.as_str(), at, Weight::Regular, Tone::Quiet);
        let is_clear = before.is_none_or(|before| !before.overlaps(words_box(&words)));
        if is_clear || beyond > FARTHEST_MM {
            return Some(End { path, words });
        }
        beyond += 1.0;
    }
}
