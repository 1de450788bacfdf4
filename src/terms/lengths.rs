//! Lengths in the words.

use crate::source::Span;
use crate::source::words::Word;

/// Millimetres in an inch, by definition.
const INCH_MM: f64 = 25.4;

/// Millimetres in a yard, by definition.
const YARD_MM: f64 = 914.4;

/// A length as it is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Length {
    pub mm: f64,
    /// Half of the step to which it is written: 5 mm for `7 cm`, 0.5 mm for `7.2 cm`.
    pub give_mm: f64,
    /// It is in inches or yards.
    pub is_imperial: bool,
    pub span: Span,
    /// Place of the word after it.
    pub end: usize,
}

/// The length that starts at a word: `7 cm`, `3.5 mm`, `2½ inches`, `2 1/2 in`.
pub(crate) fn length_at(words: &[Word<'_>], at: usize) -> Option<Length> {
    let first = words.get(at)?;
    let mut number = first.number()?;
    let decimals = first
        .text
        .split_once(['.', ','])
        .map_or(0, |(_, after)| after.len());
    let mut step = match decimals {
        0 => 1.0,
        1 => 0.1,
        _ => 0.01,
    };
    let mut unit_at = at + 1;
    if let Some(part) = words.get(unit_at).and_then(|word| fraction(word.text)) {
        number += part;
        step = 0.25;
        unit_at += 1;
    } else if says_and_a_half(&words[at + 1..]) {
        number += 0.5;
        step = 0.5;
        unit_at += 3;
    } else if let (Some(over), Some(under)) = (
        words.get(at + 1).and_then(Word::whole_number),
        words.get(at + 2).and_then(Word::whole_number),
    ) && over < under
        && under <= 16
    {
        number += f64::from(over) / f64::from(under);
        step = 0.25;
        unit_at += 2;
    }
    let unit = words.get(unit_at)?;
    let unit_mm = if unit.is_any(&["cm", "cms", "centimetres", "centimeters"]) {
        10.0
    } else if unit.is_any(&["mm", "millimetres", "millimeters"]) {
        1.0
    } else if unit.is_any(&["in", "inch", "inches", "\"", "″", "”"]) {
        INCH_MM
    } else {
        return None;
    };
    Some(Length {
        mm: number * unit_mm,
        give_mm: step * unit_mm / 2.0,
        is_imperial: unit_mm == INCH_MM,
        span: first.span.to(unit.span),
        end: unit_at + 1,
    })
}

/// The length of yarn that starts at a word: `125 m`, `137 yards`. Only these words, for the `m` of a note is seldom a metre.
pub(crate) fn yarn_length_at(words: &[Word<'_>], at: usize) -> Option<Length> {
    let (first, unit) = (words.get(at)?, words.get(at + 1)?);
    let unit_mm = if unit.is_any(&["m", "mt", "mtr", "metre", "metres", "meter", "meters"]) {
        1000.0
    } else if unit.is_any(&["yd", "yds", "yard", "yards"]) {
        YARD_MM
    } else {
        return None;
    };
    // `1,094 yd`: this comma parts thousands.
    let digits = first
        .text
        .split_once(',')
        .filter(|(_, after)| after.len() == 3);
    let number = match digits {
        Some((thousands, after)) => format!("{thousands}{after}").parse().ok()?,
        None => first.number()?,
    };
    Some(Length {
        mm: number * unit_mm,
        give_mm: unit_mm / 2.0,
        is_imperial: unit_mm == YARD_MM,
        span: first.span.to(unit.span),
        end: at + 2,
    })
}

/// `Five and a half inches`.
fn says_and_a_half(after: &[Word<'_>]) -> bool {
    const HALF: [&str; 3] = ["and", "a", "half"];
    after.len() > HALF.len() && HALF.iter().zip(after).all(|(half, word)| word.is(half))
}

fn fraction(text: &str) -> Option<f64> {
    match text {
        "½" => Some(0.5),
        "¼" => Some(0.25),
        "¾" => Some(0.75),
        "⅛" => Some(0.125),
        "⅜" => Some(0.375),
        "⅝" => Some(0.625),
        "⅞" => Some(0.875),
        "⅓" => Some(1.0 / 3.0),
        "⅔" => Some(2.0 / 3.0),
        _ => None,
    }
}

/// Every length among some words, with the place where it starts.
pub(crate) fn lengths(words: &[Word<'_>]) -> impl Iterator<Item = (usize, Length)> {
    (0..words.len()).filter_map(|at| Some((at, length_at(words, at)?)))
}

/// True if some words hold a length.
pub(crate) fn has_length(words: &[Word<'_>]) -> bool {
    lengths(words).next().is_some()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::words;

    fn length(text: &str) -> Option<f64> {
        let words: Vec<Word<'_>> = words::split(text, 0).collect();
        length_at(&words, 0).map(|length| length.mm)
    }

    /// An inch is 25.4 mm by definition.
    #[test]
    fn lengths_are_read_in_every_unit() {
        assert_eq!(length("7 cm"), Some(70.0));
        assert_eq!(length("3.5mm"), Some(3.5));
        assert_eq!(length("2 inches"), Some(50.8));
        assert_eq!(length("2½ in"), Some(63.5));
        assert_eq!(length("2 1/2 in"), Some(63.5));
        assert_eq!(length("2\""), Some(50.8));
        assert_eq!(length("2½″"), Some(63.5));
        assert_eq!(length("2¾in"), Some(69.85));
        assert_eq!(length("two and a half inches"), Some(63.5));
        assert_eq!(length("2 sts"), None);
    }

    /// A yard is 0.9144 m by definition.
    #[test]
    fn lengths_of_yarn_are_read_in_metres_and_yards() {
        let length = |text: &str| {
            let words: Vec<Word<'_>> = words::split(text, 0).collect();
            yarn_length_at(&words, 0).map(|length| length.mm)
        };
        assert_eq!(length("125 m"), Some(125_000.0));
        assert_eq!(length("137yds"), Some(125_272.8));
        assert_eq!(length("1,000 yards"), Some(914_400.0));
        assert_eq!(length("5 cm"), None);
    }
}
