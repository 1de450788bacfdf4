//! Rounds that are worked as others were: earlier ones of the piece, or those of another piece.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;

use super::{Lent, Progress, Task, Worker};
use crate::fabric::model::{Length, LengthBy, Piece};
use crate::pattern::{
    self, Act, Again, Doubts, Instruction, LikePiece, Over, RepeatRounds, Target, Work,
};
use crate::source::{Problem, Span, limits};
use crate::terms::Form;

/// The most rounds that are worked to reach a number of stitches.
const MOST_UNTIL: u32 = 200;

impl<'p> Worker<'p> {
    pub(super) fn repeat_rounds(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        repeat: &'p RepeatRounds,
    ) {
        if let Again::Rounds { first, last } = repeat.what
            && !(first..=last).all(|n| progress.rounds.contains_key(&n))
        {
            self.problems.push(Problem::error(
                "round-unknown",
                repeat.span,
                if first == last {
                    format!("there is no round {first} above this line")
                } else {
                    format!("rounds {first} to {last} are not all above this line")
                },
            ));
            return;
        }
        if repeat.length.is_some() {
            self.problems.push(length_left_open(repeat));
        }
        let times = repeat.until.map_or(repeat.times, |_| MOST_UNTIL);
        let reached = |piece: &Piece| {
            let count = piece.rounds.last().map_or(0, |round| round.count);
            repeat.until == Some(count)
        };
        // Even rounds in between bring it no nearer.
        let patience = match repeat.what {
            Again::Rounds { .. } => 1,
            Again::Body(_) => 2,
        };
        let mut before = piece.rounds.len();
        let mut in_vain = 0;
        for _ in 0..times {
            if reached(piece) {
                return;
            }
            if !self.once_more(piece, progress, repeat) {
                return;
            }
            // Away from the number, or nowhere: the rounds of this line can't reach it.
            if let Some(until) = repeat.until {
                in_vain = if nears(piece, before, until) {
                    0
                } else {
                    in_vain + 1
                };
                if in_vain >= patience {
                    break;
                }
                if in_vain == 0 {
                    before = piece.rounds.len();
                }
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

    /// The rounds of a line once. False if the work ends here.
    fn once_more(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        repeat: &'p RepeatRounds,
    ) -> bool {
        let (first, last) = match repeat.what {
            Again::Rounds { first, last } => (first, last),
            Again::Body(_) => (0, 0),
        };
        for source in first..=last {
            if piece.rounds.len() >= limits::ROUNDS || self.spent {
                return false;
            }
            let of = match &repeat.what {
                Again::Rounds { .. } => progress.rounds.get(&source).copied(),
                // What is not said of the round is as in the one above.
                Again::Body(_) => progress.rounds.values().next_back().copied(),
            };
            let Some(round) = of else {
                return false;
            };
            let number = piece
                .rounds
                .last()
                .map_or(1, |r| r.number.saturating_add(1));
            let written = progress.written;
            progress.written += 1;
            let count = piece.rounds.last().map_or(0, |round| round.count);
            let (body, doubts) = match &repeat.what {
                Again::Rounds { .. } => (Cow::Borrowed(&round.body), round.doubts),
                Again::Body(body) => {
                    let past_end = repeat
                        .until
                        .and_then(|until| past_the_end(body, count, until));
                    (
                        past_end.map_or(Cow::Borrowed(body), Cow::Owned),
                        Doubts::default(),
                    )
                }
            };
            let Some((items, doubts)) =
                self.body_of(piece, progress, (&body, doubts), source.max(number), 0)
            else {
                return false;
            };
            let goes_to = repeat.until.is_some() || matches!(repeat.what, Again::Body(_));
            let mut task = Task {
                round,
                number,
                span: repeat.span,
                items,
                words: self.words_of(round),
                offered: self.offered_by(round),
                doubts,
                stated: round.stated.filter(|_| !goes_to),
            };
            if self.surfaces(piece, progress, &mut task) {
                continue;
            }
            self.round(piece, progress, &task, written);
            progress.remember(task.items);
            if matches!(repeat.what, Again::Rounds { .. }) {
                progress.rounds.insert(number, round);
            }
        }
        true
    }

    /// Rounds of an earlier piece, worked in this one.
    pub(super) fn like_piece(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        like: &'p LikePiece,
    ) {
        const DEEPEST: u32 = 8;
        let Some(place) = self.parts.leaned_on(&like.piece.value) else {
            self.problems
                .push(no_such_piece(&like.piece.value, like.piece.span));
            return;
        };
        let outer = progress.lent;
        let depth = outer.map_or(1, |lent| lent.depth + 1);
        if depth > DEEPEST {
            return;
        }
        progress.lent = Some(Lent {
            span: outer.map_or(like.span, |lent| lent.span),
            only: within(outer.and_then(|lent| lent.only), like.rounds),
            stays_on: like.stays_on || outer.is_some_and(|lent| lent.stays_on),
            depth,
        });
        let source = &self.yarns.pattern.pieces[place];
        if let (Some(yarn), true) = (&source.yarn, piece.rounds.is_empty()) {
            progress.yarn = self.yarns.named(&yarn.value, yarn.span);
        }
        let told = self.problems.len();
        self.lines(piece, progress, &source.lines);
        // What is wrong with these rounds has been said where they stand.
        let here = self.problems.split_off(told);
        self.problems
            .extend(here.into_iter().filter(|p| p.code == "too-many-stitches"));
        progress.lent = outer;
    }

    /// A round's instructions, those of the rounds that they point to put in their place.
    pub(super) fn body_of(
        &mut self,
        piece: &Piece,
        progress: &Progress<'p>,
        (body, doubts): (&[Instruction], Doubts),
        number: u32,
        place: u32,
    ) -> Option<(Vec<Instruction>, Doubts)> {
        self.pointed_to.clear();
        self.offered.clear();
        let mut items = body.to_vec();
        let mut doubts = doubts;
        let mut below = number;
        let mut rounds = &progress.rounds;
        let mut in_piece = self.parts.current;
        let finished = std::mem::take(&mut self.finished);
        let mut failed = None;
        // Each step points to a lower number or to an earlier piece, so this ends.
        while let Some(at) = items.iter().position(|item| points_elsewhere(&item.act)) {
            let span = items[at].span;
            let (wanted, found) = match &items[at].act {
                Act::AsPiece {
                    piece,
                    rounds: said,
                } => {
                    let (first, last) = said.unwrap_or((below, below));
                    let wanted = nth_of(first, last, place);
                    let other = self.parts.leaned_on(&piece.value);
                    let Some(other) = other.filter(|&other| other < in_piece) else {
                        failed = Some(no_such_piece(&piece.value, piece.span));
                        break;
                    };
                    in_piece = other;
                    rounds = &finished[other];
                    (wanted, rounds.get(&wanted))
                }
                Act::AsRounds { first, last } => {
                    let wanted = nth_of(*first, *last, place);
                    (wanted, rounds.get(&wanted).filter(|_| wanted < below))
                }
                Act::GoOn { step } => {
                    match self.going_on(piece, progress, *step) {
                        Some(mut on) => {
                            pattern::place_all_at(&mut on, span);
                            items.splice(at..=at, on);
                        }
                        None => {
                            failed = Some(Problem::error(
                                "round-unknown",
                                span,
                                "there is no round above to go on from",
                            ));
                            break;
                        }
                    }
                    continue;
                }
                _ => break,
            };
            let Some(source) = found else {
                failed = Some(Problem::error(
                    "round-unknown",
                    span,
                    if in_piece == self.parts.current {
                        format!("there is no round {wanted} above this one")
                    } else {
                        format!("that piece has no round {wanted}")
                    },
                ));
                break;
            };
            below = wanted;
            doubts = source.doubts;
            self.pointed_to.push(source.span.start);
            self.offered.extend(&source.choices);
            let mut body = source.body.clone();
            pattern::place_all_at(&mut body, span);
            items.splice(at..=at, body);
        }
        self.finished = finished;
        if let Some(problem) = failed {
            self.problems.push(problem);
            return None;
        }
        Some((items, doubts))
    }

    /// Where a round's words begin, and those of the rounds that its body, made last, points to.
    pub(super) fn words_of(&self, round: &pattern::Round) -> Vec<usize> {
        let pointed_to = self.pointed_to.iter().copied();
        [round.span.start].into_iter().chain(pointed_to).collect()
    }
}

/// The rounds that both of two lines ask for, of a piece that is itself worked like another.
fn within(outer: Option<(u32, u32)>, inner: Option<(u32, u32)>) -> Option<(u32, u32)> {
    match (outer, inner) {
        (Some(outer), Some(inner)) => Some((outer.0.max(inner.0), outer.1.min(inner.1))),
        (outer, inner) => outer.or(inner),
    }
}

/// Rounds of the text by number.
pub(super) type Numbered<'p> = BTreeMap<u32, &'p pattern::Round>;

fn points_elsewhere(act: &Act) -> bool {
    matches!(
        act,
        Act::AsRounds { .. } | Act::AsPiece { .. } | Act::GoOn { .. }
    )
}

/// The `place`th of some numbers, begun again after the last.
fn nth_of(first: u32, last: u32, place: u32) -> u32 {
    first.saturating_add(place % last.saturating_sub(first).saturating_add(1))
}

/// `Dec around until 8 sts remain`, where that is reached inside a round: the whole round before it, and the decreases past
/// its end. `None` where whole rounds get there, or none do.
fn past_the_end(body: &[Instruction], count: u32, until: u32) -> Option<Vec<Instruction>> {
    let [item] = body else { return None };
    let Act::Work(work) = &item.act else {
        return None;
    };
    let Form::Together(feet) = work.stitch.form else {
        return None;
    };
    let feet = u32::from(feet);
    let goes_around = work.over == Over::Rest && work.target == Target::Next && work.each == 1;
    if feet < 2 || !goes_around || !count.is_multiple_of(feet) {
        return None;
    }
    let whole = count / feet;
    let too_many = whole.checked_sub(until)?;
    let further = too_many / (feet - 1);
    let by_whole_rounds = whole.is_multiple_of(feet) && whole / feet >= until;
    if by_whole_rounds
        || further == 0
        || !too_many.is_multiple_of(feet - 1)
        || further * feet > whole
    {
        return None;
    }
    let past_end = Act::Work(Work {
        over: Over::Count(further),
        ..work.clone()
    });
    let at = |act| Instruction {
        act,
        span: item.span,
    };
    Some(vec![item.clone(), at(past_end), at(Act::NewStart)])
}

fn no_such_piece(name: &str, span: Span) -> Problem {
    Problem::error(
        "part-unknown",
        span,
        format!("no piece above this one is {}", crate::source::quoted(name)),
    )
    .help("name it as its heading does")
}

fn length_left_open(repeat: &RepeatRounds) -> Problem {
    let times = match repeat.times {
        0 => "not again".to_owned(),
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    };
    let how = match repeat.what {
        Again::Rounds { .. } => "again ",
        Again::Body(_) => "",
    };
    let how = if repeat.times == 0 { "" } else { how };
    let why = match repeat.length.as_ref().map(|length| length.by) {
        Some(LengthBy::Maker) => ", as chosen",
        Some(LengthBy::Gauge) => ", by the gauge",
        Some(LengthBy::Custom) | None => "",
    };
    Problem::note(
        "length-open",
        repeat.span,
        format!("the maker chooses how often these rounds are worked: read as {how}{times}{why}"),
    )
}

/// The length that a line leaves to the maker, with the rounds that it adds.
pub(super) fn length(repeat: &RepeatRounds, added: Range<usize>) -> Option<Length> {
    repeat.length.as_ref().map(|length| Length {
        rounds: added,
        times: repeat.times,
        by: length.by,
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
