use kurbo::{Point, Vec2};

use crate::chart::cut::Course;
use crate::chart::scene::{Scene, Spot};
use crate::chart::slots::{Slot, SlotKind};
use crate::chart::track::Track;
use crate::fabric::StitchId;
use crate::symbol;

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
    pub fn of(scene: &Scene, k: usize, course: &Course) -> Option<Start> {
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
        let low = slot_spot(scene, last)?.s - length;
        let high = slot_spot(scene, next)?.s - laps;
        // A round begins where its first stitch is, however far back the last one ended.
        let needed = (next.width_mm + last.width_mm) / 2.0 + course.seam_mm;
        let back = |lane: f64| (lane / 2.0).min(0.6 * needed);
        let s = high - back(high - low);
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
            let lower = if course.slots.closed() { 1.6 } else { 0.4 };
            return Some(at(track.at(s, -lower)));
        }
        let below = scene.below(k);
        let s_below = match (
            foot(scene, first, track, below, End::First),
            foot(scene, last, track, below, End::Last),
            below.length(),
        ) {
            (Some(first), Some(last), Some(length)) => {
                let lane = (first - last).rem_euclid(length);
                first - back(lane)
            }
            _ => track.carry(s, below),
        };
        Some(at(track.at(s, 0.0).midpoint(below.at(s_below, 0.0))))
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
    let s = ends.fold(first.s, f64::min) - symbol::STITCH_WIDTH_MM / 2.0 - 1.2;
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
    let id = match slot.kind {
        SlotKind::Stitch(id) | SlotKind::Chain(id) | SlotKind::Close(id) => id,
        SlotKind::Column(first, count) => StitchId(first.0 + count - 1),
    };
    scene.spots.get(id)
}
