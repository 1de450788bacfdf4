//! Yarns that are listed and never used.

use std::collections::BTreeSet;

use super::draft::{Draft, Place};
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
        if used.contains(&place) || is_named(draft, &yarn.letter, &yarn.name) {
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
    let sentences = draft.prose.sentences.iter();
    let lists = sentences.filter(|sentence| {
        matches!(sentence.place, Place::Front | Place::Materials)
            && sentence.has(OF_YARN)
            && sentence.has(AMOUNTS)
            && !sentence.has(&["thread", "floss", "embroidery"])
    });
    let colours: Vec<_> = lists
        .flat_map(|sentence| &sentence.words)
        .filter(|word| word.is_any(colours::COLOURS))
        .collect();
    let below: BTreeSet<String> = draft
        .below_the_header()
        .flat_map(|sentence| &sentence.words)
        .map(|word| colours::plain(word.text))
        .collect();
    let is_named = |name: &str| below.contains(&colours::plain(name));
    if !colours.iter().any(|word| is_named(word.text)) {
        return Vec::new();
    }
    let unused = colours.iter().filter(|word| !is_named(word.text));
    unused
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
