//! The lines before the first piece: `Key: value`.

use super::lex::{Kind, Token};
use super::lines::{LineKind, RawLine};
use super::tree::{Entry, Header, Spanned, Yarn};
use super::yarns;
use crate::source::{Problem, Span, limits, quoted};
use crate::terms::{Hand, Terms, hooks};

/// Reads the header out of the lines before the first round.
pub(super) fn read<'b, 's: 'b>(
    lines: impl Iterator<Item = &'b RawLine<'s>>,
    text: &str,
    problems: &mut Vec<Problem>,
) -> Header {
    let mut header = Header::default();
    // Below `Yarn:`, for as long as the lines name yarns.
    let mut in_list = false;
    for line in lines {
        match line.kind {
            LineKind::Blank => continue,
            LineKind::Heading(_) => {}
            LineKind::Text => read_line(&mut header, &line.tokens, text, problems),
        }
        let lists = read_yarns(&mut header, &line.tokens, text, in_list, problems);
        in_list = yarns::opens_list(&line.tokens) || in_list && lists;
    }
    header
}

/// Takes a line into the header if it has the form `Key: value`.
fn read_line(header: &mut Header, tokens: &[Token<'_>], text: &str, problems: &mut Vec<Problem>) {
    let tokens = trim_marks(tokens);
    let Some(colon) = tokens.iter().take(6).position(|t| t.kind == Kind::Colon) else {
        return;
    };
    let (Some(first), Some(last)) = (tokens.first(), tokens.last()) else {
        return;
    };
    if colon == 0 || first.kind != Kind::Word {
        return;
    }
    let key_words: Vec<String> = tokens[..colon]
        .iter()
        .filter(|t| !matches!(t.kind, Kind::Star(_)))
        .map(|t| t.text.to_string())
        .collect();
    let key = key_words.join(" ");
    let value_tokens = trim_marks(&tokens[colon + 1..]);
    let value = match (value_tokens.first(), value_tokens.last()) {
        (Some(a), Some(b)) => a.span.to(b.span),
        _ => Span::new(last.span.end, last.span.end),
    };
    let words = text[value.range()].trim().trim_end_matches('.');
    match key.as_str() {
        "terms" => match terms(words) {
            Some(terms) => {
                header.terms = Some(Spanned {
                    value: terms,
                    span: value,
                })
            }
            None => problems.push(
                Problem::warning(
                    "bad-header",
                    value,
                    format!("{} is neither US nor UK terms", quoted(words)),
                )
                .help("write `Terms: US` or `Terms: UK`"),
            ),
        },
        "hand" => match hand(words) {
            Some(hand) => {
                header.hand = Some(Spanned {
                    value: hand,
                    span: value,
                })
            }
            None => problems.push(
                Problem::warning(
                    "bad-header",
                    value,
                    format!("{} is neither the right nor the left hand", quoted(words)),
                )
                .help("write `Hand: right` or `Hand: left`"),
            ),
        },
        "hook" if !names_hook_size(words) => problems.push(
            Problem::warning(
                "bad-header",
                value,
                format!("{} is not a hook size", quoted(words)),
            )
            .help("write its size in millimetres: `Hook: 3.5 mm`"),
        ),
        _ => {}
    }
    header.entries.push(Entry { key, value });
}

/// The yarns that a line lists.
fn read_yarns(
    header: &mut Header,
    tokens: &[Token<'_>],
    text: &str,
    in_list: bool,
    problems: &mut Vec<Problem>,
) -> bool {
    let found = yarns::listed(trim_marks(tokens), text, in_list);
    let any = !found.is_empty();
    for listed in found {
        let words = text[listed.words.range()].trim().trim_end_matches('.');
        let is_new = header.yarns.iter().all(|yarn| yarn.letter != listed.letter);
        if is_new && header.yarns.len() < limits::YARNS {
            let is_given = is_given(&listed.letter, tokens, text);
            let listed = yarn(listed.letter, words, listed.words, problems);
            header.yarns.push(Yarn { is_given, ..listed });
        }
    }
    any
}

/// True for `A` in `Yarns: A = white`, and for `MC` of a main colour; false where the line has no letters.
fn is_given(letter: &str, tokens: &[Token<'_>], text: &str) -> bool {
    let line = tokens.first().zip(tokens.last());
    let line = line.map_or("", |(first, last)| &text[first.span.to(last.span).range()]);
    let mut words = line.split(|c: char| !c.is_alphanumeric());
    matches!(letter, "MC" | "CC") || words.any(|word| word == letter)
}

fn trim_marks<'t, 's>(tokens: &'t [Token<'s>]) -> &'t [Token<'s>] {
    let is_mark = |t: &Token<'_>| matches!(t.kind, Kind::Star(_));
    let start = tokens
        .iter()
        .position(|t| !is_mark(t))
        .unwrap_or(tokens.len());
    let end = tokens
        .iter()
        .rposition(|t| !is_mark(t))
        .map_or(start, |i| i + 1);
    &tokens[start..end]
}

fn terms(words: &str) -> Option<Terms> {
    let words = words.to_lowercase();
    // `This leaflet uses UK/SA terms`
    words
        .split(|c: char| !c.is_alphabetic())
        .find_map(|word| match word {
            "us" | "usa" | "american" => Some(Terms::Us),
            "uk" | "british" => Some(Terms::Uk),
            _ => None,
        })
}

/// `3.5 mm`, or a US letter alone: `G`.
fn names_hook_size(words: &str) -> bool {
    let mut parts = words.split(|c: char| !c.is_alphanumeric());
    words.chars().any(|c| c.is_ascii_digit()) || parts.any(hooks::is_letter)
}

fn hand(words: &str) -> Option<Hand> {
    let words = words.to_lowercase();
    match words
        .split(|c: char| !c.is_alphabetic())
        .find(|w| !w.is_empty())?
    {
        "right" => Some(Hand::Right),
        "left" => Some(Hand::Left),
        _ => None,
    }
}

fn yarn(letter: String, words: &str, span: Span, problems: &mut Vec<Problem>) -> Yarn {
    let mut colour = None;
    if let Some(at) = words.find('#') {
        let digits: String = words[at + 1..]
            .chars()
            .take_while(char::is_ascii_alphanumeric)
            .collect();
        colour = hex(&digits);
        if colour.is_none() {
            problems.push(
                Problem::warning(
                    "bad-header",
                    Span::new(span.start + at, span.start + at + 1 + digits.len()),
                    format!("`#{digits}` is not a colour"),
                )
                .help("write six hexadecimal digits, such as `#3a3f47`"),
            );
        }
    }
    let name = words.split(',').next().unwrap_or("").trim();
    let name = if name.starts_with('#') || name.len() > 60 {
        ""
    } else {
        name
    };
    Yarn {
        letter,
        name: name.to_owned(),
        is_given: true,
        colour,
        span,
    }
}

fn hex(digits: &str) -> Option<[u8; 3]> {
    if digits.len() != 6 || !digits.is_ascii() {
        return None;
    }
    let pair = |i: usize| u8::from_str_radix(&digits[i..i + 2], 16).ok();
    Some([pair(0)?, pair(2)?, pair(4)?])
}
