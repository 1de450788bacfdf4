//! Lines that work a piece as another one: `Second leg: as first, do not fasten off`, `Work Rnds 1-5 as for Body`.

use super::assemble::Assembler;
use super::body;
use super::heading;
use super::label;
use super::lex::{Kind, Token};
use super::lines::RawLine;
use super::stem::stem;
use super::tree::*;

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
        let Some(Lean { name, yarn, like }) = self.like_piece_of(line) else {
            return false;
        };
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
            "round", "rounds", "row", "rows", "begin", "start", "the",
        ];
        // `With tan work the same as Hull`
        let with_a_yarn = work.first().is_some_and(|t| t.is("with") || t.is("using"));
        const LONGEST_YARN: usize = 6;
        let opens = |t: &Token<'_>| OPENS.contains(&&*t.text);
        let yarn = match with_a_yarn {
            true => work.iter().take(LONGEST_YARN).position(opens)?,
            false => 0,
        };
        let (yarn, work) = work.split_at(yarn);
        if !opens(work.iter().find(|t| t.kind == Kind::Word)?) {
            return None;
        }
        let says_as = work
            .iter()
            .take(12)
            .any(|t| matches!(&*t.text, "as" | "same" | "of"));
        if !says_as {
            return None;
        }
        let read = body::read(work, self.text, &self.names, false);
        let mut worked = read.items.iter().filter(|item| item.act.is_worked());
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
