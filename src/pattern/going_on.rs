//! Rounds that go on as those before: `continue as set`, `continue in this manner, increasing 6 sts every round`.

use super::body::Reader;
use super::clause::Clause;
use super::lex::Kind;
use super::tree::*;
use crate::terms::words::Word;

impl Reader<'_> {
    /// Takes such words in. False, and the cursor unmoved, if the words at the cursor are others.
    pub(super) fn goes_on(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) -> bool {
        let opens = matches!(
            self.word(),
            Some((
                Word::GoOn | Word::Filler | Word::Increase | Word::Decrease | Word::Remark,
                _
            ))
        );
        if !opens {
            return false;
        }
        let start = self.at;
        let step = self.going_on();
        let step = step.filter(|_| !items.iter().any(|item| item.act.is_worked()));
        let Some(step) = step else {
            self.at = start;
            return false;
        };
        let end = self.at;
        self.at = start;
        self.flush(clause, items);
        self.at = end;
        self.swallow();
        items.push(Instruction {
            act: Act::GoOn { step },
            span: self.span_from(start),
        });
        clause.first = self.at;
        true
    }

    /// `continue increasing 6 sts each rnd as set`: the step, if the words say that rounds go on.
    fn going_on(&mut self) -> Option<Option<i32>> {
        let mut on = false;
        let mut set = false;
        let mut sign = 0;
        let mut number = None;
        let mut each_round = false;
        const LONGEST: usize = 16;
        let start = self.at;
        while self.at < start + LONGEST {
            // `inc every 3rd st`
            if self.ordinal().is_some() {
                return None;
            }
            if let Some((n, taken)) = self.number().filter(|_| sign != 0 && number.is_none()) {
                number = Some(n);
                self.at += taken;
                continue;
            }
            // `in this manner, increasing 6 sts every round`
            if self.kind(0) == Some(Kind::Comma) && set && sign == 0 {
                let changes = matches!(
                    self.word_ahead(1),
                    Some((Word::Increase | Word::Decrease, _))
                );
                if !changes {
                    break;
                }
                self.at += 1;
                continue;
            }
            let Some((word, taken)) = self.word() else {
                let says_nothing = ["by", "keep", "carry", "on", "your"]
                    .iter()
                    .any(|w| self.is_word(0, w));
                if !says_nothing {
                    break;
                }
                self.at += 1;
                continue;
            };
            match word {
                Word::GoOn => set = true,
                Word::Increase if sign == 0 => sign = 1,
                Word::Decrease if sign == 0 => sign = -1,
                Word::Filler | Word::Remark => {
                    on |= ["continue", "continuing", "keep", "keeping"]
                        .iter()
                        .any(|w| self.is_word(0, w));
                    if word == Word::Remark && !on {
                        break;
                    }
                }
                Word::AnyStitch if number.is_some() => {}
                Word::Evenly | Word::In | Word::To if sign != 0 || on => {}
                Word::Each if number.is_some() || sign != 0 => {}
                Word::Round | Word::Row if sign != 0 || set => each_round = true,
                _ => break,
            }
            self.at += taken;
        }
        let step = match (sign, number) {
            (0, _) | (_, None) => None,
            (sign, Some(n)) => Some(sign * i32::try_from(n).ok()?),
        };
        (set || step.is_some() && each_round || on && sign != 0 && self.at_separator_or_until())
            .then_some(step)
    }

    fn at_separator_or_until(&self) -> bool {
        self.at_separator() || matches!(self.word(), Some((Word::Until, _)))
    }
}
