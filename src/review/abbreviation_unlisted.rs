//! Abbreviations that the rounds use and the list does not have.

use std::collections::BTreeSet;

use super::abbreviations::{Use, is_same, list, used};
use super::draft::{Draft, Place};
use crate::source::{Problem, quoted};

/// An abbreviation of the trade, at its first use, that the pattern's own list leaves out. Patterns without a list rely on
/// the maker's knowledge.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let Some(entries) = list(draft) else {
        return Vec::new();
    };
    let list_text: String = draft
        .in_place(Place::Abbreviations)
        .map(|sentence| draft.source.slice(sentence.span()).to_lowercase() + "\n")
        .collect();
    let is_listed = |usage: &Use| {
        let mut names = entries.iter().flat_map(|entry| &entry.names);
        names.any(|name| is_same(usage.row, name) || name.split(' ').any(|word| word == usage.name))
            // `dec: decrease (sc2tog)`
            || usage.name.ends_with("tog") && list_text.contains(&usage.name)
    };
    let mut uses = used(draft);
    let mut rows = BTreeSet::new();
    uses.retain(|usage| rows.insert(usage.row));
    let missing: Vec<&Use> = uses.iter().filter(|usage| !is_listed(usage)).collect();
    // A list that leaves out most of them is one of this pattern's own stitches.
    if missing.len() * 2 > uses.len() {
        return Vec::new();
    }
    let missing = missing.into_iter().map(|usage| {
        Problem::warning(
            "abbreviation-unlisted",
            usage.span,
            format!(
                "{} is not in the list of abbreviations",
                quoted(&usage.name)
            ),
        )
        .help("add it to the list, or write it out")
    });
    missing.collect()
}
