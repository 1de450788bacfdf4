//! What a maker has to have at hand, as the words tell it: what is used, and what the list of materials has.

use super::sentences::{Place, Prose, Sentence};
use super::words::Word;
use crate::pattern::Pattern;
use crate::terms::lengths::has_length;

/// A thing that a maker has to buy or find.
struct Thing {
    /// Its words in the text, in lower case.
    words: &'static [&'static str],
    /// Words in a list that cover it.
    covers: &'static [&'static str],
    /// How a list has it.
    listed_as: &'static str,
}

/// Things that a maker has to buy or find.
const THINGS: &[Thing] = &[
    Thing {
        words: &["stuff", "stuffing", "fiberfill", "fibrefill"],
        covers: &[
            "stuffing",
            "stuff",
            "fiberfill",
            "fibrefill",
            "fill",
            "filling",
            "wadding",
            "polyfill",
            "polyfil",
            "polyester",
            "holofiber",
            "holofibre",
            "hollowfibre",
            "padding",
            "filler",
            "batting",
            "scraps",
        ],
        listed_as: "toy stuffing",
    },
    Thing {
        words: &["eyes"],
        covers: &["eyes", "eye", "beads", "buttons", "felt"],
        listed_as: "eyes",
    },
    Thing {
        words: &["needle"],
        covers: &["needle", "needles"],
        listed_as: "a needle",
    },
    Thing {
        words: &["floss"],
        covers: &["floss", "embroidery", "thread", "threads", "cotton"],
        listed_as: "embroidery floss",
    },
    Thing {
        words: &["pellets", "beans"],
        covers: &[
            "pellets", "pellet", "beans", "beads", "weight", "weights", "rice",
        ],
        listed_as: "pellets",
    },
    Thing {
        words: &["cleaner", "cleaners"],
        covers: &["cleaner", "cleaners"],
        listed_as: "pipe cleaners",
    },
    Thing {
        words: &["chenille"],
        covers: &["chenille", "cleaner", "cleaners"],
        listed_as: "chenille stems",
    },
    Thing {
        words: &["keyring", "keychain"],
        covers: &["keyring", "keychain", "ring", "chain"],
        listed_as: "a keyring",
    },
    Thing {
        words: &["wire"],
        covers: &["wire", "wires"],
        listed_as: "wire",
    },
    Thing {
        words: &["felt"],
        covers: &["felt"],
        listed_as: "felt",
    },
    Thing {
        words: &["button", "buttons"],
        covers: &["button", "buttons"],
        listed_as: "buttons",
    },
    Thing {
        words: &["bead", "beads"],
        covers: &["bead", "beads"],
        listed_as: "beads",
    },
    Thing {
        words: &["rattle"],
        covers: &["rattle", "rattles"],
        listed_as: "a rattle",
    },
    Thing {
        words: &["squeaker"],
        covers: &["squeaker", "squeakers"],
        listed_as: "a squeaker",
    },
    Thing {
        words: &["magnet", "magnets"],
        covers: &["magnet", "magnets"],
        listed_as: "magnets",
    },
    Thing {
        words: &["ribbon"],
        covers: &["ribbon", "ribbons"],
        listed_as: "ribbon",
    },
    Thing {
        words: &["cardboard"],
        covers: &["cardboard", "card"],
        listed_as: "cardboard",
    },
    Thing {
        words: &["glue"],
        covers: &["glue"],
        listed_as: "glue",
    },
    Thing {
        words: &["pins"],
        covers: &["pins", "pin"],
        listed_as: "pins",
    },
    Thing {
        words: &["dowel", "skewer"],
        covers: &["dowel", "skewer", "dowels", "skewers"],
        listed_as: "a dowel",
    },
    Thing {
        words: &["marker", "markers"],
        covers: &["marker", "markers", "pin", "pins"],
        listed_as: "a stitch marker",
    },
];

/// Words by which eyes are no material.
const EMBROIDERED: &[&str] = &["embroider", "embroidered", "sew"];

/// True for eyes that are put in, not embroidered ones, nor `black for the eyes`.
fn has_eyes_to_buy(sentence: &Sentence<'_>) -> bool {
    sentence.eyes().is_some_and(|at| {
        let before = &sentence.words[at.saturating_sub(2)..at];
        !before.iter().any(|word| word.is("for"))
    }) && !sentence.has(EMBROIDERED)
}

/// Words by which a thing is left out, or only likened to.
const LEFT_OUT: &[&str] = &[
    "not",
    "don't",
    "don’t",
    "without",
    "no",
    "like",
    "unstuffed",
];

/// A thing that is used and not listed.
pub(crate) struct Unlisted<'a> {
    /// The word that it is first used by.
    pub word: &'a Word<'a>,
    /// How a list would have it.
    pub listed_as: &'static str,
}

/// True for a pattern that says what it needs, in a list or on two lines of its header (`Hook: …`, `Yarn: …`), and not for a few rounds
/// that somebody jotted down.
pub(crate) fn says_what_it_needs(pattern: &Pattern, prose: &Prose<'_>) -> bool {
    let has = |keys: &[&str]| pattern.header.entry(keys).is_some();
    let has_yarn = !pattern.header.yarns.is_empty() || has(&["yarn", "yarns"]);
    let others: [&[&str]; 3] = [&["hook"], &["eyes", "eye"], &["stuffing"]];
    let lines = others.iter().filter(|keys| has(keys)).count();
    prose.heading(Place::Materials).is_some() || lines + usize::from(has_yarn) > 1
}

/// True for a pattern that says so in a sentence above the first piece: `Made with aran yarn (20 g stone) and a 4 mm hook`.
pub(crate) fn says_so_in_a_sentence(prose: &Prose<'_>) -> bool {
    prose.sentences.iter().any(|sentence| {
        sentence.place == Place::Front
            && sentence.has(&["hook"])
            && sentence.has(&["yarn", "yarns", "cotton", "wool"])
            && has_length(&sentence.words)
    })
}

/// Things that are used from the first piece on, but are neither in the list of materials nor in the header. Eyes that are
/// embroidered, and what is told to be left out, are no material.
pub(crate) fn unlisted<'a>(prose: &'a Prose<'_>) -> Vec<Unlisted<'a>> {
    let listed = |covers: &[&str]| {
        let mut above = prose.sentences.iter();
        above.any(|s| matches!(s.place, Place::Materials | Place::Front) && s.has(covers))
    };
    let used = |thing: &Thing| {
        prose
            .below_the_header()
            .filter(|s| !s.has(LEFT_OUT))
            .filter(|s| !thing.words.contains(&"eyes") || has_eyes_to_buy(s))
            .find_map(|sentence| sentence.word(thing.words))
    };
    let missing = |thing: &Thing| {
        let word = used(thing).filter(|_| !listed(thing.covers))?;
        Some(Unlisted {
            word,
            listed_as: thing.listed_as,
        })
    };
    THINGS.iter().filter_map(missing).collect()
}
