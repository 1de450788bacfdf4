//! What is sewn to, and never made.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::{Draft, Place, Sentence};
use super::parts::{Names, PARTS, SEW, sews};
use crate::pattern::whereabouts::rounds;
use crate::prose::is_tail_of_yarn;
use crate::source::{Problem, quoted};

/// What a nose is stitched with that no piece is made for: `sew a nose with black thread`.
const THREADS: &[&str] = &["thread", "floss", "embroidery"];

/// The main pieces of a toy. One that is named for the animal holds both.
const MAIN: [&str; 2] = ["head", "body"];

/// `Sew the ears to the head` in a pattern with a body and no head, and `sew the feet to the body` where nothing else speaks of feet.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    Vec::from_iter(host(draft, &names).into_iter().chain(part(draft, &names)))
}

/// What parts are sewn to.
fn host(draft: &Draft<'_>, names: &Names) -> Option<Problem> {
    let pieces = 0..draft.pattern.pieces.len();
    let is_made = |name: &str| {
        pieces
            .clone()
            .any(|at| names.of(at).iter().any(|stem| stem == name))
    };
    let missing: Vec<&str> = MAIN.into_iter().filter(|name| !is_made(name)).collect();
    let [missing] = missing[..] else {
        return None;
    };
    // `The body and head are worked in one piece`, `start at the top of the head`
    let is_of_another = draft
        .prose
        .sentences
        .iter()
        .any(|sentence| !sews(sentence) && sentence.has(&[missing]));
    // `To the top of the head, over rnds 4 to 5`: the rounds tell which piece is meant.
    let mut sewing = draft.below_the_header().filter(|sentence| {
        !sentence.in_round && sews(sentence) && rounds(&sentence.words).is_none()
    });
    let found = sewing.find_map(|sentence| sentence.word(&[missing]).map(|word| word.span));
    let found = found.filter(|_| !is_of_another);
    found.map(|span| {
        Problem::note(
            "part-not-made",
            span,
            format!("no piece is named {}", quoted(missing)),
        )
        .help("if another piece is meant, call it by its name")
    })
}

/// What is sewn on: a part of a toy that no piece is named for and no other words speak of, where all pieces have names.
fn part(draft: &Draft<'_>, names: &Names) -> Option<Problem> {
    let all_named = (0..draft.pattern.pieces.len()).all(|piece| !names.of(piece).is_empty());
    let mut sewing = draft.below_the_header().filter(|sentence| {
        !sentence.in_round && !matches!(sentence.place, Place::Piece(_)) && sews(sentence)
    });
    // How many sentences speak of each part, and of more than a tail of yarn.
    let mut spoken: BTreeMap<String, usize> = BTreeMap::new();
    for sentence in &draft.prose.sentences {
        let words = sentence.words.iter().enumerate();
        let parts: BTreeSet<String> = words.filter_map(|(at, _)| part_at(sentence, at)).collect();
        for part in parts {
            *spoken.entry(part).or_default() += 1;
        }
    }
    let found = sewing.find_map(|sentence| {
        let at = sewn_part(sentence)?;
        let stem = part_at(sentence, at)?;
        let is_made = names
            .in_sentence(sentence)
            .any(|(named, _)| named == at || named == at + 1);
        (!is_made && spoken.get(&stem).copied() == Some(1)).then(|| sentence.words[at].span)
    });
    let found = found.filter(|_| all_named);
    found.map(|span| {
        let message = format!(
            "no words say how {} is made",
            quoted(draft.source.slice(span))
        );
        Problem::warning("part-not-made", span, message)
            .help("if another piece is meant, call it by its name")
    })
}

/// The place of the part that words sew on: `sew the two feet under the body`.
fn sewn_part(sentence: &Sentence<'_>) -> Option<usize> {
    const PASSED: &[&str] = &[
        "on", "the", "a", "an", "both", "all", "each", "front", "back", "left", "right", "small",
        "little", "then",
    ];
    if sentence.has(THREADS) {
        return None;
    }
    let verb = sentence.words.iter().position(|word| word.is_any(SEW))?;
    let mut after = verb + 1..sentence.words.len();
    let at = after.find(|&at| {
        let word = &sentence.words[at];
        !word.is_any(PASSED) && word.number().is_none()
    })?;
    part_at(sentence, at).map(|_| at)
}

/// The part of a toy that a word names.
fn part_at(sentence: &Sentence<'_>, at: usize) -> Option<String> {
    let stem = sentence.words[at].stem();
    let is_yarn = stem == "tail" && is_tail_of_yarn(&sentence.words, at);
    (PARTS.contains(&stem.as_str()) && !is_yarn).then_some(stem)
}
