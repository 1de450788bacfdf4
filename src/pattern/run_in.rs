//! Names that run into the sentence after them: `BODY With A, make a slip ring.`, `**CAP.** White yarn.`

use super::heading;
use super::label;
use super::lex::{Kind, Token};
use super::lines::{LineKind, RawLine};

/// Most tokens of a name with its bracket.
const LONGEST_NAME: usize = 12;

/// Lines with the names that run into a sentence on lines of their own.
pub(super) fn parted<'s>(lines: Vec<RawLine<'s>>, text: &str) -> Vec<RawLine<'s>> {
    let mut parted = Vec::with_capacity(lines.len());
    for mut line in lines {
        let end = match line.kind {
            LineKind::Text if label::read(&line.tokens).is_none() => {
                end_of_bold(&line.tokens).or_else(|| end_of_capitals(&line.tokens, text))
            }
            _ => None,
        };
        if let Some(end) = end {
            let rest = line.tokens.split_off(end);
            let name = std::mem::replace(&mut line.tokens, rest);
            let whole = line.span;
            line.span = line.tokens[0].span.to(whole);
            parted.push(line.part(&name));
        }
        parted.push(line);
    }
    parted
}

/// The end of `**CAP.**`, with a sentence behind it.
fn end_of_bold(tokens: &[Token<'_>]) -> Option<usize> {
    tokens.first().filter(|t| t.is_bold())?;
    let inner = tokens.iter().take(LONGEST_NAME).skip(1);
    let end = inner.take_while(|t| !t.is_bold()).count() + 1;
    let ends = tokens.get(end).is_some_and(Token::is_bold) && tokens[end - 1].kind == Kind::Stop;
    let goes_on = tokens.get(end + 1).is_some_and(|t| t.kind == Kind::Word);
    (ends && goes_on).then_some(end + 1)
}

/// The end of `TAIL (make 2)` before a sentence: words in capitals, and a word after them that opens one.
fn end_of_capitals(tokens: &[Token<'_>], text: &str) -> Option<usize> {
    let words = |t: &Token<'_>| &text[t.span.range()];
    let is_capitals = |t: &Token<'_>| {
        t.kind == Kind::Word && words(t).chars().all(|c| !c.is_lowercase())
            || t.kind == Kind::Ampersand
    };
    let mut end = tokens
        .iter()
        .take(LONGEST_NAME)
        .take_while(|t| is_capitals(t))
        .count();
    let longest = tokens[..end]
        .iter()
        .map(|t| words(t).chars().count())
        .max()?;
    let of_letter = |t: &Token<'_>| words(t).chars().count() == 1;
    if longest < 3 || end == LONGEST_NAME || of_letter(&tokens[end - 1]) {
        return None;
    }
    let explains = heading::explains(&tokens[..end]);
    if matches!(tokens.get(end)?.kind, Kind::Open(_)) {
        let inner = tokens[end..].iter().take(LONGEST_NAME);
        end += inner
            .take_while(|t| !matches!(t.kind, Kind::Close(_)))
            .count()
            + 1;
    }
    // `MATERIALS 1 x 50 g …`, `ABBREVIATIONS ch = chain; …`
    let next = tokens.get(end)?;
    let opens = match next.kind {
        Kind::Word => explains || words(next).starts_with(char::is_uppercase),
        Kind::Number(_) => explains,
        _ => false,
    };
    // `IMPORTANT Do not stuff the arms.` would only hide the name above it; a list is found by its heading.
    if !explains && heading::opens_remarks(&tokens[..end]) {
        return None;
    }
    // A title is no sentence.
    const FEWEST_WORDS: usize = 3;
    let ends = tokens.last().is_some_and(|t| t.kind == Kind::Stop);
    (opens && ends && tokens.len() >= end + FEWEST_WORDS && next.spaced).then_some(end)
}
