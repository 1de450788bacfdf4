//! Pieces as the words name them, and the words by which one is fastened to another.

use std::collections::BTreeSet;

use super::draft::{Draft, Sentence};
pub(super) use crate::prose::Names;
use crate::prose::Word;

/// Pieces of these names are parts of something.
pub(super) const PARTS: &[&str] = &[
    "wing", "ear", "arm", "leg", "foot", "paw", "fin", "beak", "nose", "snout", "muzzle", "horn",
    "tail", "mane", "comb", "flipper", "claw", "antenna", "tentacle", "hand",
];

/// Words that say that one piece is fastened to another.
const FASTEN: &[&str] = &[
    "sew",
    "sewn",
    "sewing",
    "whipstitch",
    "attach",
    "attached",
    "attaching",
    "join",
    "joined",
    "joining",
    "tie",
    "tied",
    "fix",
    "glue",
    "hang",
    "slide",
    "thread",
    "pin",
    "tack",
    "crocheted",
    "insert",
    "slip",
    "tuck",
    "push",
    "pop",
    "stitch",
];

/// Words that say that one piece is sewn to another.
pub(super) const SEW: &[&str] = &["sew", "sewn", "sewing", "whipstitch"];

/// True for words that sew; `sew in the ends` does not.
pub(super) fn sews(sentence: &Sentence<'_>) -> bool {
    let mut places = 0..sentence.words.len();
    places.any(|at| sentence.words[at].is_any(SEW) && !hides_ends(&sentence.words, at))
}

/// `Sew in the remaining ends`, where others weave them in.
fn hides_ends(words: &[Word<'_>], at: usize) -> bool {
    const LONGEST: usize = 6;
    let after = &words[at + 1..words.len().min(at + LONGEST)];
    after.first().is_some_and(|word| word.is("in"))
        && after.iter().any(|word| word.is_any(&["end", "ends"]))
}

/// True for words that fasten one piece to another; `leave a tail for sewing` does not yet.
pub(super) fn fastens(sentence: &Sentence<'_>) -> bool {
    has_done(sentence, FASTEN)
}

/// True if a sentence has one of these words, and not as what something is for: `for sewing`, `to sew with`.
fn has_done(sentence: &Sentence<'_>, deeds: &[&str]) -> bool {
    const GOALS: &[&str] = &["to", "onto", "on", "it", "them", "the", "at", "between"];
    let words = &sentence.words;
    let leaves = sentence.has(&["leave", "leaving", "long"]);
    words.iter().enumerate().any(|(at, word)| {
        let purpose = at > 0 && (words[at - 1].is("for") || leaves && words[at - 1].is("to"));
        let goal = words.get(at + 1).is_some_and(|next| next.is_any(GOALS));
        // `in the last stitch` is no deed.
        let noun =
            word.is("stitch") && at > 0 && !words[at - 1].is_any(&["and", "then", "or", "to"]);
        word.is_any(deeds) && (!purpose || goal) && !noun && !hides_ends(words, at)
    })
}

/// True if the name at this place says what something is sewn to.
pub(super) fn is_goal(sentence: &Sentence<'_>, at: usize) -> bool {
    sentence.words[at.saturating_sub(2)..at].iter().any(|word| {
        word.is_any(&[
            "to", "on", "onto", "over", "of", "between", "under", "in", "into", "inside", "across",
            "along", "against", "behind",
        ])
    })
}

/// True if the pattern tells how its pieces come together.
pub(super) fn tells_assembly(draft: &Draft<'_>) -> bool {
    let pieces = &draft.fabric.pieces;
    let deeds = &["sew", "sewn", "attach"];
    pieces.iter().any(|piece| !piece.joins.is_empty())
        || draft.below_the_header().any(|sentence| {
            // `Sew the opening shut.`
            !sentence.in_round
                && !sentence.has(&["shut", "closed", "close"])
                && has_done(sentence, deeds)
        })
}

/// How rounds join a piece into others.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Joined {
    /// Copies of it, over all copies of the pieces that it is joined into.
    pub copies: usize,
    /// The highest number of a copy that is named.
    pub highest: u32,
}

/// For each piece, how rounds join it into others.
pub(super) fn joined(draft: &Draft<'_>) -> Vec<Joined> {
    let pieces = &draft.fabric.pieces;
    let mut all = vec![Joined::default(); pieces.len()];
    for host in pieces {
        let copies: BTreeSet<(usize, u32)> = host
            .joins
            .iter()
            .filter(|join| !join.loops)
            .map(|join| (join.part, join.copy))
            .collect();
        for (part, copy) in copies {
            if let Some(joined) = all.get_mut(part) {
                joined.copies += host.make as usize;
                joined.highest = joined.highest.max(copy);
            }
        }
    }
    all
}

/// How often the words behind a place do something: once for each copy of `each leg`, twice for `each side`.
pub(super) fn times_told(
    draft: &Draft<'_>,
    names: &Names,
    sentence: &Sentence<'_>,
    at: usize,
) -> Option<usize> {
    let words = &sentence.words;
    let mut behind = (at + 1..words.len())
        .take_while(|&at| words[at].number().is_none() && !words[at].is_any(&["over", "around"]));
    let each = behind.find(|&at| words[at].is_any(&["each", "either"]))?;
    let next = words.get(each + 1)?;
    if next.is("side") {
        return Some(2);
    }
    let piece = names.only(&next.stem())?;
    draft
        .pattern
        .pieces
        .get(piece)
        .map(|piece| piece.make as usize)
}
