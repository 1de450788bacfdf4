//! Materials that the words use and the list does not have.

use super::draft::{Draft, Place};
use crate::source::{Problem, quoted};

/// Things that a maker has to buy or find: the word in the text, and the words in a list that cover it.
const THINGS: &[(&[&str], &[&str])] = &[
    (
        &["stuff", "stuffing", "fiberfill", "fibrefill"],
        &[
            "stuffing",
            "stuff",
            "fiberfill",
            "fibrefill",
            "fill",
            "filling",
            "wadding",
            "polyfill",
            "scraps",
        ],
    ),
    (&["eyes"], &["eyes", "eye", "beads", "buttons", "felt"]),
    (&["needle"], &["needle", "needles"]),
    (
        &["floss"],
        &["floss", "embroidery", "thread", "threads", "cotton"],
    ),
    (
        &["pellets", "beans"],
        &[
            "pellets", "pellet", "beans", "beads", "weight", "weights", "rice",
        ],
    ),
    (&["cleaner", "cleaners"], &["cleaner", "cleaners"]),
    (
        &["keyring", "keychain"],
        &["keyring", "keychain", "ring", "chain"],
    ),
    (&["wire"], &["wire", "wires"]),
    (&["felt"], &["felt"]),
    (&["button", "buttons"], &["button", "buttons"]),
    (&["bead", "beads"], &["bead", "beads"]),
    (&["rattle"], &["rattle", "rattles"]),
    (&["squeaker"], &["squeaker", "squeakers"]),
    (&["magnet", "magnets"], &["magnet", "magnets"]),
    (&["ribbon"], &["ribbon", "ribbons"]),
    (&["cardboard"], &["cardboard", "card"]),
    (&["glue"], &["glue"]),
    (&["pins"], &["pins", "pin"]),
    (
        &["dowel", "skewer"],
        &["dowel", "skewer", "dowels", "skewers"],
    ),
    (
        &["marker", "markers"],
        &["marker", "markers", "pin", "pins"],
    ),
];

/// Words by which eyes are no material.
const EMBROIDERED: &[&str] = &["embroider", "embroidered"];

/// A thing that is used from the first piece on, but is neither in the list of materials nor in the header. Eyes that are
/// embroidered, and what is told to be left out, are no material.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    if !draft.is_whole() {
        return Vec::new();
    }
    let listed = |covers: &[&str]| {
        draft
            .sentences
            .iter()
            .any(|s| matches!(s.place, Place::Materials | Place::Front) && s.has(covers))
    };
    let mut problems = Vec::new();
    for (words, covers) in THINGS {
        let used = draft
            .below_the_header()
            .filter(|s| !words.contains(&"eyes") || !s.has(EMBROIDERED))
            .filter(|s| {
                !s.has(&[
                    "not",
                    "don't",
                    "don’t",
                    "without",
                    "no",
                    "like",
                    "unstuffed",
                ])
            })
            .find_map(|sentence| sentence.word(words));
        if let Some(word) = used.filter(|_| !listed(covers)) {
            problems.push(
                Problem::note(
                    "material-unlisted",
                    word.span,
                    format!(
                        "{} is used here, but the materials do not list it",
                        match word.is("stuff") {
                            true => "stuffing".to_owned(),
                            false => quoted(word.text),
                        }
                    ),
                )
                .help("add it to the list of materials"),
            );
        }
    }
    problems
}
