//! Ranges of rounds whose words say how many they are.

use super::draft::Draft;
use crate::pattern::{Line, Round};
use crate::prose::words::{self, Word};
use crate::source::{Problem, Span};

const ROUNDS: &[&str] = &["rnd", "rnds", "round", "rounds", "rds", "row", "rows"];

/// `Rnds 2-6: sc around (18) (4 rnds)`, `sc around for 4 rnds` and `Rnds 2-6 (four rounds):`. Digits in the label are looked at as it is read.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let lines = draft.pattern.pieces.iter().flat_map(|piece| &piece.lines);
    lines
        .filter_map(|line| match line {
            Line::Round(round) if round.label.count() > 1 => says_another(draft, round),
            _ => None,
        })
        .collect()
}

/// `for 4 rounds` or `– 4 rounds` in a round's words.
fn for_rounds(draft: &Draft<'_>, round: &Round) -> Option<(u64, Span)> {
    let words: Vec<Word<'_>> =
        words::split(draft.source.slice(round.words), round.words.start).collect();
    let text = draft.source.text();
    words.windows(3).find_map(|three| {
        let gap = &text[three[0].span.end..three[1].span.start];
        let says_so =
            three[0].is("for") || gap.trim().chars().all(is_dash) && !gap.trim().is_empty();
        let count = three[1]
            .number()
            .filter(|_| says_so && three[2].is_any(ROUNDS))?;
        let first = if three[0].is("for") {
            &three[0]
        } else {
            &three[1]
        };
        Some((count as u64, first.span.to(three[2].span)))
    })
}

fn says_another(draft: &Draft<'_>, round: &Round) -> Option<Problem> {
    let text = draft.source.slice(round.span);
    let bracketed = text.match_indices(['(', '[']).find_map(|(open, _)| {
        let start = round.span.start + open + 1;
        let close = start + draft.source.text()[start..round.span.end].find([')', ']'])?;
        let inside: Vec<Word<'_>> =
            words::split(&draft.source.text()[start..close], start).collect();
        // `(4 rounds, 32 sts)`
        let [number, word, rest @ ..] = &inside[..] else {
            return None;
        };
        if !matches!(rest, [] | [_] | [_, _]) {
            return None;
        }
        let in_label = start < round.words.start && number.whole_number().is_some();
        let count = number
            .number()
            .filter(|_| word.is_any(ROUNDS) && !in_label)?;
        Some((count as u64, Span::new(start - 1, close + 1)))
    });
    let (said, span) = bracketed.or_else(|| for_rounds(draft, round))?;
    let count = round.label.count();
    (said != count).then(|| {
        let rounds = if said == 1 { "round" } else { "rounds" };
        let message = format!("this says {said} {rounds}, but its label stands for {count} rounds");
        Problem::error("range-count", span, message).help("correct one of the two")
    })
}

fn is_dash(sign: char) -> bool {
    matches!(sign, '-' | '–' | '—')
}
