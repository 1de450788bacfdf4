//! Lines that work on without a label: `Rep Rnds 5 and 6 twice`.

use super::assemble::Assembler;
use super::body;
use super::lengths;
use super::lex::{Kind, Token};
use super::lines::RawLine;
use super::tree::*;
use crate::source::{Problem, Span, limits};
use crate::terms::Terms;
use crate::terms::words::{self, Word};

impl<'s> Assembler<'s> {
    /// `Rep Rnds 5 and 6 twice`, `Rep last rnd once more`, `Work even for 5 rnds` on a line of its own. True if it was one.
    pub(super) fn further(&mut self, line: &RawLine<'s>) -> bool {
        if self.pattern.pieces.is_empty() || self.heading.is_some() {
            return false;
        }
        let found = match self.work_even(line) {
            Some(round) => Line::Round(round),
            None => match self.repeat_rounds(line) {
                Some(repeat) => {
                    let rounds = repeat.last.saturating_sub(repeat.first).saturating_add(1);
                    if repeat.until.is_some() || repeat.open.is_some() {
                        self.numbering.leave_open();
                    }
                    self.numbering.advance(rounds.saturating_mul(repeat.times));
                    Line::RepeatRounds(repeat)
                }
                None => return false,
            },
        };
        if let Some(piece) = self.pattern.pieces.last_mut() {
            piece.lines.push(found);
        }
        true
    }

    /// `Work even for 5 rnds (12).`
    fn work_even(&mut self, line: &RawLine<'s>) -> Option<Round> {
        let reader = body::Reader::new(&line.tokens, self.text, &self.names, false);
        let even = (0..3).find_map(|at| match reader.word_ahead(at) {
            Some((Word::Even, taken)) => Some(at + taken),
            _ => None,
        })?;
        let for_it = even + usize::from(reader.is_word(even, "for"));
        let (count, taken) = reader.number_ahead(for_it)?;
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
        let words = start.to(line.tokens[for_it + taken + word - 1].span);
        self.numbering.add(&numbers, words, &mut self.problems);
        let rest = body::read(
            &line.tokens[for_it + taken + word..],
            self.text,
            &self.names,
            false,
        );
        let even = Work {
            stitch: StitchWord::OPEN,
            each: 1,
            over: Over::Rest,
            target: Target::Next,
            hold: None,
            through: None,
            bare: Bare::No,
        };
        Some(Round {
            label: Label {
                is_row,
                numbers,
                wrong_side: None,
                span: words,
            },
            body: vec![Instruction {
                act: Act::Work(even),
                span: words,
            }],
            ending: Vec::new(),
            stated: rest.stated,
            doubts: Doubts::default(),
            flawed: false,
            words,
            span: start.to(end),
        })
    }

    /// The rounds that a line points to: by their numbers, or as the last ones.
    fn rounds_meant(&self, line: &RawLine<'s>, read: &body::BodyRead) -> Option<(u32, u32)> {
        if let [
            Instruction {
                act: Act::AsRounds { first, last },
                ..
            },
        ] = read.items[..]
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

    /// How often `each` rounds are worked where the maker chooses, with a note that says so.
    fn open_length(&mut self, line: Span, words: Span, each: u32) -> (u32, Option<OpenLength>) {
        let before = self.numbering.highest();
        let chosen = self.lengths.get(&line).copied();
        let said = &self.text[words.range()];
        let (times, by) = lengths::settle(chosen, said, self.round_mm, before, each);
        let once = match times {
            1 => "once more".to_owned(),
            n => format!("{n} times more"),
        };
        let why = match by {
            LengthBy::Maker => ", as chosen",
            LengthBy::Gauge => ", by the gauge",
            LengthBy::Custom => "",
        };
        self.problems.push(Problem::note(
            "length-open",
            line,
            format!("the maker chooses how often these rounds are worked: here {once}{why}"),
        ));
        let open = OpenLength { words, by, before };
        (times, Some(open))
    }

    fn repeat_rounds(&mut self, line: &RawLine<'s>) -> Option<RepeatRounds> {
        let first = line.tokens.first()?;
        if !(first.is("rep") || first.is("repeat")) {
            return None;
        }
        let read = body::read(&line.tokens, self.text, &self.names, false);
        let (first, last) = self.rounds_meant(line, &read)?;
        // Words about other rounds say all there is to say; those about the last ones are not read by the body.
        if read
            .items
            .iter()
            .any(|item| matches!(item.act, Act::AsRounds { .. }))
        {
            self.problems.extend(read.problems);
        }
        if let Some(until) = line.tokens.iter().position(|t| t.is("until")) {
            let stitches = match line.tokens.get(until + 1..until + 3) {
                Some([number, unit]) if matches!(&*unit.text, "sts" | "stitches" | "st") => {
                    match number.kind {
                        Kind::Number(n) => Some(n),
                        _ => None,
                    }
                }
                _ => None,
            };
            let each = last.saturating_sub(first).saturating_add(1);
            let words = line.tokens[until].span.to(line.tokens.last()?.span);
            let (times, open) = match stitches {
                Some(_) => (0, None),
                None => self.open_length(line.span, words, each),
            };
            return Some(RepeatRounds {
                first,
                last,
                times,
                until: stitches,
                open,
                span: line.span,
            });
        }
        let times = times_in(&line.tokens).unwrap_or(1);
        if times > limits::COUNT {
            self.problems.push(Problem::error(
                "repeat-too-large",
                line.span,
                format!(
                    "{times} times is more than a pattern can have (the limit is {})",
                    limits::COUNT
                ),
            ));
            return Some(RepeatRounds {
                first,
                last,
                times: 0,
                until: None,
                open: None,
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
            first,
            last,
            times,
            until: None,
            open: None,
            span: line.span,
        })
    }
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
