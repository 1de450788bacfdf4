//! Yarns that are listed and never used.

use std::collections::BTreeSet;

use super::draft::{Draft, Place, Sentence};
use super::yarn_unlisted::by_colour as by_colour_unlisted;
use crate::pattern::Yarn;
use crate::prose::{Word, words};
use crate::source::{Problem, quoted};
use crate::terms::colours;

/// A listed yarn that no stitch is worked in and that no words name.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let mut used: BTreeSet<usize> = BTreeSet::new();
    for piece in &draft.fabric.pieces {
        used.extend(
            piece
                .stitches
                .iter()
                .filter_map(|stitch| stitch.yarn)
                .map(|yarn| usize::from(yarn.0)),
        );
    }
    let listed = &draft.pattern.header.yarns;
    if listed.is_empty() {
        return by_colour(draft);
    }
    // A yarn that no list has was surely meant to be one of them: `yarn-unknown` says so.
    if draft.fabric.yarns.len() > listed.len() {
        return Vec::new();
    }
    let mut problems = Vec::new();
    for (place, yarn) in listed.iter().enumerate() {
        if used.contains(&place)
            || is_named(draft, &yarn.letter, &yarn.name)
            || is_of_all(draft, yarn)
        {
            continue;
        }
        problems.push(
            Problem::warning(
                "yarn-unused",
                yarn.span,
                format!("yarn {} is listed but never used", quoted(&yarn.letter)),
            )
            .help("say where it is used, or take it off the list"),
        );
    }
    problems
}

/// Where the materials go by colours (`yarn in grey (40 g), red (5 g) and cream (10 g)`): those that no words from the first piece
/// on name, if they name some.
fn by_colour(draft: &Draft<'_>) -> Vec<Problem> {
    const OF_YARN: &[&str] = &["yarn", "yarns", "cotton", "wool", "acrylic"];
    const AMOUNTS: &[&str] = &["g", "oz", "grams", "m", "yd", "yds"];
    let lists = || {
        let sentences = draft.prose.sentences.iter();
        sentences.filter(|sentence| {
            matches!(sentence.place, Place::Front | Place::Materials)
                && sentence.has(OF_YARN)
                && sentence.has(AMOUNTS)
                && !sentence.has(&["thread", "floss", "embroidery"])
        })
    };
    let colours: Vec<_> = lists()
        .flat_map(|sentence| {
            let words = sentence.words.iter().enumerate();
            words.filter(|&(at, word)| {
                word.is_any(colours::COLOURS) && !is_of_a_thing(&sentence.words[at + 1..])
            })
        })
        .map(|(_, word)| word)
        .collect();
    // `Red and white stripes alternate above the base` may stand above the first piece.
    let lists_yarn = |sentence: &Sentence<'_>| sentence.has(AMOUNTS) || sentence.has(OF_YARN);
    let told = draft.prose.sentences.iter().filter(|sentence| {
        !matches!(sentence.place, Place::Materials | Place::Abbreviations)
            && (sentence.place != Place::Front || !lists_yarn(sentence))
    });
    let below: BTreeSet<String> = told
        .flat_map(|sentence| &sentence.words)
        .map(|word| colours::plain(word.text))
        .collect();
    let is_named = |name: &str| below.contains(&colours::plain(name));
    if !colours.iter().any(|word| is_named(word.text)) {
        return Vec::new();
    }
    let others = match by_colour_unlisted(draft) {
        // It may be called by a colour below.
        Some(_) => Vec::new(),
        None => lists()
            .flat_map(|s| called_with_amounts(draft, s))
            .collect(),
    };
    let unused = colours.iter().chain(&others);
    unused
        .filter(|word| !is_named(word.text))
        .map(|word| {
            Problem::warning(
                "yarn-unused",
                word.span,
                format!("yarn {} is listed but never used", quoted(word.text)),
            )
            .help("say where it is used, or take it off the list")
        })
        .collect()
}

/// Names between commas, each with its amount, that are no colours as such: the `mint` of `lilac 15 g, mint 5 g`.
fn called_with_amounts<'d>(draft: &'d Draft<'_>, sentence: &'d Sentence<'_>) -> Vec<&'d Word<'d>> {
    const WEIGHTS: &[&str] = &["g", "gr", "grams", "oz"];
    const NO_NAMES: &[&str] = &[
        "yarn",
        "cotton",
        "wool",
        "acrylic",
        "dk",
        "aran",
        "worsted",
        "sport",
        "fingering",
        "chunky",
        "bulky",
        "ply",
        "weight",
        "main",
        "contrast",
        "colour",
        "color",
        "of",
        "about",
        "approx",
        "approximately",
        "each",
        "stuffing",
        "fiberfill",
        "fibrefill",
        "polyfill",
        "filling",
        "wadding",
        "ball",
        "balls",
        "skein",
        "skeins",
        "remnants",
        "scraps",
        "less",
        "total",
        "and",
        "or",
        "m",
        "yd",
        "yds",
        "per",
        "only",
        "mohair",
        "alpaca",
        "chenille",
        "velvet",
    ];
    let words = &sentence.words;
    let text = draft.source.text();
    let is_amount = |at: usize| {
        let unit = words.get(at + 1);
        words
            .get(at)
            .is_some_and(|word| word.whole_number().is_some())
            && unit.is_some_and(|unit| unit.is_any(WEIGHTS))
    };
    let opens = |at: usize| {
        at.checked_sub(1).is_none_or(|before| {
            let gap = &text[words[before].span.end..words[at].span.start];
            words[before].is("and") || gap.contains([',', ':', ';'])
        })
    };
    let ends = |last: usize| {
        words.get(last + 1).is_none_or(|next| {
            let gap = &text[words[last].span.end..next.span.start];
            next.is("and") || gap.contains([',', ';', '.', '\n'])
        })
    };
    (0..words.len())
        .filter(|&at| {
            let word = &words[at];
            let is_name = word.text.len() > 2
                && word.number().is_none()
                && !word.is_any(NO_NAMES)
                && !word.is_any(colours::COLOURS);
            let behind = is_amount(at + 1) && opens(at) && ends(at + 2);
            let before = at >= 2 && is_amount(at - 2) && opens(at - 2) && ends(at);
            is_name && (behind || before)
        })
        .map(|at| &words[at])
        .collect()
}

/// True for the yarn of `Yarn: DK cotton` above a list of colours: it has neither a letter nor a colour.
fn is_of_all(draft: &Draft<'_>, yarn: &Yarn) -> bool {
    let line = draft.source.line_of(yarn.span.start) - 1;
    let line = draft.source.slice(draft.source.line_span(line));
    let mut words = words::split(line, 0);
    words.all(|word| word.text != yarn.letter && !word.is_any(colours::COLOURS))
        && yarn.colour.is_none()
}

/// True after the colour of `black safety eyes`, `white felt`.
fn is_of_a_thing(after: &[Word<'_>]) -> bool {
    const QUALITIES: &[&str] = &["safety", "plastic", "glass", "embroidery", "small", "round"];
    const THINGS: &[&str] = &[
        "eye", "eyes", "felt", "thread", "floss", "button", "buttons", "bead", "beads",
    ];
    let mut after = after.iter();
    let noun = after.find(|word| !word.is_any(QUALITIES));
    noun.is_some_and(|word| word.is_any(THINGS))
}

/// True if words outside the lists name a yarn: by its letter as it stands, or by its colour.
fn is_named(draft: &Draft<'_>, letter: &str, name: &str) -> bool {
    let first = name.split_whitespace().next().unwrap_or_default();
    draft
        .prose
        .sentences
        .iter()
        .filter(|sentence| {
            !matches!(
                sentence.place,
                Place::Front | Place::Materials | Place::Abbreviations
            )
        })
        .flat_map(|sentence| &sentence.words)
        .any(|word| word.text == letter || !first.is_empty() && word.is(first))
}
