//! What a pattern says besides its rounds, held against another version fact by fact: numbers with their units, and for what is
//! needed the things as well. Prose that only words the same facts otherwise is no correction.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::compare::COMPARISONS;
use super::errata::Version;
use super::sheet::code;
use crate::pattern::Line;
use crate::prose::words;
use crate::prose::{Place, Sentence, Word};
use crate::review::abbreviations;
use crate::review::draft::Draft;
use crate::source::{Source, Span};

/// The rounds of each piece that go by another number now: the old number, and the new one.
pub(super) type Renumbered = BTreeMap<u32, u32>;

/// Both versions, taken apart.
pub(super) struct Both<'a> {
    old: Draft<'a>,
    new: Draft<'a>,
    /// Rounds that prose may speak of by other numbers.
    renumbered: Vec<Renumbered>,
}

/// A sentence or a line, by what it says.
struct Said {
    facts: Vec<Fact>,
    /// Its other words of weight.
    about: BTreeSet<String>,
    words: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Fact {
    /// The number of a round.
    Round(u32),
    /// A number in thousandths, and the word after it.
    Number(u64, String),
}

/// Parts of a text outside of its pieces that are compared on their own.
const OUTSIDE: [Place; 2] = [Place::Finishing, Place::Elsewhere];

/// How many sayings of the old version each of so many new ones is held against: those that come next.
fn reach(new: usize) -> usize {
    (COMPARISONS / new.max(1)).max(10)
}

impl<'a> Both<'a> {
    pub fn new(old: &Version<'a>, new: &Version<'a>, renumbered: Vec<Renumbered>) -> Both<'a> {
        Both {
            old: Draft::new(old.source, old.pattern, old.fabric),
            new: Draft::new(new.source, new.pattern, new.fabric),
            renumbered,
        }
    }

    /// What is needed before the first piece: the header, the materials, the abbreviations.
    pub fn needed(&self) -> Vec<String> {
        let mut lines = self.header();
        lines.extend(self.told(materials(&self.old), materials(&self.new), true));
        lines.extend(self.abbreviations());
        lines.extend(self.told(self.front(&self.old), self.front(&self.new), false));
        lines
    }

    /// The prose of a piece.
    pub fn piece(&self, was: usize, is: usize) -> Vec<String> {
        let pieces = &self.new.pattern.pieces;
        if pieces
            .get(is)
            .is_some_and(crate::pattern::Piece::is_second_of_heading)
        {
            return Vec::new();
        }
        let of = |draft: &Draft<'a>, place| prose(draft, Place::Piece(place));
        self.told(of(&self.old, was), of(&self.new, is), false)
    }

    /// The making up, and what else stands under headings of its own.
    pub fn making_up(&self) -> Vec<String> {
        let of = |draft: &Draft<'a>| -> Vec<Said> {
            OUTSIDE
                .iter()
                .flat_map(|&place| prose(draft, place))
                .collect()
        };
        self.told(of(&self.old), of(&self.new), false)
    }

    fn header(&self) -> Vec<String> {
        // How the text is written makes no other toy.
        const OF_WRITING: [&str; 2] = ["terms", "style"];
        let entries = |draft: &Draft<'a>| -> Vec<(String, Said)> {
            let entries = draft.pattern.header.entries.iter();
            entries
                .filter(|entry| !OF_WRITING.contains(&entry.key.as_str()))
                .map(|entry| {
                    let words = draft.source.slice(entry.value);
                    let list: Vec<Word<'_>> = words::split(words, entry.value.start).collect();
                    (key(&entry.key), of_words(&list, draft.source, entry.value))
                })
                .collect()
        };
        let (old, new) = (entries(&self.old), entries(&self.new));
        let reach = reach(new.len());
        // A key may stand there twice.
        let mut by_key: BTreeMap<&str, Vec<&Said>> = BTreeMap::new();
        for (key, was) in &old {
            by_key.entry(key).or_default().push(was);
        }
        let mut lines = Vec::new();
        for (key, is) in &new {
            let of_key = by_key.get(key.as_str()).map_or(&[][..], Vec::as_slice);
            if of_key
                .iter()
                .take(reach)
                .any(|was| self.same(was, is, true))
            {
                continue;
            }
            match of_key.first() {
                Some(was) => lines.push(format!(
                    "{}: was {}; is now {}.",
                    capital(key),
                    code(&was.words),
                    code(&is.words)
                )),
                None => lines.push(format!("{} is new: {}.", capital(key), code(&is.words))),
            }
        }
        let keys: BTreeSet<&str> = new.iter().map(|(key, _)| key.as_str()).collect();
        for (key, was) in &old {
            if !keys.contains(key.as_str()) {
                lines.push(format!(
                    "{}: was {}; is left out now.",
                    capital(key),
                    code(&was.words)
                ));
            }
        }
        lines
    }

    /// Abbreviations that are new or mean something else. In other terms they all do.
    fn abbreviations(&self) -> Vec<String> {
        if self.old.pattern.terms != self.new.pattern.terms {
            return Vec::new();
        }
        let (Some(old), Some(new)) = (
            abbreviations::list(&self.old),
            abbreviations::list(&self.new),
        ) else {
            return Vec::new();
        };
        let mut by_name: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (at, entry) in old.iter().enumerate() {
            for name in &entry.names {
                by_name.entry(name).or_default().push(at);
            }
        }
        let reach = reach(new.len());
        let mut lines = Vec::new();
        for entry in &new {
            let named = entry
                .names
                .iter()
                .filter_map(|name| by_name.get(name.as_str()));
            let named: BTreeSet<usize> = named.flatten().copied().take(reach).collect();
            let mut named = named.iter().map(|&at| &old[at]);
            let short = self.new.source.slice(entry.span);
            if named.clone().any(|other| other.meaning == entry.meaning) {
                continue;
            }
            match named.next() {
                Some(other) => lines.push(format!(
                    "Abbreviations: {} was {}; is now {}.",
                    code(short),
                    code(&other.meaning),
                    code(&entry.meaning)
                )),
                None => lines.push(format!(
                    "Abbreviations: {} is new: {}.",
                    code(short),
                    code(&entry.meaning)
                )),
            }
        }
        lines
    }

    /// Prose before the first piece that is in no list and no line of the header.
    fn front(&self, draft: &Draft<'a>) -> Vec<Said> {
        let entries = draft.pattern.header.entries.iter();
        let lines: BTreeSet<usize> = entries
            .map(|entry| draft.source.line_of(entry.value.start))
            .collect();
        let is_entry = |span: Span| lines.contains(&draft.source.line_of(span.start));
        let title = draft.pattern.title.as_ref().map(|title| title.span);
        let is_title = |span: Span| title.is_some_and(|title| title.range().contains(&span.start));
        let sentences = draft.in_place(Place::Front).filter(|sentence| {
            let span = sentence.span();
            !is_entry(span) && !is_title(span)
        });
        let said = sentences.map(|sentence| said(draft, sentence));
        said.filter(|said| !said.facts.is_empty()).collect()
    }

    /// Corrections between what two versions say in one part of the text. `things` says that its other words count as well.
    fn told(&self, old: Vec<Said>, new: Vec<Said>, things: bool) -> Vec<String> {
        let reach = reach(new.len());
        let mut left: VecDeque<Said> = old.into();
        let mut added: Vec<Said> = Vec::new();
        for is in new {
            let mut near = left.iter().take(reach);
            match near.position(|was| self.same(was, &is, things)) {
                Some(at) => drop(left.remove(at)),
                None => added.push(is),
            }
        }
        let mut lines = Vec::new();
        for is in added {
            let alike = |was: &Said| {
                let shared = was.about.intersection(&is.about).count();
                (2 * shared >= was.about.len().min(is.about.len()) && shared > 0).then_some(shared)
            };
            // The first of those that have most in common.
            let near = left.iter().take(reach).enumerate();
            let best = near
                .filter_map(|(at, was)| Some((alike(was)?, Reverse(at))))
                .max();
            lines.push(match best.and_then(|(_, Reverse(at))| left.remove(at)) {
                Some(was) => format!("Was {}; is now {}.", code(&was.words), code(&is.words)),
                None => format!("New: {}.", code(&is.words)),
            });
        }
        let gone = left.into_iter();
        lines.extend(gone.map(|was| format!("Was {}; is left out now.", code(&was.words))));
        lines
    }

    /// True if two sentences say the same. Rounds are the same by their old numbers or by their new ones.
    fn same(&self, was: &Said, is: &Said, things: bool) -> bool {
        let facts = was.facts == is.facts
            || self.renumbered.iter().any(|numbers| {
                let renumbered = was.facts.iter().map(|fact| match fact {
                    Fact::Round(n) => Fact::Round(numbers.get(n).copied().unwrap_or(*n)),
                    fact => fact.clone(),
                });
                renumbered.eq(is.facts.iter().cloned())
            });
        facts && (!things || was.about == is.about)
    }
}

/// The lines of the list of materials.
fn materials(draft: &Draft<'_>) -> Vec<Said> {
    let words = draft.in_place(Place::Materials);
    let words: Vec<Word<'_>> = words
        .flat_map(|sentence| sentence.words.iter().copied())
        .collect();
    let line = |word: &Word<'_>| draft.source.line_of(word.span.start);
    let heading = draft.heading(Place::Materials);
    let heading = heading.map(|span| draft.source.line_of(span.start));
    let lines = words.chunk_by(|a, b| line(a) == line(b));
    let said = lines.filter_map(|words| {
        let span = words[0].span.to(words[words.len() - 1].span);
        let is_list =
            Some(line(&words[0])) != heading || words.iter().any(|word| word.number().is_some());
        is_list.then(|| of_words(words, draft.source, span))
    });
    said.collect()
}

/// Sentences with numbers that are no work.
fn prose(draft: &Draft<'_>, place: Place) -> Vec<Said> {
    let pieces = draft.pattern.pieces.iter();
    let mut rounds: Vec<Span> = pieces
        .flat_map(|piece| piece.lines.iter().filter_map(worked))
        .collect();
    rounds.sort();
    let is_worked = |span: Span| {
        let after = rounds.partition_point(|round| round.start <= span.start);
        after > 0 && span.start < rounds[after - 1].end
    };
    let sentences = draft
        .in_place(place)
        .filter(|sentence| !is_worked(sentence.span()) && !is_heading(draft, sentence));
    let said = sentences.map(|sentence| said(draft, sentence));
    said.filter(|said| !said.facts.is_empty()).collect()
}

/// The words of a line that are compared by what is worked: a round up to its total.
fn worked(line: &Line) -> Option<Span> {
    match line {
        Line::Round(round) => {
            let total = round.stated.map(|stated| stated.span.end);
            let end = total.filter(|&end| end > round.words.start);
            Some(Span::new(round.span.start, end.unwrap_or(round.span.end)))
        }
        Line::RepeatRounds(repeat) => Some(repeat.span),
        Line::LikePiece(_) | Line::Between(_) | Line::Prose(_) => None,
    }
}

fn is_heading(draft: &Draft<'_>, sentence: &Sentence<'_>) -> bool {
    let at = sentence.span().start;
    let is_list = |span: Span| {
        draft.source.line_of(span.start) == draft.source.line_of(at)
            && !draft
                .source
                .slice(span)
                .contains(|c: char| c.is_ascii_digit())
    };
    let headings = OUTSIDE.iter().chain(&[Place::Materials]);
    headings
        .filter_map(|&place| draft.heading(place))
        .any(is_list)
        || draft
            .pattern
            .pieces
            .iter()
            .any(|piece| piece.span.range().contains(&at))
}

fn said(draft: &Draft<'_>, sentence: &Sentence<'_>) -> Said {
    of_words(&sentence.words, draft.source, sentence.span())
}

fn of_words(list: &[Word<'_>], source: &Source, span: Span) -> Said {
    /// Words that weigh nothing.
    const LIGHT: [&str; 26] = [
        "a", "an", "the", "of", "and", "or", "in", "on", "to", "with", "for", "at", "is", "are",
        "it", "your", "you", "then", "each", "from", "by", "x", "one", "both", "some", "about",
    ];
    let mut facts = Vec::new();
    let mut about = BTreeSet::new();
    let mut of_rounds = false;
    // `between Rnds 3 and 4, 5 sts apart`
    let after_comma = |at: usize| {
        let Some(before) = at.checked_sub(1).map(|at| list[at].span.end) else {
            return false;
        };
        source
            .slice(Span::new(before, list[at].span.start))
            .contains(',')
    };
    for (at, word) in list.iter().enumerate() {
        let is_light = word.is_any(&LIGHT);
        match word.number().filter(|_| !is_light) {
            Some(number) if of_rounds && number.fract() == 0.0 && !after_comma(at) => {
                facts.push(Fact::Round(number as u32));
            }
            Some(number) => {
                let unit = list.get(at + 1).filter(|next| next.number().is_none());
                facts.push(Fact::Number(
                    (number * 1000.0).round() as u64,
                    unit.map_or_else(String::new, |unit| unit_of(unit)),
                ));
            }
            None => {
                let is_round = word.is_any(&[
                    "rnd", "rnds", "round", "rounds", "rd", "rds", "r", "row", "rows",
                ]);
                let before = at.checked_sub(1).and_then(|at| list[at].number());
                // `24 rnds` is a number of rounds, `Rnds 6 and 7` are their numbers.
                of_rounds =
                    is_round && before.is_none() || of_rounds && word.is_any(&["and", "to"]);
                if !is_light && !is_round {
                    about.insert(word.stem());
                }
            }
        }
    }
    Said {
        facts,
        about,
        words: source
            .slice(span)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" "),
    }
}

/// A unit by one of its names.
fn unit_of(word: &Word<'_>) -> String {
    match word.stem().as_str() {
        "stitch" | "stitche" => "st".to_owned(),
        "round" | "rd" => "rnd".to_owned(),
        "inch" | "inche" => "in".to_owned(),
        "gram" | "gramme" => "g".to_owned(),
        "metre" | "meter" => "m".to_owned(),
        unit @ ("st" | "rnd" | "row" | "in" | "g" | "m" | "mm" | "cm" | "yd" | "oz" | "time") => {
            unit.to_owned()
        }
        _ => String::new(),
    }
}

/// A key of the header by one of its names.
fn key(key: &str) -> String {
    match key {
        "tension" => "gauge".to_owned(),
        key => key.to_owned(),
    }
}

fn capital(key: &str) -> String {
    let mut letters = key.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    // `Yarn A`
    match key.strip_prefix("yarn ") {
        Some(letter) => format!("Yarn {}", letter.to_uppercase()),
        None => first.chain(letters).collect(),
    }
}
