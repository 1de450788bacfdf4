//! The same length in centimetres and in inches.

use super::draft::Draft;
use crate::prose::lengths::{Length, length_at};
use crate::source::Problem;

/// Share by which a rounded length may differ.
const ROUNDED: f64 = 0.05;

/// A length with the same in the other unit right after it (`7 cm (2¾ in)`, `4 inches / 10 cm`) that is not the same.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    for sentence in &draft.prose.sentences {
        let words = &sentence.words;
        let mut at = 0;
        while at < words.len() {
            let Some(first) = length_at(words, at) else {
                at += 1;
                continue;
            };
            at = first.end;
            let Some(second) = length_at(words, first.end) else {
                continue;
            };
            let between = &draft.source.text()[first.span.end..second.span.start];
            let is_same = first.is_inches != second.is_inches
                && between.contains(['(', '/', '=', '[', ','])
                && !between.contains('\n');
            if is_same && !agree(&first, &second) {
                problems.push(disagree(&first, &second));
            }
        }
    }
    problems
}

fn agree(a: &Length, b: &Length) -> bool {
    let give = (a.give_mm.max(b.give_mm)).max(ROUNDED * a.mm.max(b.mm));
    (a.mm - b.mm).abs() <= give + 1e-9
}

fn disagree(first: &Length, second: &Length) -> Problem {
    let (metric, inches) = match first.is_inches {
        true => (second, first),
        false => (first, second),
    };
    let tenths = |value: f64| (value * 10.0).round() / 10.0;
    Problem::warning(
        "lengths-disagree",
        first.span.to(second.span),
        "these are two different lengths",
    )
    .help(format!(
        "{} cm are {} in, and {} in are {} cm",
        tenths(metric.mm / 10.0),
        tenths(metric.mm / 25.4),
        tenths(inches.mm / 25.4),
        tenths(inches.mm / 10.0)
    ))
}
