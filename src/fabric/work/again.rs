//! Rounds that are worked as others were.

use std::ops::Range;

use super::{Progress, Task, Worker};
use crate::fabric::model::{Length, Piece};
use crate::pattern::{self, Act, Instruction};
use crate::source::{Problem, limits};

impl<'p> Worker<'p> {
    pub(super) fn repeat_rounds(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        repeat: &pattern::RepeatRounds,
    ) {
        let known = (repeat.first..=repeat.last).all(|n| progress.rounds.contains_key(&n));
        if !known {
            self.problems.push(Problem::error(
                "round-unknown",
                repeat.span,
                format!(
                    "rounds {} to {} are not all above this line",
                    repeat.first, repeat.last
                ),
            ));
            return;
        }
        const MOST_UNTIL: u32 = 200;
        let times = repeat.until.map_or(repeat.times, |_| MOST_UNTIL);
        let reached = |piece: &Piece| {
            let count = piece.rounds.last().map_or(0, |round| round.count);
            repeat.until == Some(count)
        };
        let before = piece.rounds.len();
        for _ in 0..times {
            if reached(piece) {
                return;
            }
            for source in repeat.first..=repeat.last {
                if piece.rounds.len() >= limits::ROUNDS || self.spent {
                    return;
                }
                let Some(&round) = progress.rounds.get(&source) else {
                    return;
                };
                let number = piece
                    .rounds
                    .last()
                    .map_or(1, |r| r.number.saturating_add(1));
                let written = progress.written;
                progress.written += 1;
                let Some((items, doubts)) = self.body_of(progress, round, source, 0) else {
                    return;
                };
                let task = Task {
                    round,
                    number,
                    span: repeat.span,
                    items,
                    doubts,
                    stated: round.stated.filter(|_| repeat.until.is_none()),
                };
                self.round(piece, progress, &task, written);
                progress.rounds.insert(number, round);
            }
            // Away from the number, or nowhere: the rounds of this line can't reach it.
            if let Some(until) = repeat.until
                && !nears(piece, before, until)
            {
                break;
            }
        }
        if let (Some(until), false) = (repeat.until, reached(piece)) {
            self.problems.push(Problem::error(
                "until-missed",
                repeat.span,
                format!("these rounds never come to {until} stitches"),
            ));
        }
    }

    /// A round's instructions, those of the round that it points to put in their place.
    pub(super) fn body_of(
        &mut self,
        progress: &Progress<'p>,
        round: &'p pattern::Round,
        number: u32,
        place: u32,
    ) -> Option<(Vec<Instruction>, pattern::Doubts)> {
        let mut items = round.body.clone();
        let mut doubts = round.doubts;
        let mut below = number;
        // Each step points to a lower number, so this ends.
        while let Some(at) = items
            .iter()
            .position(|item| matches!(item.act, Act::AsRounds { .. }))
        {
            let Act::AsRounds { first, last } = items[at].act else {
                break;
            };
            let span = items[at].span;
            let wanted = first + place % last.saturating_sub(first).saturating_add(1);
            let source = progress.rounds.get(&wanted).filter(|_| wanted < below);
            let Some(source) = source else {
                self.problems.push(Problem::error(
                    "round-unknown",
                    span,
                    format!("there is no round {wanted} above this one"),
                ));
                return None;
            };
            below = wanted;
            doubts = source.doubts;
            let mut body = source.body.clone();
            pattern::place_all_at(&mut body, span);
            items.splice(at..=at, body);
        }
        Some((items, doubts))
    }
}

/// The length that a line leaves to the maker, with the rounds that it adds.
pub(super) fn length(repeat: &pattern::RepeatRounds, added: Range<usize>) -> Option<Length> {
    repeat.open.map(|open| Length {
        rounds: added,
        times: repeat.times,
        by: open.by,
        span: repeat.span,
    })
}

/// True if the rounds from `before` on bring the number of stitches nearer to `until`.
fn nears(piece: &Piece, before: usize, until: u32) -> bool {
    let count = |at: usize| piece.rounds.get(at).map_or(0, |round| round.count);
    let (start, now) = (
        before.saturating_sub(1),
        piece.rounds.len().saturating_sub(1),
    );
    count(now).abs_diff(until) < count(start).abs_diff(until)
        && (count(now) < until) == (count(start) < until)
        || count(now) == until
}
