//! A left part higher than the right one.

use super::draft::{Draft, Sentence};
use super::parts::{Names, sews};
use crate::pattern::whereabouts::{Rounds, rounds};
use crate::prose::Word;
use crate::source::{Problem, Span};

/// Words by which a pair is meant to be uneven.
const MEANT: &[&str] = &[
    "higher", "lower", "above", "below", "uneven", "crooked", "tilted", "lopsided", "jaunty",
    "angle",
];

/// The left and the right one of a part, sewn on in different rounds by the same words.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    let sentences = draft.below_the_header();
    let sewing = sentences.filter(|s| !s.in_round && sews(s) && !s.has(MEANT));
    sewing
        .filter_map(|sentence| uneven(sentence, &names))
        .map(|(left, right, span)| {
            Problem::warning(
                "parts-not-level",
                span,
                format!("one of the pair sits at round {left}, the other at round {right}"),
            )
            .help(format!("if they are a pair, put both at round {left}"))
        })
        .collect()
}

/// The rounds of both sides, where they differ, and the words of the second.
fn uneven(sentence: &Sentence<'_>, names: &Names) -> Option<(u32, u32, Span)> {
    let words = &sentence.words;
    let sides: Vec<usize> = (0..words.len())
        .filter(|&at| words[at].is_any(&["left", "right"]))
        .collect();
    let [one, other] = sides[..] else {
        return None;
    };
    if words[one].is(words[other].text) {
        return None;
    }
    // `The left wing … the right wing`, `the left wing … the right one`
    let (_, part) = names.in_sentence(sentence).find(|&(at, _)| at == one + 1)?;
    let next = words.get(other + 1)?;
    if next.stem() != part && !next.is_any(&["one", "at", "with"]) {
        return None;
    }
    let (first, second) = (rounds(&words[one..other])?, rounds(&words[other..])?);
    let spans = |rounds: &Rounds| (rounds.first, rounds.last);
    (spans(&first) != spans(&second)).then(|| {
        let span = of_rounds(&words[other..], second).unwrap_or(sentence.span());
        (first.first, second.first, span)
    })
}

/// The words that name rounds, with the label before their number.
fn of_rounds(words: &[Word<'_>], rounds: Rounds) -> Option<Span> {
    let number = words
        .iter()
        .position(|word| word.whole_number() == Some(rounds.first))?;
    let label = number.saturating_sub(1);
    Some(words[label].span.to(words[number].span))
}
