//! Abbreviations that are listed and never used.

use std::collections::BTreeSet;

use super::abbreviations::list;
use super::draft::Draft;
use crate::prose::{Word, words};
use crate::source::{Problem, quoted};

/// An entry of the list none of whose names stands anywhere else.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let Some(entries) = list(draft) else {
        return Vec::new();
    };
    let is_entry = |word: &Word<'_>| {
        let after = entries.partition_point(|entry| entry.span.start <= word.span.start);
        let entry = after.checked_sub(1).map(|at| &entries[at]);
        entry.is_some_and(|entry| word.span.start < entry.span.end)
    };
    // The meaning of one may use another: `picot: ch 3, sl st in the first of them`.
    let elsewhere: BTreeSet<String> = draft
        .prose
        .sentences
        .iter()
        .flat_map(|sentence| &sentence.words)
        .filter(|word| !is_entry(word))
        .map(Word::stem)
        .collect();
    let is_used = |name: &String| {
        words::split(name, 0)
            .filter(|word| word.whole_number().is_none())
            .all(|word| elsewhere.contains(&word.stem()))
    };
    entries
        .iter()
        .filter(|entry| !entry.names.iter().any(is_used))
        .map(|entry| {
            Problem::note(
                "abbreviation-unused",
                entry.span,
                format!("{} is listed but never used", quoted(&entry.names[0])),
            )
            .help("take it off the list")
        })
        .collect()
}
