//! The text as sentences, each with the part of the pattern that it stands in.

use std::collections::BTreeSet;

use super::words::{self, Word};
use crate::pattern::{Line, Pattern, Piece};
use crate::source::{Source, Span};

/// The sentences of a text in its order, and the headings of its lists.
pub(crate) struct Prose<'a> {
    /// All sentences.
    pub sentences: Vec<Sentence<'a>>,
    /// Lines that open a list of materials, of abbreviations, or the making up: the words of the heading.
    pub headings: Vec<(Place, Span)>,
}

impl<'a> Prose<'a> {
    /// The heading of a list, if there is one.
    pub fn heading(&self, place: Place) -> Option<Span> {
        let found = self.headings.iter().find(|(of, _)| *of == place);
        found.map(|&(_, span)| span)
    }

    /// The sentences from the first piece on.
    pub fn below_the_header(&self) -> impl Iterator<Item = &Sentence<'a>> {
        self.sentences.iter().filter(|sentence| {
            !matches!(
                sentence.place,
                Place::Front | Place::Materials | Place::Abbreviations
            )
        })
    }
}

/// Takes a text apart.
pub(crate) fn sentences<'a>(source: &'a Source, pattern: &Pattern) -> Prose<'a> {
    let mut reader = Reader::new(source, pattern);
    for line in 0..source.line_count() {
        reader.line(source.line_span(line));
    }
    reader.end_sentence();
    Prose {
        sentences: reader.sentences,
        headings: reader.headings,
    }
}

/// The part of a text that a sentence stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Place {
    /// Before the first piece, in no list.
    Front,
    /// In the list of materials.
    Materials,
    /// In the list of abbreviations.
    Abbreviations,
    /// In a piece.
    Piece(usize),
    /// In the making up.
    Finishing,
    /// After the first piece, under a heading of its own.
    Elsewhere,
}

/// A sentence: what stands between two full stops, or in an item of a list.
pub(crate) struct Sentence<'a> {
    pub place: Place,
    /// It is (a part of) a round.
    pub in_round: bool,
    /// Never empty.
    pub words: Vec<Word<'a>>,
}

impl Sentence<'_> {
    /// From its first word to its last.
    pub fn span(&self) -> Span {
        match (self.words.first(), self.words.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => Span::default(),
        }
    }

    /// True if it has one of these words (given in lower case).
    pub fn has(&self, any: &[&str]) -> bool {
        self.word(any).is_some()
    }

    /// The place of its first word that means eyes; `eye stalks` and `eye patches` are parts.
    pub fn eyes(&self) -> Option<usize> {
        const PARTS: &[&str] = &[
            "stalk", "patch", "socket", "ball", "brow", "lid", "lash", "white", "spot", "ring",
            "mask", "mound", "bump", "base", "piece", "hole",
        ];
        let is_of_a_part = |at: usize| {
            let next = self.words.get(at + 1);
            next.is_some_and(|next| PARTS.contains(&&*next.stem()))
        };
        let mut places = 0..self.words.len();
        places.find(|&at| self.words[at].is_any(&["eye", "eyes"]) && !is_of_a_part(at))
    }

    /// The first of its words that is one of these (given in lower case).
    pub fn word(&self, any: &[&str]) -> Option<&Word<'_>> {
        self.words.iter().find(|word| word.is_any(any))
    }
}

struct Reader<'a> {
    source: &'a Source,
    place: Place,
    /// The place to go back to after an empty line: that of a list on one line.
    back_to: Option<Place>,
    after_blank: bool,
    /// Starts of the pieces, in the order of the text, with what the words below belong to.
    pieces: Vec<(usize, Place)>,
    rounds: Vec<Span>,
    /// Starts of the values of the header's lines.
    entries: BTreeSet<usize>,
    /// Pieces and rounds that lie behind.
    piece: usize,
    round: usize,
    sentences: Vec<Sentence<'a>>,
    words: Vec<Word<'a>>,
    in_round: Option<usize>,
    headings: Vec<(Place, Span)>,
}

impl<'a> Reader<'a> {
    fn new(source: &'a Source, pattern: &Pattern) -> Reader<'a> {
        let lines = pattern.pieces.iter().flat_map(|piece| &piece.lines);
        let rounds: BTreeSet<Span> = lines
            .filter_map(|line| match line {
                Line::Round(round) => Some(round.span),
                Line::RepeatRounds(repeat) => Some(repeat.span),
                _ => None,
            })
            .collect();
        Reader {
            source,
            place: Place::Front,
            back_to: None,
            after_blank: false,
            pieces: starts_of_pieces(source, pattern),
            rounds: rounds.into_iter().collect(),
            entries: pattern
                .header
                .entries
                .iter()
                .map(|entry| entry.value.start)
                .collect(),
            piece: 0,
            round: 0,
            sentences: Vec::new(),
            words: Vec::new(),
            in_round: None,
            headings: Vec::new(),
        }
    }

    fn line(&mut self, line: Span) {
        let text = self.source.slice(line);
        let bare = text.trim();
        if bare.is_empty() {
            self.end_sentence();
            self.after_blank = true;
            if let Some(place) = self.back_to.take() {
                self.place = place;
            }
            return;
        }
        let stands_alone =
            bare.starts_with('#') || self.entries.range(line.range()).next().is_some();
        if self.after_blank || stands_alone || opens_block(bare) {
            self.end_sentence();
        }
        self.after_blank = false;
        let mut opens_piece = false;
        let mut is_heading = false;
        while let Some(&(_, place)) = self
            .pieces
            .get(self.piece)
            .filter(|&&(at, _)| at < line.end)
        {
            // What stands above without a full stop belongs to the list that it ends.
            self.end_sentence();
            self.place = place;
            self.piece += 1;
            self.back_to = None;
            opens_piece = true;
        }
        if !opens_piece {
            is_heading = self.heading(bare, line);
        }
        let mut from = line.start;
        for word in words::split(text, line.start) {
            let gap = &self.source.text()[from..word.span.start];
            if gap.contains(['.', '!', '?', '。']) && !self.is_number_of_round(&word) {
                self.end_sentence();
            }
            from = word.span.end;
            self.word(word);
        }
        let ends = text[from - line.start..].contains(['.', '!', '?', ':']);
        if ends || stands_alone || opens_piece || is_heading {
            self.end_sentence();
        }
    }

    /// A heading, or the line that opens a list. True for the heading of a part of the text that stands alone on its line.
    fn heading(&mut self, bare: &str, line: Span) -> bool {
        let marked = bare.starts_with('#');
        let text = bare.trim_matches(['#', '*', '_', ' ', ':', '-', '•']);
        let (name, rest) = text
            .split_once(':')
            .or_else(|| text.split_once("**"))
            .or_else(|| after_capitals(text))
            .unwrap_or((text, ""));
        let rest = rest.trim_matches(['*', '_', ' ']);
        let section = section(name);
        match section {
            Some(place) => {
                self.end_sentence();
                if !rest.is_empty() {
                    // From the second of two such lists it goes back to before the first.
                    self.back_to.get_or_insert(self.place);
                }
                self.place = place;
                self.headings.push((place, trimmed(self.source, line)));
            }
            // `SIZE` below a list ends it.
            None if rest.is_empty() && self.piece == 0 && opens_remarks(name) => {
                self.end_sentence();
                self.back_to = None;
                self.place = Place::Front;
            }
            None if marked => {
                self.end_sentence();
                self.back_to = None;
                self.place = match self.piece {
                    0 => Place::Front,
                    _ => Place::Elsewhere,
                };
            }
            None => {}
        }
        section.is_some() && rest.is_empty()
    }

    fn is_number_of_round(&self, word: &Word<'_>) -> bool {
        let after_label = self
            .words
            .last()
            .is_some_and(|last| last.is_any(&["rnd", "rnds", "rd", "rds", "approx"]));
        after_label && word.number().is_some()
    }

    fn word(&mut self, word: Word<'a>) {
        while self
            .rounds
            .get(self.round)
            .is_some_and(|round| round.end <= word.span.start)
        {
            self.round += 1;
        }
        let inside = self
            .rounds
            .get(self.round)
            .is_some_and(|round| round.start <= word.span.start);
        let round = inside.then_some(self.round);
        if round != self.in_round {
            self.end_sentence();
            self.in_round = round;
        }
        self.words.push(word);
    }

    fn end_sentence(&mut self) {
        if !self.words.is_empty() {
            self.sentences.push(Sentence {
                place: self.place,
                in_round: self.in_round.is_some(),
                words: std::mem::take(&mut self.words),
            });
        }
    }
}

/// Starts of the pieces, with the place of the words below. Below a heading that names two, they are those of the first.
fn starts_of_pieces(source: &Source, pattern: &Pattern) -> Vec<(usize, Place)> {
    let mut first = 0;
    let pieces = pattern.pieces.iter().enumerate();
    let mut starts: Vec<(usize, Place)> = pieces
        .map(|(place, piece)| {
            if !piece.is_second_of_heading() {
                first = place;
            }
            (piece.span.start, Place::Piece(first))
        })
        .collect();
    if let (Some(start), Some(piece)) = (starts.first_mut(), pattern.pieces.first()) {
        start.0 = below_the_lists(source, piece);
    }
    starts
}

/// Where the words of the first piece begin: a piece that goes by the pattern's title has what is needed between it and its rounds.
fn below_the_lists(source: &Source, piece: &Piece) -> usize {
    const OF_LISTS: &[&str] = &["gauge", "tension", "abbreviations", "materials", "hook"];
    let first_round = piece.lines.iter().find_map(|line| match line {
        Line::Round(round) => Some(round.span.start),
        _ => None,
    });
    let mut start = piece.span.start;
    let Some(first_round) = first_round.filter(|&at| at > start) else {
        return start;
    };
    let lines = source.line_of(start) - 1..source.line_of(first_round);
    let (mut is_list, mut is_below) = (false, false);
    for line in lines {
        let span = source.line_span(line);
        let text = source.slice(span);
        if text.trim().is_empty() {
            (is_below, is_list) = (is_below || is_list, false);
            continue;
        }
        if is_below {
            (start, is_below) = (span.start, false);
        }
        is_list |= words::split(text, 0).any(|word| word.is_any(OF_LISTS));
    }
    start
}

/// The words of a line, without the white space around them.
fn trimmed(source: &Source, line: Span) -> Span {
    let text = source.slice(line);
    let start = line.start + text.len() - text.trim_start().len();
    Span::new(start, start + text.trim().len())
}

/// `MATERIALS 1 x 50 g ball …`: a heading in capitals that runs into its list.
fn after_capitals(line: &str) -> Option<(&str, &str)> {
    let (first, rest) = line.split_once(' ')?;
    let is_capitals = first.len() > 3 && first.chars().all(char::is_uppercase);
    let goes_on = rest.starts_with(|c: char| !c.is_uppercase());
    (is_capitals && goes_on).then_some((first, rest))
}

/// True for a heading, a quotation, or an item of a list.
fn opens_block(line: &str) -> bool {
    let marks = ['#', '>', '-', '*', '•', '–', '·', '+', '|'];
    let after_number = line.trim_start_matches(|c: char| c.is_ascii_digit());
    line.starts_with(marks)
        || after_number.len() < line.len() && after_number.starts_with(['.', ')'])
}

/// True for a heading above the first piece whose words are no list.
fn opens_remarks(name: &str) -> bool {
    matches!(
        name.to_lowercase().as_str(),
        "size"
            | "sizes"
            | "finished size"
            | "measurements"
            | "gauge"
            | "tension"
            | "notes"
            | "note"
            | "tips"
            | "before you start"
            | "before you begin"
    )
}

/// The part of a pattern that a heading opens.
fn section(name: &str) -> Option<Place> {
    let words: Vec<String> = words::split(name, 0)
        .map(|word| word.text.to_lowercase())
        .collect();
    if words.is_empty() || words.len() > 6 {
        return None;
    }
    if words.iter().any(|word| word.starts_with("abbreviation")) {
        return Some(Place::Abbreviations);
    }
    // `Putting Pip together`
    let puts = matches!(&*words[0], "putting" | "put" | "sewing");
    if puts && words.last().is_some_and(|last| last == "together") {
        return Some(Place::Finishing);
    }
    match words.join(" ").as_str() {
        "materials"
        | "material"
        | "supplies"
        | "materials needed"
        | "materials and tools"
        | "tools and materials"
        | "yarn and tools"
        | "yarn tools"
        | "tools"
        | "you will need"
        | "you ll need"
        | "you'll need"
        | "what you need"
        | "what you will need"
        | "you need"
        | "stuff you need"
        | "you’ll need"
        | "what you'll need"
        | "what you’ll need"
        | "requirements"
        | "equipment"
        | "notions"
        | "shopping list" => Some(Place::Materials),
        "making up"
        | "make up"
        | "to make up"
        | "finishing"
        | "to finish"
        | "assembly"
        | "assembling"
        | "assembly instructions"
        | "final assembly"
        | "to assemble"
        | "mounting"
        | "sewing up"
        | "finish"
        | "sewing"
        | "joining" => Some(Place::Finishing),
        _ => None,
    }
}
