//! Flat motifs with corners, such as squares and hexagons: which rounds have corners, and where their stitches want to be.
//!
//! A corner is a chain space whose neighbours on both sides are worked into one and the same place, or the middle one of three or more
//! stitches in one stitch. Rounds have corners if there are as many in each, each worked into the corner of the round below, and each round
//! is larger than the one below.

use std::ops::Range;

use super::column::stand_on;
use super::cut::{Course, is_chain};
use super::slots::{SlotKind, Slots};
use super::track::Ring;
use crate::fabric::{Piece, Role, StitchId};
use crate::terms::{Form, Height, Into};

/// How many corners a motif can have.
const SIDES: Range<usize> = 3..9;

/// The corners of one round.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Corners {
    /// How many sides the motif has.
    pub sides: u32,
    /// Its corners in the order of work; none in a round that only goes round a motif.
    pub corners: Vec<Corner>,
}

/// One corner of a round.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Corner {
    /// The slots that lie on it: the chains of a space, or one stitch.
    pub slots: Range<usize>,
    /// Which corner of the motif it is, counted in the direction of work from the first past the bottom; over the start and on.
    pub place: i64,
}

/// A corner as a round's words make it.
struct Made {
    slots: Range<usize>,
    /// A stitch of the place that it is worked into.
    base: StitchId,
}

/// Tells each course of a motif its corners. `courses` follow one another from the middle on.
pub(super) fn find(piece: &Piece, courses: &mut [Course]) {
    let start = courses
        .iter()
        .take_while(|course| is_chain(piece, &piece.rounds[course.rounds.start]))
        .count();
    let made: Vec<Vec<Made>> = courses[start.min(courses.len())..]
        .iter()
        .map(|course| made(piece, &course.slots))
        .collect();
    let Some(sides) = made.get(1).map(Vec::len).filter(|n| SIDES.contains(n)) else {
        return;
    };
    let below = &courses[start].slots;
    // A first round round a middle has spaces, or only the stitches that the corners grow from.
    let runs = chain_runs(below);
    let spaces = runs.len() == sides;
    let grows_from = |one: &Made| match spaces {
        true => runs
            .iter()
            .find(|run| lies_in(below, run, one.base))
            .cloned(),
        false => slot_of(below, one.base).map(|i| i..i + 1),
    };
    let Some(first) = made[1].iter().map(grows_from).collect::<Option<Vec<_>>>() else {
        return;
    };
    let mut rounds = vec![in_order(first, below)];
    for (k, made) in made.iter().enumerate().skip(1) {
        let (below, here) = (&courses[start + k - 1], &courses[start + k]);
        let width = |course: &Course| piece.rounds[course.rounds.start].edge.len();
        let over: Option<Vec<Corner>> = made
            .iter()
            .map(|one| {
                let corner = rounds[k - 1]
                    .iter()
                    .find(|corner| lies_in(&below.slots, &corner.slots, one.base))?;
                Some(Corner {
                    slots: one.slots.clone(),
                    place: corner.place,
                })
            })
            .collect();
        match over.and_then(|over| round_once(over, sides)) {
            Some(over) if here.rounds.len() == 1 && width(here) > width(below) => rounds.push(over),
            _ => break,
        }
    }
    if rounds.len() < if spaces { 2 } else { 3 } {
        return;
    }
    if !spaces {
        // Three stitches in one are a corner only where there is no other round between.
        let square = |corners: &[Corner]| corners.len() == sides;
        if !rounds.iter().all(|corners| square(corners)) {
            return;
        }
    }
    rounds.resize(courses.len() - start, Vec::new());
    for (course, corners) in courses[start..].iter_mut().zip(rounds) {
        let sides = sides as u32;
        course.corners = Some(Corners { sides, corners });
    }
}

/// Corners of a first round, one after another.
fn in_order(mut slots: Vec<Range<usize>>, below: &Slots) -> Vec<Corner> {
    slots.sort_by_key(|slots| slots.start);
    debug_assert!(slots.iter().all(|slots| slots.end <= below.slots.len()));
    let places = 0..;
    slots
        .into_iter()
        .zip(places)
        .map(|(slots, place)| Corner { slots, place })
        .collect()
}

/// Corners in the order of work, if they are all of a motif's, one after another. The first may lie over the last one below: then the start
/// has moved back.
fn round_once(mut corners: Vec<Corner>, sides: usize) -> Option<Vec<Corner>> {
    if corners.len() != sides {
        return None;
    }
    let all = sides as i64;
    let mut place = corners[0].place.rem_euclid(all);
    if 2 * place > all {
        place -= all;
    }
    for corner in &mut corners {
        if (corner.place - place).rem_euclid(all) != 0 {
            return None;
        }
        corner.place = place;
        place += 1;
    }
    Some(corners)
}

/// The corners that a round's stitches make.
fn made(piece: &Piece, slots: &Slots) -> Vec<Made> {
    let mut made = Vec::new();
    for run in chain_runs(slots) {
        if let Some(base) = shared_base(piece, slots, &run) {
            made.push(Made { slots: run, base });
        }
    }
    let mut at = 0;
    while at < slots.slots.len() {
        let Some(base) = base_of_three(piece, slots, at) else {
            at += 1;
            continue;
        };
        let alike = slots.slots[at..].iter().take_while(
            |slot| matches!(slot.kind, SlotKind::Stitch(id) if piece.feet(id) == [base]),
        );
        let count = alike.count();
        if count >= 3 && count % 2 == 1 {
            let middle = at + count / 2;
            made.push(Made {
                slots: middle..middle + 1,
                base,
            });
        }
        at += count.max(1);
    }
    made.sort_by_key(|made| made.slots.start);
    made
}

/// What a plain stitch stands on that may be the first of several in one place.
fn base_of_three(piece: &Piece, slots: &Slots, at: usize) -> Option<StitchId> {
    let SlotKind::Stitch(id) = slots.slots[at].kind else {
        return None;
    };
    let stitch = piece.stitch(id);
    let plain = matches!(stitch.kind.form, Form::Plain | Form::Extended)
        && stitch.kind.height > Height::Slip
        && !matches!(stitch.into, Into::Ring | Into::Part | Into::Space);
    match piece.feet(id) {
        [foot] if plain && piece.stitch(*foot).round < stitch.round => Some(*foot),
        _ => None,
    }
}

/// Chains side by side along a round's line.
fn chain_runs(slots: &Slots) -> Vec<Range<usize>> {
    let is_chain = |i: usize| matches!(slots.slots[i].kind, SlotKind::Chain(_));
    let mut runs: Vec<Range<usize>> = Vec::new();
    for i in (0..slots.slots.len()).filter(|&i| is_chain(i)) {
        match runs.last_mut() {
            Some(run) if run.end == i => run.end = i + 1,
            _ => runs.push(i..i + 1),
        }
    }
    runs
}

/// The place that the stitches on both sides of a space are worked into, if it is one.
fn shared_base(piece: &Piece, slots: &Slots, run: &Range<usize>) -> Option<StitchId> {
    let n = slots.slots.len();
    let feet_of = |i: usize| match slots.slots[i].kind {
        SlotKind::Stitch(id) if piece.stitch(id).into != Into::Ring => Some(piece.feet(id)),
        SlotKind::Column(first, _) if piece.stitch(first).role != Role::Lift => {
            Some(stand_on(piece, first))
        }
        _ => None,
    };
    // The seam may lie between: its slip stitch and the chain that lifts the hook stand for nothing.
    let passes = |i: &usize| match slots.slots[*i].kind {
        SlotKind::Close(_) => false,
        SlotKind::Column(first, _) => piece.stitch(first).role != Role::Lift,
        _ => true,
    };
    let before = (1..n).map(|back| (run.start + n - back) % n).find(passes)?;
    let after = (0..n).map(|on| (run.end + on) % n).find(passes)?;
    let (before, after) = (feet_of(before)?, feet_of(after)?);
    let shared = before.last()?;
    after.contains(shared).then_some(*shared)
}

/// True if a stitch is one of some slots.
fn lies_in(slots: &Slots, range: &Range<usize>, id: StitchId) -> bool {
    slots.slots[range.clone()]
        .iter()
        .any(|slot| (slot.first()..=slot.last()).contains(&id))
}

fn slot_of(slots: &Slots, id: StitchId) -> Option<usize> {
    slots
        .slots
        .iter()
        .position(|slot| (slot.first()..=slot.last()).contains(&id))
}

impl Corners {
    /// Where the slots of a round with corners want to be on its line, in mm: corners on corners, the others spread between them. `gaps` are
    /// the least distances from each to the next.
    pub fn wishes(&self, gaps: &[f64], ring: &Ring) -> Option<Vec<f64>> {
        let n = gaps.len();
        let (first, last) = (self.corners.first()?, self.corners.last()?);
        let middle =
            |place: i64| (place as f64 + 1.0) * ring.side_mm() - ring.length_of_corner_mm() / 2.0;
        let mut wanted = vec![0.0; n];
        for corner in &self.corners {
            let width: f64 = gaps[corner.slots.start..corner.slots.end - 1].iter().sum();
            let mut at = middle(corner.place) - width / 2.0;
            for i in corner.slots.clone() {
                wanted[i] = at;
                at += gaps[i];
            }
        }
        for pair in self.corners.windows(2) {
            let (from, to) = (pair[0].slots.end - 1, pair[1].slots.start);
            let natural: f64 = gaps[from..to].iter().sum();
            let scale = (wanted[to] - wanted[from]) / natural;
            for i in from + 1..to {
                wanted[i] = wanted[i - 1] + gaps[i - 1] * scale;
            }
        }
        // The side that the start is on runs from the last corner over the seam to the first.
        let (from, to) = (last.slots.end - 1, first.slots.start);
        let natural: f64 = gaps[from..].iter().chain(&gaps[..to]).sum();
        let scale = (wanted[to] + ring.length() - wanted[from]) / natural;
        for i in from + 1..n {
            wanted[i] = wanted[i - 1] + gaps[i - 1] * scale;
        }
        for i in (0..to).rev() {
            wanted[i] = wanted[i + 1] - gaps[i] * scale;
        }
        Some(wanted)
    }

    /// True if a round has sides, and not only the stitches that corners grow from.
    pub fn on_sides(&self, slots: &Slots) -> bool {
        let is_head =
            |corner: &Corner| matches!(slots.slots[corner.slots.start].kind, SlotKind::Stitch(_));
        // Two stitches or fewer between corners lie as well on a circle.
        !self.corners.iter().all(is_head) || slots.slots.len() > 3 * self.corners.len()
    }

    /// The room that the longest side needs from corner to corner, in mm; 0 if there are no corners.
    pub fn side_mm(&self, gaps: &[f64]) -> f64 {
        let middle = |corner: &Corner| {
            let width: f64 = gaps[corner.slots.start..corner.slots.end - 1].iter().sum();
            let before: f64 = gaps[..corner.slots.start].iter().sum();
            before + width / 2.0
        };
        let (Some(first), Some(last)) = (self.corners.first(), self.corners.last()) else {
            return 0.0;
        };
        let whole: f64 = gaps.iter().sum();
        let over_start = whole + middle(first) - middle(last);
        let sides = self.corners.windows(2);
        sides
            .map(|pair| middle(&pair[1]) - middle(&pair[0]))
            .fold(over_start, f64::max)
    }
}
