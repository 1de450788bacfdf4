//! Slip stitches worked on the finished fabric: `surface sl st around Rnd 4 with B`.

use super::body::Reader;
use super::clause::Clause;
use super::lex::Kind;
use super::tree::*;
use crate::terms::words::Word;

impl Reader<'_> {
    /// After the word itself, which takes `taken` tokens: the round whose stitches it lies on, and its yarn.
    pub(super) fn surface(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        taken: usize,
    ) {
        let mut first = self.at;
        let mut yarn = clause.yarn.take();
        clause.count = None;
        self.flush(clause, items);
        self.at += taken;
        // `with B, surface sl st …`: the yarn is this line's alone.
        if yarn.is_none()
            && let Some(Instruction {
                act: Act::Yarn(name),
                ..
            }) = items.last()
        {
            yarn = Some(name.clone());
            items.pop();
        }
        if let Some(yarn) = &yarn {
            let begins = |at: &usize| self.tokens[*at].span.start >= yarn.span.start;
            first = (0..first).find(begins).unwrap_or(first);
        }
        let mut rounds = None;
        loop {
            if let Some((Word::Round | Word::Row, word)) = self.word()
                && let Some((number, taken)) = self.number_ahead(word)
            {
                self.at += word + taken;
                rounds = Some((number, self.last_of(number)));
                continue;
            }
            if self.is_word(0, "r")
                && let Some((number, taken)) = self.number_ahead(1)
            {
                self.at += 1 + taken;
                rounds = Some((number, self.last_of(number)));
                continue;
            }
            if let Some((Word::With | Word::In, taken)) = self.word() {
                let here = self.at;
                self.at += taken;
                while let Some((Word::Filler | Word::Colour, taken)) = self.word() {
                    self.at += taken;
                }
                if let Some((name, taken)) = self.yarn_name() {
                    self.at += taken;
                    yarn = Some(name);
                    continue;
                }
                self.at = here;
            }
            if self.kind(0).is_none() || self.at_separator() {
                break;
            }
            if matches!(self.kind(0), Some(Kind::Open(_) | Kind::Star(_))) {
                break;
            }
            self.at += 1;
        }
        items.push(Instruction {
            act: Act::Surface(Surface { rounds, yarn }),
            span: self.span_from(first),
        });
        clause.first = self.at;
    }

    /// `and 5`, `-5` after the number of a round: the last of several.
    fn last_of(&mut self, first: u32) -> u32 {
        let joins = matches!(
            self.kind(0),
            Some(Kind::Dash | Kind::Ampersand | Kind::Tilde)
        ) || matches!(self.word(), Some((Word::And | Word::To, _)));
        match self.number_ahead(1) {
            Some((last, taken)) if joins && last > first => {
                self.at += 1 + taken;
                last
            }
            _ => first,
        }
    }
}
