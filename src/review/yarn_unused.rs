//! Yarns that are listed and never used.

use std::collections::BTreeSet;

use super::draft::{Draft, Place};
use crate::source::{Problem, quoted};

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
