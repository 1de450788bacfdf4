//! The pattern's text as blocks, in its order: headings, paragraphs, lists, and the rounds among them.

use std::collections::BTreeSet;

use super::document::Run;
use crate::pattern::{Entry, Line, Pattern};
use crate::prose::{self, Place};
use crate::source::{Source, Span};

/// Something of the text.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A heading: what kind of section it opens, where the words tell, its depth (2 for a section), and its words.
    Heading(Option<Kind>, usize, String),
    /// A piece begins: its place in [`Pattern::pieces`].
    Piece(usize),
    /// A paragraph.
    Paragraph(Vec<Run>, Span),
    /// An item of a list, with a number or without.
    Point(bool, Vec<Run>, Span),
    /// A round of the text, or a line that repeats rounds, by its words.
    Round(Span),
}

/// A section that is known by its heading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Materials,
    Abbreviations,
    Finishing,
}

/// The lines of the header that are none of the list of abbreviations.
pub fn header<'p>(source: &Source, pattern: &'p Pattern) -> Vec<&'p Entry> {
    let lists: Vec<Span> = items(source, pattern)
        .into_iter()
        .scan(false, |inside, item| {
            match &item {
                Item::Heading(kind, ..) => *inside = *kind == Some(Kind::Abbreviations),
                Item::Piece(_) => *inside = false,
                _ => {}
            }
            Some((*inside, item))
        })
        .filter_map(|(inside, item)| match item {
            Item::Paragraph(_, span) | Item::Point(_, _, span) if inside => Some(span),
            _ => None,
        })
        .collect();
    let is_listed = |entry: &&Entry| {
        lists
            .iter()
            .any(|list| list.range().contains(&entry.value.start))
    };
    pattern
        .header
        .entries
        .iter()
        .filter(|entry| !is_listed(entry))
        .collect()
}

/// Reads a text into its blocks. The title, the header's lines and rules between sections are left out.
pub fn items(source: &Source, pattern: &Pattern) -> Vec<Item> {
    let mut reader = Reader::new(source, pattern);
    for line in 0..source.line_count() {
        reader.line(source.line_span(line));
    }
    reader.end();
    reader.items
}

struct Reader<'a> {
    source: &'a Source,
    /// Starts of the pieces' headings, or of their first rounds, in order.
    pieces: Vec<Span>,
    piece: usize,
    /// Rounds in order.
    rounds: Vec<Span>,
    round: usize,
    entries: BTreeSet<usize>,
    title: Option<Span>,
    headings: Vec<(Place, Span)>,
    /// Below the heading of the list of abbreviations, whose lines look like those of a header.
    in_abbreviations: bool,
    items: Vec<Item>,
    /// What is being read: its words so far, where they stand, and for a point whether it has a number.
    open: Option<(String, Span, Option<bool>)>,
}

impl<'a> Reader<'a> {
    fn new(source: &'a Source, pattern: &Pattern) -> Reader<'a> {
        let lines = pattern.pieces.iter().flat_map(|piece| &piece.lines);
        let rounds: BTreeSet<Span> = lines
            .filter_map(|line| match line {
                Line::Round(round) => Some(round.span),
                Line::RepeatRounds(again) => Some(again.span),
                _ => None,
            })
            .collect();
        Reader {
            source,
            pieces: pattern.pieces.iter().map(|piece| piece.span).collect(),
            piece: 0,
            rounds: rounds.into_iter().collect(),
            round: 0,
            entries: pattern
                .header
                .entries
                .iter()
                .map(|entry| entry.value.start)
                .collect(),
            title: pattern.title.as_ref().map(|title| title.span),
            headings: prose::sentences(source, pattern).headings,
            in_abbreviations: false,
            items: Vec::new(),
            open: None,
        }
    }

    fn line(&mut self, line: Span) {
        let text = self.source.slice(line);
        let bare = text.trim();
        if bare.is_empty() || is_rule(bare) {
            self.end();
            return;
        }
        let in_header = !self.in_abbreviations && self.entries.range(line.range()).next().is_some();
        if self.is_title(line) || in_header && self.kind(line).is_none() {
            self.end();
            return;
        }
        let opens_piece = self.pieces_before(line.end);
        if opens_piece && !self.has_round(line) {
            return;
        }
        if bare.starts_with('#') {
            self.end();
            let depth = bare.len() - bare.trim_start_matches('#').len();
            let words = bare.trim_matches(['#', ' ', '*', '_', ':']);
            let kind = self.kind(line);
            self.in_abbreviations = kind == Some(Kind::Abbreviations);
            self.items.push(Item::Heading(kind, depth, shown(words)));
            return;
        }
        if let Some(kind) = self.kind(line).filter(|_| !self.has_round(line)) {
            self.end();
            let (name, rest) = bare.split_once(':').unwrap_or((bare, ""));
            let name = shown(name.trim_matches(['*', '_', ' ']));
            self.in_abbreviations = kind == Kind::Abbreviations;
            self.items.push(Item::Heading(Some(kind), 2, name));
            if !rest.trim().is_empty() {
                self.add(rest.trim_matches(['*', '_', ' ']), line, None);
                self.end();
            }
            return;
        }
        self.words_of(line);
    }

    /// The words of a line between its rounds.
    fn words_of(&mut self, line: Span) {
        let mut from = line.start;
        while let Some(&round) = self.rounds.get(self.round) {
            if round.start >= line.end {
                break;
            }
            if round.end > from {
                self.between(Span::new(from, round.start.max(from)), from == line.start);
                if round.start >= line.start {
                    self.end();
                    self.items.push(Item::Round(round));
                }
                from = round.end.min(line.end);
            }
            if round.end > line.end {
                return;
            }
            self.round += 1;
        }
        self.between(Span::new(from.min(line.end), line.end), from == line.start);
    }

    fn between(&mut self, span: Span, at_start: bool) {
        let words = self.source.slice(span);
        let bare = words.trim();
        let has_words = bare.chars().any(char::is_alphanumeric);
        if !has_words {
            return;
        }
        let point = at_start.then(|| point(bare)).flatten();
        match point {
            Some((ordered, rest)) => {
                self.end();
                self.add(rest, span, Some(ordered));
            }
            None => {
                let bare = bare.trim_start_matches(['>', '|', ' ']);
                let bare = if at_start {
                    bare
                } else {
                    bare.trim_start_matches(['.', ',', ';', ' '])
                };
                self.add(bare, span, None);
            }
        }
    }

    fn add(&mut self, words: &str, span: Span, point: Option<bool>) {
        match &mut self.open {
            Some((open, all, _)) if point.is_none() => {
                open.push(' ');
                open.push_str(words);
                *all = all.to(span);
            }
            _ => self.open = Some((words.to_owned(), span, point)),
        }
    }

    fn end(&mut self) {
        if let Some((words, span, point)) = self.open.take() {
            let runs = runs(&words);
            self.items.push(match point {
                Some(ordered) => Item::Point(ordered, runs, span),
                None => Item::Paragraph(runs, span),
            });
        }
    }

    /// Opens the pieces that begin before a place; true if one did.
    fn pieces_before(&mut self, end: usize) -> bool {
        let mut any = false;
        while self
            .pieces
            .get(self.piece)
            .is_some_and(|piece| piece.start < end)
        {
            self.end();
            self.items.push(Item::Piece(self.piece));
            self.in_abbreviations = false;
            self.piece += 1;
            any = true;
        }
        any
    }

    fn has_round(&self, line: Span) -> bool {
        let next = self.rounds.get(self.round);
        next.is_some_and(|round| round.start < line.end && round.end > line.start)
    }

    fn is_title(&self, line: Span) -> bool {
        self.title
            .is_some_and(|title| line.range().contains(&title.start))
    }

    fn kind(&self, line: Span) -> Option<Kind> {
        let found = self
            .headings
            .iter()
            .find(|(_, span)| line.range().contains(&span.start));
        match found?.0 {
            Place::Materials => Some(Kind::Materials),
            Place::Abbreviations => Some(Kind::Abbreviations),
            Place::Finishing => Some(Kind::Finishing),
            _ => None,
        }
    }
}

/// `---`, `***`, `___`: a rule between sections.
fn is_rule(bare: &str) -> bool {
    bare.len() > 2
        && bare
            .chars()
            .all(|c| matches!(c, '-' | '*' | '_' | '=' | '–' | '—' | ' '))
}

/// The words of an item of a list, and whether it has a number.
fn point(bare: &str) -> Option<(bool, &str)> {
    let after = bare.strip_prefix(['-', '*', '•', '·', '+', '–']);
    if let Some(rest) = after.filter(|rest| rest.starts_with(char::is_whitespace)) {
        return Some((false, rest.trim_start()));
    }
    let rest = bare.trim_start_matches(|c: char| c.is_ascii_digit());
    let has_number = rest.len() < bare.len() && bare.len() - rest.len() < 4;
    let rest = rest.strip_prefix(['.', ')']).filter(|_| has_number)?;
    rest.starts_with(char::is_whitespace)
        .then(|| (true, rest.trim_start()))
}

/// Words as they are shown: on one line, without the marks of Markdown around code and emphasis.
pub fn shown(words: &str) -> String {
    runs(words).into_iter().map(|run| run.text).collect()
}

/// Words parted where `**` begins and ends what is bold; other marks stay as the characters that they are.
pub fn runs(words: &str) -> Vec<Run> {
    let line = words.split_whitespace().collect::<Vec<&str>>().join(" ");
    let parts: Vec<&str> = line.split("**").collect();
    // An odd number of marks is no emphasis.
    if parts.len().is_multiple_of(2) {
        return vec![Run::plain(line)];
    }
    let runs = parts
        .iter()
        .enumerate()
        .filter(|(_, part)| !part.is_empty());
    runs.map(|(place, part)| Run {
        text: (*part).to_owned(),
        bold: place % 2 == 1,
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<String> {
        let source = Source::new("t", text);
        let (pattern, _) = crate::pattern::read(&source);
        let told = |runs: &[Run]| runs.iter().map(|run| run.text.as_str()).collect::<String>();
        items(&source, &pattern)
            .into_iter()
            .map(|item| match item {
                Item::Heading(kind, depth, words) => format!("H{depth} {kind:?} {words}"),
                Item::Piece(piece) => format!("piece {piece}"),
                Item::Paragraph(runs, _) => format!("P {}", told(&runs)),
                Item::Point(ordered, runs, _) => format!("- {ordered} {}", told(&runs)),
                Item::Round(span) => format!("R {}", source.slice(span)),
            })
            .collect()
    }

    #[test]
    fn a_text_comes_apart_in_its_order() {
        let text = "# Float\n\nA float\nfor nets.\n\nTerms: US\n\n## Materials\n\n- Yarn\n- A **3 mm** hook\n\n## Float (make 2)\n\nHold it.\n\n- Rnd 1: 6 sc in magic ring (6)\n- Rnd 2: inc x 6 (12). Stuff.\n\nDone <b>.\n\n---\n\n## Making up\n\n1. Sew.\n2. Sew on.\n";
        assert_eq!(
            read(text),
            [
                "P A float for nets.",
                "H2 Some(Materials) Materials",
                "- false Yarn",
                "- false A 3 mm hook",
                "piece 0",
                "P Hold it.",
                "R Rnd 1: 6 sc in magic ring (6)",
                "R Rnd 2: inc x 6 (12). Stuff.",
                "P Done <b>.",
                "H2 Some(Finishing) Making up",
                "- true Sew.",
                "- true Sew on.",
            ]
        );
    }

    #[test]
    fn text_without_marks_reads_as_well() {
        let text = "Float\n\nYou will need: red yarn\n\nBody\n1. 6 sc in MR (6)\n2. 6 inc (12)\nFasten off.\n";
        assert_eq!(
            read(text),
            [
                "H2 Some(Materials) You will need",
                "P red yarn",
                "piece 0",
                "R 1. 6 sc in MR (6)",
                "R 2. 6 inc (12)",
                "P Fasten off.",
            ]
        );
    }

    #[test]
    fn a_list_of_abbreviations_is_no_header() {
        let text = "# T\n\nHook: 3 mm\n\n## Abbreviations\n\n- sc: single crochet\n- st: stitch\n\n## Body\nRnd 1: 6 sc in magic ring (6)\n";
        assert_eq!(
            read(text)[..3],
            [
                "H2 Some(Abbreviations) Abbreviations",
                "- false sc: single crochet",
                "- false st: stitch"
            ]
        );
        let source = Source::new("t", text);
        let (pattern, _) = crate::pattern::read(&source);
        let keys: Vec<&str> = header(&source, &pattern)
            .iter()
            .map(|entry| entry.key.as_str())
            .collect();
        assert_eq!(keys, ["hook"]);
    }

    #[test]
    fn only_pairs_of_marks_are_bold() {
        assert_eq!(runs("a **b** c").len(), 3);
        assert_eq!(
            runs("2 ** 3 * 4 _x_ `y`"),
            [Run::plain("2 ** 3 * 4 _x_ `y`")]
        );
        assert_eq!(shown("**Safety.** Mind."), "Safety. Mind.");
    }
}
