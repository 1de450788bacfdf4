//! Markers that are used and were never placed.

use super::draft::{Draft, Place, Sentence};
use super::opening::puts_eyes_in;
use crate::source::Problem;

/// Words before a marker that is there already.
const BEFORE: &[&str] = &[
    "to", "from", "at", "until", "between", "before", "after", "past", "beside",
];

/// Words that send the maker to a marked stitch, where no words before them mark one.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    for sentence in &draft.prose.sentences {
        if places(sentence) {
            return Vec::new();
        }
        if uses(sentence) {
            return vec![
                Problem::warning(
                    "marker-unplaced",
                    sentence.span(),
                    "these words lead to a marker, but none has been placed",
                )
                .help("say where to place it: `Place a marker in the 5th st.`"),
            ];
        }
    }
    Vec::new()
}

/// True for words that put a marker in.
pub(super) fn places(sentence: &Sentence<'_>) -> bool {
    if sentence.place == Place::Materials {
        return false;
    }
    let puts = sentence.has(&[
        "place", "put", "add", "insert", "use", "using", "with", "attach", "keep", "move", "moving",
    ]);
    let noun = sentence.has(&["marker", "markers"]);
    puts && noun && !leads_to_marker(sentence) && !eyes_by_marker(sentence)
        || sentence.has(&["pm", "mark", "marking"])
}

/// True for words that need a marker that is there.
pub(super) fn uses(sentence: &Sentence<'_>) -> bool {
    leads_to_marker(sentence)
        || eyes_by_marker(sentence)
        || sentence.has(&["marked"])
        || sentence.has(&["remove", "removing"]) && sentence.has(&["marker", "markers"])
}

/// `Insert the eyes 3 sts from each marker`: what is put in are the eyes.
fn eyes_by_marker(sentence: &Sentence<'_>) -> bool {
    let place = |names: &[&str]| sentence.words.iter().position(|word| word.is_any(names));
    match (place(&["eye", "eyes"]), place(&["marker", "markers"])) {
        (Some(eyes), Some(marker)) => eyes < marker && puts_eyes_in(sentence),
        _ => false,
    }
}

/// `to the marker`, `from marker`, `on either side of the marker`.
fn leads_to_marker(sentence: &Sentence<'_>) -> bool {
    let passed = &[
        "the", "a", "this", "that", "first", "second", "next", "each", "st", "stitch",
    ];
    sentence.words.iter().enumerate().any(|(at, word)| {
        let before = sentence.words[..at].iter().rev();
        word.is_any(&["marker", "markers"])
            && before
                .take(4)
                .find(|word| !word.is_any(passed))
                .is_some_and(|word| {
                    word.is_any(BEFORE) || word.is("of") && sentence.has(&["side", "sides"])
                })
    })
}
