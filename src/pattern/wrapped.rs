//! Wrapped text: whether a line goes on with the round above it.

use super::clause::step_of;
use super::heading;
use super::lex::{Kind, Token};
use super::lines::{self, RawLine};
use crate::terms::Terms;
use crate::terms::words::{self, Word};

/// Most tokens of a phrase that a line break may part.
const LONGEST_PHRASE: usize = 4;
/// Tokens of a label with a stop, and of some stitches: a number behind another stop is a total.
const LABEL_AND_WORK: usize = 7;
/// Most tokens of a total in brackets.
const LONGEST_TOTAL: usize = 16;

/// True if a line belongs to the round above it: a bracket or phrase is open there, or the line begins in the middle of work.
/// `depth` counts the brackets that are open at the round's end.
pub(super) fn goes_on(round: &[Token<'_>], depth: i64, line: &RawLine<'_>, text: &str) -> bool {
    let (Some(first), Some(last)) = (line.tokens.first(), round.last()) else {
        return false;
    };
    if waits_for(round, depth, line, text) {
        return true;
    }
    if line.bullet
        || ends_with_total(round)
        || ends_with_signed_total(round) && !is_total(&line.tokens)
    {
        return false;
    }
    // `12:20 the roof`, where the film goes on
    if lines::opens_with_time(&line.tokens) {
        return false;
    }
    let is_capital = begins_anew(first, round, text);
    // `3<tab>sc in each st<tab>12`, and below it `<tab>Change to A`
    let below_a_row = is_capital && matches!(last.kind, Kind::Number(_));
    if line.indented && !below_a_row
        || is_total(&line.tokens)
        || !is_capital && ends_with_total(&line.tokens)
    {
        return true;
    }
    if is_capital && ends_with_total(&line.tokens) && line.tokens.iter().any(names_stitch) {
        return true;
    }
    match first.kind {
        Kind::Open(_) | Kind::Close(_) | Kind::Equals | Kind::Arrow | Kind::Times | Kind::Comma => {
            true
        }
        // A line in italics is a remark.
        Kind::Star(1) => !line.tokens[1..]
            .last()
            .is_some_and(|t| t.kind == Kind::Star(1)),
        // `2. LEG (make 2) - Brown`
        Kind::Number(_) if heading::may_name(line, text) => false,
        // A number alone may be a page's, but not after a stitch that waits for one.
        Kind::Number(_) => line.tokens.len() > 1 || names_stitch(last) || last.is("crochet"),
        Kind::Word => !is_capital && is_mostly_work(&line.tokens, last.kind == Kind::Stop),
        _ => false,
    }
}

/// True if a line can only go on with the round above it, where each line is a round of its own.
pub(super) fn must_go_on(round: &[Token<'_>], depth: i64, line: &RawLine<'_>, text: &str) -> bool {
    let total_alone = || is_total(&line.tokens) && !ends_with_total(round);
    waits_for(round, depth, line, text) || total_alone()
}

/// True if a bracket or phrase is open at the round's end, or the line begins with what only something before it can mean.
fn waits_for(round: &[Token<'_>], depth: i64, line: &RawLine<'_>, text: &str) -> bool {
    let (Some(first), Some(last)) = (line.tokens.first(), round.last()) else {
        return false;
    };
    if depth > 0 {
        return true;
    }
    if line.bullet {
        return false;
    }
    let is_capital = begins_anew(first, round, text);
    // `inc x 6 -12-`
    let is_dashed = matches!(round, [.., before, number, _] if before.kind == Kind::Dash
        && matches!(number.kind, Kind::Number(_)));
    if asks_for_more(last) && !(is_dashed && last.kind == Kind::Dash)
        || !is_capital && parts_a_phrase(round, &line.tokens)
        || waits_with_number(round, is_capital && !first.is("x"))
            && (is_counted(&line.tokens) || first.is("x"))
        || last.kind == Kind::Star(1) && matches!(first.kind, Kind::Number(_))
    {
        return true;
    }
    let says_so = matches!(
        first.kind,
        Kind::Open(_) | Kind::Dash | Kind::Equals | Kind::Arrow | Kind::Number(_)
    );
    multiplies(&line.tokens, is_capital) || says_so && is_total(&line.tokens)
}

/// Marks and words that never end a round.
fn asks_for_more(last: &Token<'_>) -> bool {
    match last.kind {
        Kind::Comma
        | Kind::Semicolon
        | Kind::Dash
        | Kind::Plus
        | Kind::Ampersand
        | Kind::Colon
        | Kind::Slash
        | Kind::Equals
        | Kind::Arrow
        | Kind::Times => true,
        // A capital A is a yarn.
        Kind::Word if last.text == "a" => matches!(last.text, std::borrow::Cow::Borrowed(_)),
        Kind::Word => matches!(
            &*last.text,
            "and"
                | "in"
                | "then"
                | "next"
                | "from"
                | "to"
                | "the"
                | "each"
                | "every"
                | "of"
                | "with"
                | "into"
                | "an"
                | "this"
                | "first"
                | "second"
                | "same"
                | "other"
                | "through"
                | "both"
                | "all"
                | "skip"
                | "miss"
                | "until"
                | "using"
                | "for"
                | "as"
                | "or"
                | "x"
        ),
        _ => false,
    }
}

/// `8 single ⏎ crochet`, `in magic ⏎ ring`: words on both sides of the break are one phrase.
fn parts_a_phrase(round: &[Token<'_>], line: &[Token<'_>]) -> bool {
    (1..LONGEST_PHRASE.min(round.len() + 1)).any(|back| {
        let tokens = &round[round.len() - back..];
        let word = |at: usize| {
            let token = tokens.get(at).or_else(|| line.get(at - back.min(at)))?;
            (token.kind == Kind::Word).then_some(&*token.text)
        };
        // The last word on its own may already mean as much: `fasten`, `single`.
        words::longest(word, Terms::Us).is_some_and(|(_, taken)| taken > back)
    })
}

/// A number that is no total (`= 18` is one); before a capital, one that follows a mark: `Rnd 2: 6 ⏎ SC`.
fn waits_with_number(round: &[Token<'_>], before_capital: bool) -> bool {
    let [.., before, last] = round else {
        return false;
    };
    // `MR 6`: the number is of stitches in the ring.
    let into_ring = before.is("mr") || before.is("mc") || before.is("ring");
    matches!(last.kind, Kind::Number(_))
        && !into_ring
        && match before.kind {
            Kind::Equals | Kind::Arrow | Kind::Dash => false,
            // `… before you close. 30`, but not `R 3. 5`
            Kind::Stop if is_sentence(round) => false,
            Kind::Colon | Kind::Comma | Kind::Star(2..) => true,
            _ => !before_capital,
        }
}

/// True if a word, and not a label's number, stands before the stop that the last number stands behind.
fn is_sentence(round: &[Token<'_>]) -> bool {
    matches!(round, [.., word, _, _] if word.kind == Kind::Word && word.text.len() > 2)
}

/// `sts`, `more times`, `sc (8)`: words that a number may stand before.
fn is_counted(line: &[Token<'_>]) -> bool {
    matches!(
        known(line),
        Some((
            Word::Stitch(_)
                | Word::Increase
                | Word::Decrease
                | Word::AnyStitch
                | Word::Space
                | Word::Corner
                | Word::Times
                | Word::More,
            _
        ))
    )
}

/// `around`, `x 6`, `6 times`, `twice`: only what stands before it can be meant.
fn multiplies(line: &[Token<'_>], is_capital: bool) -> bool {
    let is_number = |at: usize| matches!(line.get(at).map(|t| t.kind), Some(Kind::Number(_)));
    if is_number(0) {
        return matches!(known(&line[1..]), Some((Word::Times, _)));
    }
    match known(line) {
        Some((Word::Around | Word::TimesWord(_) | Word::Times, _)) => !is_capital,
        Some((Word::Number(_), taken)) => {
            matches!(known(&line[taken..]), Some((Word::Times, _)))
        }
        _ => {
            (line[0].is("x") || matches!(line[0].kind, Kind::Times | Kind::Star(1))) && is_number(1)
        }
    }
}

/// A word that begins a sentence or a name. In a text of capitals, capitals say nothing.
fn begins_anew(first: &Token<'_>, round: &[Token<'_>], text: &str) -> bool {
    const LOOKED_BACK: usize = 12;
    let in_capitals = |token: &Token<'_>| text[token.span.range()].chars().all(char::is_uppercase);
    let mut before = round.iter().rev().take(LOOKED_BACK);
    let last = before.find(|t| t.kind == Kind::Word && t.text.len() > 1);
    let shouts = last.is_some_and(in_capitals);
    first.has_capital() && !(shouts && in_capitals(first))
}

/// At least half of the words are words of the trade, and the first opens no step of its own: `around`, `of the fin, 4 sc`.
fn is_mostly_work(line: &[Token<'_>], after_sentence: bool) -> bool {
    match known(line) {
        Some((word, _)) if step_of(word).is_some() || word == Word::Remark => return false,
        None if after_sentence => return false,
        Some((word, _)) if after_sentence => {
            return matches!(
                word,
                Word::Stitch(_)
                    | Word::Increase
                    | Word::Decrease
                    | Word::In
                    | Word::Next
                    | Word::Each
                    | Word::AnyStitch
                    | Word::Repeat
                    | Word::Times
                    | Word::Around
                    | Word::And
            );
        }
        _ => {}
    }
    let (mut work, mut other, mut at) = (0usize, 0usize, 0);
    while at < line.len() {
        let taken = match known(&line[at..]) {
            Some((Word::Filler, taken)) => taken,
            Some((_, taken)) => {
                work += 1;
                taken
            }
            None => {
                other += usize::from(line[at].kind == Kind::Word);
                1
            }
        };
        at += taken;
    }
    work > 0 && work >= other
}

pub(super) fn names_stitch(token: &Token<'_>) -> bool {
    known(std::slice::from_ref(token)).is_some_and(|(word, _)| word.names_stitch())
}

/// The phrase of the trade at the front of some tokens.
fn known(tokens: &[Token<'_>]) -> Option<(Word, usize)> {
    let word = |at: usize| {
        let token = tokens.get(at).filter(|t| t.kind == Kind::Word)?;
        Some(&*token.text)
    };
    words::longest(word, Terms::Us)
}

/// A line that is nothing but a total: `= 6 sts`, `– 12`, `[18]`.
fn is_total(line: &[Token<'_>]) -> bool {
    let numbers = line.iter().filter(|t| matches!(t.kind, Kind::Number(_)));
    let is_unit = |t: &Token<'_>| {
        matches!(
            known(std::slice::from_ref(t)),
            Some((
                Word::AnyStitch
                    | Word::Stitch(_)
                    | Word::Space
                    | Word::Corner
                    | Word::In
                    | Word::All
                    | Word::Total,
                _
            ))
        )
    };
    numbers.count() == 1
        && line.len() > 1
        && line.iter().all(|t| match t.kind {
            Kind::Word => is_unit(t),
            Kind::Star(_) | Kind::Comma => false,
            _ => true,
        })
}

/// True if a round ends with `= 24`, `→ 24 sts` or `– 24 sts`.
fn ends_with_signed_total(round: &[Token<'_>]) -> bool {
    let end = round
        .iter()
        .rposition(|t| t.kind != Kind::Stop)
        .map_or(0, |at| at + 1);
    let unit = round[..end]
        .last()
        .is_some_and(|t| matches!(&*t.text, "st" | "sts" | "stitches"));
    let [.., sign, number] = &round[..end - usize::from(unit)] else {
        return false;
    };
    let signed = match sign.kind {
        Kind::Equals | Kind::Arrow => true,
        Kind::Dash => unit,
        // `Rnd 1- 5 sc in mr, pull tight. 5`
        Kind::Stop => round.len() > LABEL_AND_WORK,
        _ => false,
    };
    signed && matches!(number.kind, Kind::Number(_))
}

/// True if a round ends with its total in brackets.
pub(super) fn ends_with_total(round: &[Token<'_>]) -> bool {
    let mut at = round.len();
    while at > 0
        && matches!(
            round[at - 1].kind,
            Kind::Stop | Kind::Star(2..) | Kind::Other
        )
    {
        at -= 1;
    }
    if at == 0 || !matches!(round[at - 1].kind, Kind::Close(_)) {
        return false;
    }
    let inner = &round[at.saturating_sub(LONGEST_TOTAL)..at - 1];
    let opens = inner.iter().rposition(|t| matches!(t.kind, Kind::Open(_)));
    let Some(opens) = opens else {
        return false;
    };
    let inner = &inner[opens + 1..];
    let works = known(inner).is_some_and(|(word, _)| word.names_stitch())
        || inner
            .iter()
            .any(|t| matches!(t.kind, Kind::Close(_)) || t.is("tog"));
    inner
        .iter()
        .rev()
        .take(3)
        .any(|t| matches!(t.kind, Kind::Number(_)))
        && !works
        && !inner
            .iter()
            .any(|t| t.is("make") || t.is("counts") || t.is("count"))
}
