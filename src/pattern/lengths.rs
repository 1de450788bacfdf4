//! Lengths that the maker may choose: `Repeat Rnd 20 until the tail is as long as you like`.

use std::collections::BTreeMap;

use super::tree::{Header, LengthBy};
use crate::source::{Source, Span, limits};
use crate::terms::Height;

/// How often the rounds of a line are worked again, for lines that leave that open.
pub type Lengths = BTreeMap<Span, u32>;

/// Height of a round in mm by the gauge, `22 sts and 24 rnds = 10 cm`; where it tells of stitches alone, rounds are as high as
/// those of flat discs of single crochet. `None` without a gauge.
pub fn round_height_mm(header: &Header, source: &Source) -> Option<f64> {
    let gauge = |key: &str| matches!(key, "gauge" | "tension");
    let entry = header.entries.iter().find(|entry| gauge(&entry.key))?;
    let all = quantities(source.slice(entry.value));
    let length = all.iter().find_map(Quantity::mm)?;
    let of = |units: &[&str]| {
        let found = all.iter().find(|quantity| units.contains(&&*quantity.unit));
        found.map(|quantity| quantity.number).filter(|&n| n > 0.0)
    };
    let rounds = of(&["rnds", "rnd", "rounds", "round", "rows", "row", "rds", "r"]);
    let stitches = || of(&["sts", "st", "stitches", "sc", "dc", "hdc", "htr", "tr"]);
    match rounds {
        Some(rounds) => Some(length / rounds),
        None => Some(length / stitches()? * Height::Single.in_widths()),
    }
}

/// The first length in some words, in mm: `until it measures 12 cm`.
pub fn length_mm(words: &str) -> Option<f64> {
    quantities(words).iter().find_map(Quantity::mm)
}

/// How often `each` rounds have to be worked after `before` to come to a length; `None` if they are longer already.
pub fn times_to_reach(mm: f64, round_mm: f64, before: u32, each: u32) -> Option<u32> {
    let missing = mm / round_mm - f64::from(before);
    let times = (missing / f64::from(each.max(1)) - 1e-9).ceil();
    let is_some = times >= 1.0 && times <= limits::ROUNDS as f64;
    is_some.then_some(times as u32)
}

/// How often the rounds of a line are worked, and what says so.
pub(super) fn settle(
    chosen: Option<u32>,
    words: &str,
    round_mm: Option<f64>,
    before: u32,
    each: u32,
) -> (u32, LengthBy) {
    if let Some(times) = chosen {
        return (times, LengthBy::Maker);
    }
    let by_gauge = length_mm(words)
        .zip(round_mm)
        .and_then(|(mm, round_mm)| times_to_reach(mm, round_mm, before, each));
    match by_gauge {
        Some(times) => (times, LengthBy::Gauge),
        None => (1, LengthBy::Custom),
    }
}

/// A number and the word after it.
struct Quantity {
    number: f64,
    unit: String,
}

impl Quantity {
    fn mm(&self) -> Option<f64> {
        /// Millimetres in an inch, by definition.
        const INCH_MM: f64 = 25.4;
        let unit_mm = match &*self.unit {
            "mm" | "millimetres" | "millimeters" => 1.0,
            "cm" | "centimetres" | "centimeters" => 10.0,
            "in" | "inch" | "inches" | "ins" => INCH_MM,
            _ => return None,
        };
        Some(self.number * unit_mm).filter(|&mm| mm > 0.0)
    }
}

fn quantities(words: &str) -> Vec<Quantity> {
    let mut all = Vec::new();
    let mut rest = words;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        rest = &rest[at..];
        let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
        let end = rest.find(|c| !is_number(c)).unwrap_or(rest.len());
        let digits = rest[..end].trim_end_matches(['.', ',']).replace(',', ".");
        rest = &rest[end..];
        let word = rest.trim_start_matches([' ', '\u{a0}', '-']);
        let end = word
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(word.len());
        if let Ok(number) = digits.parse() {
            all.push(Quantity {
                number,
                unit: word[..end].to_lowercase(),
            });
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn height(gauge: &str) -> Option<f64> {
        let source = Source::new("t", format!("{gauge}\n\n## A\nRnd 1: 6 sc in MR (6)\n"));
        let (pattern, _) = super::super::read(&source);
        round_height_mm(&pattern.header, &source)
    }

    #[test]
    fn a_round_is_as_high_as_the_gauge_says() {
        assert_eq!(height("Gauge: 22 sts and 25 rnds = 10 cm"), Some(4.0));
        assert_eq!(height("Tension: 4 sts x 5 rows = 1 inch"), Some(5.08));
        assert_eq!(height("Gauge: 19 sts = 10 cm"), Some(100.0 / 19.0 * 0.95));
        assert_eq!(height("Hook: 3 mm"), None);
    }

    #[test]
    fn rounds_are_added_until_the_length_is_reached() {
        assert_eq!(times_to_reach(120.0, 4.0, 20, 1), Some(10));
        assert_eq!(times_to_reach(121.0, 4.0, 20, 1), Some(11));
        assert_eq!(times_to_reach(120.0, 4.0, 20, 4), Some(3));
        assert_eq!(times_to_reach(80.0, 4.0, 20, 1), None);
    }
}
