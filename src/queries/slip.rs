//! The likely slip behind arithmetic that does not come out: one number of the round, or of the round above it.

use super::custom;
use super::numbers::{Number, numbers};
use super::trial::{Key, Trials};
use super::two;
use crate::fabric::Fabric;
use crate::pattern::{Line, Pattern, Round};
use crate::source::{Mend, Problem, Span, limits};

/// Problems that one wrong number can make, and where it may stand.
fn places(code: &str) -> Option<Places> {
    match code {
        "count"
        | "too-few-stitches"
        | "stitches-left"
        | "repeat-does-not-fit"
        | "part-width"
        | "round-unknown"
        | "no-space" => Some(Places::Bodies),
        "round-missing" | "round-twice" | "round-order" => Some(Places::Labels),
        "range-count" => Some(Places::Round),
        "part-copies" => Some(Places::Headings),
        _ => None,
    }
}

enum Places {
    /// What is worked and stated in the round, and in the one above if that states no total.
    Bodies,
    /// The labels of the round and of the one above.
    Labels,
    /// Everything in the round.
    Round,
    /// The numbers to make in the headings.
    Headings,
}

/// Most changes of one number that are weighed against each other.
const MOST_WEIGHED: usize = 8;

/// Changes that solve the problem and make no other, at most [`limits::MENDS_OFFERED`].
pub(super) struct Offers {
    /// The likeliest first, and of those that are as likely the smallest.
    pub mends: Vec<Mend>,
    /// The first is likelier than the others.
    pub one_is_likeliest: bool,
}

/// Changes of one number, or of two in the same round if there is none. None if the problem is of another kind, or if the work ran out before
/// all were tried.
pub(super) fn mends(
    trials: &mut Trials<'_>,
    pattern: &Pattern,
    fabric: &Fabric,
    problem: &Problem,
) -> Option<Offers> {
    let at = places(problem.code)?;
    let key: Key = (problem.code, problem.span);
    let mut changes = Vec::new();
    let apart = differences(fabric, problem.span);
    for number in candidates(trials, pattern, problem.span, &at) {
        for other in number.others(&apart) {
            changes.push((
                other.abs_diff(number.value),
                number.span.start,
                number,
                other,
            ));
        }
    }
    changes.sort_by_key(|&(size, start, _, other)| (size, start, other));
    let mut found = Vec::new();
    for (_, _, number, other) in changes {
        if found.len() >= MOST_WEIGHED {
            break;
        }
        if trials.are_spent() {
            return None;
        }
        let mend = Mend {
            span: number.span,
            text: number.written(other),
        };
        if let Some(fabric) = trials.solved(&mend, key) {
            found.push((mend, fabric));
        }
    }
    if found.is_empty() && matches!(at, Places::Bodies) {
        let mends = two::mends(trials, pattern, key);
        let one_is_likeliest = mends.len() == 1;
        return Some(Offers {
            mends,
            one_is_likeliest,
        });
    }
    Some(weighed(found, problem.span))
}

/// The changes with the most customary first.
fn weighed(found: Vec<(Mend, Fabric)>, at: Span) -> Offers {
    let all = found.iter().fold(at, |all, (mend, _)| all.to(mend.span));
    let mut weighed: Vec<(u32, Mend)> = found
        .into_iter()
        .map(|(mend, fabric)| (custom::unevenness(&fabric, all), mend))
        .collect();
    weighed.sort_by_key(|(weight, _)| *weight);
    let one_is_likeliest = match &weighed[..] {
        [first, second, ..] => first.0 < second.0,
        one_or_none => one_or_none.len() == 1,
    };
    let mends = weighed.into_iter().map(|(_, mend)| mend);
    Offers {
        mends: mends.take(limits::MENDS_OFFERED).collect(),
        one_is_likeliest,
    }
}

fn candidates(trials: &Trials<'_>, pattern: &Pattern, at: Span, places: &Places) -> Vec<Number> {
    let within = |span| numbers(trials.source, span);
    if let Places::Headings = places {
        let headings = pattern.pieces.iter().map(|piece| piece.span);
        return headings.flat_map(within).collect();
    }
    let Some((line, above)) = lines_at(pattern, at) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    match (places, line) {
        (Places::Round, Line::Round(round)) => found.extend(within(round.span)),
        (Places::Labels, Line::Round(round)) => found.extend(within(round.label.span)),
        (Places::Bodies, Line::Round(round)) => found.extend(within(body(round))),
        (_, Line::RepeatRounds(repeat)) => found.extend(within(repeat.span)),
        _ => {}
    }
    match (places, above) {
        (Places::Labels, Some(Line::Round(round))) => found.extend(within(round.label.span)),
        (Places::Bodies, Some(Line::Round(round))) if round.stated.is_none() => {
            found.extend(within(body(round)));
        }
        (Places::Labels | Places::Bodies, Some(Line::RepeatRounds(repeat))) => {
            found.extend(within(repeat.span));
        }
        _ => {}
    }
    found
}

/// The line of rounds that a place is in, and the one above it in the piece.
fn lines_at(pattern: &Pattern, at: Span) -> Option<(&Line, Option<&Line>)> {
    for piece in &pattern.pieces {
        let mut above = None;
        for line in &piece.lines {
            let span = match line {
                Line::Round(round) => round.span,
                Line::RepeatRounds(repeat) => repeat.span,
                _ => continue,
            };
            if span.start <= at.start && at.start < span.end {
                return Some((line, above));
            }
            above = Some(line);
        }
    }
    None
}

/// The round of the text that a place is in.
pub(super) fn round_at(pattern: &Pattern, at: Span) -> Option<&Round> {
    match lines_at(pattern, at) {
        Some((Line::Round(round), _)) => Some(round),
        _ => None,
    }
}

/// What stands after the label.
pub(super) fn body(round: &Round) -> Span {
    let start = round.label.span.end.clamp(round.span.start, round.span.end);
    Span::new(start, round.span.end)
}

/// By how much the round at a place misses what it states, and the round below.
fn differences(fabric: &Fabric, at: Span) -> Vec<u32> {
    let mut apart = Vec::new();
    for piece in &fabric.pieces {
        let mut below = 0;
        for round in &piece.rounds {
            if round.span.start <= at.start && at.start < round.span.end {
                let stated = round.stated.and_then(|s| s.stitches).unwrap_or(below);
                let spaces = round.stated.and_then(|s| s.spaces).unwrap_or(round.spaces);
                apart.push(stated.abs_diff(round.count));
                apart.push(spaces.abs_diff(round.spaces));
            }
            below = round.count;
        }
    }
    apart.retain(|&step| step > 0);
    apart.sort();
    apart.dedup();
    apart.truncate(4);
    apart
}
