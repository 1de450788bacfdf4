use kurbo::{Line, ParamCurve, ParamCurveNearest, Point};

use super::numbers::opening_yarn;
use super::{centred, over};
use crate::chart::cut::Course;
use crate::chart::panel::{self, Direction, Ink, Mark, Tone};
use crate::chart::scene::Scene;
use crate::chart::slots::Slot;
use crate::fabric::YarnId;
use crate::symbol;
use crate::text::Weight;

/// How far the middle of a change's letter is from the heads, in mm.
const LETTER_LIFT_MM: f64 = 1.7;

/// How far the middle of a letter should be from any line, in mm.
const CLEAR_MM: f64 = 1.5;
/// How near to a line it may be at least.
const LEAST_CLEAR_MM: f64 = 1.3;
/// Changes of neighbouring rounds that are nearer to each other than this, in mm along the line, stand over one another.
const OVER_MM: f64 = 1.2 * symbol::STITCH_WIDTH_MM;
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

/// A change of yarn within a round.
struct Change {
    /// Which course.
    k: usize,
    /// From the head whose last yarn-over makes it to half way on, in mm along the line.
    from: f64,
    to: f64,
    yarn: YarnId,
    letter: String,
}

/// Changes of yarn within a round: a tick from the head of the stitch whose last yarn-over makes the change, and the letter of the new yarn.
/// Where the same change stands over itself round after round, the first and the last have the letter.
pub(super) fn changes(scene: &Scene) -> Vec<Mark> {
    let mut changes = Vec::new();
    for (k, course) in scene.courses() {
        changes.extend(
            course
                .slots
                .slots
                .windows(2)
                .filter_map(|pair| change(scene, k, pair)),
        );
    }
    let is_over = |upper: &Change, lower: &Change| {
        let track = &scene.tracks[upper.k];
        let off = scene.tracks[lower.k].carry(lower.to, track) - upper.to;
        lower.k + 1 == upper.k && lower.yarn == upper.yarn && off.abs() < OVER_MM
    };
    let (mut marks, mut letters) = (Vec::new(), Vec::new());
    for (place, change) in changes.iter().enumerate() {
        let before = changes[..place].iter().rev();
        let goes_on = before
            .take_while(|lower| lower.k + 1 >= change.k)
            .any(|lower| is_over(change, lower));
        let mut after = changes[place + 1..]
            .iter()
            .take_while(|upper| upper.k <= change.k + 1);
        let has_letter = !goes_on || !after.any(|upper| is_over(upper, change));
        let letter = has_letter.then(|| {
            let near = |other: &&Change| other.k.abs_diff(change.k) < 2 && other.to != change.to;
            let others = changes.iter().filter(near);
            let ticks = others.map(|other| {
                let track = &scene.tracks[other.k];
                Line::new(track.at(other.from, 0.0), track.at(other.to, 0.0))
            });
            let lines = ticks.chain(join_arcs(scene)).collect();
            letter_place(scene, change.k, change.to, lines, &letters)
        });
        // The letter of the change below it will do where there is no room for another.
        let letter = letter
            .filter(|(_, clear)| !goes_on || *clear >= LEAST_CLEAR_MM)
            .map(|(at, _)| at);
        letters.extend(letter);
        marks.push(mark(scene, change, letter));
    }
    marks
}

/// The change between two neighbours in a round, if there is one; changes between rounds stand with the round's number.
fn change(scene: &Scene, k: usize, pair: &[Slot]) -> Option<Change> {
    let (last, next) = (pair[0].last(), pair[1].first());
    let letter = opening_yarn(scene.fabric, scene.piece, next.0)?;
    let (from, to) = (scene.spots.get(last)?.s, scene.spots.get(next)?.s);
    Some(Change {
        k,
        from,
        to: (from + to) / 2.0,
        yarn: scene.piece.stitch(next).yarn?,
        letter,
    })
}

/// A tick, with the letter if it has a place.
fn mark(scene: &Scene, change: &Change, letter_at: Option<Point>) -> Mark {
    let Change {
        k,
        from,
        to,
        ref letter,
        ..
    } = *change;
    let mut ink = vec![Ink::Line {
        path: scene.tracks[k].stretch(from, to, 0.0),
        line: panel::Line::Strong,
    }];
    if let Some(at) = letter_at {
        let words = centred(letter.as_str(), at, Weight::Bold, Tone::Accent);
        ink.push(Ink::Words(words));
    }
    over(
        format!("Change to yarn {letter} in the last yarn-over"),
        ink,
    )
}

/// Where a change's letter stands: beyond the heads near `s` and clear of the legs of the next round, of other changes' ticks and of their
/// letters. With it, how clear it is, in mm.
fn letter_place(
    scene: &Scene,
    k: usize,
    s: f64,
    lines: Vec<Line>,
    letters: &[Point],
) -> (Point, f64) {
    let track = &scene.tracks[k];
    let beyond = match scene.cut.direction {
        Direction::Outward => 1.0,
        Direction::Inward => -1.0,
    };
    let mut legs = scene
        .cut
        .courses
        .get(k + 1)
        .map_or_else(Vec::new, |next| legs_near(scene, k, next, s));
    legs.extend(lines);
    let mut best = (track.at(s, beyond * LETTER_LIFT_MM), f64::NEG_INFINITY);
    for along in [0.0, 0.6, -0.6, 1.2, -1.2, 1.8, -1.8] {
        for lift in [LETTER_LIFT_MM, 1.35, 2.1] {
            let at = track.at(s + along, beyond * lift);
            let clear = legs
                .iter()
                .map(|leg| leg.nearest(at, 0.01).distance_sq.sqrt())
                .chain(letters.iter().map(|other| other.distance(at) - CLEAR_MM))
                .fold(CLEAR_MM, f64::min);
            if clear > best.1 + 0.01 {
                best = (at, clear);
            }
        }
    }
    best
}

/// The lines along the heads of stitches that join a part.
fn join_arcs(scene: &Scene) -> Vec<Line> {
    let half = symbol::STITCH_WIDTH_MM / 2.0;
    let joined = scene.piece.joins.iter().flat_map(|join| &join.stitches);
    let spots = joined.filter_map(|(id, _)| scene.spots.get(*id));
    spots
        .map(|spot| {
            let end = |off: f64| spot.track.at(spot.s + off, 0.0);
            Line::new(end(-half), end(half))
        })
        .collect()
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
            let stitch = scene.piece.stitch(id);
            let drawn = symbol::stitch(stitch.kind, stitch.into, &[foot.head], head);
            let lines = drawn.stroke.segments();
            legs.extend(lines.map(|line| Line::new(line.start(), line.end())));
        }
    }
    legs
}
