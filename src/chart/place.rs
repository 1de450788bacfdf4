//! Places the stitches of a panel: lines first, then round by round each stitch over what it is worked into.

use std::f64::consts::PI;
use std::rc::Rc;

use kurbo::Vec2;

use super::across::Across;
use super::column::{column_base, set_column, stand_on};
use super::columns::columns;
use super::cut::{Course, Cut, is_open_chain};
use super::glyph::{arches, set_picot, set_stitch};
use super::ground::{anchor_follows, place_anchor, place_anchor_under};
use super::lines::{rings, rows, stretches, widen_seams};
use super::oval::{Oval, place_start};
use super::panel::{Direction, Glyph, Layout};
use super::quality::MEETING_MM;
use super::scene::{Facts, Scene, Spot, Spots};
use super::sizes::HOLLOW_MM;
use super::slots::{Slot, SlotKind, Slots, makes_own_chain};
use super::spur::set_spur;
use super::track::{Ring, Track};
use super::travel::place_travels;
use super::wishes::{Room, Span};
use crate::fabric::{Fabric, Piece, StitchId};
use crate::symbol::PEN_MM;
use crate::terms::{Form, Hand, Into};

/// Most stitches of a round, not joined, in which decreases stand straight over what they are worked into.
const NARROW: usize = 12;
/// Fewest stitches, less one, of a round that grows and is spread more evenly than its increases are.
const CROWDED: usize = 18;
/// How far the stitches about the end of an oval lean at most to close what the number does not need, in heights of their round.
const CLOSING: f64 = 0.3;
/// A round that covers less of the round below than this is worked over a part of it.
const WHOLE: f64 = 0.7;

/// From the middle of a leg to that of the next in a fan, in mm, where they begin.
const LEGS_APART_MM: f64 = PEN_MM + 0.15;
/// Least height of a short stitch in a row for each mm that it leans to the side.
const STEEPEST_SHORT: f64 = 0.95;
/// How much taller than usual a row is made at most.
const TALLEST_ROW: f64 = 3.0;
/// Most of a leg that is left out at its foot.
const MOST_CLEAR: f64 = 0.45;

/// Places everything that a panel shows. Rows whose stitches lean too far are made taller; what stands along a row does not depend on that.
pub(super) fn place<'a>(
    fabric: &'a Fabric,
    piece: &'a Piece,
    hand: Hand,
    mut cut: Cut,
) -> Scene<'a> {
    widen_seams(fabric, piece, &mut cut);
    let mut scene = placed(fabric, piece, hand, cut);
    if scene.cut.layout == Layout::Rings {
        return scene;
    }
    let heights: Vec<f64> = scene
        .courses()
        .map(|(k, _)| upright_mm(&scene, k))
        .collect();
    let courses = scene.cut.courses.iter_mut().zip(heights);
    let mut any = false;
    for (course, height) in courses.filter(|(course, height)| *height > course.height_mm) {
        course.height_mm = height.min(course.height_mm * TALLEST_ROW);
        any = true;
    }
    match any {
        true => placed(fabric, piece, hand, scene.cut),
        false => scene,
    }
}

/// How tall a row must be for its short stitches not to lean so far that their bars touch, in mm.
fn upright_mm(scene: &Scene, k: usize) -> f64 {
    let slots = scene.cut.courses[k].slots.slots.iter();
    let off = slots.filter_map(|slot| {
        let SlotKind::Stitch(id) = slot.kind else {
            return None;
        };
        let stitch = scene.piece.stitch(id);
        let [foot] = scene.piece.feet(id) else {
            return None;
        };
        let (head, foot) = (scene.spots.get(id)?, scene.spots.get(*foot)?);
        let is_short =
            stitch.kind.height.bars() == 0 && !matches!(stitch.into, Into::Space | Into::Ring);
        is_short.then_some((head.head.x - foot.head.x).abs())
    });
    STEEPEST_SHORT * off.fold(0.0, f64::max)
}

fn placed<'a>(fabric: &'a Fabric, piece: &'a Piece, hand: Hand, cut: Cut) -> Scene<'a> {
    let (ground, tracks) = match cut.layout {
        Layout::Rings => rings(fabric, piece, hand, &cut),
        Layout::Strip => rows(piece, hand, &cut),
    };
    let spots = Spots::new(piece, &cut);
    let follows = anchor_follows(piece, &cut);
    let columns = match follows {
        true => None,
        false => columns(fabric, piece, &cut, &ground, &tracks),
    };
    let facts = Rc::new(Facts::of(piece, &cut));
    let mut scene = Scene {
        fabric,
        piece,
        hand,
        cut,
        ground,
        tracks,
        spots,
        facts,
        part: None,
    };
    if !follows {
        place_anchor(&mut scene, columns.as_ref().map(|columns| &*columns.ground));
    }
    let stretches = stretches(piece, &scene.cut);
    for (k, stretch) in stretches.into_iter().enumerate() {
        place_start(&mut scene, k);
        let column = columns.as_ref().map(|columns| &*columns.courses[k]);
        place_course(&mut scene, k, stretch, column);
        if follows && k == 0 {
            place_anchor_under(&mut scene);
        }
        place_repeats(&mut scene, k);
    }
    scene
}

/// Places a course: on places of its own, if it is given them, or over what it is worked into, so many of its widths apart at least.
fn place_course(scene: &mut Scene, k: usize, stretch: f64, own: Option<&[f64]>) {
    if k == 0
        && scene.cut.layout == Layout::Rings
        && is_open_chain(scene.piece, &scene.cut.courses[0])
    {
        return;
    }
    let (track, below) = (scene.tracks[k], *scene.below(k));
    let course = std::mem::take(&mut scene.cut.courses[k]);
    let follows = k == 0 && anchor_follows(scene.piece, &scene.cut);
    let across = (k == 0)
        .then(|| Across::of(scene.piece, &scene.cut, &course))
        .flatten();
    let spans = match (across, &track) {
        (Some(across), Track::Ring(ring)) => across.spans(scene.piece, &course, ring),
        _ if follows && course.slots.start.is_empty() => vec![None; course.slots.slots.len()],
        (_, Track::Ring(ring)) if k > 0 && ring.half_mm > 0.0 && ring.sides == 2 => {
            let mut spans = spans(scene, &course.slots, &track);
            close_oval(scene.piece, &course, ring, &mut spans);
            spans
        }
        _ => spans(scene, &course.slots, &track),
    };
    let want = match own {
        Some(places) => Want::At(places),
        None => Want::Over(&spans, stretch),
    };
    settle(scene, &course, &track, &below, want);
    place_travels(scene, &course.slots);
    place_beyond(scene, &course, &track);
    scene.cut.courses[k] = course;
}

/// What each slot stands on, carried to its own line.
fn spans(scene: &Scene, slots: &Slots, track: &Track) -> Vec<Span> {
    let mut oval = Oval::of(scene, slots);
    let mut spans: Vec<Span> = slots
        .slots
        .iter()
        .map(|slot| {
            let feet = match slot.kind {
                SlotKind::Stitch(id) if scene.piece.stitch(id).into == Into::Ring => return None,
                SlotKind::Stitch(id) if makes_own_chain(scene.piece, id) => return None,
                SlotKind::Stitch(id) => scene.piece.feet(id),
                SlotKind::Column(first, _) => stand_on(scene.piece, first),
                SlotKind::Chain(_)
                | SlotKind::Close(_)
                | SlotKind::Picot(..)
                | SlotKind::Spur(..) => return None,
            };
            let places = feet.iter().filter_map(|&foot| {
                let spot = scene.spots.get(foot)?;
                match (&spot.track, track) {
                    (Track::Ring(level), Track::Ring(ring)) if level.radius_mm == 0.0 => {
                        oval.place(spot.s, level, ring)
                    }
                    _ => Some(spot.track.carry(spot.s, track)),
                }
            });
            places.fold(None, |span: Span, s| match span {
                Some((low, high)) => Some((low.min(s), high.max(s))),
                None => Some((s, s)),
            })
        })
        .collect();
    uncross(scene.piece, slots, &mut spans);
    spans
}

/// Draws the stitches about the end of an oval where a round starts towards each other until there is just room for the number: on rounds
/// farther out it needs no more than on the first.
fn close_oval(piece: &Piece, course: &Course, ring: &Ring, spans: &mut [Span]) {
    let (length, half_circle) = (ring.length(), PI * ring.radius_mm);
    let first = spans.iter().position(Option::is_some);
    let last = spans.iter().rposition(Option::is_some);
    let (Some(first), Some(last)) = (first, last) else {
        return;
    };
    let (Some((start, _)), Some((_, end))) = (spans[first], spans[last]) else {
        return;
    };
    let gaps = course.slots.gaps();
    let between: f64 = gaps[last..].iter().chain(&gaps[..first]).sum();
    let needed = between + course.seam_mm;
    let free = start + length - end - needed;
    // The half circle ends where the first side begins, and begins where the second one ends.
    let (low, high) = (length - half_circle, 0.0);
    if free <= 0.0 || end <= low || start >= high || !is_whole(piece, &course.slots) {
        return;
    }
    let most = CLOSING * course.height_mm / (end - low).max(high - start);
    let wider = 1.0 + (free / (end - low + high - start)).min(most);
    for (from, to) in spans.iter_mut().flatten() {
        for s in [from, to] {
            if *s > low {
                *s = low + (*s - low) * wider;
            } else if *s < high {
                *s = high - (high - *s) * wider;
            }
        }
    }
}

/// Of two crossed stitches the first wants to be where the second stands, and the other way round: heads keep the order of the work.
fn uncross(piece: &Piece, slots: &Slots, spans: &mut [Span]) {
    let foot = |slot: &Slot| match slot.kind {
        SlotKind::Stitch(id) => match piece.feet(id) {
            [foot] => Some((*foot, piece.stitch(id).kind)),
            _ => None,
        },
        _ => None,
    };
    let mut i = 1;
    while i < spans.len() {
        let pair = foot(&slots.slots[i - 1]).zip(foot(&slots.slots[i]));
        let crosses = pair
            .is_some_and(|((first, one), (second, other))| second.0 + 1 == first.0 && one == other);
        let falls_back =
            matches!((spans[i - 1], spans[i]), (Some(before), Some(here)) if here.0 < before.0);
        if crosses && falls_back {
            spans.swap(i - 1, i);
            i += 1;
        }
        i += 1;
    }
}

/// Where the slots of a course want to be.
pub(super) enum Want<'a> {
    /// Over what they stand on, so many of their widths apart at least.
    Over(&'a [Span], f64),
    /// At places of their own, in mm along the line.
    At(&'a [f64]),
}

/// Finds the places of a course's slots and sets its stitches there.
pub(super) fn settle(scene: &mut Scene, course: &Course, track: &Track, below: &Track, want: Want) {
    let slots = &course.slots.slots;
    let stretch = match want {
        Want::Over(_, stretch) => stretch,
        Want::At(_) => 1.0,
    };
    let room = Room {
        gaps: course
            .slots
            .gaps()
            .iter()
            .map(|gap| gap * stretch)
            .collect(),
        seam_mm: course.seam_mm,
        closed: course.slots.closed(),
        length: track.length(),
        whole: is_whole(scene.piece, &course.slots),
        evenly: !matches!(track, Track::Ring(ring) if ring.half_mm > 0.0)
            && !stands_straight(scene.piece, &course.slots),
        grows: grows(scene.piece, &course.slots),
    };
    let corners = match (&course.corners, track) {
        (Some(corners), Track::Ring(ring)) => corners.wishes(&course.gaps(), ring),
        _ => None,
    };
    let places = match (corners, want) {
        (Some(wishes), _) => room.near(&wishes),
        (None, Want::At(wishes)) => room.near(wishes),
        (None, Want::Over(spans, _)) => room.places(spans),
    };
    let arches = arches(&course.slots, &places);
    for (i, slot) in slots.iter().enumerate() {
        let s = places[i];
        match slot.kind {
            SlotKind::Stitch(id) | SlotKind::Close(id) => set_stitch(scene, id, track, s),
            SlotKind::Chain(id) => {
                let (rise, slope) = arches[i];
                let head = track.at(s, rise);
                let direction = track.along(s) + track.up(s) * slope;
                let glyph = Glyph::Chain {
                    centre: head,
                    direction,
                    length_mm: slot.width_mm,
                };
                let track = *track;
                scene.spots.set(
                    id,
                    Spot {
                        head,
                        track,
                        s,
                        glyph,
                    },
                );
            }
            SlotKind::Column(first, count) => {
                let base_s = column_base(scene, first, count, track, below, &places[i..]);
                let on_chains = !course.slots.start.is_empty();
                let next = places.get(i + 1).map(|&s| track.at(s, 0.0));
                set_column(
                    scene,
                    (first, count),
                    (track, s),
                    (below, base_s),
                    on_chains,
                    next,
                );
            }
            SlotKind::Picot(first, count) => set_picot(scene, first, count, track, s),
            SlotKind::Spur(first, _) => set_spur(scene, first, track, s),
        }
    }
    open_fans(scene, &course.slots);
}

/// Legs of many stitches in one begin where there is paper between them, and not all at their foot.
pub(super) fn open_fans(scene: &mut Scene, slots: &Slots) {
    let piece = scene.piece;
    let foot = |slot: &Slot| match slot.kind {
        SlotKind::Stitch(id) if !matches!(piece.stitch(id).into, Into::Space | Into::Ring) => {
            match piece.feet(id) {
                [foot] => Some(*foot),
                _ => None,
            }
        }
        _ => None,
    };
    for fan in slots
        .slots
        .chunk_by(|a, b| foot(a).is_some() && foot(a) == foot(b))
    {
        let Some(at) = foot(&fan[0]).and_then(|foot| scene.spots.get(foot)) else {
            continue;
        };
        let at = at.head;
        let legs = fan
            .iter()
            .filter_map(|slot| Some(scene.spots.get(slot.last())?.head - at));
        let legs: Vec<Vec2> = legs.collect();
        if fan.len() < 2 || legs.len() != fan.len() {
            continue;
        }
        let angle = |a: Vec2, b: Vec2| libm::atan2(a.cross(b), a.dot(b)).abs();
        let angles: Vec<f64> = legs
            .windows(2)
            .map(|pair| angle(pair[0], pair[1]))
            .collect();
        for (i, slot) in fan.iter().enumerate() {
            let beside = [i.checked_sub(1), Some(i)].into_iter().flatten();
            let least = beside
                .filter_map(|i| angles.get(i))
                .copied()
                .fold(PI, f64::min);
            let apart_mm =
                (LEGS_APART_MM / least.max(f64::MIN_POSITIVE)).min(legs[i].length() * MOST_CLEAR);
            if let Some(spot) = scene.spots.get(slot.last()).copied()
                && let Glyph::Stitch {
                    kind,
                    into,
                    clear_mm,
                } = spot.glyph
                && apart_mm > MEETING_MM
            {
                let clear_mm = clear_mm.max(apart_mm);
                let glyph = Glyph::Stitch {
                    kind,
                    into,
                    clear_mm,
                };
                scene.spots.set(slot.last(), Spot { glyph, ..spot });
            }
        }
    }
}

/// True if a round's stitches must stand straight over what they are worked into: a hook lies below the bar of the stitch that it goes round,
/// and legs of many stitches worked together would lie on the bars between them. In a narrow round two legs would lean much as well.
fn stands_straight(piece: &Piece, slots: &Slots) -> bool {
    let is_narrow = slots.slots.len() <= NARROW && !slots.closed();
    let most_legs = if is_narrow { 1 } else { 2 };
    slots.slots.iter().any(|slot| match slot.kind {
        SlotKind::Stitch(id) => {
            let stitch = piece.stitch(id);
            matches!(stitch.into, Into::FrontPost | Into::BackPost)
                || matches!(stitch.kind.form, Form::Together(n) if n > most_legs)
        }
        _ => false,
    })
}

/// True if some stitches of a round of many share what they are worked into and none is worked into several.
fn grows(piece: &Piece, slots: &Slots) -> bool {
    let stitches = slots.slots.iter().filter_map(|slot| match slot.kind {
        SlotKind::Stitch(id) => Some(piece.feet(id)),
        _ => None,
    });
    let feet: Vec<&[StitchId]> = stitches.collect();
    let is_shared = |pair: &[&[StitchId]]| !pair[0].is_empty() && pair[0] == pair[1];
    feet.len() > CROWDED && feet.windows(2).any(is_shared) && feet.iter().all(|feet| feet.len() < 2)
}

/// True if a round goes all round the one below it.
fn is_whole(piece: &Piece, slots: &Slots) -> bool {
    let mut first = None;
    let mut before = 0;
    let mut laps = 0;
    let mut reached = 0.0;
    for slot in &slots.slots {
        let SlotKind::Stitch(id) = slot.kind else {
            continue;
        };
        for &foot in piece.feet(id) {
            let stitch = piece.stitch(foot);
            let edge = &piece.rounds[stitch.round as usize].edge;
            let index = |id: Option<&StitchId>| id.map_or(0, |&id| piece.stitch(id).index);
            let (one, other) = (index(edge.first()), index(edge.last()));
            let (low, length) = (one.min(other), one.abs_diff(other) + 1);
            let here = stitch.index.saturating_sub(low);
            // What falls back by half has run over the start.
            if before > here + length / 2 {
                laps += 1;
            }
            before = here;
            let at = f64::from(laps) + f64::from(here) / f64::from(length);
            let end = at + 1.0 / f64::from(length);
            reached = f64::max(reached, end - *first.get_or_insert(at));
        }
    }
    first.is_none() || reached >= WHOLE
}

/// Stitches past the start of their own round stand on its first ones.
fn place_beyond(scene: &mut Scene, course: &Course, track: &Track) {
    let Track::Ring(ring) = track else {
        return;
    };
    let outside = match scene.cut.direction {
        Direction::Outward => ring.radius_mm + course.height_mm,
        Direction::Inward => ring.radius_mm - course.height_mm,
    };
    let next = Track::Ring(Ring {
        radius_mm: outside.max(HOLLOW_MM),
        ..*ring
    });
    for &id in &course.slots.beyond {
        let feet = scene.piece.feet(id).iter();
        let places: Vec<f64> = feet
            .filter_map(|&foot| scene.spots.get(foot))
            .map(|spot| spot.track.carry(spot.s, &next))
            .collect();
        if let (Some(first), Some(last)) = (places.first(), places.last()) {
            set_stitch(scene, id, &next, (first + last) / 2.0);
        }
    }
}

/// Rounds that share the ring of the first: each stitch lies where its like lies.
fn place_repeats(scene: &mut Scene, k: usize) {
    let piece = scene.piece;
    let rounds = scene.cut.courses[k].rounds.clone();
    let first = piece.rounds[rounds.start].stitches.clone();
    for round in rounds.skip(1) {
        for (like, id) in first.clone().zip(piece.rounds[round].stitches.clone()) {
            if let Some(spot) = scene.spots.get(StitchId(like)).copied() {
                let glyph = Glyph::None;
                scene.spots.set(StitchId(id), Spot { glyph, ..spot });
            }
        }
    }
}
