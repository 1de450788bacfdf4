//! How work goes on after a round that is wrong: what may be below it instead is carried along until the rounds decide.

use super::{Progress, Shared, Task, Trial, Worker};
use crate::fabric::below::Below;
use crate::fabric::model::{Piece, StitchId};
use crate::fabric::reading::Reading;
use crate::fabric::rivals::{self, Rivals};
use crate::source::{Level, Problem};

/// Readings that are tried on each edge that may be there.
const MOST_READINGS: usize = 4;

impl Progress<'_> {
    /// This edge, or the last one that had stitches.
    pub(super) fn edge_of<'e>(&'e self, edge: &'e [StitchId]) -> &'e [StitchId] {
        if edge.is_empty() { &self.edge } else { edge }
    }
}

impl<'p> Worker<'p> {
    /// The edges that a round may be worked into: the one that is there, one of the numbers that it may have instead, or one that the
    /// round asks for; and those with the parts' edges as they may be instead.
    pub(super) fn edges(
        &self,
        piece: &Piece,
        progress: &Progress<'p>,
        edge: &[StitchId],
        same_words: bool,
        asked: &[Vec<StitchId>],
    ) -> Vec<(Below, bool)> {
        let mut edges = vec![(Below::new(piece, edge), false)];
        if !same_words {
            let base = progress.edge_of(edge);
            let others = progress.rivals.counts.iter();
            let each = others.flat_map(|&count| rivals::edges_of(piece, base, count));
            edges.extend(each.map(|below| (below, false)));
        }
        let asked = asked.iter().map(|edge| Below::new(piece, edge));
        edges.extend(asked.map(|below| (below, false)));
        if self.parts.have_others() {
            edges.push((Below::new(piece, edge), true));
        }
        edges
    }

    /// Where anything may be below: edges of as many stitches as the round takes by its own numbers, if it says how many.
    pub(super) fn asked_edges(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        below: &Below,
        readings: &[Reading],
    ) -> Vec<Vec<StitchId>> {
        let there = below.len();
        let mut counts = Vec::new();
        for &reading in &readings[..readings.len().min(MOST_READINGS)] {
            let (trial, _) = self.tried(piece, progress, shared, below.clone(), reading);
            let takes = (there + trial.outcome.overflow).saturating_sub(trial.outcome.left);
            if takes != there && takes > 0 && !counts.contains(&takes) {
                counts.push(takes);
            }
        }
        let edge = match piece.rounds.last() {
            Some(round) => progress.edge_of(&round.edge),
            None => &progress.edge,
        };
        counts
            .iter()
            .map(|&count| rivals::resampled(edge, count))
            .collect()
    }

    /// What becomes of the rivals with a round that states no total: those that it fits, with what it makes of them. A total decides.
    pub(super) fn onward(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        readings: &[Reading],
    ) -> Rivals {
        let mut onward = Rivals {
            words: progress.rivals.words,
            ..Rivals::default()
        };
        if progress.rivals.is_empty() || shared.task.stated.is_some() {
            return onward;
        }
        let edge = match piece.rounds.last() {
            Some(round) => progress.edge_of(&round.edge).to_vec(),
            None => Vec::new(),
        };
        let readings = &readings[..readings.len().min(MOST_READINGS)];
        for &count in &progress.rivals.counts {
            for below in rivals::edges_of(piece, &edge, count) {
                let made = self.comes_to(piece, progress, shared, &below, readings);
                onward.counts.extend(made);
            }
        }
        onward.counts.dedup();
        onward.counts.truncate(Rivals::MOST);
        if progress.rivals.any {
            // A round that works around whatever is there leaves it open.
            let others = rivals::edges_of(piece, &edge, edge.len() as u32 + 1);
            onward.any = others.iter().any(|below| {
                self.comes_to(piece, progress, shared, below, readings)
                    .is_some()
            });
        }
        onward
    }

    /// How many stitches a round makes on an edge that it fits.
    fn comes_to(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        below: &Below,
        readings: &[Reading],
    ) -> Option<u32> {
        let exact = self.exact_readings(piece, progress, shared, below, readings);
        let &reading = exact.first()?;
        let (_, (stitches, _)) = self.tried(piece, progress, shared, below.clone(), reading);
        Some(stitches)
    }
}

/// True if a number is left out between the round above and this one: a round may be missing.
pub(super) fn is_after_a_gap(piece: &Piece, task: &Task<'_>) -> bool {
    let last = piece.rounds.last().map(|round| round.number);
    let starts = task.round.label.numbers.first();
    last.is_some_and(|last| task.number > last.saturating_add(1))
        && starts.is_some_and(|run| run.0 == task.number)
}

/// What may be there instead of a round that does not come out.
pub(super) fn rivals_after(piece: &Piece, task: &Task<'_>, trial: &Trial, there: usize) -> Rivals {
    let stated = task.stated.and_then(|s| s.stitches);
    let unclear = |p: &Problem| p.level == Level::Error && !p.code.starts_with("part-");
    let made = piece.rounds.last().map_or(0, |round| round.count);
    let mut rivals = match stated.filter(|_| !trial.stated_fits) {
        Some(stitches) => Rivals::stated(stitches),
        None if task.round.flawed || trial.problems.iter().any(unclear) => Rivals::anything(),
        None => Rivals::guessed(&trial.outcome, made, there),
    };
    rivals.words = Some(task.round.span.start);
    rivals
}
