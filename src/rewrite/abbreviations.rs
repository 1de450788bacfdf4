//! The list of abbreviations, made from what is used.

use std::collections::BTreeSet;

use super::edits::Edits;
use super::style::Style;
use super::terms_left;
use super::text::{Shape, front_end, line_after, line_of};
use super::used::{Used, base};
use crate::pattern::Pattern;
use crate::source::{Source, Span};
use crate::terms::Terms;
use crate::terms::words::{self, Word};

/// A list that stands in the text already.
pub(super) struct Section {
    entries: Vec<Entry>,
    /// Lines of the section that hold entries, and what parts the first from its line's start.
    lines: Vec<Span>,
    bullet: String,
    /// What stands between an abbreviation and its meaning.
    sign: &'static str,
    /// All on one line: `Abbreviations: sc = single crochet; …`
    in_line: bool,
    /// Where a list goes if the section has none.
    end: usize,
}

#[derive(Clone)]
struct Entry {
    short: String,
    means: String,
    /// The line of an old list that it stands on alone.
    line: Option<Span>,
}

impl Section {
    /// The section of a text that lists its abbreviations, above its first piece.
    pub fn find(source: &Source, pattern: &Pattern) -> Option<Section> {
        let first_piece = front_end(source, pattern)?;
        let mut line = source.line_span(0);
        loop {
            if line.start >= first_piece {
                return None;
            }
            let words = bare(source.slice(line));
            let lower = words.to_lowercase();
            if let Some(rest) = lower.strip_prefix("abbreviations:")
                && !rest.trim_matches(['*', '_', ' ']).is_empty()
            {
                return Some(Section::in_line(source, line));
            }
            if lower.starts_with("abbreviations") && words.split_whitespace().count() <= 5 {
                return Some(Section::below(source, line, first_piece));
            }
            line = line_after(source, line)?;
        }
    }

    fn in_line(source: &Source, line: Span) -> Section {
        let text = source.slice(line);
        let list = text.split_once(':').map_or("", |(_, list)| list);
        let list = list.trim_matches(['*', '_', ' ']).trim_end_matches('.');
        Section {
            entries: in_line_entries(list),
            lines: vec![line],
            bullet: String::new(),
            sign: " = ",
            in_line: true,
            end: line.end,
        }
    }

    fn below(source: &Source, heading: Span, first_piece: usize) -> Section {
        let mut section = Section {
            entries: Vec::new(),
            lines: Vec::new(),
            bullet: "- ".to_owned(),
            sign: ": ",
            in_line: false,
            end: heading.end,
        };
        let mut next = line_after(source, heading);
        while let Some(line) = next.filter(|line| line.start < first_piece) {
            let text = source.slice(line);
            if text.trim_start().starts_with('#') {
                break;
            }
            let start = text.len()
                - text
                    .trim_start_matches(|c: char| c.is_whitespace() || "-•*·▪".contains(c))
                    .len();
            if let Some(mut entry) = Entry::read(&text[start..], &[':', '=']) {
                entry.line = Some(line);
                if section.entries.is_empty() {
                    section.bullet = text[..start].to_owned();
                    let sign = text[start..].find([':', '=']).map(|at| &text[start + at..]);
                    if sign.is_some_and(|sign| sign.starts_with('=')) {
                        section.sign = " = ";
                    }
                }
                section.entries.push(entry);
                section.lines.push(line);
            } else if !section.lines.is_empty() && text.trim().is_empty() {
                break;
            }
            next = line_after(source, line);
        }
        section
    }

    /// The bytes that the list takes the place of: no prose.
    pub fn spans(&self) -> &[Span] {
        &self.lines
    }
}

/// The entries of a list on one line, parted by semicolons or commas: `sc = single crochet, inc = increase`, `sc single crochet`.
fn in_line_entries(list: &str) -> Vec<Entry> {
    if list.contains(';') || list.matches('=').count() == 1 {
        let parts = list.split(';');
        return parts.filter_map(|part| Entry::read(part, &['='])).collect();
    }
    let has_signs = list.contains('=');
    let mut parts: Vec<String> = Vec::new();
    for part in list.split(',') {
        match parts.last_mut() {
            Some(last) if has_signs && !part.contains('=') => {
                last.push(',');
                last.push_str(part);
            }
            _ => parts.push(part.to_owned()),
        }
    }
    let sign = if has_signs { '=' } else { ' ' };
    let parts = parts.iter();
    parts
        .filter_map(|part| Entry::read(part.trim(), &[sign]))
        .collect()
}

impl Entry {
    fn read(words: &str, signs: &[char]) -> Option<Entry> {
        let at = words.find(|c| signs.contains(&c))?;
        let (short, rest) = words.split_at(at);
        let means = rest[1..].trim();
        let short = short.trim().trim_matches('*').trim();
        (!short.is_empty() && !means.is_empty() && short.len() <= 24).then(|| Entry {
            short: short.to_owned(),
            means: means.to_owned(),
            line: None,
        })
    }

    /// True if two entries explain the same: one of the words before the colon is the same.
    fn is_of(&self, short: &str) -> bool {
        let parts = |words: &str| -> BTreeSet<String> {
            words
                .split([',', '/'])
                .map(|part| part.trim().to_lowercase())
                .collect()
        };
        !parts(&self.short).is_disjoint(&parts(short))
    }
}

/// What the list is made for.
pub(super) struct Request<'a> {
    pub source: &'a Source,
    pub pattern: &'a Pattern,
    pub style: Style,
    pub terms: Terms,
    pub used: &'a BTreeSet<Used>,
    /// Prose that is kept, in which an abbreviation of the old list may stand.
    pub prose: &'a [Span],
    /// Rounds that are kept, in which it may stand as well.
    pub kept: &'a [Span],
}

impl<'a> Request<'a> {
    /// Puts the list in the place of the one that is there, or above the first piece.
    pub fn write(&self, section: Option<&Section>, shape: Shape, edits: &mut Edits) {
        let entries = self.entries(section);
        if entries.is_empty() {
            return;
        }
        let eol = shape.eol;
        match section {
            Some(section) if section.in_line => edits.replace(section.lines[0], in_line(&entries)),
            Some(section) => {
                let list = listed(&entries, &section.bullet, section.sign, eol);
                let Some((first, rest)) = section.lines.split_first() else {
                    edits.insert(section.end, format!("{eol}{eol}{list}"));
                    return;
                };
                edits.replace(*first, list);
                for line in rest {
                    // The line goes, with the line end before it.
                    let before = line_of(self.source, line.start.saturating_sub(1));
                    edits.replace(Span::new(before.end.min(line.start), line.end), "");
                }
            }
            None => self.add(&entries, eol, edits),
        }
    }

    fn add(&self, entries: &[Entry], eol: &str, edits: &mut Edits) {
        let Some(front) = front_end(self.source, self.pattern) else {
            return;
        };
        let line = line_of(self.source, front);
        let heading = self.source.slice(line).trim_start();
        let marks = heading.len() - heading.trim_start_matches('#').len();
        // `#1: 6 sc` is no heading.
        let hashes = match heading[marks..].starts_with(char::is_whitespace) {
            true => marks,
            false => 0,
        };
        // Without Markdown a heading of ours could be taken for a piece, and a list for its first lines.
        if hashes == 0 {
            edits.insert(line.start, format!("{}{eol}{eol}", in_line(entries)));
            return;
        }
        let list = listed(entries, "- ", ": ", eol);
        let marks = "#".repeat(hashes.max(2));
        edits.insert(
            line.start,
            format!("{marks} Abbreviations{eol}{eol}{list}{eol}{eol}"),
        );
    }

    /// Everything used, in order, in the designer's own words where these hold; then what the prose still uses.
    fn entries(&self, section: Option<&Section>) -> Vec<Entry> {
        let mut all = self.used.clone();
        for used in self.used {
            all.extend(used.needs());
        }
        let old = section.map_or(&[][..], |section| &section.entries);
        let mut entries: Vec<Entry> = Vec::new();
        for (short, means) in all
            .iter()
            .filter_map(|used| used.entry(self.style, self.terms))
        {
            if entries.iter().any(|entry| entry.is_of(&short)) {
                continue;
            }
            let kept = old
                .iter()
                .find(|entry| entry.is_of(&short) && self.holds(entry));
            entries.push(match kept {
                Some(entry) => entry.clone(),
                None => Entry {
                    short,
                    means,
                    line: None,
                },
            });
        }
        for entry in old {
            let is_new = !entries.iter().any(|other| other.is_of(&entry.short));
            if is_new && (self.is_own(entry) || self.is_in_prose(&entry.short)) {
                entries.push(self.in_new_terms(entry));
            }
        }
        entries
    }

    /// True if an entry defines a stitch of the pattern's own that is used.
    fn is_own(&self, entry: &Entry) -> bool {
        let mut used = self.used.iter();
        used.any(|used| {
            matches!(used, Used::Own(place)
            if self.pattern.definitions.get(*place).is_some_and(|own| {
                entry.line.is_some_and(|line| line.range().contains(&own.span.start))
            }))
        })
    }

    /// An entry of the old list with its stitches named in the new terms.
    fn in_new_terms(&self, entry: &Entry) -> Entry {
        let (old, new) = (self.pattern.terms, self.terms);
        if old == new {
            return entry.clone();
        }
        let means = Source::new("", entry.means.as_str());
        let all = Span::new(0, entry.means.len());
        let mut edits = Edits::default();
        for (span, name) in terms_left::renamed(&means, &[all], old, new) {
            edits.replace(span, name);
        }
        Entry {
            means: edits.made(&entry.means),
            ..entry.clone()
        }
    }

    /// True if an entry says the same in the terms that are written.
    fn holds(&self, entry: &Entry) -> bool {
        if self.terms == self.pattern.terms {
            return true;
        }
        let words = format!("{} {}", entry.short, entry.means).to_lowercase();
        let list: Vec<&str> = words
            .split(|c: char| !c.is_alphabetic())
            .filter(|word| !word.is_empty())
            .collect();
        (0..list.len()).all(|at| {
            let found = words::longest(|i| list.get(at + i).copied(), self.pattern.terms);
            match found {
                Some((Word::Stitch(height), _)) => {
                    base(height, self.pattern.terms) == base(height, self.terms)
                }
                _ => true,
            }
        })
    }

    /// True if an abbreviation stands in what is kept, as words of their own.
    fn is_in_prose(&self, short: &str) -> bool {
        let words_of = |text: &'a str| -> Vec<&'a str> {
            let words = text.split(|c: char| !c.is_alphanumeric());
            words.filter(|word| !word.is_empty()).collect()
        };
        let forms = short.split([',', '/']).map(|form| {
            let words = form.split(|c: char| !c.is_alphanumeric());
            let words = words.filter(|word| !word.is_empty());
            words.map(str::to_owned).collect::<Vec<String>>()
        });
        let forms: Vec<Vec<String>> = forms.filter(|form| !form.is_empty()).collect();
        self.prose.iter().chain(self.kept).any(|&span| {
            let words = words_of(self.source.slice(span));
            let stands = |form: &Vec<String>| words.windows(form.len()).any(|run| run == form);
            forms.iter().any(stands)
        })
    }
}

fn listed(entries: &[Entry], bullet: &str, sign: &str, eol: &str) -> String {
    let lines: Vec<String> = entries
        .iter()
        .map(|entry| format!("{bullet}{}{sign}{}", entry.short, entry.means))
        .collect();
    lines.join(eol)
}

fn in_line(entries: &[Entry]) -> String {
    let list: Vec<String> = entries
        .iter()
        .map(|entry| format!("{} = {}", entry.short, entry.means.replace(';', ",")))
        .collect();
    format!("Abbreviations: {}", list.join("; "))
}

/// A line without marks of Markdown.
fn bare(line: &str) -> &str {
    line.trim()
        .trim_start_matches(['#', '*', '_', ' '])
        .trim_end_matches(['*', '_', ' '])
}
