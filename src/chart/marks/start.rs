use kurbo::{Point, Vec2};

use crate::chart::cut::Course;
use crate::chart::scene::{Scene, Spot};
use crate::chart::slots::{Slot, SlotKind};
use crate::chart::track::Track;
use crate::symbol;

/// Clear paper that stems at both sides of a number need together, in mm.
const STEM_MM: f64 = 0.6;

/// How far inside its line the number of a first round from a middle stands, in mm.
const LOWER_MM: f64 = 0.4;
/// The same where a slip stitch closes the round: clear of the chains that the next one starts with.
const LOWER_CLOSED_MM: f64 = 1.0;

/// How far the neighbours on the part before reach at most, in mm.
const NEIGHBOURS_MM: f64 = 30.0;

/// The place of a round's number.
pub(super) struct Start {
    /// Its middle; in a strip the end that is nearest to the work.
    pub middle: Point,
    /// Its place along the round's line, in mm.
    pub s: f64,
    /// The direction of work there.
    pub ahead: Vec2,
    /// 1 if the inside of the ring is to the right of the direction of work, −1 if it is to the left.
    pub inside: f64,
}

impl Start {
    /// `before` is the start of the course below: numbers stand in a straight line as far as their rounds allow.
    pub fn of(scene: &Scene, k: usize, course: &Course, before: Option<&Start>) -> Option<Start> {
        let track = &scene.tracks[k];
        let slots = &course.slots.slots;
        let first = slots.first()?;
        let spot = slot_spot(scene, first)?;
        let Some(length) = track.length() else {
            return Some(row_start(scene, k, course, spot));
        };
        let is_close = |slot: &&Slot| matches!(slot.kind, SlotKind::Close(_));
        let last = slots.iter().rev().find(|slot| !is_close(slot))?;
        let (next, laps) = match slots.last() {
            Some(close) if course.slots.closed() => (close, length),
            _ => (first, 0.0),
        };
        let below = scene.below(k);
        let lane = Lane {
            low: slot_spot(scene, last)?.s - length,
            high: slot_spot(scene, next)?.s - laps,
        };
        let wanted = before.map(|before| below.carry(before.s, track));
        let needed = (next.width_mm + last.width_mm) / 2.0 + course.seam_mm;
        let s = lane.place(wanted, needed, length);
        let ahead = track.along(s);
        let inside = if Vec2::new(-ahead.y, ahead.x).dot(track.up(s)) < 0.0 {
            1.0
        } else {
            -1.0
        };
        let at = |middle| Start {
            middle,
            s,
            ahead,
            inside,
        };
        if k == 0 && scene.cut.anchor.is_none() {
            // Legs from a middle leave no room at their feet.
            let lower_mm = match course.slots.closed() {
                true => LOWER_CLOSED_MM,
                false => LOWER_MM,
            };
            return Some(at(track.at(s, -lower_mm)));
        }
        let straight = track.carry(s, below);
        let at_feet = match (
            foot(scene, first, track, below, End::First),
            foot(scene, last, track, below, End::Last),
            below.length(),
        ) {
            (Some(first), Some(last), Some(length)) => {
                let lane = Lane {
                    low: first - (first - last).rem_euclid(length),
                    high: first,
                };
                lane.place(Some(straight), course.seam_mm + STEM_MM, length)
            }
            _ => straight,
        };
        Some(at(track.at(s, 0.0).midpoint(below.at(at_feet, 0.0))))
    }
}

/// The free part of a line between a round's last stitch and its first.
struct Lane {
    low: f64,
    high: f64,
}

impl Lane {
    /// The middle of something that needs some of the room, as near as can be to where it is wanted; the middle of the lane if nothing is.
    fn place(&self, wanted: Option<f64>, needed: f64, length: f64) -> f64 {
        let middle = (self.low + self.high) / 2.0;
        let free = (self.high - self.low - needed) / 2.0;
        match wanted {
            Some(wanted) if free > 0.0 => {
                let lap = ((wanted - middle) / length).round() * length;
                (wanted - lap).clamp(middle - free, middle + free)
            }
            _ => middle,
        }
    }
}

/// Outside a row, on the side where it starts, clear of the row below.
fn row_start(scene: &Scene, k: usize, course: &Course, first: &Spot) -> Start {
    let track = &scene.tracks[k];
    let under = k.checked_sub(1).map(|k| &scene.cut.courses[k]);
    let ends = under
        .into_iter()
        .flat_map(|course| [course.slots.slots.first(), course.slots.slots.last()])
        .flatten()
        .filter_map(|slot| slot_spot(scene, slot))
        .map(|spot| spot.track.carry(spot.s, track));
    let neighbours = scene.part.iter().flat_map(|part| &part.faint);
    let neighbours = neighbours
        .filter(|(_, course)| *course == k || *course + 1 == k)
        .filter_map(|(id, _)| scene.spots.get(*id))
        .map(|spot| spot.track.carry(spot.s, track))
        // What a part ends with may stand on the start of its round.
        .filter(|s| first.s - s < NEIGHBOURS_MM);
    let s = ends.chain(neighbours).fold(first.s, f64::min) - symbol::STITCH_WIDTH_MM / 2.0 - 1.2;
    Start {
        middle: track.at(s, -course.height_mm / 2.0),
        s,
        ahead: track.along(s),
        inside: 1.0,
    }
}

/// Which of several feet.
enum End {
    First,
    Last,
}

/// Where on the line below the first or last foot of a slot's symbol stands, in mm.
fn foot(scene: &Scene, slot: &Slot, track: &Track, below: &Track, end: End) -> Option<f64> {
    let spot = slot_spot(scene, slot)?;
    let feet = match slot.kind {
        SlotKind::Stitch(id) => scene.piece.feet(id),
        _ => &[],
    };
    let foot = match end {
        End::First => feet.first(),
        End::Last => feet.last(),
    };
    let own = foot
        .and_then(|&foot| scene.spots.get(foot))
        .map(|spot| spot.track.carry(spot.s, below));
    Some(own.unwrap_or_else(|| track.carry(spot.s, below)))
}

fn slot_spot<'a>(scene: &'a Scene, slot: &Slot) -> Option<&'a Spot> {
    scene.spots.get(slot.last())
}
