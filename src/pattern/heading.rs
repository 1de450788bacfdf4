//! Names of pieces: `## Wing (make 2)`, `EARS – make two`, `Foot x2`.

use super::lex::{Kind, Token};
use crate::source::{Span, limits};
use crate::terms::Terms;
use crate::terms::words::{self, Word};

/// A heading taken apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Name {
    pub name: String,
    pub make: u32,
    /// The words in brackets or after "in", which may name a yarn.
    pub rest: Option<Span>,
}

/// The name and number of a piece.
pub(super) fn read(tokens: &[Token<'_>], text: &str) -> Name {
    let is_mark = |t: &Token<'_>| matches!(t.kind, Kind::Star(_));
    let first = tokens.iter().position(|t| !is_mark(t)).unwrap_or(0);
    let mut end = tokens
        .iter()
        .rposition(|t| !is_mark(t) && t.kind != Kind::Colon)
        .map_or(first, |i| i + 1);
    let last = end;
    let mut make = 1;
    let mut first = first;
    if let Some((number, from)) = number_before(tokens, first, end) {
        make = number.clamp(1, limits::COPIES);
        first = from;
    }
    for at in first..end {
        let Some((number, from)) = number_to_make(tokens, at, end) else {
            continue;
        };
        make = number.clamp(1, limits::COPIES);
        end = from;
        break;
    }
    // Brackets, dashes and commas before the number belong to neither.
    while end > first + 1
        && matches!(
            tokens[end - 1].kind,
            Kind::Open(_) | Kind::Dash | Kind::Comma | Kind::Colon
        )
    {
        end -= 1;
    }
    let rest = (end < last).then(|| tokens[end].span.to(tokens[last - 1].span));
    // A bracket that does not say how many stays out of the name if it names a yarn; that is for the caller to say.
    let name = match (tokens.get(first), tokens.get(end.max(first + 1) - 1)) {
        (Some(a), Some(b)) => clean(&text[a.span.to(b.span).range()]),
        _ => String::new(),
    };
    Name { name, make, rest }
}

/// `2 Ears`, `Two fins`, `MAKE 2: CLAW`: the number, and where the name begins. `5. Hat` only has a list's number.
fn number_before(tokens: &[Token<'_>], first: usize, end: usize) -> Option<(u32, usize)> {
    let is_make = tokens.get(first)?.is("make");
    let at = first + usize::from(is_make);
    let number = number_at(tokens, at, end)?;
    let mark = tokens.get(at + 1).filter(|_| at + 1 < end)?;
    match mark.kind {
        Kind::Stop | Kind::Close(_) if !is_make => (at + 2 < end).then_some((1, at + 2)),
        Kind::Colon | Kind::Dash => (at + 2 < end).then_some((number, at + 2)),
        Kind::Word if number <= 12 && !mark.is("x") => Some((number, at + 1)),
        _ => None,
    }
}

/// The number at a token, in digits or words.
fn number_at(tokens: &[Token<'_>], at: usize, end: usize) -> Option<u32> {
    let token = tokens.get(at).filter(|_| at < end)?;
    match token.kind {
        Kind::Number(n) => Some(n),
        Kind::Word if token.is("both") => Some(2),
        Kind::Word => match words::longest(|i| (i == 0).then_some(&*token.text), Terms::Us)? {
            (Word::Number(n), _) => Some(n),
            _ => None,
        },
        _ => None,
    }
}

/// At `make 2`, `x2`, `(2)`, `both`: the number, and the index at which the name ends.
fn number_to_make(tokens: &[Token<'_>], at: usize, end: usize) -> Option<(u32, usize)> {
    let token = &tokens[at];
    let number = |index: usize| number_at(tokens, index, end);
    if token.is("make") || token.is("work") {
        return number(at + 1).map(|n| (n, at));
    }
    if (token.is("x") || token.kind == Kind::Times)
        && number(at + 1).is_some()
        && at + 2 >= end.saturating_sub(1)
    {
        return number(at + 1).map(|n| (n, at));
    }
    // `(2)`, `(x2)`, `(2 pieces)`: the last bracket, with nothing after it.
    if matches!(token.kind, Kind::Open(_)) && matches!(tokens[end - 1].kind, Kind::Close(_)) {
        let signed = tokens
            .get(at + 1)
            .is_some_and(|t| t.is("x") || t.kind == Kind::Times);
        let n = number(at + 1 + usize::from(signed))?;
        let inner = &tokens[at + 1..end - 1];
        let only = inner
            .iter()
            .all(|t| matches!(t.kind, Kind::Number(_) | Kind::Times | Kind::Word) && !t.is("in"));
        return only.then_some((n, at));
    }
    None
}

/// One line, single spaces, no control characters.
fn clean(words: &str) -> String {
    let kept: String = words
        .chars()
        .filter(|c| !c.is_control() && *c != '\u{ad}')
        .collect();
    kept.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::super::lex::lex;
    use super::*;

    #[test]
    fn the_number_to_make_is_no_part_of_the_name() {
        for (text, name, make) in [
            ("Wing (make 2)", "Wing", 2),
            ("EARS – make two", "EARS", 2),
            ("Foot x2", "Foot", 2),
            ("Foot (x 2)", "Foot", 2),
            ("Leg (2)", "Leg", 2),
            ("Head and body", "Head and body", 1),
            ("**Beak**", "Beak", 1),
            ("Wing (make 2, in B)", "Wing", 2),
            ("Tail:", "Tail", 1),
            ("2 Ears", "Ears", 2),
            ("MAKE 2: CLAW", "CLAW", 2),
            ("5. Hat", "Hat", 1),
            ("Two fins", "fins", 2),
        ] {
            let found = read(&lex(text, Span::new(0, text.len())), text);
            assert_eq!((found.name.as_str(), found.make), (name, make), "{text}");
        }
    }
}
