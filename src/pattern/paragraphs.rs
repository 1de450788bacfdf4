//! Paragraphs of rounds in which some are told without a label: `… (12). Work 5 rounds plain. 8th round: …`.

use super::lex::{Kind, Token};

/// The parts of a round's tokens from where sentences behind its work tell of further rounds, each such sentence as one of them, and
/// what stands between and behind them. Nothing where there are no such sentences.
pub(super) fn further_sentences<'t, 's>(
    tokens: &'t [Token<'s>],
    body: usize,
) -> Vec<&'t [Token<'s>]> {
    let mut parts = Vec::new();
    let mut from = None;
    let mut at = body;
    let mut depth = 0_i64;
    while at < tokens.len() {
        let opens = at > body
            && depth <= 0
            && tokens[at].has_capital()
            && matches!(tokens[at - 1].kind, Kind::Stop | Kind::Close(_));
        if opens && let Some(length) = tells_further_rounds(&tokens[at..]) {
            if let Some(from) = from.filter(|&from| from < at) {
                parts.push(&tokens[from..at]);
            }
            parts.push(&tokens[at..at + length]);
            at += length;
            from = Some(at);
            continue;
        }
        match tokens[at].kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth -= 1,
            _ => {}
        }
        at += 1;
    }
    parts.extend(from.filter(|&from| from < at).map(|from| &tokens[from..]));
    parts
}

/// The length of a sentence such as `Work 5 rounds plain.`, `Work even for 2 rounds (24).` or `Repeat 2nd round twice.`
fn tells_further_rounds(tokens: &[Token<'_>]) -> Option<usize> {
    const LONGEST: usize = 16;
    let is_end = |t: &Token<'_>| t.kind == Kind::Stop;
    let inner = tokens.iter().take(LONGEST);
    let length = inner.take_while(|t| !is_end(t)).count();
    let ends = length == tokens.len() || tokens.get(length).is_some_and(is_end);
    let words = &tokens[..length];
    let is_any = |t: &Token<'_>, list: &[&str]| list.iter().any(|word| t.is(word));
    let numbered = |at: usize| {
        matches!(words[at].kind, Kind::Number(_))
            || is_any(
                &words[at],
                &[
                    "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
                    "twelve",
                ],
            )
    };
    let rounds = words.iter().position(Token::names_rounds)?;
    let plainly = words
        .iter()
        .any(|t| is_any(t, &["straight", "even", "plain", "evenly"]));
    let opens = words.first()?;
    let even = is_any(opens, &["work", "continue", "now", "then", "crochet"])
        && plainly
        && (0..rounds).any(numbered);
    let again = is_any(opens, &["repeat", "rep"])
        && (0..words.len()).any(numbered)
        && !words.iter().any(|t| matches!(t.kind, Kind::Star(_)));
    (ends && (even || again)).then(|| tokens.len().min(length + 1))
}
