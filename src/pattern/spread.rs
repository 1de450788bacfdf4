//! Changes spread over a round: `inc 6 evenly`, `inc every 3rd st`.

use super::body::Reader;
use super::clause::Clause;
use super::tree::*;
use crate::source::Span;
use crate::terms::{Height, Into};

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
