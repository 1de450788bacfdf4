//! Lines that work a piece as another one: `Second leg: as first, do not fasten off`, `Work Rnds 1-5 as for Body`.

use super::assemble::Assembler;
use super::body;
use super::heading;
use super::label;
use super::lex::{Kind, Token};
use super::lines::RawLine;
use super::stem::stem;
use super::tree::*;
use crate::terms::colours;

/// What such a line says.
struct Lean {
    /// The name of the piece, before a colon.
    name: Option<heading::Name>,
    yarn: Option<Spanned<String>>,
    like: LikePiece,
}

impl<'s> Assembler<'s> {
    /// Takes in such a line, and opens the piece that it names or stands under. False if it is another kind of line.
    pub(super) fn like_piece(&mut self, line: &RawLine<'s>) -> bool {
        const LONGEST: usize = 40;
        if self.pattern.pieces.is_empty() || line.tokens.len() > LONGEST {
            return false;
        }
        let Some((before, Lean { name, yarn, like })) = self.like_sentence(line) else {
            return false;
        };
        self.waiting.extend(before);
        if let Some(name) = name {
            self.settle_waiting();
            self.heading = Some((2, line.span, name));
        }
        let under_a_name = self.heading.is_some()
            || self.numbering.highest() > 0 && self.name_in_waiting().is_some();
        if under_a_name {
            self.open_piece(line.span, 1);
        } else {
            self.settle_waiting();
        }
        let last = like.rounds.map(|rounds| rounds.1);
        let last = last.unwrap_or_else(|| self.rounds_of(&like.piece.value));
        self.numbering.lean(last);
        if let Some(piece) = self.pattern.pieces.last_mut() {
            piece.lines.extend(yarn.map(|yarn| {
                let span = yarn.span;
                let acts = vec![Instruction {
                    act: Act::Yarn(yarn),
                    span,
                }];
                Line::Between(Between { acts, span })
            }));
            piece.lines.push(Line::LikePiece(like));
        }
        true
    }

    /// What a line says, and the sentences before the one that says it: `White. Same as the front legs thru row 4, then`.
    fn like_sentence(&self, line: &RawLine<'s>) -> Option<(Option<RawLine<'s>>, Lean)> {
        if let Some(lean) = self.like_piece_of(line) {
            return Some((None, lean));
        }
        let is_stop = |pair: &[Token<'_>]| pair[0].kind == Kind::Stop && pair[1].spaced;
        let stops = line.tokens.windows(2).enumerate();
        let mut starts = stops.filter_map(|(at, pair)| is_stop(pair).then_some(at + 1));
        starts.find_map(|at| {
            let lean = self.like_piece_of(&line.part(&line.tokens[at..]))?;
            Some((Some(line.part(&line.tokens[..at])), lean))
        })
    }

    /// The highest number of the rounds of the piece that some words name, or of the one before.
    fn rounds_of(&self, words: &str) -> u32 {
        let name = stem(&words.to_lowercase());
        let before = self
            .pattern
            .pieces
            .split_last()
            .map_or(&[][..], |(_, before)| before);
        let named = |piece: &&Piece| {
            let of = piece.name.to_lowercase();
            stem(&of) == name || of.split_whitespace().next_back().map(stem).as_ref() == Some(&name)
        };
        let piece = before.iter().find(named).or(before.last());
        let numbers =
            piece
                .into_iter()
                .flat_map(|piece| &piece.lines)
                .filter_map(|line| match line {
                    Line::Round(round) => round.label.numbers.iter().map(|run| run.1).max(),
                    Line::LikePiece(like) => like.rounds.map(|rounds| rounds.1),
                    _ => None,
                });
        numbers.max().unwrap_or(1)
    }

    fn like_piece_of(&self, line: &RawLine<'s>) -> Option<Lean> {
        const LONGEST_NAME: usize = 8;
        let colon = line
            .tokens
            .iter()
            .take(LONGEST_NAME)
            .position(|t| t.kind == Kind::Colon);
        let work = &line.tokens[colon.map_or(0, |at| at + 1)..];
        const OPENS: &[&str] = &[
            "work", "as", "same", "make", "crochet", "follow", "repeat", "rep", "rnd", "rnds",
            "round", "rounds", "row", "rows", "rd", "rds", "r", "begin", "start", "the",
        ];
        // `With tan work the same as Hull`, `Starting at the bottom with A, work 1st to 5th rounds as given for Head`
        const LEADS: &[&str] = &["with", "using", "in", "starting", "beginning"];
        let word = |at: usize| work.get(at).map(|t| &*t.text);
        let leads = |t: &Token<'_>| LEADS.iter().any(|lead| t.is(lead));
        let with_a_yarn = work.first().is_some_and(leads) || colours::words_of(word).is_some();
        const LONGEST_YARN: usize = 10;
        const VERBS: &[&str] = &[
            "work", "as", "same", "make", "crochet", "follow", "repeat", "rep", "rounds", "rnds",
            "rows",
        ];
        let opens = |t: &Token<'_>| OPENS.contains(&&*t.text);
        let works = |t: &Token<'_>| VERBS.contains(&&*t.text);
        let yarn = match with_a_yarn {
            true => work.iter().take(LONGEST_YARN).position(works)?,
            false => 0,
        };
        let (yarn, work) = work.split_at(yarn);
        if !opens(work.iter().find(|t| t.kind == Kind::Word)?) {
            return None;
        }
        let says_as = work
            .iter()
            .take(12)
            .any(|t| matches!(&*t.text, "as" | "same" | "of" | "like"));
        if !says_as {
            return None;
        }
        let read = body::read(work, self.text, &self.names, false);
        // `ch 11 and work Rounds 1-3 of the hull`: those rounds have their chain.
        let mut worked = read
            .items
            .iter()
            .filter(|item| item.act.is_worked() && !item.act.is_chain());
        let (Some(item), None) = (worked.next(), worked.next()) else {
            return None;
        };
        let Act::AsPiece { piece, rounds } = &item.act else {
            return None;
        };
        let name = colon.map(|at| heading::read(&line.tokens[..at], self.text));
        // `1-4. same as shell`
        let numbered = label::read(work).and_then(|label| match label.numbers[..] {
            [run] => Some(run),
            _ => None,
        });
        let numbered = numbered.or_else(|| range_of_rounds(work));
        let words = yarn.first().zip(yarn.last());
        let words = words.map(|(first, last)| first.span.to(last.span));
        Some(Lean {
            name,
            yarn: words.and_then(|words| self.yarn_in(words).or_else(|| self.colour_in(words))),
            like: LikePiece {
                piece: piece.clone(),
                rounds: rounds.or(numbered),
                stays_on: stays_on(work),
                span: line.span,
            },
        })
    }
}

/// `1 – 4 row we crochet the same as the head`: a range that no mark ends.
fn range_of_rounds(tokens: &[Token<'_>]) -> Option<(u32, u32)> {
    match tokens {
        [first, dash, last, rounds, ..] if dash.kind == Kind::Dash && rounds.names_rounds() => {
            match (first.kind, last.kind) {
                (Kind::Number(first), Kind::Number(last)) if first <= last => Some((first, last)),
                _ => None,
            }
        }
        _ => None,
    }
}

/// `do not fasten off`
fn stays_on(tokens: &[Token<'_>]) -> bool {
    tokens.windows(2).any(|pair| {
        let denies = matches!(&*pair[0].text, "not" | "don't" | "without");
        denies
            && matches!(
                &*pair[1].text,
                "fasten" | "fastening" | "cut" | "cutting" | "break" | "breaking" | "finish"
            )
    })
}
