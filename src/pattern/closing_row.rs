//! Lines without a label that close a piece: `Flatten and close with 4 sc through both edges`, `Put the belly under the shell and
//! crochet together through both layers with 24 sc`.

use super::assemble::Assembler;
use super::between::is_chain;
use super::body::{self, Reader};
use super::lex::{Kind, Token};
use super::lines::RawLine;
use super::stem::{is_called, stem};
use super::tree::*;
use crate::source::{Level, Span};
use crate::terms::Height;
use crate::terms::words::Word;

/// Most tokens of such a line.
const LONGEST: usize = 40;

impl<'s> Assembler<'s> {
    /// Takes in the sentence of a line that is such a round, and what stands before and behind it as lines of their own. False
    /// if it is another kind of line.
    pub(super) fn closing_row(&mut self, line: &RawLine<'s>) -> bool {
        let tokens = &line.tokens;
        if tokens.len() > LONGEST || self.numbering.highest() == 0 {
            return false;
        }
        let mut at = 0;
        let found = tokens
            .chunk_by(|token, next| {
                // `… to close. (6)`
                let total = matches!(next.kind, Kind::Open(_));
                token.kind != Kind::Stop || !next.spaced || total
            })
            .find_map(|sentence| {
                let from = at;
                at += sentence.len();
                Some((from, self.closes(sentence)?))
            });
        let Some((from, (body, stated))) = found else {
            return false;
        };
        if from > 0 {
            self.waiting.push(line.part(&tokens[..from]));
        }
        self.settle_waiting();
        let round = self.row_of(line.part(&tokens[from..at]).span, body, stated);
        if let Some(piece) = self.pattern.pieces.last_mut() {
            piece.lines.push(Line::Round(round));
        }
        // `F/O. Set aside for now.`: each sentence as if it stood alone.
        let rest = tokens[at..].chunk_by(|token, next| token.kind != Kind::Stop || !next.spaced);
        self.waiting
            .extend(rest.map(|sentence| line.part(sentence)));
        true
    }

    /// What a sentence works that closes a piece.
    fn closes(&self, tokens: &[Token<'_>]) -> Option<(Vec<Instruction>, Option<Stated>)> {
        self.laid_together(tokens)
            .map(|body| (body, None))
            .or_else(|| self.closed_flat(tokens))
    }

    /// The next round, with no label.
    fn row_of(&mut self, span: Span, body: Vec<Instruction>, stated: Option<Stated>) -> Round {
        let highest = self.numbering.highest();
        let label = Span::new(span.start, span.start);
        let number = highest.saturating_add(1);
        let numbers = vec![(number, number)];
        self.numbering.add(&numbers, label, &mut self.problems);
        Round {
            label: Label {
                is_row: false,
                numbers,
                wrong_side: None,
                span: label,
            },
            body,
            ending: Vec::new(),
            choices: Vec::new(),
            several_sizes: false,
            stated,
            doubts: Doubts::default(),
            flawed: false,
            words: span,
            span,
        }
    }

    /// Stitches through both layers of the piece itself, pressed flat.
    fn closed_flat(&self, tokens: &[Token<'_>]) -> Option<(Vec<Instruction>, Option<Stated>)> {
        const FLAT: &[&str] = &["flatten", "flat", "fold", "press", "pinch"];
        let has = |words: &[&str]| tokens.iter().any(|t| words.iter().any(|word| t.is(word)));
        if !has(FLAT) {
            return None;
        }
        // `fold flat and crochet it together with 4 sc through both layers`
        let said = tokens
            .windows(4)
            .position(|four| four[0].is("crochet") && four[2].is("together") && four[3].is("with"));
        let said = said.map_or(0..0, |at| at..at + 4);
        let work = [&tokens[..said.start], &tokens[said.end..]].concat();
        let read = body::read(&work, self.text, &self.names, false);
        if read.problems.iter().any(|p| p.level == Level::Error) {
            return None;
        }
        let mut items = read.items;
        // `ch 1, 3 sc through both layers`
        let mut worked = items
            .iter_mut()
            .filter(|item| item.act.is_worked() && !is_chain(item));
        let (Some(item), None) = (worked.next(), worked.next()) else {
            return None;
        };
        let span = item.span;
        let Act::Work(work) = &mut item.act else {
            return None;
        };
        let plain = work.target == Target::Next
            && work.each == 1
            && work
                .stitch
                .height
                .is_none_or(|height| height > Height::Slip);
        let both = work
            .through
            .as_ref()
            .map_or(has(&["close"]), |t| t.part.is_none() && t.layers == 2);
        if !plain || !both {
            return None;
        }
        work.bare = Bare::No;
        work.through.get_or_insert(Through {
            part: None,
            copy: None,
            layers: 2,
            side: None,
            border: None,
            span,
        });
        let flattens = Act::Step(StepKind::Flatten);
        if !items.iter().any(|item| item.act == flattens) {
            let span = tokens[0].span;
            items.insert(
                0,
                Instruction {
                    act: flattens,
                    span,
                },
            );
        }
        Some((items, read.stated))
    }

    /// The piece that a line lays to the one that is being worked: `Hold top and bottom wrong sides together`.
    pub(super) fn laid_to_it(&self, tokens: &[Token<'_>], own: &str) -> Option<Spanned<String>> {
        const LAID: &[&str] = &["put", "place", "hold", "lay", "align", "match"];
        let opens = tokens.first()?;
        if !LAID.iter().any(|word| opens.is(word)) {
            return None;
        }
        let part = tokens.iter().find(|token| {
            let name = stem(&token.text);
            // `Crochet with white.` and `Sew together.` are no names of pieces.
            let is_deed = token.is("crochet") || token.is("together");
            !is_deed && self.names.pieces.contains(&name) && !is_called(own, &name)
        })?;
        Some(Spanned {
            value: self.text[part.span.range()].to_owned(),
            span: part.span,
        })
    }

    /// Stitches through this piece and another that is laid to it.
    fn laid_together(&self, tokens: &[Token<'_>]) -> Option<Vec<Instruction>> {
        let own = &self.pattern.pieces.last()?.name;
        let part = self.laid_to_it(tokens, own)?;
        let mut reader = Reader::new(tokens, self.text, &self.names, false);
        let through = (0..tokens.len()).find(|&at| {
            reader.at = at;
            tokens[at].is("through") && reader.both_layers_follow(1)
        })?;
        let work = (0..tokens.len()).find_map(|at| {
            reader.at = at;
            let (number, taken) = reader.number()?;
            let stitch = reader.word_ahead(taken)?;
            let Word::Stitch(height) = stitch.0 else {
                return None;
            };
            let span = tokens[at].span.to(tokens[at + taken + stitch.1 - 1].span);
            Some((number, height, span))
        });
        let (number, height, span) = work.filter(|(_, height, _)| *height > Height::Slip)?;
        let through = Through {
            part: Some(part),
            copy: None,
            layers: 0,
            side: None,
            border: None,
            span: tokens[through].span,
        };
        Some(vec![Instruction {
            act: Act::Work(Work {
                stitch: StitchWord::plain(height),
                each: 1,
                over: Over::Count(number),
                target: Target::Next,
                hold: None,
                through: Some(through),
                bare: Bare::No,
            }),
            span,
        }])
    }
}
