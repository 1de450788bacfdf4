//! Lists worked again and again.

use super::Hook;
use crate::fabric::below::{Below, Foot};
use crate::fabric::model::{PieceMark, YarnId};
use crate::fabric::parts::PartsMark;
use crate::pattern::{Act, Instruction, Over, Repeat, Target, Times};
use crate::source::{Problem, Span};
use crate::terms::Height;

impl Hook<'_> {
    /// Works a list several times; `goes_on` says that stitches are worked after it.
    pub(super) fn repeat(&mut self, repeat: &Repeat, goes_on: bool, span: Span) {
        let last = repeat.last_stops_after.unwrap_or(repeat.items.len());
        let last_items = &repeat.items[..last.min(repeat.items.len())];
        let times = match repeat.times {
            Times::Exactly(n) if self.reading.again && n > 1 => {
                return self.repeat_around(repeat, last_items, 0, goes_on, span);
            }
            Times::Exactly(n) | Times::Loose(n) => n,
            Times::OrTotal(_) if self.reading.number => {
                return self.repeat_around(repeat, last_items, 0, goes_on, span);
            }
            Times::OrTotal(n) => n,
            Times::Total(n) if self.reading.number => n,
            Times::Total(_) => 1,
            Times::Unsure(n) => n + u32::from(self.reading.times_more),
            Times::Around => return self.repeat_around(repeat, last_items, 0, goes_on, span),
            Times::ToLast(left) => {
                return self.repeat_around(repeat, last_items, left as usize, goes_on, span);
            }
        };
        self.settle_slips(repeat);
        for time in 0..times {
            if self.spent() {
                return;
            }
            let is_last = time + 1 == times;
            self.list(if is_last { last_items } else { &repeat.items });
            self.state.repeated = true;
        }
    }

    /// Slip stitches that open a list of a repeat are stitches: they do not only move the hook along.
    fn settle_slips(&mut self, repeat: &Repeat) {
        let opens = repeat.items.iter().find(|item| item.act.is_worked());
        if let Some(Act::Work(work)) = opens.map(|item| &item.act)
            && work.stitch.height == Some(Height::Slip)
            && repeat.times != Times::Exactly(1)
        {
            self.state.only_slips = false;
        }
    }

    fn repeat_around(
        &mut self,
        repeat: &Repeat,
        last_items: &[Instruction],
        keep: usize,
        goes_on: bool,
        span: Span,
    ) {
        self.settle_slips(repeat);
        let mut wants = Wants::of(&repeat.items);
        if self.state.on_loops.is_some() {
            (wants.heads, wants.spaces) = (true, false);
        }
        if wants.spaces || wants.corners && self.below.has_bridges() {
            self.arrive_before_space();
        }
        let mut any = false;
        loop {
            let heads = wants.heads
                && if keep == 0 {
                    self.below.any_left()
                } else {
                    self.below.left() > keep
                };
            let spaces = wants.spaces && self.below.space_left();
            // What is left behind the last corner is for what follows.
            let more = match wants.corners {
                true => self.below.corner_left(),
                false => heads || spaces,
            };
            if !more || self.spent() {
                break;
            }
            any = true;
            // The last time may be shorter: if the short form just comes out, it is the last.
            if last_items.len() < repeat.items.len() {
                let mark = self.mark();
                self.list(last_items);
                if self.state.overflow == mark.overflow && !self.below.any_left() {
                    return;
                }
                self.back_to(mark);
            }
            let mark = self.mark();
            let left = self.below.left();
            let at = self.below.position();
            self.list(&repeat.items);
            self.state.repeated = true;
            if self.state.overflow > mark.overflow {
                let takes = left + (self.state.overflow - mark.overflow);
                self.back_to(mark);
                // `rep from * around, sc in last st`: the rest is for what follows.
                if goes_on {
                    return;
                }
                self.problems.push(
                    Problem::error(
                        "repeat-does-not-fit",
                        span,
                        format!("the repeat takes {takes} stitches each time, but at the end {left} are left"),
                    )
                    .help("work the rest after the repeat, or change the repeat so that it divides the round below"),
                );
                self.state.leaves_rest = true;
                return;
            }
            if self.below.position() == at {
                self.problems.push(Problem::error(
                    "repeat-nothing",
                    span,
                    "this is to be repeated around, but uses up no stitches of the round below",
                ));
                return;
            }
        }
        if !any && self.below.is_empty() {
            self.nothing_below(span);
        } else if wants.corners && !any {
            self.next_corner(span);
        } else if wants.corners && !goes_on {
            self.rest_of_side(&repeat.items);
        }
    }

    /// `*sc in each st to corner, 3 sc in corner; rep from * around`: the last side, up to where the round began.
    fn rest_of_side(&mut self, items: &[Instruction]) {
        if let Some(Instruction {
            act: Act::Work(work),
            span,
        }) = items.first()
            && work.over == Over::ToCorner
            && self.below.any_left()
        {
            self.work(work, *span);
        }
    }

    fn mark(&self) -> Mark {
        Mark {
            piece: self.piece.mark(),
            below: self.below.clone(),
            overflow: self.state.overflow,
            overflow_span: self.state.overflow_span,
            last_foot: self.state.last_foot.clone(),
            problems: self.problems.len(),
            yarn: self.yarn,
            parts: self.parts.mark(),
        }
    }

    fn back_to(&mut self, mark: Mark) {
        let undone = self.piece.stitches.len() - mark.piece.stitches;
        self.budget.stitches += undone;
        self.piece.back_to(&mark.piece);
        self.below = mark.below;
        self.state.overflow = mark.overflow;
        self.state.overflow_span = mark.overflow_span;
        self.state.last_foot = mark.last_foot;
        self.state.run.clear();
        self.problems.truncate(mark.problems);
        self.yarn = mark.yarn;
        self.parts.back_to(mark.parts);
        self.state.along.clear();
    }
}

/// A point to go back to.
struct Mark {
    piece: PieceMark,
    below: Below,
    overflow: usize,
    overflow_span: Option<Span>,
    last_foot: Option<Foot>,
    problems: usize,
    yarn: Option<YarnId>,
    parts: PartsMark,
}

/// What a list takes from the round below.
#[derive(Default, Clone, Copy)]
struct Wants {
    heads: bool,
    spaces: bool,
    corners: bool,
}

impl Wants {
    fn of(items: &[Instruction]) -> Wants {
        let mut wants = Wants::default();
        for item in items {
            match &item.act {
                Act::Work(work) if work.stitch.height != Some(Height::Chain) => {
                    wants.add(work.target)
                }
                Act::Together(group) => wants.add(group.target),
                Act::Evenly(_) => wants.heads = true,
                Act::Skip {
                    target: Target::Next | Target::NextChain,
                    ..
                } => wants.heads = true,
                Act::Repeat(repeat) => {
                    let inner = Wants::of(&repeat.items);
                    wants.heads |= inner.heads;
                    wants.spaces |= inner.spaces;
                    wants.corners |= inner.corners;
                }
                _ => {}
            }
        }
        // Stitches passed over on the way to spaces are not asked for.
        wants
    }

    fn add(&mut self, target: Target) {
        match target {
            Target::Space(_) => self.spaces = true,
            Target::Corner => self.corners = true,
            Target::StitchOrChain | Target::StitchOrSpace => {
                self.heads = true;
                self.spaces = true;
            }
            Target::Same | Target::Ring | Target::NewRing => {}
            _ => self.heads = true,
        }
    }
}
