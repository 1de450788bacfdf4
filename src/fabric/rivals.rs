//! Other numbers of stitches that the round below may have: after a round that is wrong, the rounds that follow decide.

use super::below::Below;
use super::hook::Outcome;
use super::model::{Piece, Role, StitchId};
use crate::source::limits;

/// What may stand below instead of what has been worked, so that one slip is one problem.
#[derive(Debug, Clone, Default)]
pub(super) struct Rivals {
    /// Other numbers of stitches, the likeliest first; at most [`Rivals::MOST`].
    pub counts: Vec<u32>,
    /// Any number will do: a round could not be read, or is missing.
    pub any: bool,
    /// Where the words begin that are wrong. The same words worked again tell nothing new.
    pub words: Option<usize>,
}

impl Rivals {
    /// Each rival costs one more trial of every round until it is decided.
    pub const MOST: usize = 3;

    pub fn is_empty(&self) -> bool {
        self.counts.is_empty() && !self.any
    }

    /// After a round whose total is not what it makes.
    pub fn stated(stitches: u32) -> Rivals {
        Rivals {
            counts: vec![stitches],
            ..Rivals::default()
        }
    }

    pub fn anything() -> Rivals {
        Rivals {
            any: true,
            ..Rivals::default()
        }
    }

    /// After a round of `made` stitches that misses the `there` stitches below, and states no other total: what it makes
    /// with another number of repeats, or with the plain stitches that it lacks or has too many.
    pub fn guessed(outcome: &Outcome, made: u32, there: usize) -> Rivals {
        let there = there as u64;
        let takes = (there + outcome.overflow as u64).saturating_sub(outcome.left as u64);
        let made = u64::from(made);
        let mut counts = Vec::new();
        if takes > 0 && (made * there).is_multiple_of(takes) {
            counts.push(made * there / takes);
        }
        counts.push((made + outcome.left as u64).saturating_sub(outcome.overflow as u64));
        counts.retain(|&count| count > 0 && count != made && count <= limits::STITCHES as u64 / 4);
        counts.dedup();
        counts.truncate(Rivals::MOST);
        Rivals {
            counts: counts.into_iter().map(|count| count as u32).collect(),
            ..Rivals::default()
        }
    }
}

/// The edges that a piece may have if its last round has `count` stitches: chains between them counted or not. `edge` is that
/// of its last round, or of the last one that had any.
pub(super) fn edges_of(piece: &Piece, edge: &[StitchId], count: u32) -> Vec<Below> {
    let is_bridge = |id: &&StitchId| piece.stitch(**id).role == Role::Bridge;
    let bridges = edge.iter().filter(is_bridge).count();
    if bridges == 0 {
        return vec![Below::new(piece, &resampled(edge, count as usize))];
    }
    // A pattern of stitches and spaces goes on as it began.
    let of_len = |len: usize| {
        let ids = edge.iter().copied().cycle().take(len.min(limits::STITCHES));
        Below::new(piece, &ids.collect::<Vec<StitchId>>())
    };
    let heads = (edge.len() - bridges).max(1);
    vec![
        of_len(edge.len() * count as usize / heads),
        of_len(count as usize),
    ]
}

/// An edge of another length, its stitches taken at even steps.
pub(super) fn resampled(edge: &[StitchId], len: usize) -> Vec<StitchId> {
    if edge.is_empty() {
        return Vec::new();
    }
    (0..len.min(limits::STITCHES))
        .map(|at| edge[at * edge.len() / len.max(1)])
        .collect()
}
