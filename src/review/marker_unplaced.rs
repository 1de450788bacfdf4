//! Markers that are used and were never placed.

use super::draft::{Draft, Place, Sentence};
use super::opening::puts_eyes_in;
use crate::prose::Word;
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
    // `With a 5 mm hook, a needle and a stitch marker` is a list as well.
    if sentence.place == Place::Materials || sentence.has(&["hook"]) && sentence.has(&["with"]) {
        return false;
    }
    // `Sew the fin at the marked st, then remove the marker`: with what else, says nothing.
    let has_been = sentence.has(&["marked", "remove", "removing"]);
    let puts = sentence.has(&["place", "put", "add", "insert", "attach"])
        || !has_been && sentence.has(&["use", "using", "with", "keep", "move", "moving", "fasten"]);
    let noun = names_marker(sentence);
    puts && noun && !leads_to_marker(sentence) && !eyes_by_marker(sentence)
        || sentence.has(&["pm", "mark", "marking"])
        || has_start_marked(sentence)
}

/// `Spiral rounds, first st marked`.
fn has_start_marked(sentence: &Sentence<'_>) -> bool {
    let marked = |three: &[Word<'_>]| {
        // `1st st` is three words.
        three[0].is_any(&["first", "st", "beginning", "start"])
            && three[1].is_any(&["st", "stitch", "round", "rnd"])
            && three[2].is("marked")
    };
    !sentence.in_round && sentence.words.windows(3).any(marked)
}

/// `A marker`, or `the safety pin` in its place.
fn names_marker(sentence: &Sentence<'_>) -> bool {
    let is_pin = |pair: &[Word<'_>]| pair[0].is("safety") && pair[1].is_any(&["pin", "pins"]);
    sentence.has(&["marker", "markers"]) || sentence.words.windows(2).any(is_pin)
}

/// True for words that need a marker that is there.
pub(super) fn uses(sentence: &Sentence<'_>) -> bool {
    leads_to_marker(sentence)
        || eyes_by_marker(sentence)
        || sentence.has(&["marked"])
        || sentence.has(&["remove", "removing"])
            && (names_marker(sentence) || sentence.has(&["pin"]))
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
        "the", "a", "this", "that", "first", "second", "next", "each", "st", "stitch", "safety",
    ];
    sentence.words.iter().enumerate().any(|(at, word)| {
        let before = sentence.words[..at].iter().rev();
        let is_pin = word.is_any(&["pin", "pins"]) && at > 0 && sentence.words[at - 1].is("safety");
        (is_pin || word.is_any(&["marker", "markers"]))
            && before
                .take(4)
                .find(|word| !word.is_any(passed))
                .is_some_and(|word| {
                    word.is_any(BEFORE) || word.is("of") && sentence.has(&["side", "sides"])
                })
    })
}
