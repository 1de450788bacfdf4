//! How wide the last opening of a piece is while it is worked.

use crate::fabric::{Piece, Role, Round, RoundKind};

/// Most stitches in a first round that closes up as the start of a ball does; more are an open end.
const CLOSED_START: usize = 12;

/// Stitches of a round's edge.
fn heads(piece: &Piece, round: &Round) -> usize {
    round
        .edge
        .iter()
        .filter(|&&id| piece.stitch(id).role != Role::Bridge)
        .count()
}

/// The opening of a piece that is closed at its start and worked in the round.
pub(crate) struct Opening {
    /// Stitches of each round's edge.
    counts: Vec<usize>,
}

impl Opening {
    /// `None` where the piece is open at its start as well, or is no tube.
    pub fn of(piece: &Piece) -> Option<Opening> {
        // What is turned and not joined is worked flat, whatever its label says.
        let is_tube = piece
            .rounds
            .iter()
            .all(|round| round.kind == RoundKind::Round && (!round.wrong_side || round.closed));
        let counts: Vec<usize> = piece
            .rounds
            .iter()
            .map(|round| heads(piece, round))
            .collect();
        let first = counts.iter().copied().find(|&count| count > 0)?;
        (is_tube && first <= CLOSED_START).then_some(Opening { counts })
    }

    /// How many rounds the piece has.
    pub fn rounds(&self) -> usize {
        self.counts.len()
    }

    /// Its diameter in mm after so many rounds, round and not pressed flat; `None` before the first.
    pub fn diameter_mm(&self, rounds: usize, stitch_mm: f64) -> Option<f64> {
        let count = self.counts.get(rounds.checked_sub(1)?)?;
        Some(*count as f64 * stitch_mm / std::f64::consts::PI)
    }

    /// Stitches of the widest and of the last round, for pieces that close: no more than 8 stitches at the end, at most half of the widest
    /// round, and fewer than in the round before; a narrow tube such as a claw's may stay open.
    pub fn closes(&self) -> Option<(usize, usize)> {
        let widest = self.counts.iter().copied().max()?;
        let last = *self.counts.last()?;
        let narrows = self
            .counts
            .iter()
            .rev()
            .nth(1)
            .is_some_and(|&before| last < before);
        ((1..=8).contains(&last) && last * 2 <= widest && narrows).then_some((widest, last))
    }
}

/// The same for a piece as it stands.
pub(crate) fn closes(piece: &Piece) -> Option<(usize, usize)> {
    Opening::of(piece)?.closes()
}
