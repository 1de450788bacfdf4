//! Changes spread over a round: `inc 6 evenly`, `inc every 3rd st`.

use super::body::Reader;
use super::clause::Clause;
use super::lex::Kind;
use super::tree::*;
use crate::source::Span;
use crate::terms::words::Word;
use crate::terms::{Form, Height, Into};

impl Reader<'_> {
    /// `inc 6 evenly`: so many changes, spread over what is left of the round below.
    pub(super) fn push_evenly(
        &mut self,
        clause: &Clause,
        stitch: StitchWord,
        in_one: u32,
        span: Span,
        items: &mut Vec<Instruction>,
    ) {
        let height = self.drop_plain_round(items);
        items.push(Instruction {
            act: Act::Evenly(Evenly {
                stitch: StitchWord {
                    height: stitch.height.or(height),
                    ..stitch
                },
                each: in_one,
                times: clause.count.unwrap_or(1),
                hold: clause.hold,
            }),
            span,
        });
    }

    /// `sc around, inc every 3rd st`: the first clause only says what the others are. Gives the height that it names.
    fn drop_plain_round(&self, items: &mut Vec<Instruction>) -> Option<Height> {
        let Some(Act::Work(before)) = items.last().map(|item| &item.act) else {
            return None;
        };
        if before.over != Over::Rest || before.each != 1 {
            return None;
        }
        let height = before.stitch.height;
        items.pop();
        height
    }

    /// `dec at each end`, `inc 1 st at both ends of the row`: a change, plain stitches, and the change again. False if the
    /// words at the cursor are others.
    pub(super) fn at_each_end(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
    ) -> bool {
        let both = matches!(self.word_ahead(1), Some((Word::Each | Word::Both, 1)));
        let ends = self.is_word(2, "end") || self.is_word(2, "ends");
        if !self.is_word(0, "at") || !both || !ends {
            return false;
        }
        let Some(stitch) = clause.stitch else {
            return false;
        };
        let feet = match stitch.form {
            Form::Together(n) => u32::from(n),
            _ => 1,
        };
        if clause.in_one < 2 && feet < 2 || clause.count.unwrap_or(1) > 1 {
            return false;
        }
        let start = self.at;
        self.at += 3;
        while let Some((Word::Of | Word::Filler | Word::Row | Word::Round, taken)) = self.word() {
            self.at += taken;
        }
        let height = stitch.height.or(self.drop_plain_round(items));
        let span = self.span_from(clause.first.min(start));
        let work = |stitch, each, over| Instruction {
            act: Act::Work(Work {
                stitch,
                each,
                over,
                target: Target::Next,
                hold: clause.hold,
                through: None,
                bare: Bare::No,
            }),
            span,
        };
        let change = StitchWord { height, ..stitch };
        let plain = StitchWord {
            height,
            ..StitchWord::OPEN
        };
        items.push(work(change, clause.in_one.max(1), Over::Count(1)));
        items.push(work(plain, 1, Over::ToLast(feet)));
        items.push(work(change, clause.in_one.max(1), Over::Count(1)));
        *clause = Clause {
            first: self.at,
            ..Clause::default()
        };
        true
    }

    /// `every 3rd and 4th st together`: two plain, two drawn together, around. False if the words at the cursor are others.
    pub(super) fn pairs_drawn_together(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
    ) -> bool {
        let start = self.at;
        let drawn = clause.stitch.is_some_and(|s| s.form == Form::Together(2));
        if let (true, Some((Word::In, taken))) = (drawn, self.word()) {
            self.at += taken;
        }
        if !matches!(self.word(), Some((Word::Each, _))) || clause.count.is_some() {
            self.at = start;
            return false;
        }
        let Some(first) = self.pair_together(drawn) else {
            self.at = start;
            return false;
        };
        let stitch = clause.stitch.take().unwrap_or(StitchWord::OPEN).together(1);
        let end = self.at;
        // The stitch that is drawn together may be named before: `take off each 3rd and 4th st`.
        let first_word = if drawn {
            clause.first.min(start)
        } else {
            start
        };
        self.at = start;
        self.flush(clause, items);
        self.at = end;
        let span = self.span_from(first_word);
        let work = |stitch, over| Instruction {
            act: Act::Work(Work {
                stitch,
                each: 1,
                over: Over::Count(over),
                target: Target::Next,
                hold: None,
                through: None,
                bare: Bare::No,
            }),
            span,
        };
        let mut inner = vec![work(stitch.together(2), 1)];
        if first > 1 {
            inner.insert(0, work(stitch, first - 1));
        }
        items.push(Instruction {
            act: Act::Repeat(Repeat {
                items: inner,
                times: Times::Around,
                last_stops_after: None,
            }),
            span,
        });
        clause.first = self.at;
        true
    }

    /// The first number of `every 3rd and 4th st together`.
    /// With `drawn`, a decrease has said that they are.
    fn pair_together(&mut self, drawn: bool) -> Option<u32> {
        self.at += self.word()?.1;
        let (first, taken) = self.ordinal()?;
        self.at += taken;
        self.at += match (self.kind(0)?, self.word()) {
            (Kind::Plus | Kind::Ampersand, _) => 1,
            (_, Some((Word::And, taken))) => taken,
            _ => return None,
        };
        let (second, taken) = self.ordinal()?;
        self.at += taken;
        while let Some((Word::AnyStitch | Word::Stitch(_) | Word::Filler, taken)) = self.word() {
            self.at += taken;
        }
        match self.word() {
            Some((Word::Together, taken)) => self.at += taken,
            _ if drawn => {}
            _ => return None,
        }
        (first > 0 && second == first.checked_add(1)?).then_some(first)
    }

    /// `double every 2nd st`: an increase there. False if the words at the cursor are others.
    pub(super) fn doubled(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) -> bool {
        let says = self.is_word(0, "double")
            && self.word().is_none()
            && (matches!(
                self.word_ahead(1),
                Some((
                    Word::Each | Word::Next | Word::Filler | Word::First | Word::Last | Word::All,
                    _
                ))
            ) || self.ordinal_ahead(1).is_some());
        if says {
            self.at += 1;
            self.increase(clause, items);
        }
        says
    }

    /// `inc every 3rd st`: two plain, one increase, around; `sc in every other st`: one worked, one passed over.
    pub(super) fn push_every(
        &mut self,
        n: u32,
        stitch: StitchWord,
        in_one: u32,
        hold: Option<Into>,
        span: Span,
        items: &mut Vec<Instruction>,
    ) {
        let work = |each, over| Instruction {
            act: Act::Work(Work {
                stitch,
                each,
                over: Over::Count(over),
                target: Target::Next,
                hold,
                through: None,
                bare: Bare::No,
            }),
            span,
        };
        let mut inner = Vec::new();
        self.drop_plain_round(items);
        if in_one > 1 {
            if n > 1 {
                inner.push(work(1, n - 1));
            }
            inner.push(work(in_one, 1));
        } else {
            // `sc in every other st`: the others are passed over.
            inner.push(work(1, 1));
            let act = Act::Skip {
                over: Over::Count(n.saturating_sub(1)),
                target: Target::Next,
            };
            inner.push(Instruction { act, span });
        }
        items.push(Instruction {
            act: Act::Repeat(Repeat {
                items: inner,
                times: Times::Around,
                last_stops_after: None,
            }),
            span,
        });
    }
}
