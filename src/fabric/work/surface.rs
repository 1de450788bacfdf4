//! Slip stitches on the finished fabric: they lie on the stitches of a round and leave nothing to work into.

use super::{Progress, Task, Worker};
use crate::fabric::model::{Piece, Surface};
use crate::pattern::{self, Act, Instruction};
use crate::source::{Problem, Span};

impl<'p> Worker<'p> {
    /// Works what lies on the surface out of a round's instructions. True if there is nothing else in it, so that no round
    /// is worked.
    pub(super) fn surfaces(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        task: &mut Task<'p>,
    ) -> bool {
        let lines = task
            .items
            .extract_if(.., |item| matches!(item.act, Act::Surface(_)))
            .collect::<Vec<Instruction>>();
        if lines.is_empty() {
            return false;
        }
        let alone = !task.items.iter().any(|item| item.act.is_worked());
        for line in &lines {
            let on = self.surface(piece, progress, line, !alone);
            if let (Some(stated), Some(on), true) = (task.stated, on, alone)
                && let Some(said) = stated.stitches
                && said != piece.rounds[on].count
            {
                let (number, count) = (piece.rounds[on].number, piece.rounds[on].count);
                self.problems.push(
                    Problem::error(
                        "count",
                        stated.span,
                        format!("round {number}, on which this lies, has {count} stitches, but the total says {said}"),
                    )
                    .help(format!("if that round is right, the total is ({count})")),
                );
            }
        }
        alone
    }

    /// One line of slip stitches on the surface, by words between rounds or in one that is worked next; gives the place of the round that it lies on.
    pub(super) fn surface(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        item: &Instruction,
        in_round: bool,
    ) -> Option<usize> {
        let Act::Surface(pattern::Surface { rounds, yarn }) = &item.act else {
            return None;
        };
        let span = progress.lent.map_or(item.span, |lent| lent.span);
        let place = |number: u32| piece.rounds.iter().rposition(|r| r.number == number);
        let (first, last) = match *rounds {
            Some((first, last)) => (place(first), place(last)),
            None => {
                let last = piece.rounds.len().checked_sub(1);
                (last, last)
            }
        };
        let (Some(first), Some(last)) = (first, last) else {
            self.problems.push(unknown(*rounds, span));
            return None;
        };
        let yarn = match yarn {
            Some(name) => self.yarns.named(&name.value, name.span),
            None => progress.yarn,
        };
        piece.surfaces.push(Surface {
            rounds: first..last + 1,
            yarn,
            after_round: piece.rounds.len() as u32 + u32::from(in_round),
            span,
        });
        Some(first)
    }
}

fn unknown(rounds: Option<(u32, u32)>, span: Span) -> Problem {
    let message = match rounds {
        Some((first, last)) if first != last => {
            format!(
                "rounds {first} to {last}, between which this is to lie, are not all above this line"
            )
        }
        Some((first, _)) => format!("there is no round {first} above for this to lie on"),
        None => "there is no round above for this to lie on".to_owned(),
    };
    Problem::error("round-unknown", span, message)
}
