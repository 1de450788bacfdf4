//! Lines that work on without a label: `Rep Rnds 5 and 6 twice`.

use super::assemble::Assembler;
use super::body;
use super::lex::{Kind, Token};
use super::lines::RawLine;
use super::tree::*;
use crate::source::{Problem, limits};
use crate::terms::Terms;
use crate::terms::words::{self, Word};

impl<'s> Assembler<'s> {
    /// `Rep Rnds 5 and 6 twice` on a line of its own.
    pub(super) fn repeat_rounds(&mut self, line: &RawLine<'s>) -> Option<RepeatRounds> {
        let first = line.tokens.first()?;
        if !(first.is("rep") || first.is("repeat")) || self.pattern.pieces.is_empty() {
            return None;
        }
        let read = body::read(&line.tokens, self.text, &self.names, false);
        let [
            Instruction {
                act: Act::AsRounds { first, last },
                ..
            },
        ] = read.items[..]
        else {
            return None;
        };
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
        self.problems.extend(read.problems);
        Some(RepeatRounds {
            first,
            last,
            times,
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
