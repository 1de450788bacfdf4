//! Numbers of several sizes, `6 (8, 10) sc`: those of the first size are kept.

use super::body::{Names, Reader};
use super::lex::{Kind, Token};
use crate::source::Span;
use crate::terms::words::Word;

/// The words without the numbers of the other sizes, and where the first of these stand; `None` where there are none.
/// With `known`, other rounds have told that the pattern has several sizes.
pub(super) fn of_the_first<'s>(
    tokens: &[Token<'s>],
    text: &str,
    names: &Names,
    known: bool,
) -> Option<(Vec<Token<'s>>, Span)> {
    let reader = Reader::new(tokens, text, names, false);
    // What a total in a bracket is followed by is not counted, so one place that is sure tells of the others.
    let is_sure = |at: usize| others(tokens, at).is_some_and(|end| counts_something(&reader, end));
    if !known && !(0..tokens.len()).any(is_sure) {
        return None;
    }
    let mut span = None;
    let mut kept = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        kept.push(tokens[at].clone());
        let begins = at;
        at += 1;
        // The last of all may be a total: `sc 6 (8)`; after a sign it is one of several sizes.
        let signed = begins
            .checked_sub(1)
            .is_some_and(|at| matches!(tokens[at].kind, Kind::Equals | Kind::Arrow | Kind::Dash));
        let end = others(tokens, begins).filter(|&end| end < tokens.len() || signed);
        if let Some(end) = end {
            at = end;
        } else if let (Kind::Open(_), Some(end)) = (tokens[begins].kind, listed(tokens, at)) {
            // `(18, 24)`
            kept.push(tokens[at].clone());
            at = end;
        } else {
            continue;
        }
        span.get_or_insert(tokens[begins].span.to(tokens[at - 1].span));
    }
    Some((kept, span?))
}

/// At the first of some numbers in a bracket, each greater than the one before and nothing else: where it closes.
fn listed(tokens: &[Token<'_>], first: usize) -> Option<usize> {
    let mut at = first;
    let mut last = 0;
    loop {
        match tokens.get(at)?.kind {
            Kind::Number(n) if n > last => last = n,
            _ => return None,
        }
        match tokens.get(at + 1)?.kind {
            Kind::Close(_) if at > first => return Some(at + 1),
            Kind::Comma | Kind::Slash => at += 2,
            _ => return None,
        }
    }
}

/// At a number that greater ones follow in a bracket: where the bracket has ended.
fn others(tokens: &[Token<'_>], at: usize) -> Option<usize> {
    let Kind::Number(mut last) = tokens.get(at)?.kind else {
        return None;
    };
    let Kind::Open(_) = tokens.get(at + 1)?.kind else {
        return None;
    };
    let mut at = at + 2;
    loop {
        match tokens.get(at)?.kind {
            Kind::Number(n) if n > last => last = n,
            _ => return None,
        }
        match tokens.get(at + 1)?.kind {
            Kind::Close(_) => return Some(at + 2),
            Kind::Comma | Kind::Slash | Kind::Semicolon => at += 2,
            _ => return None,
        }
    }
}

/// True if what stands at a token is counted by the number before it: a stitch, or times.
fn counts_something(reader: &Reader<'_>, at: usize) -> bool {
    reader.word_ahead(at).is_some_and(|(word, _)| {
        word.names_stitch() || matches!(word, Word::Times | Word::AnyStitch)
    })
}
