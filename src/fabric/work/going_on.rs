//! The round that goes on as those before it: `continue as set`, `continue in this manner, increasing 6 sts every round`.

use super::{Progress, Worker};
use crate::fabric::model::Piece;
use crate::pattern::{
    Act, Bare, Evenly, Group, Instruction, Over, Repeat, StitchWord, Target, Times, Work,
};
use crate::source::Span;
use crate::terms::Form;

/// The bodies of the last few rounds, the last one last.
pub(super) type History = Vec<Vec<Instruction>>;

impl<'p> Worker<'p> {
    /// The body of the next round: the numbers of the last ones carried on, or the change of the last one (or `step`)
    /// in even sections. `None` if there is no round to go on from.
    pub(super) fn going_on(
        &self,
        piece: &Piece,
        progress: &Progress<'p>,
        step: Option<i32>,
    ) -> Option<Vec<Instruction>> {
        let history = &progress.history;
        let last = history.last()?;
        let counts: Vec<u32> = piece.rounds.iter().rev().take(5).map(|r| r.count).collect();
        let count = *counts.first()?;
        let step_of = |at: usize| match (counts.get(at), counts.get(at + 1)) {
            (Some(&now), Some(&before)) => now as i32 - before as i32,
            _ => 0,
        };
        // Changing and even rounds in turn.
        let in_turn = history.len() >= 4
            && (step_of(0) == 0) != (step_of(1) == 0)
            && step_of(0) == step_of(2)
            && step_of(1) == step_of(3);
        let period = if in_turn { 2 } else { 1 };
        let own = step_of(period - 1);
        if own == 0 && step.is_none() {
            return Some(history[history.len().checked_sub(period)?].clone());
        }
        let step = step.filter(|_| !in_turn).unwrap_or(own);
        if step == own || in_turn {
            let at = history.len() - period;
            let carried = at
                .checked_sub(period)
                .and_then(|before| carried_on(&history[before], &history[at]));
            if carried.is_some() {
                return carried;
            }
        }
        Some(in_sections(last, count, step))
    }
}

/// The numbers of two rounds of one shape carried on: `(sc, inc) x 6`, `(2 sc, inc) x 6` → `(3 sc, inc) x 6`.
fn carried_on(before: &[Instruction], last: &[Instruction]) -> Option<Vec<Instruction>> {
    if before.len() != last.len() {
        return None;
    }
    let mut items = Vec::with_capacity(last.len());
    for (a, b) in before.iter().zip(last) {
        let act = match (&a.act, &b.act) {
            (Act::Work(a), Act::Work(b)) => {
                let alike = a.stitch.form == b.stitch.form
                    && a.each == b.each
                    && a.target == b.target
                    && a.hold == b.hold
                    && a.through == b.through;
                if !alike {
                    return None;
                }
                let over = match (a.over, b.over) {
                    (Over::Count(a), Over::Count(b)) => {
                        match (2 * i64::from(b)).checked_sub(i64::from(a))? {
                            n if n < 0 => return None,
                            n => Over::Count(u32::try_from(n).ok()?),
                        }
                    }
                    (a, b) if a == b => b,
                    _ => return None,
                };
                // A changing number of stitches has no doubt of several in one place.
                let bare = if a.over == b.over { b.bare } else { Bare::No };
                Act::Work(Work {
                    over,
                    bare,
                    ..b.clone()
                })
            }
            (Act::Repeat(a), Act::Repeat(b))
                if a.times == b.times && a.last_stops_after == b.last_stops_after =>
            {
                Act::Repeat(Repeat {
                    items: carried_on(&a.items, &b.items)?,
                    ..b.clone()
                })
            }
            (Act::Together(a), Act::Together(b)) if a.over == b.over && a.target == b.target => {
                Act::Together(Group {
                    items: carried_on(&a.items, &b.items)?,
                    ..b.clone()
                })
            }
            (Act::Evenly(a), Act::Evenly(b)) if a.times == b.times && a.each == b.each => {
                Act::Evenly(b.clone())
            }
            (Act::Work(_) | Act::Repeat(_) | Act::Together(_) | Act::Evenly(_), _) => return None,
            (_, b) => b.clone(),
        };
        let nothing = matches!(&act, Act::Work(work) if work.over == Over::Count(0));
        if !nothing {
            items.push(Instruction { act, span: b.span });
        }
    }
    Some(items)
}

/// So many changes, each after (or before, as in the last round) the same number of plain stitches. Where the stitches
/// can't be shared out so, the changes are spread.
fn in_sections(last: &[Instruction], count: u32, step: i32) -> Vec<Instruction> {
    let stitch = first_stitch(last).unwrap_or(StitchWord::OPEN);
    let changes = step.unsigned_abs();
    let (change, each, feet) = if step > 0 {
        (stitch, 2, 1)
    } else {
        (stitch.together(2), 1, 2)
    };
    let instruction = |act| Instruction {
        act,
        span: Span::default(),
    };
    let work = |stitch, each, n| {
        instruction(Act::Work(Work {
            stitch,
            each,
            over: Over::Count(n),
            target: Target::Next,
            hold: None,
            through: None,
            bare: Bare::No,
        }))
    };
    let plain = (count / changes.max(1)).checked_sub(feet);
    let Some(plain) = plain.filter(|_| count.is_multiple_of(changes.max(1))) else {
        return vec![instruction(Act::Evenly(Evenly {
            stitch: change,
            each,
            times: changes,
            hold: None,
        }))];
    };
    let mut items = vec![work(stitch, 1, plain), work(change, each, 1)];
    if plain == 0 {
        items.remove(0);
    } else if opens_with_change(last) {
        items.reverse();
    }
    vec![instruction(Act::Repeat(Repeat {
        items,
        times: Times::Exactly(changes),
        last_stops_after: None,
    }))]
}

/// The plain stitch that a round is made of.
fn first_stitch(items: &[Instruction]) -> Option<StitchWord> {
    items.iter().find_map(|item| match &item.act {
        Act::Work(work) if work.stitch.height > Some(crate::terms::Height::Slip) => {
            Some(StitchWord {
                form: Form::Plain,
                ..work.stitch
            })
        }
        Act::Repeat(repeat) => first_stitch(&repeat.items),
        Act::Together(group) => first_stitch(&group.items),
        _ => None,
    })
}

fn opens_with_change(items: &[Instruction]) -> bool {
    let [
        Instruction {
            act: Act::Repeat(repeat),
            ..
        },
    ] = items
    else {
        return false;
    };
    let first = repeat.items.first().map(|item| &item.act);
    repeat.items.len() > 1
        && matches!(first, Some(Act::Work(work)) if work.each > 1 || matches!(work.stitch.form, Form::Together(_)))
}
