//! The header: the terms line, and a line for every yarn.

use super::edits::Edits;
use super::text::{Shape, line_after, line_of};
use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::source::{Problem, Source, Span};
use crate::terms::Terms;

/// Keys of the header that say what a pattern needs.
const KEYS: [&str; 14] = [
    "terms",
    "hand",
    "hook",
    "gauge",
    "tension",
    "size",
    "eyes",
    "lean",
    "sc",
    "dc",
    "style",
    "yarn",
    "difficulty",
    "skill level",
];

/// Sets the line `Terms:`, after the title or above the other lines of the header if there is none.
pub(super) fn terms(
    source: &Source,
    pattern: &Pattern,
    terms: Terms,
    shape: Shape,
    edits: &mut Edits,
) {
    if let Some(stated) = &pattern.header.terms {
        if source.slice(stated.span) != terms.name() {
            edits.replace(stated.span, terms.name());
        }
        return;
    }
    let line = format!("Terms: {}", terms.name());
    let eol = shape.eol;
    let is_key = |key: &str| KEYS.contains(&key) || key.starts_with("yarn ");
    let entry = pattern.header.entries.iter().find(|entry| {
        let line = source.slice(line_of(source, entry.value.start));
        is_key(&entry.key) && line.starts_with(char::is_alphabetic)
    });
    if let Some(entry) = entry {
        let at = line_of(source, entry.value.start).start;
        edits.insert(at, format!("{line}{eol}"));
    } else if let Some(title) = &pattern.title {
        let mut end = line_of(source, title.span.end);
        // A title underlined with `===`.
        let below = line_after(source, end);
        let is_rule = |words: &str| {
            let words = words.trim();
            words.len() >= 3 && words.chars().all(|c| c == '=' || c == '-')
        };
        if below.is_some_and(|below| is_rule(source.slice(below))) {
            end = below.unwrap_or(end);
        }
        edits.insert(end.end, format!("{eol}{eol}{line}"));
    } else {
        let mark = if source.text().starts_with('\u{feff}') {
            3
        } else {
            0
        };
        edits.insert(mark, format!("{line}{eol}{eol}"));
    }
}

/// Lists yarns that are used and not listed, each with a note that asks what it is.
pub(super) fn yarns(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    shape: Shape,
    edits: &mut Edits,
) -> Vec<Problem> {
    let listed = pattern.header.yarns.len();
    let missing = fabric.yarns.get(listed..).unwrap_or_default();
    if missing.is_empty() {
        return Vec::new();
    }
    // The first yarn of the list is the one that a piece starts with if nothing is said: a new list must not say more.
    let has_bare = fabric
        .pieces
        .iter()
        .any(|piece| piece.stitches.iter().any(|stitch| stitch.yarn.is_none()));
    let place = pattern
        .header
        .yarns
        .last()
        .map(|yarn| line_of(source, yarn.span.start).end)
        .filter(|_| !has_bare);
    let mut problems = Vec::new();
    for yarn in missing {
        let what = if yarn.name.is_empty() {
            "colour and weight"
        } else {
            &yarn.name
        };
        let line = format!("Yarn {}: {what}", yarn.letter);
        let span = place.map_or(Span::default(), |at| Span::new(at, at));
        problems.push(match place {
            Some(at) => {
                edits.insert(at, format!("{}{line}", shape.eol));
                Problem::note(
                    "yarn-added",
                    span,
                    format!(
                        "yarn {} is used and was not listed: a line for it has been added",
                        yarn.letter
                    ),
                )
                .help("say what it is: `Yarn A: charcoal, DK, 50 g = 125 m, #3a3f47`")
            }
            None => Problem::note(
                "yarn-unlisted",
                span,
                format!("yarn {} is used and not listed", yarn.letter),
            )
            .help(format!(
                "list every yarn above the first piece, in the order of use: `{line}`"
            )),
        });
    }
    problems
}
