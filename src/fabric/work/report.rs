//! What is said of a round that does not come out.

use super::trial::Trial;
use super::{Task, Worker};
use crate::fabric::below::Below;
use crate::fabric::model::{Piece, Role, Round, RoundKind, Step};
use crate::pattern::{self, Act, Instruction, StepKind};
use crate::source::{Level, Problem, Span};

impl<'p> Worker<'p> {
    /// Says what is wrong with a round. The round below `has` or `should have` the stitches of this edge.
    pub(super) fn report(
        &mut self,
        piece: &Piece,
        task: &Task<'p>,
        trial: &Trial,
        below: &Below,
        has: &str,
    ) {
        // Where words could not be read, the arithmetic can't be held against the round; where it could not be worked, that is said.
        let told = trial.problems.iter().any(|p| p.level == Level::Error);
        if task.round.flawed || told || trial.budget.actions == 0 {
            return;
        }
        let Some(round) = piece.rounds.last() else {
            return;
        };
        let (left, short) = (trial.outcome.left, trial.outcome.overflow);
        let there = below.len();
        // The round below could not be worked: that has been said.
        if there == 0 && piece.rounds.len() > 1 {
            return;
        }
        if !trial.stated_fits
            && let Some(stated) = task.stated
        {
            self.problems.push(count_problem(
                round,
                piece,
                stated,
                left,
                short,
                (has, there),
            ));
            return;
        }
        if short > 0 {
            let span = trial.outcome.overflow_span.unwrap_or(task.round.words);
            let span = if task.span == task.round.span {
                span
            } else {
                task.span
            };
            let needed = there + short;
            self.problems.push(
                Problem::error(
                    "too-few-stitches",
                    span,
                    format!(
                        "round {} works into {needed} stitches, but the round below {has} {there}",
                        task.number
                    ),
                )
                .help("check this round's numbers and the total of the round before"),
            );
        } else if left > 0
            && !turns_back(piece, task, trial)
            && !begins_anew(piece, task)
            && !is_row_on_loops(piece, round)
        {
            let span = if task.span == task.round.span {
                task.round.words
            } else {
                task.span
            };
            let of = match there {
                0 if left == 1 => "chain of its starting chain".to_owned(),
                0 => "chains of its starting chain".to_owned(),
                _ => format!("of the {there} stitches below"),
            };
            self.problems.push(
                Problem::error(
                    "stitches-left",
                    span,
                    format!(
                        "round {} leaves {left} {of} without saying so",
                        task.number
                    ),
                )
                .help("check this round's numbers and the total of the round before, or say `leave the rest unworked`"),
            );
        }
    }
}

/// True if a row that is turned or says how many stitches it has, or a round that does both, ends before the round that it is worked along: a
/// flap.
fn turns_back(piece: &Piece, task: &Task<'_>, trial: &Trial) -> bool {
    let on_round = |round: &Round| round.kind == RoundKind::Round;
    let says_so = task.stated.is_some_and(|stated| stated.stitches.is_some());
    let is_row = task.round.label.is_row;
    (is_row && says_so || (is_row || says_so) && trial.outcome.turned)
        && piece.rounds.iter().nth_back(1).is_some_and(on_round)
}

/// True if the yarn was cut or joined before a round that says how many stitches it has: the others stay free.
fn begins_anew(piece: &Piece, task: &Task<'_>) -> bool {
    let before = piece.rounds.len().saturating_sub(1);
    let after = |step: &Step| step.after_round as usize;
    let steps = piece.steps.iter().rev();
    let mut steps = steps.take_while(|step| after(step) >= before);
    let is_new = |step: &Step| {
        matches!(step.kind, StepKind::FastenOff | StepKind::JoinYarn) && after(step) == before
    };
    task.stated.is_some_and(|stated| stated.stitches.is_some()) && steps.any(is_new)
}

/// True for a row along loops of a piece before: it has no need to go all along.
fn is_row_on_loops(piece: &Piece, round: &Round) -> bool {
    let here = piece.rounds.len() as u32 - 1;
    let mut joins = piece
        .joins
        .iter()
        .rev()
        .take_while(|join| join.round == here);
    round.kind == RoundKind::Row && joins.any(|join| join.loops)
}

pub(super) fn two_readings(task: &Task<'_>) -> Problem {
    let what = if task.doubts.around {
        "`around` can be of the last stitch or of all that stands before it"
    } else if task.doubts.bigger {
        "a number after `inc` or `dec` can mean several of them or a bigger one"
    } else {
        "`rep from * so many times` can mean so many in all or so many more"
    };
    let span = doubtful_words(&task.items, task.doubts).unwrap_or(task.round.words);
    Problem::error(
        "two-readings",
        span,
        format!("{what}, and here both come out"),
    )
    .help("state the round's total, or write it so that only one is meant")
}

/// The words that can be read in two ways.
fn doubtful_words(items: &[Instruction], doubts: pattern::Doubts) -> Option<Span> {
    let bigger = doubts.bigger;
    items.iter().find_map(|item| match &item.act {
        Act::Work(work) if work.bare == pattern::Bare::List => Some(item.span),
        Act::Work(work) if bigger && work.bare == pattern::Bare::After => Some(item.span),
        Act::Repeat(repeat) if !bigger && matches!(repeat.times, pattern::Times::Unsure(_)) => {
            Some(item.span)
        }
        Act::Repeat(repeat) => doubtful_words(&repeat.items, doubts),
        Act::Together(group) => doubtful_words(&group.items, doubts),
        _ => None,
    })
}

fn count_problem(
    round: &Round,
    piece: &Piece,
    stated: pattern::Stated,
    left: usize,
    short: usize,
    (has, there): (&str, usize),
) -> Problem {
    let heads = round
        .edge
        .iter()
        .filter(|&&id| piece.stitch(id).role != Role::Bridge)
        .count() as u32;
    let stitches = |n: u32| {
        if n == 1 {
            "1 stitch".to_owned()
        } else {
            format!("{n} stitches")
        }
    };
    let spaces = |n: u32| {
        if n == 1 {
            "1 chain space".to_owned()
        } else {
            format!("{n} chain spaces")
        }
    };
    let (made, said) = match (stated.stitches, stated.spaces) {
        (Some(n), Some(s)) => (
            format!("{} and {}", stitches(heads), spaces(round.spaces)),
            format!("{} and {}", stitches(n), spaces(s)),
        ),
        (Some(n), None) => (stitches(heads), stitches(n)),
        (None, Some(s)) => (spaces(round.spaces), spaces(s)),
        (None, None) => (stitches(heads), String::new()),
    };
    let mut message = format!(
        "round {} makes {made}, but its total says {said}",
        round.number
    );
    if short > 0 {
        message += &format!(
            "; it also works into {} stitches where the round below {has} {there}",
            there + short
        );
    } else if left > 0 {
        message += &format!("; it also leaves {left} of the {there} stitches below");
    }
    let problem = Problem::error("count", stated.span, message);
    match stated.stitches {
        Some(_) if short == 0 && left == 0 => {
            problem.help(format!("if the round is right, its total is ({})", heads))
        }
        _ => problem.help("check the round's numbers against the round below"),
    }
}
