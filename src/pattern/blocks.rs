//! Lines → blocks: a round with all of its lines, and what is no round.

use super::body::{self, Names};
use super::label::{self, RawLabel};
use super::lex::{Kind, Token};
use super::lines::{LineKind, RawLine};
use super::whole::uses_letter_code;
use crate::terms::Terms;
use crate::terms::words::{self, Word};

/// A line, or a round with all of its lines.
pub(super) enum Block<'s> {
    Heading(u8, RawLine<'s>),
    Blank,
    Text(RawLine<'s>),
    Round(RawRound<'s>),
}

pub(super) struct RawRound<'s> {
    pub label: RawLabel,
    pub tokens: Vec<Token<'s>>,
    /// Brackets that are open at its end.
    depth: i64,
}

/// Puts the lines of each round together.
pub(super) fn blocks<'s>(lines: Vec<RawLine<'s>>, text: &str) -> Vec<Block<'s>> {
    let mut blocks: Vec<Block<'s>> = Vec::new();
    for line in lines {
        match line.kind {
            LineKind::Blank => blocks.push(Block::Blank),
            LineKind::Heading(level) => blocks.push(Block::Heading(level, line)),
            LineKind::Text => text_line(line, text, &mut blocks),
        }
    }
    number_foundations(&mut blocks);
    blocks
}

/// A foundation row is row 1 where row 2 comes next, else it stands before row 1.
fn number_foundations(blocks: &mut [Block<'_>]) {
    let mut next = None;
    for block in blocks.iter_mut().rev() {
        let Block::Round(round) = block else { continue };
        if round.label.foundation {
            let number = u32::from(next == Some(2));
            round.label.numbers = vec![(number, number)];
        }
        next = round.label.numbers.first().map(|run| run.0);
    }
}

fn text_line<'s>(line: RawLine<'s>, text: &str, blocks: &mut Vec<Block<'s>>) {
    if let Some(label) = label::read(&line.tokens)
        && is_round(&label, &line.tokens, text)
    {
        push_rounds(label, line.tokens, blocks);
        return;
    }
    if let Some(Block::Round(round)) = blocks.last_mut()
        && goes_on(round, &line)
    {
        round.depth += depth_of(&line.tokens);
        round.tokens.extend(line.tokens);
        return;
    }
    blocks.push(Block::Text(line));
}

/// A label with nothing but a number, or with no mark at its end, opens a round only if its body reads as one.
fn is_round(label: &RawLabel, tokens: &[Token<'_>], text: &str) -> bool {
    if !label.bare && !label.open_ended {
        return true;
    }
    let body = &tokens[label.body.min(tokens.len())..];
    if body.is_empty() {
        return false;
    }
    let names = Names {
        letter_code: uses_letter_code(body, text),
        ..Names::default()
    };
    let read = body::read(body, text, &names, false);
    // A lone capital may be a yarn: which there are is not known yet.
    let may_be_yarn =
        |words: &str| words.len() == 1 && words.starts_with(|c: char| c.is_ascii_uppercase());
    let slips = read
        .problems
        .iter()
        .filter(|p| match p.code {
            "unknown-stitch" => true,
            "unread" => !may_be_yarn(&text[p.span.range()]),
            _ => false,
        })
        .count();
    read.items.iter().any(|item| item.act.is_worked()) && slips == 0
}

/// One line may hold several rounds: `Rnd 5: 6 sc, ch 1, turn. Row 6: …`.
fn push_rounds<'s>(label: RawLabel, tokens: Vec<Token<'s>>, blocks: &mut Vec<Block<'s>>) {
    let mut labels = vec![(0, label)];
    let mut at = labels[0].1.body + 1;
    while at < tokens.len() {
        let parted = matches!(
            tokens[at - 1].kind,
            Kind::Stop | Kind::Semicolon | Kind::Close(_)
        );
        if parted
            && tokens[at].kind == Kind::Word
            && let Some(found) = label::read(&tokens[at..])
            && !found.bare
            && !found.open_ended
            && found.start == 0
        {
            let body = found.body;
            labels.push((at, found));
            at += body;
        }
        at += 1;
    }
    let mut rest = tokens.into_iter();
    let starts: Vec<usize> = labels
        .iter()
        .map(|(start, _)| *start)
        .chain([usize::MAX])
        .collect();
    for ((start, label), end) in labels.into_iter().zip(starts.into_iter().skip(1)) {
        let tokens: Vec<Token<'s>> = rest.by_ref().take(end - start).collect();
        let depth = depth_of(&tokens);
        blocks.push(Block::Round(RawRound {
            label,
            tokens,
            depth,
        }));
    }
}

/// Brackets that are open after these tokens.
fn depth_of(tokens: &[Token<'_>]) -> i64 {
    tokens
        .iter()
        .map(|token| match token.kind {
            Kind::Open(_) => 1,
            Kind::Close(_) => -1,
            _ => 0,
        })
        .sum()
}

/// True if a line belongs to the round above it: a bracket or comma is open there, or it begins in the middle of work.
fn goes_on(round: &RawRound<'_>, line: &RawLine<'_>) -> bool {
    let (Some(first), Some(last)) = (line.tokens.first(), round.tokens.last()) else {
        return false;
    };
    let depth = round.depth;
    let dangling = matches!(
        last.kind,
        Kind::Comma | Kind::Semicolon | Kind::Dash | Kind::Plus | Kind::Ampersand | Kind::Colon
    ) || last.kind == Kind::Word
        && matches!(
            &*last.text,
            "and"
                | "in"
                | "then"
                | "next"
                | "from"
                | "to"
                | "the"
                | "each"
                | "of"
                | "with"
                | "into"
        );
    if depth > 0 || dangling {
        return !line.bullet || depth > 0;
    }
    let ended = ends_with_total(&round.tokens);
    if ended || line.bullet {
        return false;
    }
    if line.indented || ends_with_total(&line.tokens) {
        return true;
    }
    match first.kind {
        Kind::Open(_)
        | Kind::Close(_)
        | Kind::Star(1)
        | Kind::Equals
        | Kind::Arrow
        | Kind::Comma => true,
        Kind::Number(_) => line.tokens.len() > 1,
        Kind::Word => {
            let word = words::longest(
                |i| {
                    line.tokens
                        .get(i)
                        .filter(|t| t.kind == Kind::Word)
                        .map(|t| &*t.text)
                },
                Terms::Us,
            );
            matches!(
                word,
                Some((
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
                        | Word::And,
                    _
                ))
            ) && !has_capital(first)
        }
        _ => false,
    }
}

/// A word's text is borrowed as it stands unless it had to be put into lower case.
fn has_capital(word: &Token<'_>) -> bool {
    matches!(word.text, std::borrow::Cow::Owned(_))
}

fn ends_with_total(round: &[Token<'_>]) -> bool {
    let mut at = round.len();
    while at > 0
        && matches!(
            round[at - 1].kind,
            Kind::Stop | Kind::Star(2..) | Kind::Other
        )
    {
        at -= 1;
    }
    let closes = at > 0 && matches!(round[at - 1].kind, Kind::Close(_));
    let number = round[..at]
        .iter()
        .rev()
        .skip(1)
        .take(3)
        .any(|t| matches!(t.kind, Kind::Number(_)));
    closes && number
}
