//! The numbers in a stretch of text, each with its place, and what a slip of the pen may have been meant as.

use crate::source::{Source, Span, limits};

/// Numbers in words, from two on; `one` is hardly ever a count.
const WORDS: [&str; 11] = [
    "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
];
/// Every number so close to the one that stands there is tried.
const NEAR: u32 = 6;

/// A number as it stands in the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Number {
    /// The digits or the word.
    pub span: Span,
    /// What it says.
    pub value: u32,
    style: Style,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Style {
    Digits,
    Word,
    /// `twice`
    Twice,
}

impl Number {
    /// Another number as it would stand here.
    pub fn written(&self, value: u32) -> String {
        let word = value.checked_sub(2).and_then(|at| WORDS.get(at as usize));
        match (self.style, word) {
            (Style::Word, Some(word)) => (*word).to_owned(),
            (Style::Twice, _) if value == 2 => "twice".to_owned(),
            (Style::Twice, _) => format!("{value} times"),
            _ => value.to_string(),
        }
    }

    /// What may have been meant, the nearest first: close numbers, slips of the pen, and those that are `apart` from it.
    pub fn others(&self, apart: &[u32]) -> Vec<u32> {
        let n = self.value;
        let mut others: Vec<u32> = (n.saturating_sub(NEAR)..=n.saturating_add(NEAR)).collect();
        for &step in apart {
            others.extend([n.saturating_sub(step), n.saturating_add(step)]);
        }
        others.extend(slips_of_the_pen(n));
        others.retain(|&other| other != n && (1..=limits::COUNT).contains(&other));
        others.sort_by_key(|&other| (other.abs_diff(n), other));
        others.dedup();
        others
    }
}

/// A digit too many, and neighbours that changed places.
fn slips_of_the_pen(n: u32) -> Vec<u32> {
    let digits = n.to_string().into_bytes();
    let mut slips = Vec::new();
    for at in 0..digits.len() {
        let mut fewer = digits.clone();
        fewer.remove(at);
        slips.push(fewer);
        if at > 0 {
            let mut swapped = digits.clone();
            swapped.swap(at - 1, at);
            slips.push(swapped);
        }
    }
    let number = |digits: Vec<u8>| String::from_utf8(digits).ok()?.parse().ok();
    slips.into_iter().filter_map(number).collect()
}

/// The numbers of a stretch of text that could be counts: no ordinals, no decimals, none inside a word such as `sc2tog`.
pub(super) fn numbers(source: &Source, within: Span) -> Vec<Number> {
    let text = source.text();
    let mut found = Vec::new();
    let mut at = within.start;
    while at < within.end {
        let rest = &text[at..within.end];
        let first = rest.chars().next().unwrap_or(' ');
        let kind: fn(char) -> bool = match first {
            '0'..='9' => |c| c.is_ascii_digit(),
            c if c.is_alphabetic() => |c| c.is_alphabetic(),
            _ => {
                at += first.len_utf8();
                continue;
            }
        };
        let len = rest.find(|c| !kind(c)).unwrap_or(rest.len());
        let word = &rest[..len];
        let around = (
            text[..at].chars().next_back().unwrap_or(' '),
            text[at + len..].chars(),
        );
        let style = match first.is_ascii_digit() {
            true => is_count(word, around.0, around.1)
                .then(|| Some((Style::Digits, word.parse().ok()?))),
            false => Some(in_words(word)),
        };
        if let Some(Some((style, value))) = style
            && value <= limits::COUNT
        {
            found.push(Number {
                span: Span::new(at, at + len),
                value,
                style,
            });
        }
        at += len;
    }
    found
}

fn in_words(word: &str) -> Option<(Style, u32)> {
    if word.eq_ignore_ascii_case("twice") {
        return Some((Style::Twice, 2));
    }
    let place = WORDS.iter().position(|w| word.eq_ignore_ascii_case(w))?;
    Some((Style::Word, place as u32 + 2))
}

fn is_count(digits: &str, before: char, mut after: std::str::Chars<'_>) -> bool {
    let letters: String = after
        .clone()
        .take_while(|c| c.is_alphabetic())
        .take(3)
        .collect();
    let (next, second) = (after.next().unwrap_or(' '), after.next().unwrap_or(' '));
    let in_word = before.is_alphabetic() && next.is_alphabetic();
    let decimal = before == '.' || next == '.' && second.is_ascii_digit();
    let ordinal = match letters.as_str() {
        "st" => digits.ends_with('1'),
        "nd" => digits.ends_with('2'),
        "rd" => digits.ends_with('3'),
        "th" => true,
        _ => false,
    };
    !in_word && !decimal && !ordinal && before != '#'
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Vec<u32> {
        let source = Source::new("t", text);
        let all = numbers(&source, Span::new(0, text.len()));
        all.iter().map(|number| number.value).collect()
    }

    #[test]
    fn counts_are_found_in_digits_and_words() {
        assert_eq!(
            found("R4: 6sc, [2 sc, inc] ×5, sc 3 (18)"),
            [4, 6, 2, 5, 3, 18]
        );
        assert_eq!(
            found("Six sc, (sc, inc) three times, ch 2 twice"),
            [6, 3, 2, 2]
        );
        assert!(found("sc2tog, 3rd st, 3.5 mm, #123456, 99999999999").is_empty());
    }

    #[test]
    fn the_nearest_comes_first_and_nothing_is_not_a_count() {
        let text = "21";
        let number = numbers(&Source::new("t", text), Span::new(0, 2))[0];
        let others = number.others(&[40]);
        assert_eq!(others[..3], [20, 22, 19]);
        assert!(others.contains(&12) && others.contains(&1) && others.contains(&61));
        assert!(!others.contains(&21) && !others.contains(&0));
    }
}
