//! The header: the terms line, and a line for every yarn.

use super::edits::Edits;
use super::terms_left::words_of;
use super::text::{Shape, front_end, line_after, line_of};
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

/// Sets the line `Terms:`, after the title or above the other lines of the header if there is none; or the words that say so in prose.
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
    let heading = pattern
        .pieces
        .first()
        .map(|piece| line_of(source, piece.span.start).start);
    let front = front_end(source, pattern);
    if let Some((span, custom)) = said_in_prose(source, front.unwrap_or(source.text().len())) {
        if custom != terms {
            edits.replace(span, terms.name());
        }
    } else if let Some(entry) = entry {
        let at = line_of(source, entry.value.start).start;
        edits.insert(at, format!("{line}{eol}"));
    } else if let Some(front) = front.filter(|_| front != heading) {
        edits.insert(front, format!("{line}{eol}{eol}"));
    } else if let Some(title) = &pattern.title {
        let end = end_of_title(source, title.span);
        edits.insert(end, format!("{eol}{eol}{line}"));
    } else {
        let mark = if source.text().starts_with('\u{feff}') {
            3
        } else {
            0
        };
        edits.insert(mark, format!("{line}{eol}{eol}"));
    }
}

/// The end of a title: of its underline, or without Markdown of the lines right below it.
fn end_of_title(source: &Source, title: Span) -> usize {
    let line = line_of(source, title.end);
    let is_marked = source.slice(line).trim_start().starts_with('#');
    let is_rule = |words: &str| {
        let words = words.trim();
        words.len() >= 3 && words.chars().all(|c| c == '=' || c == '-')
    };
    let mut end = line;
    while let Some(below) = line_after(source, end) {
        let words = source.slice(below);
        if is_rule(words) {
            return below.end;
        }
        if is_marked || words.trim().is_empty() || words.contains(':') {
            break;
        }
        end = below;
    }
    end.end
}

/// `US terms.` in the prose above the work: the word for the custom, and which it is.
fn said_in_prose(source: &Source, end: usize) -> Option<(Span, Terms)> {
    let words = words_of(source, Span::new(0, end));
    words.windows(2).find_map(|pair| {
        let custom = match pair[0].lower.as_str() {
            "us" | "american" => Terms::Us,
            "uk" | "british" => Terms::Uk,
            _ => return None,
        };
        let speaks = matches!(pair[1].lower.as_str(), "terms" | "terminology");
        speaks.then_some((pair[0].span, custom))
    })
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
