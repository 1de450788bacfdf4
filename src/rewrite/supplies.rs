//! The list of materials, made whole: what the words use and it does not have.

use super::edits::Edits;
use super::text::{Shape, front_end, line_after, line_of};
use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::prose::materials::{says_what_it_needs, unlisted};
use crate::prose::{self, Place, Prose, words};
use crate::source::{Problem, Source, Span};

/// Adds to the list of materials what is used and not listed, each with a note. A pattern that only has lines such as `Hook: 3 mm`
/// gets one more, `Materials: …`; rounds that somebody jotted down get none.
pub(super) fn add(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    shape: Shape,
    edits: &mut Edits,
) -> Vec<Problem> {
    let prose = prose::sentences(source, pattern);
    let Some(front) = front_end(source, pattern) else {
        return Vec::new();
    };
    if !says_what_it_needs(pattern, &prose) {
        return Vec::new();
    }
    let missing = unlisted(&prose);
    let yarns = yarns(pattern, fabric, &prose);
    let things = missing.iter().map(|thing| thing.listed_as.to_owned());
    let names: Vec<String> = yarns.into_iter().chain(things).collect();
    if names.is_empty() {
        return Vec::new();
    }
    let heading = prose.heading(Place::Materials);
    let list = match heading.filter(|heading| heading.end <= front) {
        Some(heading) => List::under(source, heading, front),
        None if heading.is_some() => return Vec::new(),
        None => match last_entry(source, pattern) {
            Some(line) => List::Header(line),
            None => return Vec::new(),
        },
    };
    list.add(&names, shape, edits);
    let note = |thing: &prose::materials::Unlisted<'_>| {
        Problem::note(
            "material-added",
            thing.word.span,
            format!(
                "{} is used here and was not listed: the materials list it now",
                thing.listed_as
            ),
        )
        .help("say how much of it, or how large and how many")
    };
    missing.iter().map(note).collect()
}

/// Yarns that the rounds call by a colour, where no line lists yarns and the list does not have this one.
fn yarns(pattern: &Pattern, fabric: &Fabric, prose: &Prose<'_>) -> Vec<String> {
    if !pattern.header.yarns.is_empty() {
        return Vec::new();
    }
    let is_listed = |name: &str| {
        let mut above = prose.sentences.iter();
        let colour = words::stem(name.rsplit(' ').next().unwrap_or(name));
        above.any(|sentence| {
            matches!(sentence.place, Place::Materials | Place::Front)
                && sentence.words.iter().any(|word| word.stem() == colour)
        })
    };
    let names = fabric.yarns.iter().map(|yarn| yarn.name.trim());
    names
        .filter(|name| !name.is_empty() && !is_listed(name))
        .map(|name| format!("{name} yarn"))
        .collect()
}

/// How a list of materials stands in the text.
enum List {
    /// An item a line, each after the same mark: where the last one ends.
    Items { end: usize, mark: String },
    /// `Materials: white yarn, a 3 mm hook`, or a paragraph: where its last word ends, and whether it is a sentence.
    Words { end: usize, is_sentence: bool },
    /// None; the last line of the header that says what is needed.
    Header(Span),
}

impl List {
    /// The list under a heading, above the work.
    fn under(source: &Source, heading: Span, front: usize) -> List {
        let line = line_of(source, heading.start);
        if let Some((_, list)) = source.slice(line).split_once(':')
            && !list.trim_matches(['*', '_', ' ']).is_empty()
        {
            return List::words(source, line);
        }
        let mut items: Vec<Span> = Vec::new();
        let mut next = line_after(source, line);
        while let Some(line) = next.filter(|line| line.start < front) {
            let text = source.slice(line).trim();
            let ends = text.is_empty() && !items.is_empty();
            if ends || text.starts_with('#') {
                break;
            }
            if !text.is_empty() {
                items.push(line);
            }
            next = line_after(source, line);
        }
        let Some(&last) = items.last() else {
            let end = line.end;
            return List::Words {
                end,
                is_sentence: true,
            };
        };
        let marked = |line: &&Span| !mark(source.slice(**line)).trim().is_empty();
        match items.iter().rfind(marked) {
            Some(item) => List::Items {
                end: last.end,
                mark: mark(source.slice(*item)).to_owned(),
            },
            // A paragraph ends like one; a bare list has an item a line.
            None if source.slice(last).trim_end().ends_with('.') => List::words(source, last),
            None => List::Items {
                end: last.end,
                mark: String::new(),
            },
        }
    }

    /// A list that runs on as words, up to the end of this line.
    fn words(source: &Source, line: Span) -> List {
        let text = source.slice(line).trim_end();
        let bare = text.trim_end_matches(['*', '_', '.']);
        List::Words {
            end: line.start + bare.len(),
            is_sentence: text.ends_with('.') && !text.contains(": "),
        }
    }

    fn add(&self, names: &[String], shape: Shape, edits: &mut Edits) {
        let eol = shape.eol;
        match self {
            List::Items { end, mark } => {
                let lines = names.iter().map(|name| format!("{eol}{mark}{name}"));
                edits.insert(*end, lines.collect::<String>());
            }
            List::Words {
                end,
                is_sentence: false,
            } => edits.insert(*end, format!(", {}", names.join(", "))),
            List::Words { end, .. } => {
                edits.insert(*end, format!(". Also {}", names.join(", ")));
            }
            List::Header(line) => {
                edits.insert(line.end, format!("{eol}Materials: {}", names.join(", ")));
            }
        }
    }
}

/// What an item of a list begins with: white space, and a bullet or a number.
fn mark(line: &str) -> &str {
    let bullets = |c: char| c.is_whitespace() || "-•*·▪–+".contains(c);
    let rest = line.trim_start_matches(bullets);
    &line[..line.len() - rest.len()]
}

/// The last line above the work of the form `Key: value`.
fn last_entry(source: &Source, pattern: &Pattern) -> Option<Span> {
    let entry = pattern.header.entries.last()?;
    Some(line_of(source, entry.value.start))
}
