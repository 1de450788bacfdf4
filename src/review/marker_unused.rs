//! Markers that are placed for something that never comes.

use super::draft::{Draft, Sentence};
use super::marker_unplaced::{places, uses};
use crate::prose::Word;
use crate::source::{Problem, Span};

/// Words of a marker that sits in a stitch: `mark this round` is only to be remembered.
const IN_A_STITCH: &[&str] = &[
    "marker", "markers", "pin", "pm", "st", "stitch", "stitches", "ch",
];

/// A marker in a stitch of its own (not the one that marks the start of rounds) to which no later words come back.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let mut waiting = None;
    // Where all rounds are joined, a marker does not move up with their start.
    let mut pieces = draft.fabric.pieces.iter();
    let all_joined = pieces.all(|piece| piece.rounds.iter().all(|round| round.closed));
    for sentence in &draft.prose.sentences {
        if uses(sentence) {
            waiting = None;
        } else if places(sentence)
            && (all_joined || !marks_the_start(sentence))
            && sentence.has(IN_A_STITCH)
        {
            let place = match sentence.in_round {
                true => in_round(sentence),
                false => sentence
                    .words
                    .iter()
                    .any(|word| word.number().is_some() || word.is("this"))
                    .then(|| sentence.span()),
            };
            waiting = waiting.or(place);
        }
    }
    let problem = waiting.map(|span| {
        Problem::note(
            "marker-unused",
            span,
            "a marker is placed here, but no words come back to it",
        )
        .help("say what it is for, or leave it out")
    });
    problem.into_iter().collect()
}

/// `Sc 12, place a second marker in the st just made`: the words from `place` on. In a round, the marker that moves up with its start is often
/// placed in few words, so these have to speak of another one.
fn in_round(sentence: &Sentence<'_>) -> Option<Span> {
    const OTHER: &[&str] = &["second", "another", "other", "different", "third"];
    const FAR: usize = 8;
    let words = &sentence.words;
    // `Place the marker in the 12th st of this round`
    let in_nth = |at: usize| {
        let behind = &words[at + 1..words.len().min(at + FAR)];
        let mut threes = behind.windows(3);
        threes.any(|three| {
            three[0].number() > Some(1.0)
                && three[1].is_any(&["nd", "rd", "th"])
                && three[2].is_any(&["st", "stitch", "ch"])
        })
    };
    // `place the marker in the st just made`
    let just_made = words.iter().any(|word| word.is("just"));
    let is_other = |at: usize| at > 0 && words[at - 1].is_any(OTHER);
    let marker = (0..words.len()).find(|&at| {
        words[at].is_any(&["marker", "pin"]) && (is_other(at) || in_nth(at) || just_made)
    })?;
    let place = words[..marker]
        .iter()
        .rev()
        .find(|word| word.is_any(&["place", "put", "insert", "attach"]))?;
    Some(place.span.to(words[marker].span))
}

/// `Mark the first st of each round`; not `the 12th st of the last rnd`.
fn marks_the_start(sentence: &Sentence<'_>) -> bool {
    const START: &[&str] = &["first", "start", "beginning", "each", "end"];
    const ROUND: &[&str] = &["rnd", "round", "row"];
    let ordinal = |pair: &[Word<'_>]| pair[0].text == "1" && pair[1].is("st");
    let in_last = |pair: &[Word<'_>]| pair[0].is("last") && !pair[1].is_any(ROUND);
    let mut pairs = sentence.words.windows(2);
    sentence.has(START) || pairs.any(|pair| in_last(pair) || ordinal(pair))
}
