//! `(18) // repeat this for Rnd 5`: words behind a round that put more rounds under its label.

use super::label;
use super::lex::{Kind, Token};

/// Further rounds that a round's own words are for.
pub(super) struct Also {
    /// Where the words begin, with the mark before them.
    pub first: usize,
    /// Where they end; a total may stand behind them.
    pub end: usize,
    /// The first and the last of the further rounds.
    pub numbers: (u32, u32),
}

/// The words at the end of a round that say that the rounds after `last` are worked as it is.
pub(super) fn find(tokens: &[Token<'_>], last: u32) -> Option<Also> {
    const LOOKED_BACK: usize = 14;
    let from = tokens.len().saturating_sub(LOOKED_BACK);
    if let Some(found) = so_many_more(tokens, last) {
        return Some(found);
    }
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
    let end = tokens.len();
    Some(Also {
        first,
        end,
        numbers,
    })
}

/// `Keep doing that for 8 more rounds, through Rnd 16`, `do this for 3 more rounds`: a sentence behind the round's own.
fn so_many_more(tokens: &[Token<'_>], last: u32) -> Option<Also> {
    const OPENS: &[&str] = &["keep", "continue", "do", "repeat", "carry"];
    const LONGEST: usize = 7;
    let mut stops = (1..tokens.len()).filter(|&at| {
        let opens = OPENS.iter().any(|word| tokens[at].is(word));
        opens && tokens[at - 1].kind == Kind::Stop
    });
    let opens = stops.next_back()?;
    let sentence = tokens[opens..]
        .iter()
        .take_while(|t| t.kind != Kind::Stop)
        .count();
    let words = &tokens[opens..opens + sentence];
    let at = words.iter().take(LONGEST).position(|t| t.is("for"))?;
    let [number, more, rounds, ..] = words.get(at + 1..)? else {
        return None;
    };
    let Kind::Number(count @ 1..) = number.kind else {
        return None;
    };
    if !more.is("more") || !rounds.names_rounds() {
        return None;
    }
    // A repeat of other rounds names them.
    let names_others = words[..at]
        .iter()
        .any(|t| t.names_rounds() && !t.is("round"));
    let numbers = (last.checked_add(1)?, last.checked_add(count)?);
    (!names_others).then_some(Also {
        first: opens,
        end: opens + sentence,
        numbers,
    })
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
