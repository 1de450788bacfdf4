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
    if let Some((first, span)) = told_apart(tokens) {
        let further = of_the_first(&first, text, names, true);
        return Some((further.map_or(first, |(kept, _)| kept), span));
    }
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

/// `Small: sc in each st around. Large: *sc in next 4 sts, inc* 6 times – 30 (36) sts`: the words of the first size and what all
/// sizes end with, and where the others stand.
fn told_apart<'s>(tokens: &[Token<'s>]) -> Option<(Vec<Token<'s>>, Span)> {
    const SIZES: &[&str] = &["small", "medium", "large", "mini", "big", "baby", "adult"];
    let opens = |at: usize| {
        let is_size = SIZES.iter().any(|size| tokens[at].is(size));
        is_size && tokens.get(at + 1).is_some_and(|t| t.kind == Kind::Colon)
    };
    let second = (3..tokens.len())
        .find(|&at| opens(at))
        .filter(|_| opens(0))?;
    let signs =
        |t: &Token<'s>| matches!(t.kind, Kind::Dash | Kind::Equals | Kind::Arrow) && t.spaced;
    let end = tokens[second..]
        .iter()
        .rposition(signs)
        .map(|at| second + at);
    let end = end.unwrap_or(tokens.len());
    let mut kept = tokens[2..second].to_vec();
    kept.pop_if(|t| t.kind == Kind::Stop);
    kept.extend_from_slice(&tokens[end..]);
    Some((kept, tokens[second].span.to(tokens[end - 1].span)))
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
