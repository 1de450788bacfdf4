//! Stitches worked, one place after another.

use super::{Hook, Ring, count_of};
use crate::fabric::along::Gap;
use crate::fabric::below::Foot;
use crate::fabric::model::{Role, StitchId};
use crate::pattern::{Act, Bare, Border, Evenly, Group, Over, StitchWord, Target, Through, Work};
use crate::source::{Problem, Span};
use crate::terms::{Form, Height, Into, Stitch as Kind};

impl Hook<'_> {
    pub(super) fn work(&mut self, work: &Work, span: Span) {
        let height = work.stitch.height.unwrap_or(self.height);
        if work.stitch.picot {
            self.picot(work, span);
            return;
        }
        if height == Height::Chain {
            self.chains(work.each, span);
            return;
        }
        if height == Height::Slip && !self.starts_horn(work) && self.closes_chain(work, span) {
            return;
        }
        let kind = Kind {
            height,
            form: work.stitch.form,
        };
        if work.bare == Bare::Apart && self.reading.apart {
            self.apart(work, height, span);
            return;
        }
        let (mut each, mut over, mut kind) = (work.each, work.over, kind);
        match (work.bare, over) {
            (Bare::After, Over::Count(n)) if self.reading.bigger => {
                over = Over::Count(1);
                match kind.form {
                    Form::Together(_) => kind.form = Form::Together(n.min(12) as u8),
                    _ => each = n,
                }
            }
            (Bare::Several, Over::Count(n)) if self.reading.many_in_one => {
                over = Over::Count(1);
                each = n;
            }
            (Bare::Same(n), _) if self.reading.same => each = n,
            _ => {}
        }
        if height != Height::Slip {
            match (work.target, over) {
                (Target::Same, _) if !self.reading.in_one => {
                    self.arrive_in_space();
                }
                (Target::Space(_), Over::Rest) => self.arrive_before_space(),
                (Target::Corner, Over::Rest) if self.below.has_bridges() => {
                    self.arrive_before_space();
                }
                _ => {}
            }
        }
        let target = match work.bare {
            Bare::InOne if self.reading.in_one => Target::Next,
            _ => work.target,
        };
        self.begin();
        if work.stitch.foundation {
            for _ in 0..each.saturating_mul(count_of(over)) {
                let foot = Foot {
                    into: Into::Chain,
                    ids: self.last_id().into_iter().collect(),
                };
                if self.push(kind, &foot, Role::Head, span).is_none() {
                    return;
                }
            }
            return;
        }
        self.state.only_slips &= height == Height::Slip;
        if self.joins_copies(work, kind, each, over, span) {
            return;
        }
        // `sc in next 11 sts`, after a stitch into a part where the piece itself has no edge yet: on along that part.
        if work.target == Target::Next
            && self.below.is_empty()
            && !self.state.in_gap
            && !self.state.into_ring
            && let Some(part) = self.state.last_part.clone()
        {
            let on = Work {
                target: Target::Part,
                through: Some(part),
                ..work.clone()
            };
            if self.along_part(&on, kind, each, span) {
                return;
            }
        }
        // `6 sc across the top`, of a tube
        let in_rounds = work.target == Target::Border(Border::Top) && !self.has_row_ends();
        if in_rounds && self.below.any_left() {
            let on = Work {
                target: Target::Next,
                ..work.clone()
            };
            self.work(&on, span);
            return;
        }
        if let Target::Border(part) = work.target {
            self.border(
                part,
                &Work {
                    each,
                    over,
                    ..work.clone()
                },
                kind,
                span,
            );
            return;
        }
        if work.target == Target::Part {
            if self.along_part(work, kind, each, span) {
                return;
            }
            // `along the side of the flap`, said of the flap itself
            if let Some(part) = work.through.as_ref().and_then(|through| through.border) {
                self.border(
                    part,
                    &Work {
                        each,
                        over,
                        ..work.clone()
                    },
                    kind,
                    span,
                );
                return;
            }
        }
        if matches!(work.target, Target::Next | Target::NextChain)
            && let Some(mut edge) = self.state.skipped.take()
        {
            self.work_edge(&mut edge, over, kind, each, span);
            self.state.skipped = Some(edge);
            return;
        }
        // `3 sc in ch` between two parts that three chains join: one in each.
        if work.target == Target::NextChain
            && over == Over::Count(1)
            && self
                .state
                .gap
                .as_ref()
                .is_some_and(|gap| gap.is_as_long_as(each))
        {
            (each, over) = (1, Over::Count(each));
        }
        // `2 sl st in the remaining ch` of a horn that has two left: one in each.
        if (work.target, over) == (Target::NextChain, Over::Rest) && self.horn_left() == each {
            each = 1;
        }
        let first_new = self.piece.stitches.len() as u32;
        // `4 sc through both layers`, with no part named or waiting: the piece's own two layers.
        if let (Some(through), Over::Count(n)) = (&work.through, over)
            && through.part.is_none()
            && !self.parts.any_ready()
            && matches!(self.below.left().checked_sub(2 * n as usize), Some(0 | 1))
            && n > 0
        {
            self.below.flat = true;
        }
        let target = if self.goes_along_horn(work) {
            Target::NextChain
        } else if target == Target::FirstChain
            && each > 2
            && self.below.is_empty()
            && self.ring == Ring::None
        {
            // `ch 4, 11 dc in first ch`: all into the first that was made.
            Target::Last
        } else {
            target
        };
        self.places(over, target, span, |hook| {
            hook.work_place(kind, each, target, work.hold, height, span)
        });
        if let Some(through) = &work.through
            && work.target != Target::Part
            && !(through.part.is_none() && self.below.flat)
        {
            let worked = first_new..self.piece.stitches.len() as u32;
            self.parts
                .join(self.piece, worked, through, span, &mut self.problems);
        }
    }

    /// `sc in each st around through both layers`, in a piece that begins with two copies of a part that are laid to each
    /// other. False if the piece has stitches of its own, or nothing of the part is there.
    fn joins_copies(&mut self, work: &Work, kind: Kind, each: u32, over: Over, span: Span) -> bool {
        let starts = self.is_first && self.below.is_empty() && work.target == Target::Next;
        let Some(through) = work.through.as_ref().filter(|t| t.part.is_some() && starts) else {
            return false;
        };
        if !self.parts.has_another(through) {
            return false;
        }
        let one = Through {
            layers: 1,
            ..through.clone()
        };
        let first_new = self.piece.stitches.len() as u32;
        let along = Work {
            target: Target::Part,
            through: Some(one.clone()),
            over,
            ..work.clone()
        };
        if !self.along_part(&along, kind, each, span) {
            return false;
        }
        let worked = first_new..self.piece.stitches.len() as u32;
        if self.parts.has_another(&one) {
            self.parts
                .join(self.piece, worked, &one, span, &mut self.problems);
        }
        true
    }

    /// `2 sc inc` read as two stitches and an increase.
    fn apart(&mut self, work: &Work, height: Height, span: Span) {
        let plain = Work {
            each: 1,
            bare: Bare::No,
            stitch: StitchWord::plain(height),
            ..work.clone()
        };
        let change = Work {
            over: Over::Count(1),
            bare: Bare::No,
            ..work.clone()
        };
        self.work(&plain, span);
        self.work(&change, span);
    }

    /// Changes at even steps, with plain stitches between them. The words leave open where, and a note says so.
    pub(super) fn evenly(&mut self, evenly: &Evenly, span: Span) {
        let height = evenly.stitch.height.unwrap_or(self.height);
        let feet = match evenly.stitch.form {
            Form::Together(n) => usize::from(n),
            _ => 1,
        };
        let times = evenly.times as usize;
        let Some(plain) = self.below.left().checked_sub(times.saturating_mul(feet)) else {
            self.missing(
                "too-few-stitches",
                span,
                &format!(
                    "{times} changes do not fit into the {} stitches below",
                    self.below.left()
                ),
            );
            return;
        };
        self.problems.push(Problem::note(
            "spread-evenly",
            span,
            "these words do not say where the changes go: read as spread at even steps from the start of the round",
        ));
        let work = |stitch, each, over| Work {
            stitch,
            each,
            over: Over::Count(over as u32),
            target: Target::Next,
            hold: evenly.hold,
            through: None,
            bare: Bare::No,
        };
        for at in 0..times {
            if self.spent() {
                return;
            }
            let between = (at + 1) * plain / times - at * plain / times;
            self.work(&work(StitchWord::plain(height), 1, between), span);
            self.work(&work(evenly.stitch, evenly.each, 1), span);
        }
    }

    /// Calls `work` for as many places as `over` says; it returns false when there is nothing more to work into.
    fn places(
        &mut self,
        over: Over,
        target: Target,
        span: Span,
        mut work: impl FnMut(&mut Self) -> bool,
    ) {
        match over {
            Over::Count(n) | Over::Whole(n) => {
                for _ in 0..n {
                    if self.spent() || !work(self) {
                        return;
                    }
                }
            }
            Over::Rest => {
                if matches!(
                    target,
                    Target::Next | Target::NextChain | Target::StitchOrChain
                ) {
                    self.turn_to_chain();
                }
                let mut any = false;
                // `in each ch across` on a chain that is worked back along: that chain alone.
                if target == Target::NextChain && self.on_horn() {
                    while self.on_horn() && !self.spent() && work(self) {}
                    return;
                }
                while self.more(target) && !self.spent() {
                    any = true;
                    if !work(self) {
                        return;
                    }
                }
                if !any && self.below.is_empty() {
                    self.nothing_below(span);
                } else if let (Target::Space(chains), false) = (target, any) {
                    self.no_space(chains, span);
                } else if let (Target::Corner, false) = (target, any) {
                    self.next_corner(span);
                }
            }
            Over::ToCorner => {
                while self.below.any_left() && !self.below.at_corner() && !self.spent() {
                    if !work(self) {
                        return;
                    }
                }
            }
            Over::ToLast(n) => {
                let n = n as usize;
                let mut left = self.below.left();
                while left > n && !self.spent() {
                    if !work(self) {
                        return;
                    }
                    left = self.below.left();
                }
            }
        }
    }

    fn more(&self, target: Target) -> bool {
        match target {
            Target::Space(None) if self.goes_into_loops() => self.below.any_left(),
            Target::Space(chains) => self.below.space_of_left(chains),
            Target::Corner => self.below.corner_left(),
            Target::StitchOrChain | Target::StitchOrSpace => self.below.anything_left(),
            Target::Ring | Target::NewRing | Target::Same => false,
            Target::Next | Target::Part if self.state.in_gap => {
                self.state.gap.as_ref().is_some_and(Gap::any_left)
            }
            Target::NextChain if self.state.gap.is_some() => {
                self.state.gap.as_ref().is_some_and(Gap::any_left)
            }
            _ => !self.state.into_ring && self.below.any_left(),
        }
    }

    /// Works a stitch `each` times into the next place. False if there is none.
    fn work_place(
        &mut self,
        kind: Kind,
        each: u32,
        target: Target,
        hold: Option<Into>,
        height: Height,
        span: Span,
    ) -> bool {
        let feet = kind.feet().max(1);
        let mut foot = match self.take(target, span) {
            Some(foot) => foot,
            None => {
                return self.past_the_end(kind, each, feet, height, span);
            }
        };
        if self.state.fixed.is_none() {
            for _ in 1..feet {
                match self.take(target, span) {
                    Some(next) => foot.ids.extend(next.ids),
                    None => {
                        self.overflow(1, span);
                        break;
                    }
                }
            }
        }
        if let Some(hold) = hold.or(self.state.hold)
            && matches!(foot.into, Into::Stitch)
        {
            foot.into = hold;
        }
        for _ in 0..each {
            if self.push(kind, &foot, Role::Head, span).is_none() {
                return false;
            }
        }
        if self.state.first_foot.is_none() {
            self.state.first_foot = Some(foot.clone());
        }
        self.state.last_foot = Some(foot);
        true
    }

    /// Places that the round below does not have: the round's own start, or nothing.
    fn past_the_end(
        &mut self,
        kind: Kind,
        each: u32,
        feet: u32,
        height: Height,
        span: Span,
    ) -> bool {
        let heads: Vec<StitchId> = match self.state.own_heads.take() {
            Some(heads) => heads,
            None => self.heads_of_round().collect(),
        };
        let own: Vec<StitchId> = heads
            .iter()
            .copied()
            .skip(self.state.past_start)
            .take(feet as usize)
            .collect();
        self.state.own_heads = Some(heads);
        let slip = height == Height::Slip && !own.is_empty() && self.state.overflow == 0;
        if own.len() == feet as usize && (self.start_moves || slip) {
            self.state.past_start += own.len();
            let foot = Foot {
                into: Into::Stitch,
                ids: own,
            };
            let role = if slip && !self.start_moves {
                Role::Close
            } else {
                Role::Head
            };
            for _ in 0..each {
                if self.push(kind, &foot, role, span).is_none() {
                    return false;
                }
            }
            self.state.last_foot = Some(foot);
            return true;
        }
        self.overflow(feet as usize, span);
        // The stitches are made all the same, so that the round's own count can be judged.
        let foot = Foot {
            into: Into::Stitch,
            ids: self.below.ids().next_back().into_iter().collect(),
        };
        for _ in 0..each {
            if self.push(kind, &foot, Role::Head, span).is_none() {
                return false;
            }
        }
        true
    }

    pub(super) fn together(&mut self, group: &Group, span: Span) {
        let mut starts = false;
        match (group.target, group.over) {
            (Target::Same, _) => starts = self.arrive_in_space(),
            (Target::Space(_), Over::Rest) => self.arrive_before_space(),
            _ => {}
        }
        // `sl st in next sp, (ch 3, 2 dc) in same sp`: its chain starts the round.
        let chain = matches!(group.items.first().map(|item| &item.act), Some(Act::Work(work))
            if work.stitch.height == Some(Height::Chain) && !work.stitch.picot);
        let from = (starts && chain).then(|| self.below.position());
        if from.is_some() {
            self.state.stands_on = from;
        } else {
            self.begin();
            self.state.only_slips = false;
        }
        self.places(group.over, group.target, span, |hook| {
            let Some(mut foot) = hook.take(group.target, span) else {
                hook.overflow(1, span);
                return false;
            };
            if let Some(hold) = group.hold.or(hook.state.hold)
                && foot.into == Into::Stitch
            {
                foot.into = hold;
            }
            let outer = hook.state.fixed.replace(foot.clone());
            hook.list(&group.items);
            hook.state.fixed = outer;
            hook.state.last_foot = Some(foot);
            hook.state.started = true;
            true
        });
        if let Some(from) = from {
            self.state.only_slips = false;
            self.state.stands_on = None;
            self.below.move_to(from.max(self.below.position()));
        }
    }
}
