//! Mends of words rather than numbers: a bracket to close, a range to turn round, a name that is nearly right, increases for
//! decreases, two rounds the other way round.

use super::numbers::numbers;
use super::slip::{self, round_at};
use super::trial::{Key, Trials};
use crate::fabric::Fabric;
use crate::pattern::{Line, Pattern, Round};
use crate::source::words;
use crate::source::{Mend, Problem, Span};

/// The one change of this kind that solves the problem and makes no other.
pub(super) fn mend(
    trials: &mut Trials<'_>,
    pattern: &Pattern,
    fabric: &Fabric,
    problem: &Problem,
) -> Option<Mend> {
    let key: Key = (problem.code, problem.span);
    let tries = match problem.code {
        "open-bracket" => closed(trials, pattern, problem.span),
        "close-bracket" => vec![Mend {
            span: problem.span,
            text: String::new(),
        }],
        "range-backwards" => turned(trials, problem.span),
        "yarn-unknown" => near(
            trials,
            problem.span,
            pattern.header.yarns.iter().map(|yarn| yarn.name.as_str()),
        ),
        "part-unknown" => near(
            trials,
            problem.span,
            fabric.pieces.iter().map(|piece| piece.name.as_str()),
        ),
        "count" | "too-few-stitches" | "stitches-left" | "repeat-does-not-fit" => {
            let mut tries = other_way(trials, pattern, problem.span);
            tries.extend(exchanged(trials, pattern, problem.span));
            tries
        }
        _ => return None,
    };
    let mut solving = tries.into_iter().filter(|mend| trials.solves(mend, key));
    let first = solving.next();
    first.filter(|_| solving.next().is_none())
}

/// The bracket closed before the number of times or the total: where a comma, a number of times or a bracket follows.
fn closed(trials: &Trials<'_>, pattern: &Pattern, at: Span) -> Vec<Mend> {
    const MOST: usize = 12;
    let text = trials.source.text();
    let Some(round) = round_at(pattern, at) else {
        return Vec::new();
    };
    let closing = match trials.source.slice(at) {
        "[" => "]",
        "{" => "}",
        _ => ")",
    };
    let inside = &text[at.end..round.span.end];
    let mut ends = Vec::new();
    for (offset, word) in inside.match_indices(char::is_whitespace) {
        let after = inside[offset + word.len()..].trim_start();
        let is_number = after.starts_with(|c: char| c.is_ascii_digit());
        let is_times = after.starts_with(['x', 'X', '×', '*']) || after.starts_with("twice");
        let starts_total = after.starts_with(['(', '[', '{', '=']);
        if is_times || starts_total || is_number && after.contains("times") {
            ends.push(at.end + inside[..offset].trim_end().len());
        }
    }
    ends.push(at.end + inside.trim_end().len());
    ends.dedup();
    ends.truncate(MOST);
    ends.into_iter()
        .map(|end| Mend {
            span: Span::new(end, end),
            text: closing.to_owned(),
        })
        .collect()
}

/// Every increase of a round a decrease, or every decrease an increase, where it has but one of the two.
fn other_way(trials: &Trials<'_>, pattern: &Pattern, at: Span) -> Vec<Mend> {
    let Some(round) = round_at(pattern, at) else {
        return Vec::new();
    };
    let body = slip::body(round);
    let of = |name: &str| -> Vec<Span> {
        let words = words::split(trials.source.slice(body), body.start);
        words
            .filter(|word| word.is(name))
            .map(|word| word.span)
            .collect()
    };
    let (increases, decreases) = (of("inc"), of("dec"));
    match (&increases[..], &decreases[..]) {
        ([one], []) => vec![Mend {
            span: *one,
            text: "dec".to_owned(),
        }],
        ([], [one]) => vec![Mend {
            span: *one,
            text: "inc".to_owned(),
        }],
        _ => Vec::new(),
    }
}

/// The words of a round and of the next the other way round.
fn exchanged(trials: &Trials<'_>, pattern: &Pattern, at: Span) -> Vec<Mend> {
    let is_there = |round: &&Round| round.span.start <= at.start && at.end <= round.span.end;
    let rounds = pattern.pieces.iter().find_map(|piece| {
        let rounds: Vec<&Round> = piece
            .lines
            .iter()
            .filter_map(|line| match line {
                Line::Round(round) => Some(round),
                _ => None,
            })
            .collect();
        let place = rounds.iter().position(is_there)?;
        Some((rounds[place], *rounds.get(place + 1)?))
    });
    let Some((round, next)) = rounds.filter(|(a, b)| a.label.count() == 1 && b.label.count() == 1)
    else {
        return Vec::new();
    };
    let (own, other) = (round.words, next.words);
    let between = Span::new(own.end, other.start);
    if between.start > between.end {
        return Vec::new();
    }
    let text = [other, between, own].map(|span| trials.source.slice(span));
    vec![Mend {
        span: own.to(other),
        text: text.concat(),
    }]
}

/// The two numbers of a range the other way round.
fn turned(trials: &Trials<'_>, at: Span) -> Vec<Mend> {
    let numbers = numbers(trials.source, at);
    let backwards = numbers
        .windows(2)
        .find(|pair| pair[1].value < pair[0].value);
    let Some([first, last]) = backwards else {
        return Vec::new();
    };
    let between = Span::new(first.span.end, last.span.start);
    vec![Mend {
        span: first.span.to(last.span),
        text: format!(
            "{}{}{}",
            trials.source.slice(last.span),
            trials.source.slice(between),
            trials.source.slice(first.span)
        ),
    }]
}

/// The names that differ from the words in one letter.
fn near<'n>(trials: &Trials<'_>, at: Span, names: impl Iterator<Item = &'n str>) -> Vec<Mend> {
    let written = trials.source.slice(at).to_lowercase();
    names
        .filter(|name| is_near(&written, &name.to_lowercase()))
        .map(|name| Mend {
            span: at,
            text: name.to_owned(),
        })
        .collect()
}

/// True if one letter more, less or other, or two neighbours in the other order, make one word of four letters or more into the other.
fn is_near(a: &str, b: &str) -> bool {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    if a == b || a.len().min(b.len()) < 4 || a.len().abs_diff(b.len()) > 1 {
        return false;
    }
    let alike = a.iter().zip(&b).take_while(|(x, y)| x == y).count();
    let (rest_a, rest_b) = (&a[alike..], &b[alike..]);
    match rest_a.len().cmp(&rest_b.len()) {
        std::cmp::Ordering::Less => *rest_a == rest_b[1..],
        std::cmp::Ordering::Greater => rest_a[1..] == *rest_b,
        std::cmp::Ordering::Equal => {
            rest_a[1..] == rest_b[1..]
                || rest_a.len() > 1
                    && rest_a[..2] == [rest_b[1], rest_b[0]]
                    && rest_a[2..] == rest_b[2..]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::is_near;

    #[test]
    fn one_slip_of_the_pen_is_near_and_two_are_not() {
        for near in ["wite", "whhite", "whitf", "whtie"] {
            assert!(is_near(near, "white"), "{near}");
        }
        for far in ["white", "wit", "whtif", "black", ""] {
            assert!(!is_near(far, "white"), "{far}");
        }
        assert!(!is_near("a", "b"), "letters are too short to tell");
    }
}
