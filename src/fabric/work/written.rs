//! The lines of a piece in the order in which they are worked.

use super::{Progress, Task, Worker, again};
use crate::fabric::model::{Piece, Step, StitchId};
use crate::fabric::rivals::Rivals;
use crate::pattern::{self, Act, Instruction, Line, StepKind};
use crate::source::limits;

impl<'p> Worker<'p> {
    pub(super) fn lines(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        lines: &'p [Line],
    ) {
        let mut lines = lines.iter();
        while let Some(line) = lines.next() {
            if progress.lent.is_some() {
                // Pieces that lean on pieces could go through the same lines again and again.
                if self.budget.actions == 0 {
                    return;
                }
                self.budget.actions -= 1;
            }
            match line {
                Line::Round(round) => {
                    self.chain_of_the_other(piece, progress, round);
                    let batch = interlaced(round, &mut lines);
                    self.written_rounds(piece, progress, &batch);
                }
                Line::RepeatRounds(repeat) => {
                    let before = piece.rounds.len();
                    self.repeat_rounds(piece, progress, repeat);
                    let added = before..piece.rounds.len();
                    piece.lengths.extend(again::length(repeat, added));
                }
                Line::LikePiece(like) => self.like_piece(piece, progress, like),
                Line::Between(between) => self.between(piece, progress, between),
                Line::Prose(_) => {}
            }
        }
    }

    /// What another piece is begun with, a chain or a ring, where the first round is told as that piece's and nothing has been
    /// made for it here.
    fn chain_of_the_other(
        &mut self,
        piece: &Piece,
        progress: &mut Progress<'p>,
        round: &pattern::Round,
    ) {
        let opens = round.label.numbers.first().is_some_and(|run| run.0 == 1);
        let begun = progress.pending.iter().any(|item| item.act.is_worked());
        if !piece.rounds.is_empty() || !opens || begun {
            return;
        }
        let mut worked = round.body.iter().filter(|item| item.act.is_worked());
        let (Some(item), None) = (worked.next(), worked.next()) else {
            return;
        };
        let Act::AsPiece {
            piece: other,
            rounds,
        } = &item.act
        else {
            return;
        };
        let leans_on_first = rounds.is_none_or(|(first, _)| first == 1);
        let Some(place) = self
            .parts
            .leaned_on(&other.value)
            .filter(|_| leans_on_first)
        else {
            return;
        };
        let lines = &self.yarns.pattern.pieces[place].lines;
        let lead = lines.iter().map_while(|line| match line {
            Line::Between(between) => Some(&between.acts[..]),
            Line::Prose(_) => Some(&[]),
            _ => None,
        });
        let begins = lead.flatten().filter(|item| item.act.is_worked());
        progress.pending.extend(begins.cloned());
    }

    pub(super) fn between(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        between: &pattern::Between,
    ) {
        let lent = progress.lent;
        let stays_on = lent.is_some_and(|lent| lent.stays_on);
        let reached = piece.rounds.last().map_or(0, |round| round.number);
        if lent
            .and_then(|lent| lent.only)
            .is_some_and(|(first, last)| reached.saturating_add(1) < first || reached >= last)
        {
            return;
        }
        for act in &between.acts {
            match act.act {
                Act::Surface(_) => drop(self.surface(piece, progress, act, false)),
                Act::Step(kind) if kind == pattern::StepKind::FastenOff && stays_on => {}
                Act::Step(kind) => {
                    piece.steps.push(Step {
                        kind,
                        after_round: piece.rounds.len() as u32,
                        after: piece
                            .stitches
                            .len()
                            .checked_sub(1)
                            .map(|i| StitchId(i as u32)),
                        span: lent.map_or(act.span, |lent| lent.span),
                    });
                    if kind == pattern::StepKind::Flatten {
                        progress.pending.push(act.clone());
                    }
                }
                _ => progress.pending.push(act.clone()),
            }
        }
    }

    /// Rounds as written: one label's, or those of several labels that stand between each other's numbers.
    pub(super) fn written_rounds(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        batch: &[&'p pattern::Round],
    ) {
        if piece.rounds.len() >= limits::ROUNDS || self.spent {
            return;
        }
        let mut order: Vec<(u32, usize, u32)> = Vec::new();
        for (line, round) in batch.iter().enumerate() {
            order.extend(
                round
                    .label
                    .each()
                    .enumerate()
                    .map(|(place, number)| (number, line, place as u32)),
            );
        }
        if batch.len() > 1 {
            order.sort();
        }
        let written = progress.written;
        progress.written += batch.len() as u32;
        for (number, line, place) in order {
            if piece.rounds.len() >= limits::ROUNDS || self.spent {
                break;
            }
            let round = batch[line];
            let lent = progress.lent;
            if let Some((first, last)) = lent.and_then(|lent| lent.only)
                && !(first..=last).contains(&number)
            {
                continue;
            }
            let body = (&round.body[..], round.doubts);
            let Some((mut items, doubts)) = self.body_of(piece, progress, body, number, place)
            else {
                let stated = round.stated.and_then(|s| s.stitches);
                progress.rivals = stated.map_or_else(Rivals::anything, Rivals::stated);
                return;
            };
            let is_last = round
                .label
                .numbers
                .last()
                .is_some_and(|run| run.1 == number);
            if is_last {
                items.extend(round.ending.iter().cloned());
            } else {
                leave_for_the_last(&mut items);
            }
            if let Some(lent) = lent {
                let ends = Act::Step(pattern::StepKind::FastenOff);
                items.retain(|item| !(lent.stays_on && item.act == ends));
                pattern::place_all_at(&mut items, lent.span);
            }
            settle_yarns(&mut items, number);
            // A total after rounds that grow is that of the last.
            let grows = round.body.iter().any(|i| match i.act {
                Act::GoOn { .. } => true,
                Act::AsRounds { first, last } => first < last,
                Act::AsPiece { .. } => round.label.count() > 1,
                _ => false,
            });
            let mut task = Task {
                round,
                number,
                span: lent.map_or(round.span, |lent| lent.span),
                items,
                words: self.words_of(round),
                offered: self.offered_by(round),
                doubts,
                stated: round.stated.filter(|_| !grows || is_last),
            };
            if self.surfaces(piece, progress, &mut task) {
                continue;
            }
            self.round(piece, progress, &task, written + line as u32);
            progress.remember(task.items);
            progress.rounds.insert(number, round);
        }
    }
}

/// `Rnds 2-16: sc around, with B from Rnd 4`: the yarn of the round of this number.
fn settle_yarns(items: &mut Vec<Instruction>, number: u32) {
    let from = |item: &mut Instruction| matches!(item.act, Act::YarnFrom { .. });
    let told: Vec<Instruction> = items.extract_if(.., from).collect();
    let yarns = told.into_iter().filter_map(|item| match item.act {
        Act::YarnFrom { yarn, round } if number >= round => Some(Instruction {
            act: Act::Yarn(yarn),
            span: item.span,
        }),
        _ => None,
    });
    items.splice(..0, yarns.collect::<Vec<_>>());
}

/// `Rnds 3-5: sc around. Fasten off.`: the steps at the end are of the last round, unless each begins with a yarn of its own.
fn leave_for_the_last(items: &mut Vec<Instruction>) {
    let joins = Act::Step(StepKind::JoinYarn);
    if items.iter().any(|item| item.act == joins) {
        return;
    }
    let is_once = |item: &Instruction| {
        matches!(
            item.act,
            Act::Step(
                StepKind::FastenOff
                    | StepKind::Stuff
                    | StepKind::LeaveEmpty
                    | StepKind::Eyes(_)
                    | StepKind::CloseHole
                    | StepKind::Sew
            )
        )
    };
    while items.last().is_some_and(is_once) {
        items.pop();
    }
}

/// A round with those that fill the numbers its label leaves out: `Rnds 8, 10:` and `Rnd 9:`.
fn interlaced<'p>(
    round: &'p pattern::Round,
    lines: &mut std::slice::Iter<'p, Line>,
) -> Vec<&'p pattern::Round> {
    let mut batch = vec![round];
    let runs = round.label.numbers.iter();
    let highest = runs.map(|run| run.1).max().unwrap_or(0);
    let mut open: Vec<(u32, u32)> = round
        .label
        .numbers
        .windows(2)
        .map(|w| (w[0].1.saturating_add(1), w[1].0))
        .filter(|(a, b)| a < b)
        .collect();
    while !open.is_empty() {
        let Some(Line::Round(next)) = lines.as_slice().first() else {
            break;
        };
        let fills = next
            .label
            .numbers
            .first()
            .is_some_and(|run| run.0 < highest);
        if !fills {
            break;
        }
        lines.next();
        batch.push(next);
        let fills = |n: u32| {
            next.label
                .numbers
                .iter()
                .any(|run| (run.0..=run.1).contains(&n))
        };
        open.retain(|&(first, _)| !fills(first));
    }
    batch
}
