//! A round that goes round two parts and both sides of the chain between them, or one side of it, such as a body on two legs: a long oval, a
//! part about each end.

use std::f64::consts::PI;
use std::ops::Range;

use super::cut::{Course, Cut, joins_parts};
use super::panel::Layout;
use super::sizes::ANCHOR_MM;
use super::slots::SlotKind;
use super::track::Ring;
use super::wishes::Span;
use crate::fabric::{Piece, StitchId};
use crate::symbol::STITCH_WIDTH_MM;

/// How a first round lies round a chain and the parts at its ends.
pub(super) struct Across {
    /// Half of the level line that it goes round, in mm.
    pub half_mm: f64,
    /// The chains that are worked into, in order, with how far each lies from the middle in the direction of work along the lower side, in mm.
    pub chains: Vec<(StitchId, f64)>,
    /// The slots on each side of the chain, in order of work; none where a side is left unworked.
    sides: [Range<usize>; 2],
    /// True if the lower side comes first: the round begins with the chain. Else it begins with a part, and with the upper side.
    low_first: bool,
}

/// Radius of the line that the parts' heads lie on, in mm: those of the round before are drawn within it.
pub(super) fn hollow_mm(cut: &Cut) -> f64 {
    match cut.anchor {
        Some(_) => ANCHOR_MM,
        None => cut.hollow_mm,
    }
}

impl Across {
    /// `None` if the first round of a panel is no such round, or is in a row.
    pub fn of(piece: &Piece, cut: &Cut, course: &Course) -> Option<Across> {
        let round = &piece.rounds[course.rounds.start];
        if cut.layout == Layout::Strip || !joins_parts(piece, round) {
            return None;
        }
        let sides = sides(piece, course)?;
        let slots = &course.slots.slots;
        let mut chains = chains_along(piece, course, &sides[0]);
        if chains.is_empty() {
            chains = chains_along(piece, course, &sides[1]);
            chains.reverse();
        }
        let low_first = sides[0].start == 0;
        let width =
            |range: Range<usize>| slots[range].iter().map(|slot| slot.width_mm).sum::<f64>();
        let between = width(sides[0].end..sides[1].start);
        let about_start =
            width(0..sides[0].start) + width(sides[1].end..slots.len()) + course.seam_mm;
        let chain_half = (chains.len() - 1) as f64 * STITCH_WIDTH_MM / 2.0;
        // The longer a part's edge, the more of the line it has.
        let (left, right) = match low_first {
            true => (about_start, between),
            false => (between, about_start),
        };
        let middle = (left - right) / 4.0;
        let hollow = hollow_mm(cut);
        let radius = hollow + course.height_mm;
        // The stitches drawn of the round before, within the line, lie as far apart as on a line of their own.
        let beside = match own_edge(piece, course) {
            0 => 0.0,
            own => {
                let heads_mm = (own + 1) as f64 * STITCH_WIDTH_MM * radius / hollow;
                ((heads_mm - PI * radius) / 2.0).max(0.0)
            }
        };
        let half_mm =
            ((course.length_mm - 2.0 * PI * radius) / 4.0).max(chain_half + middle.abs() + beside);
        let towards = if low_first { 1.0 } else { -1.0 };
        let place = |i: usize| middle + towards * (i as f64 * STITCH_WIDTH_MM - chain_half);
        Some(Across {
            half_mm,
            chains: chains
                .iter()
                .enumerate()
                .map(|(i, &id)| (id, place(i)))
                .collect(),
            sides,
            low_first,
        })
    }

    /// The place along the level line of a chain so far from its middle, in mm.
    pub fn on_level(&self, off_mm: f64) -> f64 {
        match self.low_first {
            true => self.half_mm + off_mm,
            false => 3.0 * self.half_mm - off_mm,
        }
    }

    /// What each slot stands on, carried to the ring: those on the chain straight over it, the others evenly about the ends.
    pub fn spans(&self, piece: &Piece, course: &Course, ring: &Ring) -> Vec<Span> {
        let count = course.slots.slots.len();
        let length = ring.length();
        let at = |side: usize, off_mm: f64| match (side == 0) == self.low_first {
            true => ring.half_mm + off_mm + side as f64 * length,
            false => 3.0 * ring.half_mm + PI * ring.radius_mm - off_mm,
        };
        let mut places = vec![0.0; count];
        // From where to where on the line each side reaches: a side without stitches is a point over the middle of the chain.
        let offs_mm = self.chains.iter().map(|(_, off_mm)| off_mm);
        let middle_mm = offs_mm.sum::<f64>() / self.chains.len() as f64;
        let mut reach = [0, 1].map(|side| [at(side, middle_mm); 2]);
        for (side, slots) in self.sides.iter().enumerate() {
            for i in slots.clone() {
                let foot = chain_under(piece, course, i);
                let chain = self.chains.iter().find(|(id, _)| Some(*id) == foot);
                places[i] = at(side, chain.map_or(0.0, |(_, off_mm)| *off_mm));
            }
            if !slots.is_empty() {
                reach[side] = [places[slots.start], places[slots.end - 1]];
            }
        }
        let [one, other] = &self.sides;
        let [[start, from], [to, end]] = reach;
        let share = |from: f64, to: f64, slots: usize| (to - from) / (slots + 1) as f64;
        let between = one.end..other.start;
        let step = share(from, to, between.len());
        for (i, place) in places[between].iter_mut().enumerate() {
            *place = from + step * (i + 1) as f64;
        }
        // The round's end and its start share an end of the oval, with its number between them.
        let about_start = count - other.end + one.start;
        let step = share(end + course.seam_mm, start + length, about_start);
        for (i, place) in places[other.end..].iter_mut().enumerate() {
            *place = end + step * (i + 1) as f64;
        }
        for (i, place) in places[..one.start].iter_mut().rev().enumerate() {
            *place = start - step * (i + 1) as f64;
        }
        places.into_iter().map(|s| Some((s, s))).collect()
    }
}

/// The slots on one side of the chain and on the other; `None` unless there are two such runs, or one and a second place where a part
/// ends and another begins.
fn sides(piece: &Piece, course: &Course) -> Option<[Range<usize>; 2]> {
    let count = course.slots.slots.len();
    let mut sides: Vec<Range<usize>> = Vec::new();
    for i in 0..count {
        if chain_under(piece, course, i).is_none() {
            continue;
        }
        match sides.last_mut() {
            Some(side) if side.end == i => side.end += 1,
            _ => sides.push(i..i + 1),
        }
    }
    if let [only] = sides.as_slice() {
        let left = left_side(piece, course, only)?;
        sides.push(left..left);
        sides.sort_by_key(|side| side.start);
    }
    sides.try_into().ok()
}

/// Where a round that works one side of a chain passes the other: between two parts, or at the round's end.
fn left_side(piece: &Piece, course: &Course, worked: &Range<usize>) -> Option<usize> {
    let slots = &course.slots.slots;
    let part = |i: usize| match slots[i].kind {
        SlotKind::Stitch(id) => piece.stitch(id).join,
        _ => None,
    };
    let first = (0..slots.len()).find_map(part)?;
    let last = (0..slots.len()).rev().find_map(part)?;
    if worked.start > 0 && worked.end < slots.len() {
        return (first != last).then_some(slots.len());
    }
    let other = |i: &usize| part(*i).is_some_and(|part| part != first);
    (0..slots.len()).find(other)
}

/// The chains that some slots stand on, in their order.
fn chains_along(piece: &Piece, course: &Course, side: &Range<usize>) -> Vec<StitchId> {
    let feet = side.clone().filter_map(|i| chain_under(piece, course, i));
    let mut chains: Vec<StitchId> = feet.collect();
    chains.dedup();
    chains
}

/// How many stitches of the piece's own round before are worked into.
fn own_edge(piece: &Piece, course: &Course) -> usize {
    let before = course.slots.start.first();
    let into_own = |id: StitchId| piece.feet(id).iter().any(|foot| Some(foot) < before);
    let slots = course.slots.slots.iter();
    slots.filter(|slot| into_own(slot.last())).count()
}

/// The chain of its own round that a slot stands on.
fn chain_under(piece: &Piece, course: &Course, slot: usize) -> Option<StitchId> {
    let SlotKind::Stitch(id) = course.slots.slots[slot].kind else {
        return None;
    };
    let start = &course.slots.start;
    let is_chain = |foot: &&StitchId| start.binary_search(foot).is_ok();
    piece.feet(id).iter().find(is_chain).copied()
}
