//! Misspelt words of a round: `sc arround`, `magic rnig`. Read as the one word of the trade that is a letter away, if
//! the round reads better so.

use std::borrow::Cow;

use super::body::{self, BodyRead, Names, Reader};
use super::lex::{Kind, Token};
use crate::source::{Level, Problem, quoted};
use crate::terms::near;
use crate::terms::words::Word;

/// Most words of one round that are looked at.
const MOST: usize = 24;

/// The round read with its misspelt words mended, where that leaves fewer words unread; else as it was read.
pub(super) fn mended(
    read: BodyRead,
    tokens: &[Token<'_>],
    text: &str,
    names: &Names,
    first_round: bool,
) -> BodyRead {
    let mut slips = slips(&read, tokens, text, names, first_round);
    let mut other = tokens.to_vec();
    for &(at, word) in &slips {
        other[at].text = Cow::Borrowed(word);
    }
    let reader = Reader::new(&other, text, names, first_round);
    let (kept, dropped): (Vec<_>, Vec<_>) = slips.iter().partition(|&&(at, _)| {
        !is_in_a_stitchs_place(&read, &tokens[at]) || may_be_stitch(&reader, at)
    });
    slips = kept;
    if slips.is_empty() {
        return read;
    }
    for (at, _) in dropped {
        other[at].text = tokens[at].text.clone();
    }
    let mut better = body::read_round(&other, text, names, first_round);
    let faults = |read: &BodyRead| {
        read.problems
            .iter()
            .filter(|p| p.level > Level::Note)
            .count()
    };
    if faults(&better) >= faults(&read) {
        return read;
    }
    for (at, word) in slips {
        let span = tokens[at].span;
        let written = quoted(&text[span.range()]);
        better.problems.push(
            Problem::warning(
                "misspelt",
                span,
                format!("{written} is no word that I know: read as `{word}`"),
            )
            .help(format!("write `{word}`"))
            .mend(span, word),
        );
    }
    better
}

/// True if a stitch was looked for where this word stands.
fn is_in_a_stitchs_place(read: &BodyRead, token: &Token<'_>) -> bool {
    let start = token.span.start;
    let mut problems = read.problems.iter();
    problems.any(|p| p.code == "unknown-stitch" && p.span.start == start)
}

/// `frob around` is no `from around`: words that only lead on to others stand for no stitch.
fn may_be_stitch(reader: &Reader<'_>, at: usize) -> bool {
    !matches!(
        reader.word_ahead(at),
        Some((
            Word::From
                | Word::Of
                | Word::To
                | Word::In
                | Word::With
                | Word::Over
                | Word::Through
                | Word::Until
                | Word::And
                | Word::Around
                | Word::As,
            _
        ))
    )
}

/// Places of misspelt words among those that were not read, and the words meant.
fn slips(
    read: &BodyRead,
    tokens: &[Token<'_>],
    text: &str,
    names: &Names,
    first_round: bool,
) -> Vec<(usize, &'static str)> {
    let unread: Vec<_> = read
        .problems
        .iter()
        .filter(|p| matches!(p.code, "unread" | "unknown-stitch"))
        .map(|p| p.span)
        .collect();
    if unread.is_empty() {
        return Vec::new();
    }
    let reader = Reader::new(tokens, text, names, first_round);
    let mut next = unread.iter().peekable();
    let mut found = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        while next.peek().is_some_and(|span| span.end <= token.span.start) {
            next.next();
        }
        let inside = next
            .peek()
            .is_some_and(|span| span.start <= token.span.start);
        if !inside || token.kind != Kind::Word || reader.word_ahead(at).is_some() {
            continue;
        }
        if found.len() >= MOST {
            break;
        }
        let is_name = names.pieces.contains(&*token.text)
            || names
                .yarns
                .iter()
                .any(|yarn| yarn.to_lowercase() == *token.text);
        if !is_name && let Some(word) = near::nearest(&token.text) {
            found.push((at, word));
        }
    }
    found
}
