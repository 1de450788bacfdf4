//! A part that is sewn on a second time.

use std::collections::BTreeMap;

use super::draft::{Draft, Place, Sentence};
use super::parts::{Names, SEW, is_goal, sews};
use crate::pattern::whereabouts::rounds;
use crate::source::{Problem, Span};

/// Words about another copy, another edge, or what has been done before.
const OTHERWISE: &[&str] = &[
    "other",
    "another",
    "remaining",
    "second",
    "again",
    "left",
    "right",
    "each",
    "either",
    "both",
    "edge",
    "edges",
    "side",
    "sides",
    "end",
    "ends",
    "opening",
    "if",
    "sewn",
];

/// A single part that words below its rounds sew over some rounds, and later words sew over the same rounds once more. Some tell it twice, so that
/// it is but a note.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    let mut sewn: BTreeMap<(usize, u32, u32), Place> = BTreeMap::new();
    let mut problems = Vec::new();
    for sentence in draft.below_the_header() {
        let plain = !sentence.in_round && sews(sentence) && !sentence.has(OTHERWISE);
        let (true, Some(over)) = (plain, rounds(&sentence.words)) else {
            continue;
        };
        let Some(part) = sewn_part(draft, &names, sentence) else {
            continue;
        };
        let key = (part, over.first, over.last);
        match sewn.get(&key) {
            Some(place) if *place != sentence.place => problems.push(
                Problem::note(
                    "part-sewn-twice",
                    from_the_sewing(sentence),
                    "this part has been sewn on already, over the same rounds",
                )
                .help("say it once"),
            ),
            Some(_) => {}
            None => {
                sewn.insert(key, sentence.place);
            }
        }
    }
    problems
}

/// The words from `sew` on: a heading without a full stop runs into the sentence below.
fn from_the_sewing(sentence: &Sentence<'_>) -> Span {
    let span = sentence.span();
    sentence.word(SEW).map_or(span, |word| word.span.to(span))
}

/// The piece of which one is made and that the words sew on: the one they name, or `it` below its own rounds.
fn sewn_part(draft: &Draft<'_>, names: &Names, sentence: &Sentence<'_>) -> Option<usize> {
    let object = names
        .in_sentence(sentence)
        .find(|&(at, _)| !is_goal(sentence, at))
        .and_then(|(_, stem)| names.only(stem));
    let own = match sentence.place {
        Place::Piece(piece) if sentence.has(&["it"]) => Some(piece),
        _ => None,
    };
    let part = object.or(own)?;
    (draft.pattern.pieces[part].make == 1).then_some(part)
}
