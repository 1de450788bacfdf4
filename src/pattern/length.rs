//! How far rounds are worked on: until a number of stitches, or a length that the maker may choose.

use super::lex::{Kind, Token};
use super::tree::{Header, Length};
use crate::source::{Span, words};
use crate::terms::gauge::round_mm;
use crate::terms::lengths::lengths;

/// What ends rounds that are worked on and on.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Until {
    /// So many stitches; the number in brackets after it.
    Stitches(u32, Option<(u32, Span)>),
    /// A length. `more` says that it is counted from here on, not from the start of the piece.
    Open { length: Length, more: bool },
}

/// Words that end rounds, and the tokens that they take.
pub(super) struct Found {
    pub until: Until,
    pub first: usize,
    pub end: usize,
}

impl Found {
    /// The words that say it, of the tokens that they were found among.
    pub fn words(&self, tokens: &[Token<'_>]) -> Span {
        span_of(tokens.get(self.first..self.end).unwrap_or_default())
    }
}

/// From the first of some tokens to the last.
pub(super) fn span_of(tokens: &[Token<'_>]) -> Span {
    match tokens {
        [] => Span::default(),
        [one] => one.span,
        [first, .., last] => first.span.to(last.span),
    }
}

/// Most tokens of the words after `until`.
const LONGEST: usize = 20;

/// The words of a line that say how far it is worked on. Without a name of its own, what grows is `piece`.
pub(super) fn find(tokens: &[Token<'_>], text: &str, piece: &str) -> Option<Found> {
    let mut depth = 0i32;
    for (at, token) in tokens.iter().enumerate() {
        match token.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth -= 1,
            Kind::Word if depth == 0 => {
                let found = match &*token.text {
                    "until" | "till" | "til" => until(tokens, at, text, piece),
                    "for" => for_length(tokens, at, text, piece),
                    "to" | "as" => as_you_like(tokens, at, piece),
                    _ => None,
                };
                if found.is_some() {
                    return found;
                }
            }
            _ => {}
        }
    }
    None
}

fn is_unit_of_stitches(token: &Token<'_>) -> bool {
    matches!(
        &*token.text,
        "st" | "sts" | "stitch" | "stitches" | "sc" | "hdc" | "dc"
    )
}

/// Where the words that begin at `at` end: at a mark that parts sentences, or at a bracket.
fn end_of(tokens: &[Token<'_>], at: usize) -> usize {
    let decimal = |i: usize| {
        tokens[i].kind == Kind::Stop
            && tokens
                .get(i + 1)
                .is_some_and(|t| matches!(t.kind, Kind::Number(_)) && !t.spaced)
    };
    let parts = |i: usize| {
        matches!(
            tokens[i].kind,
            Kind::Comma
                | Kind::Semicolon
                | Kind::Stop
                | Kind::Open(_)
                | Kind::Close(_)
                | Kind::Equals
                | Kind::Arrow
        ) && !decimal(i)
    };
    (at..tokens.len())
        .take(LONGEST)
        .find(|&i| parts(i))
        .unwrap_or(tokens.len().min(at + LONGEST))
}

fn until(tokens: &[Token<'_>], at: usize, text: &str, piece: &str) -> Option<Found> {
    if let Some(found) = until_stitches(tokens, at) {
        return Some(found);
    }
    let end = end_of(tokens, at);
    let words = &tokens[at + 1..end];
    let speaks_of_length = words.iter().any(|t| {
        matches!(
            &*t.text,
            "long"
                | "longer"
                | "length"
                | "measures"
                | "measure"
                | "measured"
                | "tall"
                | "high"
                | "desired"
                | "like"
                | "wish"
                | "want"
                | "reaches"
                | "fits"
                | "happy"
        )
    });
    let length_mm = length_in(words, text);
    if !speaks_of_length && length_mm.is_none() {
        return None;
    }
    let verb = words.iter().position(|t| {
        matches!(
            &*t.text,
            "is" | "are" | "measures" | "measure" | "reaches" | "fits" | "has" | "looks" | "about"
        )
    });
    let length = Length {
        name: name_of(&words[..verb.unwrap_or(0)], text, piece),
        length_mm,
        ..Length::default()
    };
    Some(Found {
        until: Until::Open {
            length,
            more: false,
        },
        first: at,
        end,
    })
}

/// `until 40 sts`, `until you have 40 (42) sts`, `until 6 sts remain`.
fn until_stitches(tokens: &[Token<'_>], at: usize) -> Option<Found> {
    const FEW: usize = 6;
    let number = |i: usize| match tokens.get(i)?.kind {
        Kind::Number(n) => Some(n),
        _ => None,
    };
    let place = (at + 1..tokens.len())
        .take(FEW)
        .find(|&i| tokens[i].kind != Kind::Word)?;
    let stitches = number(place)?;
    let mut next = place + 1;
    let mut other = None;
    if matches!(tokens.get(next).map(|t| t.kind), Some(Kind::Open(_)))
        && let Some(n) = number(next + 1)
        && matches!(tokens.get(next + 2).map(|t| t.kind), Some(Kind::Close(_)))
    {
        other = Some((n, tokens[next + 1].span));
        next += 3;
    }
    tokens.get(next).filter(|t| is_unit_of_stitches(t))?;
    next += 1;
    if tokens
        .get(next)
        .is_some_and(|t| matches!(&*t.text, "remain" | "left" | "remaining" | "total"))
    {
        next += 1;
    }
    Some(Found {
        until: Until::Stitches(stitches, other),
        first: at,
        end: next,
    })
}

/// `for 8 cm`, `for another 3 inches`.
fn for_length(tokens: &[Token<'_>], at: usize, text: &str, piece: &str) -> Option<Found> {
    // `leave a tail for 20 cm`
    let leaves = tokens[at.saturating_sub(4)..at]
        .iter()
        .any(|t| matches!(&*t.text, "leave" | "leaving" | "tail" | "end"));
    if leaves {
        return None;
    }
    let end = end_of(tokens, at).min(at + 6);
    let length_mm = length_in(&tokens[at + 1..end], text);
    let chosen = tokens[at + 1..end].iter().any(|t| t.is("many"))
        && tokens[at + 1..end]
            .iter()
            .any(|t| t.is("rounds") || t.is("rnds") || t.is("rows"));
    if length_mm.is_none() && !chosen {
        return None;
    }
    let length = Length {
        name: piece.to_owned(),
        length_mm,
        ..Length::default()
    };
    Some(Found {
        until: Until::Open { length, more: true },
        first: at,
        end: end_of(tokens, at),
    })
}

/// `to desired length`, `as long as you like`.
fn as_you_like(tokens: &[Token<'_>], at: usize, piece: &str) -> Option<Found> {
    let end = end_of(tokens, at);
    let words = &tokens[at..end];
    let has = |word: &str| words.iter().any(|t| t.is(word));
    let chosen = has("length")
        && (has("desired") || has("like") || has("required") || has("wanted"))
        || has("long") && (has("like") || has("wish") || has("want"));
    chosen.then(|| Found {
        until: Until::Open {
            length: Length {
                name: piece.to_owned(),
                ..Length::default()
            },
            more: false,
        },
        first: at,
        end,
    })
}

/// What grows, by the words before the verb.
fn name_of(words: &[Token<'_>], text: &str, piece: &str) -> String {
    let says_nothing = |t: &Token<'_>| {
        matches!(
            &*t.text,
            "the"
                | "your"
                | "a"
                | "it"
                | "piece"
                | "work"
                | "whole"
                | "this"
                | "that"
                | "you"
                | "all"
        )
    };
    let kept: Vec<&str> = words
        .iter()
        .filter(|t| t.kind == Kind::Word && !says_nothing(t))
        .map(|t| &text[t.span.range()])
        .collect();
    if kept.is_empty() || kept.len() > 4 {
        piece.to_owned()
    } else {
        kept.join(" ")
    }
}

/// The first length among some tokens, in millimetres.
fn length_in(tokens: &[Token<'_>], text: &str) -> Option<f64> {
    length_mm(&text[span_of(tokens).range()])
}

/// The length that some words name, in millimetres: `12 cm`.
pub fn length_mm(words: &str) -> Option<f64> {
    let words: Vec<_> = words::split(words, 0).collect();
    lengths(&words).next().map(|(_, length)| length.mm)
}

/// How many rounds the header's gauge makes of a length; `None` without a gauge of rounds.
pub fn rounds_in(header: &Header, text: &str, length_mm: f64) -> Option<u32> {
    const MOST: f64 = 500.0;
    let gauge = header
        .entries
        .iter()
        .find(|e| matches!(&*e.key, "gauge" | "tension"))?;
    let words: Vec<_> = words::split(&text[gauge.value.range()], 0).collect();
    let rounds = (length_mm / round_mm(&words)?).round();
    (rounds >= 1.0).then(|| rounds.min(MOST) as u32)
}
