use std::ops::Range;
use std::rc::Rc;

use kurbo::Point;

use super::cut::{Course, Cut, edges_rows, is_folded_flat};
use super::marks;
use super::panel::{Glyph, Layout};
use super::track::Track;
use crate::fabric::{Fabric, Piece, Round, StitchId};
use crate::terms::Hand;

/// A panel at work: its rounds, their lines, and where stitches have come to lie, about the origin.
pub(super) struct Scene<'a> {
    pub fabric: &'a Fabric,
    pub piece: &'a Piece,
    pub hand: Hand,
    pub cut: Cut,
    /// What the first course stands on.
    pub ground: Track,
    /// The line of each course.
    pub tracks: Vec<Track>,
    pub spots: Spots,
    pub facts: Rc<Facts>,
    /// Which part of the rounds it shows, where they are too wide for one page.
    pub part: Option<Part>,
}

/// What holds of whole rounds, looked for once however they are cut.
pub(super) struct Facts {
    /// Stitches worked into the loops of a round that is not the last one before theirs, with what each is worked into.
    pub into_free_loops: Vec<(StitchId, StitchId)>,
    /// Stitches that the round after theirs leaves unworked, sorted.
    pub left_out: Vec<StitchId>,
    /// True if the first round goes along the ends of rows.
    pub edges_rows: bool,
    /// True if some round is worked through both layers of the one below, folded flat.
    pub folds: bool,
}

impl Facts {
    pub fn of(piece: &Piece, cut: &Cut) -> Facts {
        let mut rounds = cut.courses.iter().map(|course| course.rounds.start);
        let first = cut.courses.first();
        let left_out = rounds.clone().filter(|&round| {
            let is_first = first.is_some_and(|first| first.rounds.start == round);
            !is_first || cut.anchor.is_some_and(|anchor| anchor + 1 == round)
        });
        let mut left_out: Vec<StitchId> = left_out
            .flat_map(|round| marks::left_out(piece, round))
            .collect();
        left_out.sort();
        Facts {
            into_free_loops: marks::into_free_loops(piece),
            left_out,
            edges_rows: first
                .is_some_and(|first| edges_rows(piece, &piece.rounds[first.rounds.start])),
            folds: rounds.any(|round| is_folded_flat(piece, &piece.rounds[round])),
        }
    }

    /// Those of a round that are left unworked.
    pub fn left_out_of(&self, round: &Round) -> &[StitchId] {
        let at = |id: u32| self.left_out.partition_point(|left| left.0 < id);
        &self.left_out[at(round.stitches.start)..at(round.stitches.end)]
    }
}

/// A part of some rounds, which lies on a page of its own.
#[derive(Debug, Clone, Default)]
pub(super) struct Part {
    /// Its number, from 1.
    pub number: usize,
    /// How many parts there are.
    pub of: usize,
    /// True if they are parts of the sides of a motif with corners.
    pub of_sides: bool,
    /// For each course, its own stitches: a range for each of its rounds.
    pub own: Vec<Vec<Range<u32>>>,
    /// Neighbours on other parts, and what else is worked into, with the course of each; in the order of work.
    pub faint: Vec<(StitchId, usize)>,
    /// Its own stitches of the round that the panel stands on.
    pub ground: Vec<StitchId>,
    /// For each course, where along its line it goes on to the part before and to the one after, in mm.
    pub goes_on: Vec<[Option<f64>; 2]>,
}

/// Where one stitch lies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot {
    /// Its head.
    pub head: Point,
    /// The line that its head is on, or nearly.
    pub track: Track,
    /// How far along that line, in mm.
    pub s: f64,
    pub glyph: Glyph,
}

/// The places of the stitches of a panel and of the round that it stands on.
pub(super) enum Spots {
    /// Of whole rounds.
    Whole { anchor: Run, rounds: Run },
    /// Of parts of rounds, sorted.
    Part(Vec<(StitchId, Spot)>),
}

pub(super) struct Run {
    first: u32,
    spots: Vec<Option<Spot>>,
}

impl Run {
    fn new(range: std::ops::Range<u32>) -> Run {
        Run {
            first: range.start,
            spots: vec![None; range.len()],
        }
    }

    fn slot(&mut self, id: StitchId) -> Option<&mut Option<Spot>> {
        self.spots.get_mut(id.0.checked_sub(self.first)? as usize)
    }

    fn get(&self, id: StitchId) -> Option<&Spot> {
        self.spots
            .get(id.0.checked_sub(self.first)? as usize)?
            .as_ref()
    }
}

impl Spots {
    pub fn new(piece: &Piece, cut: &Cut) -> Spots {
        let edges = |course: &Course| edges_rows(piece, &piece.rounds[course.rounds.start]);
        let anchor = cut.anchor.map_or(0..0, |round| {
            let stitches = piece.rounds[round].stitches.clone();
            match cut.courses.first().is_some_and(edges) {
                true => 0..stitches.end,
                false => stitches,
            }
        });
        let stitches = |rounds: &std::ops::Range<usize>| {
            let first = piece.rounds[rounds.start].stitches.start;
            first..piece.rounds[rounds.end - 1].stitches.end
        };
        let rounds = match (cut.courses.first(), cut.courses.last()) {
            (Some(first), Some(last)) => stitches(&first.rounds).start..stitches(&last.rounds).end,
            _ => 0..0,
        };
        Spots::Whole {
            anchor: Run::new(anchor),
            rounds: Run::new(rounds),
        }
    }

    pub fn get(&self, id: StitchId) -> Option<&Spot> {
        match self {
            Spots::Whole { anchor, rounds } => rounds.get(id).or_else(|| anchor.get(id)),
            Spots::Part(spots) => {
                let found = spots.binary_search_by_key(&id, |(other, _)| *other);
                found.ok().map(|found| &spots[found].1)
            }
        }
    }

    /// The stitches that may be drawn as what the panel stands on.
    pub fn ground(&self) -> Range<u32> {
        match self {
            Spots::Whole { anchor, .. } => anchor.first..anchor.first + anchor.spots.len() as u32,
            Spots::Part(_) => 0..0,
        }
    }

    pub fn set(&mut self, id: StitchId, spot: Spot) {
        let Spots::Whole { anchor, rounds } = self else {
            return;
        };
        let run = if id.0 >= rounds.first { rounds } else { anchor };
        if let Some(slot) = run.slot(id) {
            *slot = Some(spot);
        }
    }
}

impl Scene<'_> {
    /// The line that a course stands on.
    pub fn below(&self, course: usize) -> &Track {
        match course {
            0 => &self.ground,
            _ => &self.tracks[course - 1],
        }
    }

    /// The stitches of a course that are on this panel.
    pub fn own(&self, course: usize) -> Vec<Range<u32>> {
        match &self.part {
            Some(part) => part.own[course].clone(),
            None => {
                let rounds = &self.cut.courses[course].rounds;
                let first = self.piece.rounds[rounds.start].stitches.start;
                let end = self.piece.rounds[rounds.end - 1].stitches.end;
                std::iter::once(first..end).collect()
            }
        }
    }

    /// The stitches of a course's first round that are on this panel.
    pub fn own_of_first(&self, course: usize) -> impl Iterator<Item = u32> + use<> {
        let first = &self.piece.rounds[self.cut.courses[course].rounds.start];
        let (from, to) = (first.stitches.start, first.stitches.end);
        let own = self.own(course).into_iter();
        own.flat_map(move |own| own.start.max(from)..own.end.min(to))
    }

    /// True if a stitch is one of this panel's, and not of another part of its rounds.
    pub fn owns(&self, id: StitchId) -> bool {
        match &self.part {
            Some(part) => part.own.iter().flatten().any(|own| own.contains(&id.0)),
            None => true,
        }
    }

    /// True if the lines have ends, as rows have, and parts of rings.
    pub fn has_ends(&self) -> bool {
        self.cut.layout == Layout::Strip || self.part.is_some()
    }

    pub fn courses(&self) -> impl Iterator<Item = (usize, &Course)> {
        self.cut.courses.iter().enumerate()
    }
}
