//! The lines before the first piece: `Key: value`.

use super::lex::{Kind, Token};
use super::tree::{Entry, Header, Spanned, Yarn};
use crate::source::{Problem, Span, limits, quoted};
use crate::terms::{Hand, Terms};

/// Takes a line into the header if it has the form `Key: value`.
pub(super) fn read_line(
    header: &mut Header,
    tokens: &[Token<'_>],
    text: &str,
    problems: &mut Vec<Problem>,
) -> bool {
    let tokens = trim_marks(tokens);
    let Some(colon) = tokens.iter().take(6).position(|t| t.kind == Kind::Colon) else {
        return false;
    };
    let (Some(first), Some(last)) = (tokens.first(), tokens.last()) else {
        return false;
    };
    if colon == 0 || first.kind != Kind::Word {
        return false;
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
        "hook" => {
            if !words.chars().any(|c| c.is_ascii_digit()) {
                problems.push(
                    Problem::warning(
                        "bad-header",
                        value,
                        format!("{} is not a hook size", quoted(words)),
                    )
                    .help("write its size in millimetres: `Hook: 3.5 mm`"),
                );
            }
        }
        _ => {
            let key_span = tokens[0].span.to(tokens[colon - 1].span);
            if let Some(letter) = yarn_letter(text[key_span.range()].trim_matches('*'))
                && header.yarns.len() < limits::YARNS
            {
                header.yarns.push(yarn(letter, words, value, problems));
            }
        }
    }
    header.entries.push(Entry { key, value });
    true
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
    match words
        .split(|c: char| !c.is_alphabetic())
        .find(|w| !w.is_empty())?
    {
        "us" | "usa" | "american" => Some(Terms::Us),
        "uk" | "british" => Some(Terms::Uk),
        _ => None,
    }
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

/// The letter in `Yarn A`, `Colour B`, `MC`; `A` for a lone `Yarn`.
fn yarn_letter(key: &str) -> Option<String> {
    let mut words = key.split_whitespace();
    let first = words.next()?;
    let lower = first.to_lowercase();
    match lower.as_str() {
        "yarn" | "colour" | "color" => Some(words.next().unwrap_or("A").to_owned()),
        "mc" | "cc" if words.next().is_none() => Some(first.to_uppercase()),
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
