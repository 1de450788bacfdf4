use kurbo::{Line, ParamCurve, ParamCurveNearest, Point};

use super::numbers::opening_yarn;
use super::{centred, over};
use crate::chart::cut::Course;
use crate::chart::panel::{self, Direction, Ink, Mark, Tone};
use crate::chart::scene::Scene;
use crate::chart::slots::Slot;
use crate::fabric::YarnId;
use crate::symbol;
use crate::terms::Into;
use crate::text::Weight;

/// How far the middle of a change's letter is from the heads, in mm.
const LETTER_LIFT_MM: f64 = 1.7;

/// How far the middle of a letter should be from any line, in mm.
const CLEAR_MM: f64 = 1.5;
/// Half of the paper between the beds of two rounds, in mm.
const PAPER_LINE_MM: f64 = 0.15;

/// Soft beds under the stitches of each yarn, where a pattern has several.
pub(super) fn beds(scene: &Scene) -> Vec<Mark> {
    if scene.fabric.yarns.len() < 2 {
        return Vec::new();
    }
    let ink: Vec<Ink> = scene
        .courses()
        .flat_map(|(k, course)| course_beds(scene, k, course))
        .collect();
    if ink.is_empty() {
        return Vec::new();
    }
    vec![Mark {
        says: String::new(),
        under: true,
        ink,
    }]
}

fn course_beds(scene: &Scene, k: usize, course: &Course) -> Vec<Ink> {
    let track = &scene.tracks[k];
    // Thin lines of paper tell the rounds apart where beds hide the bands.
    let below = scene.below(k);
    let inset = match track.reach_mm() < below.reach_mm() {
        true => -PAPER_LINE_MM,
        false => PAPER_LINE_MM,
    };
    let places: Vec<(f64, Option<YarnId>)> = course
        .slots
        .slots
        .iter()
        .filter_map(|slot| {
            let id = slot.last();
            Some((scene.spots.get(id)?.s, scene.piece.stitch(id).yarn))
        })
        .collect();
    let (Some(&first), Some(&last)) = (places.first(), places.last()) else {
        return Vec::new();
    };
    let runs: Vec<&[(f64, Option<YarnId>)]> = places.chunk_by(|a, b| a.1 == b.1).collect();
    if let ([run], Some(_)) = (runs.as_slice(), track.length())
        && let Some(yarn) = run[0].1
    {
        let mut path = track.whole(-inset);
        path.extend(below.whole(inset));
        return vec![Ink::Bed { path, yarn }];
    }
    // Beds meet half way between stitches, over the seam too.
    let half = course.slots.slots[0].width_mm / 2.0;
    let (start, end) = match track.length() {
        Some(length) => {
            let seam = (first.0 + last.0 - length) / 2.0;
            (seam, seam + length)
        }
        None => (first.0 - half, last.0 + half),
    };
    let mut from = start;
    let mut end = end;
    let mut runs = runs.as_slice();
    if let (Some(length), [first, .., before, last]) = (track.length(), runs)
        && first[0].1 == last[0].1
    {
        // One bed over the seam.
        end = (before[before.len() - 1].0 + last[0].0) / 2.0;
        from = end - length;
        runs = &runs[..runs.len() - 1];
    }
    let mut ink = Vec::new();
    for (i, run) in runs.iter().enumerate() {
        let to = match runs.get(i + 1) {
            Some(next) => (run[run.len() - 1].0 + next[0].0) / 2.0,
            None => end,
        };
        if let Some(yarn) = run[0].1 {
            let path = track.strip(from, to, -inset, below, inset);
            ink.push(Ink::Bed { path, yarn });
        }
        from = to;
    }
    ink
}

/// Changes of yarn within a round: a tick from the head of the stitch whose last yarn-over makes the change, and the letter of the new yarn.
pub(super) fn changes(scene: &Scene) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (k, course) in scene.courses() {
        for pair in course.slots.slots.windows(2) {
            let (last, next) = (pair[0].last(), pair[1].first());
            // Changes between rounds stand with the round's number.
            let Some(letter) = opening_yarn(scene.fabric, scene.piece, next.0) else {
                continue;
            };
            let (Some(from), Some(to)) = (scene.spots.get(last), scene.spots.get(next)) else {
                continue;
            };
            let track = &scene.tracks[k];
            let s = (from.s + to.s) / 2.0;
            let ink = vec![
                Ink::Line {
                    path: track.stretch(from.s, s, 0.0),
                    line: panel::Line::Strong,
                },
                Ink::Words(centred(
                    letter.as_str(),
                    letter_place(scene, k, s),
                    Weight::Bold,
                    Tone::Accent,
                )),
            ];
            marks.push(over(
                format!("Change to yarn {letter} in the last yarn-over"),
                ink,
            ));
        }
    }
    marks
}

/// Where a change's letter stands: beyond the heads near `s` and clear of the legs of the next round.
fn letter_place(scene: &Scene, k: usize, s: f64) -> Point {
    let track = &scene.tracks[k];
    let beyond = match scene.cut.direction {
        Direction::Outward => 1.0,
        Direction::Inward => -1.0,
    };
    let legs = scene
        .cut
        .courses
        .get(k + 1)
        .map_or_else(Vec::new, |next| legs_near(scene, k, next, s));
    let mut best = (track.at(s, beyond * LETTER_LIFT_MM), f64::NEG_INFINITY);
    for along in [0.0, 0.6, -0.6, 1.2, -1.2, 1.8, -1.8] {
        for lift in [LETTER_LIFT_MM, 1.35, 2.1] {
            let at = track.at(s + along, beyond * lift);
            let clear = legs
                .iter()
                .map(|leg| leg.nearest(at, 0.01).distance_sq.sqrt())
                .fold(CLEAR_MM, f64::min);
            if clear > best.1 + 0.01 {
                best = (at, clear);
            }
        }
    }
    best.0
}

/// The legs of a round, with their bars, that stand near a place of the line below.
fn legs_near(scene: &Scene, k: usize, next: &Course, s: f64) -> Vec<Line> {
    const NEAR_MM: f64 = 9.0;
    let (track, outer) = (&scene.tracks[k], &scene.tracks[k + 1]);
    let here = track.carry(s, outer);
    let place = |slot: &Slot| {
        let spot = scene.spots.get(slot.last());
        spot.map_or(0.0, |spot| spot.s)
    };
    let slots = &next.slots.slots;
    let from = slots.partition_point(|slot| place(slot) < here - NEAR_MM);
    let mut legs = Vec::new();
    for slot in &slots[from..] {
        if place(slot) > here + NEAR_MM {
            break;
        }
        let id = slot.last();
        let Some(head) = scene.spots.get(id).map(|spot| spot.head) else {
            continue;
        };
        let feet = scene.piece.feet(id).iter();
        for foot in feet.filter_map(|&foot| scene.spots.get(foot)) {
            let kind = scene.piece.stitch(id).kind;
            let drawn = symbol::stitch(kind, Into::Stitch, &[foot.head], head);
            let lines = drawn.stroke.segments();
            legs.extend(lines.map(|line| Line::new(line.start(), line.end())));
        }
    }
    legs
}
