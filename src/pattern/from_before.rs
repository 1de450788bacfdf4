//! Pieces that go on from the last round of the piece before, with the yarn still on the hook: `PEAK: now work in rows over the
//! front 12 sts only`.

use super::assemble::{Assembler, last_round};
use super::lex::lex;
use super::tree::*;
use crate::source::Problem;
use crate::terms::{Height, Into};

impl Assembler<'_> {
    /// Lets the first round of the last piece go on from the piece before, where its words leave no other way: nothing is made
    /// to start from, the yarn has not been cut, and what it works first needs stitches below it.
    pub(super) fn go_on_from_before(&mut self, round: &mut Round) {
        let [.., before, piece] = &self.pattern.pieces[..] else {
            return;
        };
        let number = last_round(before);
        let starts = round.label.each().next() == Some(1) && number > 0 && before.make == 1;
        let makes_start = piece.lines.iter().any(|line| match line {
            Line::Between(between) => between.acts.iter().any(starts_anew),
            Line::Prose(_) => false,
            _ => true,
        });
        if !starts || makes_start || self.is_cut(before) {
            return;
        }
        let (name, span) = (before.name.to_lowercase(), round.label.span);
        if go_along(&mut round.body, Spanned { value: name, span }) {
            return;
        }
        let needs_stitches = first_work(&round.body)
            .is_some_and(|work| works_along(work, round.label.is_row, held(&round.body)));
        if !needs_stitches {
            return;
        }
        self.problems.push(
            Problem::note(
                "edge-assumed",
                round.span,
                "these words do not say what the first of these rounds is worked into: read as the last one of the piece before",
            )
            .help("say so: `in next 12 sts of Rnd 11`"),
        );
        let onward = Instruction {
            act: Act::IntoRound { number, hold: None },
            span: round.label.span,
        };
        round.body.insert(0, onward);
    }

    /// True if words behind the last round of a piece end it.
    fn is_cut(&self, piece: &Piece) -> bool {
        const ENDS: &[&str] = &[
            "fasten", "finish", "cut", "break", "close", "closed", "sew", "fo", "end", "f/o",
        ];
        let behind = piece.lines.iter().rev();
        behind
            .take_while(|line| !matches!(line, Line::Round(_)))
            .any(|line| match line {
                Line::Prose(span) | Line::Between(Between { span, .. }) => {
                    let words = lex(self.text, *span);
                    let ends = |at: usize| ENDS.iter().any(|word| words[at].is(word));
                    // `Don't cut, carry on round the edge.`
                    let denied = |at: usize| {
                        let before = at.checked_sub(1).map(|before| &*words[before].text);
                        matches!(before, Some("not" | "don't" | "don’t" | "dont" | "without"))
                    };
                    (0..words.len()).any(|at| ends(at) && !denied(at))
                }
                _ => true,
            })
            || ends_itself(piece)
    }
}

/// `1 sc in the end of every row`, in a piece that has none: of the piece before. True if the first stitches go there.
fn go_along(items: &mut [Instruction], before: Spanned<String>) -> bool {
    let is_worked = |item: &&mut Instruction| item.act.is_worked() && !item.act.is_chain();
    let Some(Act::Work(work)) = items.iter_mut().find(is_worked).map(|item| &mut item.act) else {
        return false;
    };
    let Target::Border(border) = work.target else {
        return false;
    };
    let span = before.span;
    work.target = Target::Part;
    work.through = Some(Through {
        part: Some(before),
        copy: None,
        layers: 1,
        side: None,
        border: Some(border),
        span,
    });
    true
}

/// True if the last round of a piece says that the yarn is cut.
fn ends_itself(piece: &Piece) -> bool {
    let last = piece.lines.iter().rev().find_map(|line| match line {
        Line::Round(round) => Some(round),
        _ => None,
    });
    let ends = |item: &Instruction| {
        matches!(
            item.act,
            Act::Step(StepKind::FastenOff | StepKind::CloseHole)
        )
    };
    last.is_some_and(|round| round.body.iter().chain(&round.ending).any(ends))
}

/// What a piece can start from.
fn starts_anew(item: &Instruction) -> bool {
    item.act.is_chain()
        || matches!(
            item.act,
            Act::MagicRing | Act::Surface(_) | Act::IntoRound { .. } | Act::Close
        )
}

/// What is worked first, behind a chain that only lifts the hook; `None` where it is no plain work.
fn first_work(items: &[Instruction]) -> Option<&Work> {
    const LONGEST_LIFT: u32 = 3;
    let prepares = |item: &&Instruction| match &item.act {
        Act::Work(work) => work.stitch.height == Some(Height::Chain) && work.each <= LONGEST_LIFT,
        Act::Hold(_) | Act::Yarn(_) | Act::Turn | Act::StartCounts { .. } => true,
        _ => false,
    };
    match &items.iter().find(|item| !prepares(item))?.act {
        Act::Work(work) => Some(work),
        Act::Repeat(repeat) => first_work(&repeat.items),
        _ => None,
    }
}

/// The loop that a round names for all of it.
fn held(items: &[Instruction]) -> Option<Into> {
    items.iter().find_map(|item| match item.act {
        Act::Hold(hold) => hold,
        _ => None,
    })
}

/// True for stitches that go into what is below: in rows, all round, or in one loop. `6 sc` alone may go into a ring.
fn works_along(work: &Work, is_row: bool, held: Option<Into>) -> bool {
    let in_a_loop = |hold: Into| matches!(hold, Into::FrontLoop | Into::BackLoop);
    let plain = work.target == Target::Next
        && work.through.is_none()
        && work.stitch.height != Some(Height::Chain);
    plain && (is_row || work.over == Over::Rest || work.hold.or(held).is_some_and(in_a_loop))
}
