//! Lines that work on without a label: `Rep Rnds 5 and 6 twice`.

use super::assemble::Assembler;
use super::body;
use super::length::{self, Until};
use super::lex::{Kind, Token};
use super::lines::RawLine;
use super::tree::*;
use crate::source::{Level, Problem, Span, limits};
use crate::terms::Terms;
use crate::terms::words::{self, Word};

impl<'s> Assembler<'s> {
    /// `Rep Rnds 5 and 6 twice`, `Rep last rnd once more`, `Work even for 5 rnds` on a line of its own. True if it was one.
    pub(super) fn further(&mut self, line: &RawLine<'s>) -> bool {
        if self.like_piece(line) {
            return true;
        }
        if self.pattern.pieces.is_empty() || self.heading.is_some() {
            return false;
        }
        if self.closing_row(line) {
            return true;
        }
        let mut behind = None;
        let found = if let Some(round) = self.work_even(line) {
            Line::Round(round)
        } else if let Some(repeat) = self.repeat_rounds(line).or_else(|| self.go_on(line)) {
            let rounds = repeat.what.rounds();
            self.numbering.advance(rounds.saturating_mul(repeat.times));
            if repeat.until.is_some() || repeat.length.is_some() {
                self.numbering.leave_open();
            }
            behind = self.steps_behind(line);
            Line::RepeatRounds(repeat)
        } else {
            return false;
        };
        if let Some(piece) = self.pattern.pieces.last_mut() {
            piece.lines.push(found);
            piece.lines.extend(behind.map(Line::Between));
        }
        true
    }

    /// `Fasten off.` behind `Rep 2nd row 8 times more.`
    fn steps_behind(&self, line: &RawLine<'s>) -> Option<Between> {
        let read = body::read(&line.tokens, self.text, &self.names, false);
        let again = |item: &Instruction| matches!(item.act, Act::AsRounds { .. });
        let at = read.items.iter().position(again)?;
        let mut acts = read.items;
        acts.drain(..=at);
        acts.retain(|item| matches!(item.act, Act::Step(_)));
        let (first, last) = (acts.first()?.span, acts.last()?.span);
        Some(Between {
            acts,
            span: first.to(last),
        })
    }

    /// `Continue as set until 40 sts`, `Sc around until the tail is as long as you like`.
    fn go_on(&mut self, line: &RawLine<'s>) -> Option<RepeatRounds> {
        let piece = self.pattern.pieces.last()?.name.clone();
        let found = length::find(&line.tokens, self.text, &piece)?;
        let read = body::read(&line.tokens[..found.first], self.text, &self.names, false);
        let goes_on = |item: &Instruction| match &item.act {
            Act::GoOn { .. } => true,
            Act::Work(work) => work.over == Over::Rest && work.target == Target::Next,
            _ => false,
        };
        let [item] = &read.items[..] else {
            return None;
        };
        if !goes_on(item) || read.problems.iter().any(|p| p.level > Level::Note) {
            return None;
        }
        let words = found.words(&line.tokens);
        Some(self.until(Again::Body(read.items), found.until, words, line.span))
    }

    /// Rounds that go on until something is reached.
    fn until(&mut self, what: Again, until: Until, words: Span, span: Span) -> RepeatRounds {
        match until {
            Until::Stitches(stitches, _) => RepeatRounds {
                what,
                times: 0,
                until: Some(stitches),
                length: None,
                span,
            },
            Until::Open { length, more } => RepeatRounds {
                what,
                times: self.default_rounds(&length, more),
                until: None,
                length: Some(self.settled_length(length, words, self.numbering.highest())),
                span,
            },
        }
    }

    /// A length with the words that leave it open, what has settled it, and the number of the round before it.
    pub(super) fn settled_length(&self, length: Length, words: Span, before: u32) -> Length {
        Length {
            words,
            by: match self.by_gauge(&length) {
                Some(_) => LengthBy::Gauge,
                None => LengthBy::Custom,
            },
            before,
            ..length
        }
    }

    fn by_gauge(&self, length: &Length) -> Option<u32> {
        let mm = length.length_mm?;
        length::rounds_in(&self.pattern.header, self.text, mm)
    }

    /// How many rounds the gauge makes of a length, less those that are there already unless it is `more`; else one.
    pub(super) fn default_rounds(&self, length: &Length, more: bool) -> u32 {
        let there = if more { 0 } else { self.numbering.highest() };
        self.by_gauge(length)
            .map_or(1, |rounds| rounds.saturating_sub(there).max(1))
    }

    /// What each round of `Sc in each st around for 4 rounds` works, with the index of the number; `Work even for 5 rnds`.
    fn worked_for_rounds(&self, line: &RawLine<'s>) -> Option<(Vec<Instruction>, usize)> {
        let reader = body::Reader::new(&line.tokens, self.text, &self.names, false);
        let even = (0..3).find_map(|at| match reader.word_ahead(at) {
            Some((Word::Even, taken)) => Some(at + taken),
            _ => None,
        });
        if let Some(even) = even {
            let number = even + usize::from(reader.is_word(even, "for"));
            let span = line.tokens[0].span.to(line.tokens.get(number)?.span);
            return Some((vec![body::even(span)], number));
        }
        if let Some(found) = straight_rounds(&reader) {
            let span = line.tokens[0].span.to(line.tokens[found].span);
            return Some((vec![body::even(span)], found));
        }
        let says_for = |at: &usize| {
            let reader = body::Reader::new(&line.tokens[*at..], self.text, &self.names, false);
            reader.for_rounds().is_some()
        };
        let candidates = (1..line.tokens.len()).filter(|&at| line.tokens[at].is("for"));
        let at = candidates.take(2).find(says_for)?;
        let read = body::read(&line.tokens[..at], self.text, &self.names, false);
        let [item] = &read.items[..] else {
            return None;
        };
        let works = matches!(item.act, Act::Work(_) | Act::Together(_) | Act::Repeat(_));
        let clean = read.problems.iter().all(|p| p.level <= Level::Note);
        (works && clean).then_some((read.items, at + 1))
    }

    /// `Work even for 5 rnds (12).`
    fn work_even(&mut self, line: &RawLine<'s>) -> Option<Round> {
        let (body, for_it) = self.worked_for_rounds(line)?;
        let reader = body::Reader::new(&line.tokens, self.text, &self.names, false);
        let (count, taken) = reader.number_ahead(for_it)?;
        // `5 plain rounds`
        let taken = taken + usize::from(says_plainly(&reader, for_it + taken));
        let Some((Word::Round | Word::Row, word)) = reader.word_ahead(for_it + taken) else {
            return None;
        };
        let is_row = matches!(reader.word_ahead(for_it + taken), Some((Word::Row, _)));
        if count == 0 || count as usize > limits::ROUNDS {
            return None;
        }
        let first = self.numbering.highest().saturating_add(1);
        let numbers = vec![(first, first.saturating_add(count - 1))];
        let (start, end) = (line.tokens.first()?.span, line.tokens.last()?.span);
        let behind = for_it + taken + word;
        let behind = behind + usize::from(says_plainly(&reader, behind));
        let words = start.to(line.tokens[behind - 1].span);
        self.numbering.add(&numbers, words, &mut self.problems);
        let rest = body::read(&line.tokens[behind..], self.text, &self.names, false);
        Some(Round {
            label: Label {
                is_row,
                numbers,
                wrong_side: None,
                span: words,
            },
            body,
            ending: Vec::new(),
            choices: Vec::new(),
            several_sizes: false,
            stated: rest.stated,
            doubts: Doubts::default(),
            flawed: false,
            words,
            span: start.to(end),
        })
    }

    /// The rounds that a line points to: by their numbers, or as the last ones.
    fn rounds_meant(&self, line: &RawLine<'s>, read: &body::BodyRead) -> Option<(u32, u32)> {
        let mut worked = read.items.iter().filter(|item| item.act.is_worked());
        if let (Some(item), None) = (worked.next(), worked.next())
            && let Act::AsRounds { first, last } = item.act
            && first > 0
        {
            return Some((first, last));
        }
        let reader = body::Reader::new(&line.tokens, self.text, &self.names, false);
        let mut at = 1;
        while let Some((Word::Filler, taken)) = reader.word_ahead(at) {
            at += taken;
        }
        let Some((Word::Last, taken)) = reader.word_ahead(at) else {
            return None;
        };
        at += taken;
        let (count, taken) = reader.number_ahead(at).unwrap_or((1, 0));
        let is_round = matches!(
            reader.word_ahead(at + taken),
            Some((Word::Round | Word::Row, _))
        );
        let last = self.numbering.highest();
        (is_round && (1..=last).contains(&count)).then(|| (last - count + 1, last))
    }

    fn repeat_rounds(&mut self, line: &RawLine<'s>) -> Option<RepeatRounds> {
        let first = line.tokens.first()?;
        // `Keep repeating Rows 3-10 two more times`
        let keeps = (first.is("keep") || first.is("continue"))
            && line.tokens.get(1).is_some_and(|t| t.is("repeating"));
        if !(first.is("rep") || first.is("repeat") || keeps) {
            return None;
        }
        // `until tail measures 2 1/2 inches` is read apart.
        let until = line
            .tokens
            .iter()
            .position(|t| t.is("until") || t.is("till"));
        let words = &line.tokens[..until.unwrap_or(line.tokens.len())];
        let read = body::read(words, self.text, &self.names, false);
        let (first, last) = self.rounds_meant(line, &read)?;
        // Words about other rounds say all there is to say; how often the last ones are worked is not read by the body.
        let reader = body::Reader::new(&line.tokens, self.text, &self.names, false);
        let as_rounds = |item: &Instruction| matches!(item.act, Act::AsRounds { .. });
        if !reader.refers_to_round_before() && read.items.iter().any(as_rounds) {
            self.problems.extend(read.problems);
        }
        let what = Again::Rounds { first, last };
        let piece = self.pattern.pieces.last()?.name.clone();
        if let Some(found) = length::find(&line.tokens, self.text, &piece) {
            let words = found.words(&line.tokens);
            return Some(self.until(what, found.until, words, line.span));
        }
        if let Some(at) = line.tokens.iter().position(|t| t.is("until")) {
            let length = Length {
                name: piece,
                ..Length::default()
            };
            let until = Until::Open {
                length,
                more: false,
            };
            let words = length::span_of(&line.tokens[at..]);
            return Some(self.until(what, until, words, line.span));
        }
        let times = times_in(&line.tokens).unwrap_or(1);
        if times > limits::COUNT {
            self.problems.push(Problem::error(
                "repeat-too-large",
                line.span,
                format!(
                    "{} times is more than a pattern can have (the limit is {})",
                    super::numbers::as_read(times),
                    limits::COUNT
                ),
            ));
            return Some(RepeatRounds {
                what,
                times: 0,
                until: None,
                length: None,
                span: line.span,
            });
        }
        if times == 0 {
            self.problems.push(Problem::error(
                "repeat-nothing",
                line.span,
                "a repeat of 0 times works nothing",
            ));
        }
        Some(RepeatRounds {
            what,
            times,
            until: None,
            length: None,
            span: line.span,
        })
    }
}

/// The number in `Work 4 rnds straight`.
fn straight_rounds(reader: &body::Reader<'_>) -> Option<usize> {
    let mut at = 0;
    while let Some((Word::Filler, taken)) = reader.word_ahead(at) {
        at += taken;
    }
    let (_, number) = reader.number_ahead(at)?;
    let before = usize::from(says_plainly(reader, at + number));
    let (Word::Round | Word::Row, word) = reader.word_ahead(at + number + before)? else {
        return None;
    };
    (before > 0 || says_plainly(reader, at + number + word)).then_some(at)
}

fn says_plainly(reader: &body::Reader<'_>, at: usize) -> bool {
    let words = ["straight", "even", "evenly", "plain"];
    words.iter().any(|word| reader.is_word(at, word))
}

/// `twice`, `3 times`, `5 more times` in a line.
fn times_in(tokens: &[Token<'_>]) -> Option<u32> {
    for at in 0..tokens.len() {
        let word = |i: usize| {
            tokens
                .get(at + i)
                .filter(|t| t.kind == Kind::Word)
                .map(|t| &*t.text)
        };
        match words::longest(word, Terms::Us) {
            Some((Word::TimesWord(n), _)) => return Some(n),
            Some((Word::Times, _)) => {
                return tokens[..at]
                    .iter()
                    .rev()
                    .take(2)
                    .find_map(|t| match t.kind {
                        Kind::Number(n) => Some(n),
                        Kind::Word => {
                            match words::longest(|i| (i == 0).then_some(&*t.text), Terms::Us) {
                                Some((Word::Number(n), _)) => Some(n),
                                _ => None,
                            }
                        }
                        _ => None,
                    });
            }
            _ => {}
        }
    }
    None
}
