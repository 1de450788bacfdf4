use kurbo::{BezPath, Point, Rect};

use super::over;
use crate::chart::fit;
use crate::chart::panel::{Direction, Ink, Layout, Line, Mark, Tone, Words};
use crate::chart::scene::{Scene, Spot};
use crate::chart::sizes::{ANCHOR_MM, LABEL_MM};
use crate::chart::slots::Slot;
use crate::chart::track::Track;
use crate::fabric::{Join, StitchId};
use crate::symbol;
use crate::text::{self, Weight};

/// From the outermost ink to the labels, in mm.
const LABEL_OFF_MM: f64 = 4.0;
/// How far a label is moved outward at most to be clear of others, in mm.
const MOST_MOVES: u32 = 60;
/// Widest name of a part, in mm.
const NAME_MM: f64 = 40.0;
/// How far the arc lies outside the heads, in mm.
const ARC_LIFT_MM: f64 = 0.25;

/// Stitches that join a part: an arc along their heads and, outside the work, the part's name and its layers.
pub(super) fn joins(scene: &Scene) -> Vec<Mark> {
    let mut labels: Vec<Rect> = Vec::new();
    let mut marks = Vec::new();
    for join in &scene.piece.joins {
        let mut shown = join.stitches.iter().map(|(id, _)| id);
        let is_shown = |id: &&StitchId| is_shown(scene, id.0) && scene.owns(**id);
        let (Some(first), last) = (shown.find(is_shown), shown.rfind(is_shown)) else {
            continue;
        };
        let last = last.unwrap_or(first);
        if let (Some(first), Some(last)) = (scene.spots.get(*first), scene.spots.get(*last)) {
            marks.push(mark(scene, join, first, last, &mut labels));
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

fn mark(scene: &Scene, join: &Join, first: &Spot, last: &Spot, labels: &mut Vec<Rect>) -> Mark {
    let track = &first.track;
    let half = symbol::STITCH_WIDTH_MM / 2.0 - 0.3;
    let (from, to) = (first.s - half, last.s + half);
    let arc = track.stretch(from, to, ARC_LIFT_MM);
    let name = part_name(scene, join);
    let layers = match join.layers {
        1 => "1 layer".to_owned(),
        layers => format!("{layers} layers"),
    };
    let at = leader_place(scene, track, from, to);
    let outside = outside_mm(scene, track);
    let (start, end) = (
        track.at(at, ARC_LIFT_MM),
        track.at(at, outside + LABEL_OFF_MM - 1.0),
    );
    let (words, end) = label(&[&name, &layers], start, end, labels);
    let mut leader = BezPath::new();
    leader.move_to(start);
    leader.line_to(end);
    let mut ink = vec![
        Ink::Line {
            path: arc,
            line: Line::Strong,
        },
        Ink::Line {
            path: leader,
            line: Line::Leader,
        },
    ];
    ink.extend(words.into_iter().map(Ink::Words));
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

/// The place along the arc from where a line outward passes the heads around it at the greatest distance.
fn leader_place(scene: &Scene, track: &Track, from: f64, to: f64) -> f64 {
    const STEPS: u32 = 16;
    let mut best = ((from + to) / 2.0, f64::NEG_INFINITY);
    for step in 0..=STEPS {
        let s = from + (to - from) * f64::from(step) / f64::from(STEPS);
        let clear = clearance(scene, track, s);
        // From the middle of the arc, where it is as good as anywhere.
        let middling = -f64::from(step.abs_diff(STEPS / 2)) * 0.02;
        if clear + middling > best.1 {
            best = (s, clear + middling);
        }
    }
    best.0
}

/// How near the closest head of the lines outside is to a line outward from `s`, in mm along those lines.
fn clearance(scene: &Scene, track: &Track, s: f64) -> f64 {
    let mut least = f64::INFINITY;
    for (k, course) in scene.courses() {
        let other = &scene.tracks[k];
        if other.reach_mm() <= track.reach_mm() {
            continue;
        }
        least = least.min(nearest(
            scene,
            &course.slots.slots,
            track.carry(s, other),
            other,
        ));
    }
    least.min(symbol::STITCH_WIDTH_MM)
}

/// From a place on a round's line to the nearest of its slots, in mm.
fn nearest(scene: &Scene, slots: &[Slot], here: f64, track: &Track) -> f64 {
    let place = |slot: &Slot| scene.spots.get(slot.first()).map_or(0.0, |spot| spot.s);
    let (Some(first), Some(last)) = (slots.first().map(place), slots.last().map(place)) else {
        return f64::INFINITY;
    };
    let here = match track.length() {
        Some(length) => first + (here - first).rem_euclid(length),
        None => here,
    };
    let next = slots.partition_point(|slot| place(slot) < here);
    let after = match (slots.get(next), track.length()) {
        (Some(slot), _) => place(slot) - here,
        (None, Some(length)) => first + length - here,
        (None, None) => f64::INFINITY,
    };
    let before = match next.checked_sub(1) {
        Some(before) => here - place(&slots[before]),
        None => here - (last - track.length().unwrap_or(f64::INFINITY)),
    };
    after.min(before).max(0.0)
}

/// From a line to the outside of the work, in mm.
fn outside_mm(scene: &Scene, track: &Track) -> f64 {
    let crown = |k: usize| scene.cut.courses[k].slots.crown_mm();
    let outer = (0..scene.tracks.len())
        .map(|k| scene.tracks[k].reach_mm() + crown(k))
        .fold(scene.ground.reach_mm() + anchor_mm(scene), f64::max);
    let floor = match scene.cut.layout {
        Layout::Rings => 0.0,
        Layout::Strip => f64::NEG_INFINITY,
    };
    (outer - track.reach_mm()).max(floor)
}

/// How far the stitches that the panel stands on reach outside their line, in mm.
fn anchor_mm(scene: &Scene) -> f64 {
    match (scene.cut.direction, scene.cut.anchor) {
        (Direction::Inward, Some(_)) => ANCHOR_MM,
        _ => 0.0,
    }
}

/// Lines of words beyond the end of a leader, moved outward until they are clear of other labels. Returns them and the end of the leader.
fn label(lines: &[&str], start: Point, end: Point, labels: &mut Vec<Rect>) -> (Vec<Words>, Point) {
    let step = LABEL_MM * 1.3;
    let width = lines
        .iter()
        .map(|line| text::extents(line, LABEL_MM, Weight::Bold).width_mm)
        .fold(0.0, f64::max);
    let height = step * lines.len() as f64;
    let way = (end - start).normalize();
    let mut end = end;
    let mut room = beside(end, way, width, height);
    let mut moves = 0;
    while moves < MOST_MOVES && labels.iter().any(|other| other.inset(0.5).overlaps(room)) {
        moves += 1;
        end += way;
        room = beside(end, way, width, height);
    }
    labels.push(room);
    let words = lines
        .iter()
        .enumerate()
        .map(|(i, line)| {
            let weight = if i == 0 {
                Weight::Bold
            } else {
                Weight::Regular
            };
            let wide = text::extents(line, LABEL_MM, weight).width_mm;
            // Lines are flush on the side of the leader.
            let x = room.x0 + (width - wide) * (0.5 - way.x * 0.5).clamp(0.0, 1.0);
            Words {
                text: (*line).to_owned(),
                at: Point::new(x, room.y0 + step * (i as f64 + 0.78)),
                size_mm: LABEL_MM,
                weight,
                tone: Tone::Accent,
            }
        })
        .collect();
    (words, end)
}

/// The box of a label that a leader in a direction ends at: beside, over or under its end.
fn beside(end: Point, way: kurbo::Vec2, width: f64, height: f64) -> Rect {
    let middle = Point::new(
        end.x + way.x * (width / 2.0 + 1.2),
        end.y + way.y * (height / 2.0 + 1.0),
    );
    Rect::new(
        middle.x - width / 2.0,
        middle.y - height / 2.0,
        middle.x + width / 2.0,
        middle.y + height / 2.0,
    )
}
