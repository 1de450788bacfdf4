//! The same length in centimetres and in inches, and of yarn in metres and in yards.

use super::draft::Draft;
use crate::prose::Word;
use crate::prose::lengths::{Length, length_at, yarn_length_at};
use crate::source::Problem;

/// Share by which a rounded length may differ.
const ROUNDED: f64 = 0.05;

/// How the length at a place among the words is read.
type Reads = fn(&[Word<'_>], usize) -> Option<Length>;

/// The same length in two units: how it is read, the two units with the millimetres in each, metric first.
const PAIRS: [(Reads, [(&str, f64); 2]); 2] = [
    (length_at, [("cm", 10.0), ("in", 25.4)]),
    (yarn_length_at, [("m", 1000.0), ("yd", 914.4)]),
];

/// A length with the same in the other unit right after it (`7 cm (2¾ in)`, `4 inches / 10 cm`, `125 m (137 yd)`) that is not the same.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let pairs = PAIRS.iter();
    pairs
        .flat_map(|(reads, units)| in_units(draft, *reads, *units))
        .collect()
}

fn in_units(draft: &Draft<'_>, reads: Reads, units: [(&str, f64); 2]) -> Vec<Problem> {
    let mut problems = Vec::new();
    for sentence in &draft.prose.sentences {
        let words = &sentence.words;
        let mut at = 0;
        while at < words.len() {
            let Some(first) = reads(words, at) else {
                at += 1;
                continue;
            };
            at = first.end;
            let Some(second) = reads(words, first.end) else {
                continue;
            };
            let text = draft.source.text();
            let between = &text[first.span.end..second.span.start];
            let is_same = first.is_imperial != second.is_imperial
                && between.contains(['(', '/', '=', '[', ','])
                && !between.contains('\n')
                // `14 x 13 cm (5.5" x 5")`
                && !text[second.span.end..].trim_start().starts_with(['x', '×']);
            if is_same && !agree(&first, &second) {
                problems.push(disagree(&first, &second, units));
            }
        }
    }
    problems
}

fn agree(a: &Length, b: &Length) -> bool {
    let give = (a.give_mm.max(b.give_mm)).max(ROUNDED * a.mm.max(b.mm));
    (a.mm - b.mm).abs() <= give + 1e-9
}

fn disagree(first: &Length, second: &Length, units: [(&str, f64); 2]) -> Problem {
    let (metric, imperial) = match first.is_imperial {
        true => (second, first),
        false => (first, second),
    };
    let [(one, one_mm), (other, other_mm)] = units;
    let tenths = |value: f64| (value * 10.0).round() / 10.0;
    Problem::warning(
        "lengths-disagree",
        first.span.to(second.span),
        "these are two different lengths",
    )
    .help(format!(
        "{} {one} are {} {other}, and {} {other} are {} {one}",
        tenths(metric.mm / one_mm),
        tenths(metric.mm / other_mm),
        tenths(imperial.mm / other_mm),
        tenths(imperial.mm / one_mm)
    ))
}
