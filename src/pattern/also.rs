//! `(18) // repeat this for Rnd 5`: words behind a round that put more rounds under its label.

use super::label;
use super::lex::{Kind, Token};

/// Further rounds that a round's own words are for.
pub(super) struct Also {
    /// Where the words begin, with the mark before them.
    pub first: usize,
    /// The first and the last of the further rounds.
    pub numbers: (u32, u32),
}

/// The words at the end of a round that say that the rounds after `last` are worked as it is.
pub(super) fn find(tokens: &[Token<'_>], last: u32) -> Option<Also> {
    const LOOKED_BACK: usize = 14;
    let from = tokens.len().saturating_sub(LOOKED_BACK);
    let at = (from..tokens.len()).find(|&at| tokens[at].is("for") && says_again(tokens, at))?;
    let rounds = label::read(&tokens[at + 1..]).filter(|label| !label.bare)?;
    let ends = tokens[at + 1 + rounds.end..]
        .iter()
        .all(|t| matches!(t.kind, Kind::Stop | Kind::Close(_)));
    let [numbers] = rounds.numbers[..] else {
        return None;
    };
    if !ends || Some(numbers.0) != last.checked_add(1) {
        return None;
    }
    let mut first = at;
    while first > 0 && (is_again(&tokens[first - 1]) || is_mark(&tokens[first - 1])) {
        first -= 1;
    }
    Some(Also { first, numbers })
}

/// True if `repeat this`, `same` or `also` stands before the token.
fn says_again(tokens: &[Token<'_>], at: usize) -> bool {
    let mut before = tokens[..at].iter().rev().take_while(|t| is_again(t));
    before.any(|t| !t.is("this") && !t.is("the") && !t.is("round"))
}

fn is_again(token: &Token<'_>) -> bool {
    matches!(
        &*token.text,
        "repeat" | "rep" | "same" | "also" | "again" | "this" | "the" | "round"
    )
}

/// A mark that parts a remark from the round before it.
fn is_mark(token: &Token<'_>) -> bool {
    matches!(
        token.kind,
        Kind::Slash | Kind::Dash | Kind::Comma | Kind::Semicolon | Kind::Stop | Kind::Open(_)
    )
}
