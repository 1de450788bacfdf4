use kurbo::Point;

use super::cut::{Course, Cut};
use super::panel::Glyph;
use super::track::Track;
use crate::fabric::{Fabric, Piece, StitchId};
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
pub(super) struct Spots {
    anchor: Run,
    rounds: Run,
}

struct Run {
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
        let anchor = cut
            .anchor
            .map_or(0..0, |round| piece.rounds[round].stitches.clone());
        let stitches = |rounds: &std::ops::Range<usize>| {
            let first = piece.rounds[rounds.start].stitches.start;
            first..piece.rounds[rounds.end - 1].stitches.end
        };
        let rounds = match (cut.courses.first(), cut.courses.last()) {
            (Some(first), Some(last)) => stitches(&first.rounds).start..stitches(&last.rounds).end,
            _ => 0..0,
        };
        Spots {
            anchor: Run::new(anchor),
            rounds: Run::new(rounds),
        }
    }

    pub fn get(&self, id: StitchId) -> Option<&Spot> {
        self.rounds.get(id).or_else(|| self.anchor.get(id))
    }

    pub fn set(&mut self, id: StitchId, spot: Spot) {
        let run = if id.0 >= self.rounds.first {
            &mut self.rounds
        } else {
            &mut self.anchor
        };
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

    pub fn courses(&self) -> impl Iterator<Item = (usize, &Course)> {
        self.cut.courses.iter().enumerate()
    }
}
