//! Ways of working a round, tried and judged.

use super::starts::{first_on_chain, start_chain, turning_chains};
use super::{Progress, Task, Worker};
use crate::fabric::below::Below;
use crate::fabric::hook::{Budget, Hook, Outcome, Ring};
use crate::fabric::model::{Piece, Role, RoundKind, Stated, StitchId, YarnId};
use crate::fabric::reading::Reading;
use crate::fabric::rivals::resampled;
use crate::pattern::{self, Act, Instruction};
use crate::source::{Problem, Span, limits};

/// A way of working a round, carried out.
pub(super) struct Trial {
    pub(super) outcome: Outcome,
    pub(super) problems: Vec<Problem>,
    pub(super) stated_fits: bool,
    pub(super) yarn: Option<YarnId>,
    pub(super) ring: Ring,
    pub(super) budget: Budget,
}

impl Trial {
    pub(super) fn is_exact(&self) -> bool {
        self.outcome.left == 0
            && self.outcome.overflow == 0
            && self.stated_fits
            && self
                .problems
                .iter()
                .all(|p| p.level < crate::source::Level::Error)
    }
}

/// What all attempts at one round share.
#[derive(Clone, Copy)]
pub(super) struct Shared<'a, 'p> {
    pub(super) items: &'a [Instruction],
    pub(super) task: &'a Task<'p>,
    pub(super) written: u32,
    pub(super) is_first: bool,
    pub(super) start_counts: Option<(bool, u32)>,
    pub(super) is_row: bool,
}

impl<'p> Worker<'p> {
    /// What would come of a round, and how many stitches and spaces it would have; it is undone again, but what it cost is spent.
    pub(super) fn tried(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        below: Below,
        reading: Reading,
    ) -> (Trial, (u32, u32)) {
        let (mark, parts) = (piece.mark(), self.parts.mark());
        let trial = self.attempt(piece, progress, shared, below, reading);
        let round = piece.rounds.last();
        let made = round.map_or((0, 0), |round| (round.count, round.spaces));
        piece.back_to(&mark);
        self.parts.back_to(parts);
        self.budget.actions = self.budget.actions.min(trial.budget.actions);
        (trial, made)
    }

    pub(super) fn exact_readings(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        below: &Below,
        readings: &[Reading],
    ) -> Vec<Reading> {
        let mut exact = Vec::new();
        for &reading in readings {
            let (trial, _) = self.tried(piece, progress, shared, below.clone(), reading);
            if trial.is_exact() {
                exact.push(reading);
            }
            if self.budget.actions == 0 {
                break;
            }
        }
        exact
    }

    /// No reading comes out: the edge that the round below may have instead, if this round misses it by less than the one that is there.
    pub(super) fn nearer_edge(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        edge: &[StitchId],
        reading: Reading,
    ) -> Option<Vec<StitchId>> {
        let &count = progress.rivals.counts.first()?;
        let other = resampled(progress.edge_of(edge), count as usize);
        let mut misses = |edge: &[StitchId]| {
            let below = Below::new(piece, edge);
            let (trial, _) = self.tried(piece, progress, shared, below, reading);
            trial.outcome.left + trial.outcome.overflow
        };
        (misses(&other) < misses(edge)).then_some(other)
    }

    /// No reading comes out: the usual one, on an edge that is wide enough if the round's own arithmetic is right.
    pub(super) fn best_effort(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        edge: &[StitchId],
        readings: &[Reading],
    ) -> Trial {
        let mark = piece.mark();
        let parts = self.parts.mark();
        let trial = self.attempt(
            piece,
            progress,
            shared,
            Below::new(piece, edge),
            readings[0],
        );
        let short = trial.outcome.overflow;
        if short == 0 || edge.is_empty() || edge.len() + short > limits::STITCHES / 4 {
            return trial;
        }
        piece.back_to(&mark);
        self.parts.back_to(parts);
        let wider = Below::new(piece, &resampled(edge, edge.len() + short));
        let mut wide = self.attempt(piece, progress, shared, wider, readings[0]);
        wide.outcome = trial.outcome;
        wide.problems = trial.problems;
        wide
    }

    pub(super) fn attempt(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        mut below: Below,
        reading: Reading,
    ) -> Trial {
        below.chains_are_stitches = reading.chains_are_stitches;
        let kind = if shared.is_row {
            RoundKind::Row
        } else {
            RoundKind::Round
        };
        piece.begin_round(shared.task.number, kind, shared.task.span, shared.written);
        let yarns = &mut self.yarns;
        let mut named = |name: &str, span: Span| yarns.named(name, span);
        let mut hook = Hook::new(
            piece,
            below,
            reading,
            progress.yarn,
            &mut named,
            &mut self.parts,
            self.budget,
        );
        hook.height = progress.height;
        hook.start_counts = shared.start_counts;
        hook.is_first = shared.is_first;
        hook.ring = progress.ring.clone();
        hook.start = start_chain(shared.items);
        let first_on_chain = first_on_chain(shared.items);
        hook.turning = turning_chains(first_on_chain);
        hook.along_chain = first_on_chain.is_some();
        hook.start_moves = shared.items.iter().any(|item| item.act == Act::NewStart);
        let outcome = hook.run(shared.items);
        let (problems, yarn, ring, budget) = (
            std::mem::take(&mut hook.problems),
            hook.yarn,
            hook.ring.clone(),
            hook.budget,
        );
        let stated_fits = judge(piece, stated_by(shared, reading));
        if let Some(round) = piece.rounds.last_mut() {
            round.reading = reading;
        }
        Trial {
            outcome,
            problems,
            stated_fits,
            yarn,
            ring,
            budget,
        }
    }
}

/// The total that the words state, read so: a number alone at the end may be one.
fn stated_by(shared: &Shared<'_, '_>, reading: Reading) -> Option<pattern::Stated> {
    let alone = shared.items.iter().find_map(|item| match &item.act {
        Act::Repeat(repeat) => match repeat.times {
            pattern::Times::OrTotal(n) => Some((Some(n), item.span)),
            pattern::Times::Total(_) => Some((None, item.span)),
            _ => None,
        },
        _ => None,
    });
    match alone {
        Some((stitches, span)) if reading.number => stitches.map(|n| pattern::Stated {
            stitches: Some(n),
            spaces: None,
            span,
        }),
        _ => shared.task.stated,
    }
}

/// Sets the last round's totals. True if they agree with what the words state, by either custom of counting chains.
fn judge(piece: &mut Piece, stated: Option<pattern::Stated>) -> bool {
    let Some(place) = piece.rounds.len().checked_sub(1) else {
        return true;
    };
    let edge = &piece.rounds[place].edge;
    let mut heads = 0u32;
    let mut bridges = 0u32;
    let mut spaces = 0u32;
    let mut in_space = false;
    for &id in edge {
        let bridge = piece.stitch(id).role == Role::Bridge;
        if bridge {
            bridges += 1;
            spaces += u32::from(!in_space);
        } else {
            heads += 1;
        }
        in_space = bridge;
    }
    let round = &mut piece.rounds[place];
    round.spaces = spaces;
    round.count = heads;
    round.stated = stated.map(|s| Stated {
        stitches: s.stitches,
        spaces: s.spaces,
        span: s.span,
    });
    let Some(stated) = stated else { return true };
    let stitches_fit = match stated.stitches {
        None => true,
        Some(n) if n == heads => true,
        Some(n) if n == heads + bridges => {
            round.count = n;
            true
        }
        Some(_) => false,
    };
    stitches_fit && stated.spaces.is_none_or(|n| n == spaces)
}
