//! A stitch by its name in the other custom.

use super::abbreviations::list;
use super::draft::{Draft, Place};
use crate::prose::Word;
use crate::source::{Problem, quoted};
use crate::terms::Terms;

/// Rounds that must be worked in single crochet before one round of something taller looks like a slip.
const ENOUGH: usize = 4;

/// Stitches by which a pattern goes beyond single crochet.
const TALLER: &[&str] = &[
    "hdc", "tr", "dtr", "half", "treble", "shell", "shells", "bobble",
];

/// The only round with `dc` in a pattern in US terms whose words above the first piece explain `sc` and no `dc`: UK terms call single crochet so.
/// Where a list of abbreviations was read, `abbreviation-unlisted` says it.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    if draft.fabric.terms != Terms::Us || list(draft).is_some() {
        return Vec::new();
    }
    let is_above = |place| {
        matches!(
            place,
            Place::Front | Place::Materials | Place::Abbreviations
        )
    };
    let above = || {
        let sentences = draft.prose.sentences.iter();
        sentences.filter(move |sentence| is_above(sentence.place))
    };
    let explains = above().any(|sentence| sentence.has(&["sc"]) && sentence.has(&["inc", "dec"]));
    if !explains || above().any(|sentence| sentence.has(&["dc", "double"])) {
        return Vec::new();
    }
    let rounds = || draft.prose.sentences.iter().filter(|s| s.in_round);
    // Among stitches of many heights it is one more.
    if rounds().any(|sentence| sentence.has(TALLER)) {
        return Vec::new();
    }
    let mut slips = rounds().filter_map(|sentence| sentence.word(&["dc"]));
    let (Some(slip), None) = (slips.next(), slips.next()) else {
        return Vec::new();
    };
    let plain = rounds().filter(|sentence| sentence.has(&["sc"])).count();
    if plain < ENOUGH {
        return Vec::new();
    }
    vec![problem(slip)]
}

fn problem(slip: &Word<'_>) -> Problem {
    let message = format!(
        "{} stands only here, and nothing explains it: in UK terms it is what this pattern calls `sc`",
        quoted(slip.text)
    );
    Problem::warning("terms-slip", slip.span, message)
        .help("write `sc`, or explain `dc` above the first piece")
}
