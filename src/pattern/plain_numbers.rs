//! Labels that are a number and nothing else, with no mark behind it: `1 6 sc in magic ring`, `2 (1 sc, inc) x 2`, `7–9 sc around`.

use std::borrow::Cow;

use super::body::{self, Names};
use super::label;
use super::lex::{Kind, Token};
use super::lines::{LineKind, RawLine};
use super::unlabelled;
use super::wrapped::names_stitch;
use crate::source::Span;

/// Fewest rounds that are numbered so one after another, from the start of a piece on, in a text that labels its rounds so.
const FEWEST: usize = 3;

/// Puts a mark behind the numbers of such rounds, so that they are read as labels.
pub(super) fn mark(lines: &mut [RawLine<'_>], text: &str, names: &Names) {
    let mut runs: Vec<Vec<(usize, usize)>> = Vec::new();
    let mut next = None;
    for (at, line) in lines.iter().enumerate() {
        let Some((first, last, end)) = numbers(line) else {
            continue;
        };
        if next == Some(first) {
            if let Some(run) = runs.last_mut() {
                run.push((at, end));
            }
        } else if first == 1 && starts(&line.tokens[end..], text, names) {
            runs.push(vec![(at, end)]);
        } else {
            continue;
        }
        next = last.checked_add(1);
    }
    if runs.iter().all(|run| run.len() < FEWEST) {
        return;
    }
    for (at, end) in runs.into_iter().flatten() {
        let number = lines[at].tokens[end - 1].span;
        let colon = Token {
            kind: Kind::Colon,
            span: Span::new(number.end, number.end),
            spaced: false,
            text: Cow::Borrowed(":"),
        };
        lines[at].tokens.insert(end, colon);
    }
}

/// The numbers that a line begins with, and the index behind them, if words that name stitches follow with no mark between.
fn numbers(line: &RawLine<'_>) -> Option<(u32, u32, usize)> {
    let number = |at: usize| match line.tokens.get(at)?.kind {
        Kind::Number(n) => Some(n),
        _ => None,
    };
    let first = number(0).filter(|_| line.kind == LineKind::Text)?;
    // `1 rnd: 6 sc`
    if label::read(&line.tokens).is_some_and(|label| !label.bare) {
        return None;
    }
    let is_range = line
        .tokens
        .get(1)
        .is_some_and(|t| t.kind == Kind::Dash && !t.spaced);
    let (last, end) = match number(2).filter(|last| is_range && *last > first) {
        Some(last) => (last, 3),
        None => (first, 1),
    };
    let body = line.tokens.get(end..)?;
    let opens = body.first().is_some_and(|t| {
        t.spaced && matches!(t.kind, Kind::Word | Kind::Number(_) | Kind::Open(_))
    });
    (opens && body.iter().any(names_stitch)).then_some((first, last, end))
}

/// True if words are the first round of a piece.
fn starts(body: &[Token<'_>], text: &str, names: &Names) -> bool {
    unlabelled::starts(&body::read(body, text, names, true))
}
