//! One round, stitch by stitch.

use std::collections::BTreeMap;

use super::along::Gap;
use super::below::{Below, Foot};
use super::model::{NewStitch, Piece, Role, Step, StepKind, StitchId, YarnId};
use super::parts::{PartEdge, Parts};
use super::reading::Reading;
use crate::pattern::{
    Act, Bare, Evenly, Group, Instruction, Over, Repeat, StitchWord, Target, Times, Work,
};
use crate::source::{Problem, Span};
use crate::terms::{Form, Height, Into, Stitch as Kind};

/// The hook at work on one round of a piece.
pub(super) struct Hook<'a> {
    pub piece: &'a mut Piece,
    pub below: Below,
    pub reading: Reading,
    pub yarn: Option<YarnId>,
    pub yarns: &'a mut dyn FnMut(&str, Span) -> Option<YarnId>,
    pub parts: &'a mut Parts,
    /// Stitches and actions that may still be made in the whole pattern.
    pub budget: Budget,
    pub problems: Vec<Problem>,
    /// The height of stitches that the words leave open.
    pub height: Height,
    /// What the start of a round of chains means: `Some` where the words say.
    pub start_counts: Option<(bool, u32)>,
    /// The first round of the piece, with nothing below.
    pub is_first: bool,
    /// The words say later in this round that its start moves.
    pub start_moves: bool,
    /// What follows a chain at the start of the round.
    pub start: StartChain,
    /// Rings that are open to work into.
    pub ring: Ring,
    pub(super) state: State,
}

/// What the words after a chain at the start of a round make of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum StartChain {
    /// Nothing is said: a first round starts from it, a later one is lifted by it.
    #[default]
    Unclear,
    /// The stitches go into a ring: it lifts or stands for a stitch.
    BeforeRing,
    /// Stitches are skipped after it: it bridges them.
    Bridges,
}

/// A ring to work into.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) enum Ring {
    #[default]
    None,
    Magic,
    /// A chain closed into a ring.
    Chains(Vec<StitchId>),
}

/// What may still be worked before the limits end it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Budget {
    pub stitches: usize,
    pub actions: usize,
}

#[derive(Default)]
pub(super) struct State {
    /// The chains made last, whatever was worked after them.
    pub(super) last_chains: Vec<StitchId>,
    /// The chain between two parts.
    pub(super) gap: Option<Gap>,
    /// How far the edges of parts have been worked along, by part and copy.
    pub(super) along: BTreeMap<(usize, u32), usize>,
    /// The other side of that chain is what is worked into.
    pub(super) in_gap: bool,
    /// What the piece before passed over is what is worked into.
    pub(super) skipped: Option<PartEdge>,
    hold: Option<Into>,
    into_ring: bool,
    /// A repeat has been worked once.
    repeated: bool,
    /// Where the first stitch of the round went.
    first_foot: Option<Foot>,
    last_foot: Option<Foot>,
    /// Past the place at which a yarn was joined at the start, until something is worked into it.
    stands_on: Option<usize>,
    /// The earlier round whose loops are worked into.
    into_round: Option<u32>,
    fixed: Option<Foot>,
    /// Chains just made, one after another.
    run: Vec<StitchId>,
    /// Something other than chains at the start has been worked.
    started: bool,
    any_stitch: bool,
    /// A chain at the start stands for the first stitch, and nothing has been worked since.
    stood: bool,
    /// All that has been worked so far are slip stitches that may only move the hook along.
    only_slips: bool,
    start_done: bool,
    /// Places asked for after the round below was used up.
    overflow: usize,
    /// Stitches worked into this round's own start.
    past_start: usize,
    /// The round's heads as they were when the round below was used up.
    own_heads: Option<Vec<StitchId>>,
    new_start: bool,
    closed: bool,
    turned: bool,
    leaves_rest: bool,
    laces: bool,
    /// Words of the first place that was not there.
    overflow_span: Option<Span>,
}

/// How a round came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Outcome {
    /// Places of the round below that were not used, where all should be.
    pub left: usize,
    /// Places asked for that were not there.
    pub overflow: usize,
    pub overflow_span: Option<Span>,
    pub closed: bool,
    pub turned: bool,
}

impl Hook<'_> {
    pub fn run(&mut self, items: &[Instruction]) -> Outcome {
        self.list(items);
        self.finish()
    }

    #[allow(clippy::too_many_arguments)]
    pub fn new<'a>(
        piece: &'a mut Piece,
        below: Below,
        reading: Reading,
        yarn: Option<YarnId>,
        yarns: &'a mut dyn FnMut(&str, Span) -> Option<YarnId>,
        parts: &'a mut Parts,
        budget: Budget,
    ) -> Hook<'a> {
        Hook {
            piece,
            below,
            reading,
            yarn,
            yarns,
            parts,
            budget,
            problems: Vec::new(),
            height: Height::Single,
            start_counts: None,
            is_first: false,
            start_moves: false,
            start: StartChain::Unclear,
            ring: Ring::None,
            state: State {
                only_slips: true,
                ..State::default()
            },
        }
    }

    fn list(&mut self, items: &[Instruction]) {
        match items.iter().position(is_loose) {
            Some(at) if self.reading.of_all => {
                self.list_of_all(items, at);
                self.items(&items[at + 1..]);
            }
            _ => self.items(items),
        }
    }

    /// `sc, inc x 6` read as six times all of the list up to the number.
    fn list_of_all(&mut self, items: &[Instruction], at: usize) {
        let Act::Repeat(Repeat {
            items: last,
            times: Times::Loose(n),
            ..
        }) = &items[at].act
        else {
            return;
        };
        for _ in 0..*n {
            if self.spent() {
                return;
            }
            self.items(&items[..at]);
            self.items(last);
        }
    }

    fn items(&mut self, items: &[Instruction]) {
        for (at, item) in items.iter().enumerate() {
            if self.spent() {
                return;
            }
            match &item.act {
                Act::Repeat(repeat) => {
                    let goes_on = items[at + 1..].iter().any(|item| item.act.is_worked());
                    self.repeat(repeat, goes_on, item.span);
                }
                _ => self.act(item),
            }
        }
    }

    pub(super) fn spent(&mut self) -> bool {
        if self.budget.actions == 0 {
            return true;
        }
        self.budget.actions -= 1;
        false
    }

    fn act(&mut self, item: &Instruction) {
        match &item.act {
            Act::Work(work) => self.work(work, item.span),
            Act::Together(group) => self.together(group, item.span),
            // A list hands its repeats on with what follows them.
            Act::Repeat(repeat) => self.repeat(repeat, false, item.span),
            Act::Evenly(evenly) => self.evenly(evenly, item.span),
            Act::Skip { over, target } => self.skip(*over, *target, item.span),
            Act::StartAt(target) => self.start_at(*target, item.span),
            Act::IntoRound { number, hold } => {
                self.go_to_round(*number, item.span);
                self.state.hold = *hold;
            }
            Act::MagicRing => {
                self.ring = Ring::Magic;
                self.state.into_ring = true;
            }
            Act::Close => self.close(item.span),
            Act::Turn => {
                self.end_run_as_lift();
                // A turn before the first stitch has been seen to already.
                self.state.turned ^= self.state.any_stitch;
            }
            Act::Hold(hold) => self.state.hold = *hold,
            Act::Yarn(name) => self.yarn = (self.yarns)(&name.value, name.span),
            Act::Step(kind) => self.step(*kind, item.span),
            Act::OtherSide => self.other_side(),
            Act::NewStart => self.state.new_start = true,
            Act::LeaveRest => self.state.leaves_rest = true,
            Act::StartCounts { .. } | Act::AsRounds { .. } | Act::Unread => {}
        }
    }

    fn step(&mut self, kind: StepKind, span: Span) {
        match kind {
            StepKind::FastenOff => self.state.leaves_rest = true,
            StepKind::Flatten => self.below.flat = true,
            _ => {}
        }
        self.piece.steps.push(Step {
            kind,
            after_round: self.piece.rounds.len() as u32,
            after: self
                .piece
                .stitches
                .len()
                .checked_sub(1)
                .map(|i| StitchId(i as u32)),
            span,
        });
    }

    // ---- stitches ----

    pub(super) fn push(
        &mut self,
        kind: Kind,
        foot: &Foot,
        role: Role,
        span: Span,
    ) -> Option<StitchId> {
        if self.budget.stitches == 0 {
            self.budget.actions = 0;
            return None;
        }
        self.budget.stitches -= 1;
        let new = NewStitch {
            kind,
            into: foot.into,
            role,
            yarn: self.yarn,
            span,
        };
        Some(self.piece.work(new, &foot.ids))
    }

    fn last_id(&self) -> Option<StitchId> {
        self.piece
            .stitches
            .len()
            .checked_sub(1)
            .map(|i| StitchId(i as u32))
    }

    fn work(&mut self, work: &Work, span: Span) {
        let height = work.stitch.height.unwrap_or(self.height);
        if work.stitch.picot {
            self.picot(work, span);
            return;
        }
        if height == Height::Chain {
            self.chains(work.each, span);
            return;
        }
        if height == Height::Slip && self.closes_chain(work, span) {
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
        if work.target == Target::Part && self.along_part(work, kind, each, span) {
            return;
        }
        if matches!(work.target, Target::Next | Target::NextChain)
            && let Some(mut edge) = self.state.skipped.take()
        {
            self.work_edge(&mut edge, over, kind, each, span);
            self.state.skipped = Some(edge);
            return;
        }
        let first_new = self.piece.stitches.len() as u32;
        // `4 sc through both layers`, with no part named or waiting: the piece's own two layers.
        if let (Some(through), Over::Count(n)) = (&work.through, over)
            && through.part.is_none()
            && !self.parts.any_ready()
            && self.below.left() == 2 * n as usize
        {
            self.below.flat = true;
        }
        self.places(over, work.target, span, |hook| {
            hook.work_place(kind, each, work.target, work.hold, height, span)
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
    fn evenly(&mut self, evenly: &Evenly, span: Span) {
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
            Target::Space(chains) => self.below.space_of_left(chains),
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

    fn heads_of_round(&self) -> impl Iterator<Item = StitchId> + '_ {
        let round = self.piece.rounds.last();
        let range = round.map_or(0..0, |r| r.stitches.clone());
        range
            .map(StitchId)
            .filter(|&id| self.piece.stitch(id).role == Role::Head)
    }

    fn overflow(&mut self, places: usize, span: Span) {
        self.state.overflow += places;
        self.state.overflow_span.get_or_insert(span);
    }

    fn nothing_below(&mut self, span: Span) {
        // A later round with nothing below follows one that could not be worked: that has been said.
        if self.is_first && !self.problems.iter().any(|p| p.code == "nothing-below") {
            self.problems.push(
                Problem::error("nothing-below", span, "there is nothing here yet to work into")
                    .help("start with a magic ring (`6 sc in MR`) or a chain (`ch 2, 6 sc in 2nd ch from hook`)"),
            );
        }
    }

    /// The place that a target names; `None` if it is not there (a problem, except for running out of stitches).
    fn take(&mut self, target: Target, span: Span) -> Option<Foot> {
        if let Some(fixed) = &self.state.fixed {
            return Some(fixed.clone());
        }
        match target {
            Target::Next | Target::Part => {
                if self.state.in_gap
                    && let Some(foot) = self.take_gap()
                {
                    return Some(foot);
                }
                if self.state.into_ring {
                    return Some(self.ring_foot());
                }
                if self.below.is_empty() && self.is_first && !self.chains_wait() {
                    return self.assumed_ring(span);
                }
                self.turn_to_chain();
                self.below.next()
            }
            Target::NextChain if self.state.gap.as_ref().is_some_and(Gap::any_left) => {
                self.take_gap()
            }
            Target::Skipped => self.below.next(),
            Target::NextChain => {
                self.turn_to_chain();
                self.below.next_chain().or_else(|| self.below.next())
            }
            Target::StitchOrChain => {
                self.turn_to_chain();
                self.below.next_of_all()
            }
            Target::StitchOrSpace => {
                self.state.laces = true;
                self.below.next_or_space()
            }
            Target::Space(chains) => {
                self.state.laces = true;
                let space = self.below.next_space(chains);
                if space.is_some() {
                    return space;
                }
                if self.ring != Ring::None {
                    return Some(self.ring_foot());
                }
                self.no_space(chains, span);
                Some(Foot {
                    into: Into::Space,
                    ids: Vec::new(),
                })
            }
            Target::Same => {
                self.leave_start();
                match &self.state.last_foot {
                    Some(foot) => Some(foot.clone()),
                    None => self.below.next(),
                }
            }
            Target::NewRing => {
                self.ring = Ring::Magic;
                self.state.into_ring = true;
                Some(self.ring_foot())
            }
            Target::Ring => {
                if self.ring == Ring::None {
                    if !self.is_first {
                        self.missing("no-ring", span, "there is no ring here to work into");
                    }
                    self.ring = Ring::Magic;
                }
                self.state.into_ring = true;
                Some(self.ring_foot())
            }
            Target::FromHook(n) => self.chain_from_hook(n, span),
            Target::FirstChain => {
                self.turn_to_chain();
                self.below.first()
            }
            // In a repeat, `first st` is the first of each time.
            Target::First if self.state.repeated && self.state.fixed.is_none() => self.below.next(),
            Target::First => match &self.state.first_foot {
                Some(foot) => Some(foot.clone()),
                None => self.below.first(),
            },
            Target::Last => {
                self.turn_to_chain();
                self.below.last()
            }
            Target::Earlier(number) => self.earlier(number, span),
            Target::Deeper(rounds) => self.deeper(rounds, span),
        }
    }

    fn no_space(&mut self, chains: Option<u32>, span: Span) {
        let other = chains.filter(|_| self.below.space_left());
        let message = match other {
            Some(n) => format!(
                "there is no space of {n} chains left here to work into, only spaces of other sizes"
            ),
            None => "there is no chain space here to work into".to_owned(),
        };
        self.missing("no-space", span, &message);
    }

    fn missing(&mut self, code: &'static str, span: Span, message: &str) {
        if !self.problems.iter().any(|p| p.code == code) {
            self.problems.push(Problem::error(code, span, message));
        }
    }

    fn ring_foot(&self) -> Foot {
        let ids = match &self.ring {
            Ring::Chains(ids) => ids.clone(),
            _ => Vec::new(),
        };
        Foot {
            into: Into::Ring,
            ids,
        }
    }

    /// The first round says only how many stitches: they go into a magic ring.
    fn assumed_ring(&mut self, span: Span) -> Option<Foot> {
        self.problems.push(
            Problem::warning(
                "ring-assumed",
                span,
                "these words do not say what the first round is worked into: read as a magic ring",
            )
            .help("say so: `6 sc in MR`"),
        );
        self.ring = Ring::Magic;
        self.state.into_ring = true;
        Some(self.ring_foot())
    }

    // ---- chains ----

    fn chains(&mut self, n: u32, span: Span) {
        let at_start = !self.state.started || self.state.only_slips && !self.state.start_done;
        if at_start
            && self.is_first
            && self.below.is_empty()
            && self.ring == Ring::None
            && self.start != StartChain::BeforeRing
            && self.state.run.is_empty()
        {
            self.push_chains(n, Role::Foundation, span);
            return;
        }
        if at_start && !self.state.start_done && self.start != StartChain::Bridges {
            self.start_chain(n, span);
            return;
        }
        self.state.started = true;
        self.push_chains(n, Role::Bridge, span);
    }

    /// A chain grows from the stitch before it.
    fn grown_from_last(&self) -> Foot {
        Foot {
            into: Into::Chain,
            ids: self.last_id().into_iter().collect(),
        }
    }

    fn push_chains(&mut self, n: u32, role: Role, span: Span) {
        for _ in 0..n {
            if self.spent() {
                return;
            }
            let foot = self.grown_from_last();
            let Some(id) = self.push(Kind::plain(Height::Chain), &foot, role, span) else {
                return;
            };
            self.state.run.push(id);
        }
        self.state.last_chains = self.state.run.clone();
    }

    /// The chain at the start of a round or row: it only lifts the hook, or stands for a stitch.
    fn start_chain(&mut self, n: u32, span: Span) {
        self.state.start_done = true;
        let travelled = self.travel() || self.state.stands_on.is_some();
        let custom = n >= 3;
        let (counts, bridge) = self
            .start_counts
            .unwrap_or((custom != (self.reading.start_the_other_way && n > 1), 0));
        if !counts {
            // A space that was travelled to is still there where the chain only lifts.
            if travelled && self.below.starts_with_space() {
                self.below.move_to(0);
            }
            self.push_chains(n, Role::Lift, span);
            self.state.run.clear();
            return;
        }
        self.leave_start();
        let lift = n.saturating_sub(bridge).max(1);
        // A chain that was joined is a ring only for what says so; else its chains are the round below.
        let in_ring = self.state.into_ring || self.ring == Ring::Magic || self.below.is_empty();
        if in_ring || self.start == StartChain::BeforeRing {
            self.state.last_foot = Some(self.ring_foot());
        } else if !travelled {
            self.state.last_foot = self.below.next();
        }
        // The chain stands for a stitch, so it grows from where that stitch would be worked.
        let first = self.piece.stitches.len();
        for at in 0..lift {
            let foot = match &self.state.last_foot {
                Some(foot) if at == 0 => foot.clone(),
                _ => self.grown_from_last(),
            };
            let role = if at + 1 < lift {
                Role::Stand
            } else {
                Role::Head
            };
            self.push(Kind::plain(Height::Chain), &foot, role, span);
        }
        if first == self.piece.stitches.len() {
            return;
        }
        self.state.run.clear();
        self.state.started = true;
        self.state.stood = true;
        self.state.only_slips = false;
        if bridge > 0 {
            self.push_chains(n - lift, Role::Bridge, span);
        }
    }

    /// Slip stitches before the starting chain only moved the hook. True if there were any.
    fn travel(&mut self) -> bool {
        if !self.state.started || !self.state.only_slips {
            return false;
        }
        let Some(round) = self.piece.rounds.last() else {
            return false;
        };
        let mut any = false;
        for id in round.stitches.clone() {
            let stitch = &mut self.piece.stitches[id as usize];
            if stitch.role == Role::Head && stitch.kind.height == Height::Slip {
                stitch.role = Role::Travel;
                any = true;
            }
        }
        if any {
            let from = self.below.last_taken();
            self.below.start_at(from);
            self.state.started = false;
        }
        any
    }

    /// A stitch other than a chain follows: what was left open about chains before it is settled.
    fn begin(&mut self) {
        self.state.started = true;
        self.state.any_stitch = true;
        self.state.stood = false;
        self.state.run.clear();
    }

    /// Chains of this round wait to be worked along.
    fn chains_wait(&self) -> bool {
        self.is_first
            && self.piece.rounds.last().is_some_and(|round| {
                round
                    .stitches
                    .clone()
                    .any(|id| self.piece.stitches[id as usize].role == Role::Foundation)
            })
    }

    /// The first stitch after a starting chain: the chain is what is worked into.
    fn turn_to_chain(&mut self) {
        if self.below.is_empty() && self.chains_wait() && !self.state.into_ring {
            let mut chain = self.foundation();
            // Closed to a ring the chain is worked in its own order, else back along it.
            if self.ring == Ring::None {
                chain.reverse();
            }
            let flags = (self.below.chains_are_stitches, self.below.flat);
            self.below = Below::new(self.piece, &chain);
            (self.below.chains_are_stitches, self.below.flat) = flags;
        }
    }

    fn foundation(&self) -> Vec<StitchId> {
        let range = self
            .piece
            .rounds
            .last()
            .map_or(0..0, |round| round.stitches.clone());
        range
            .map(StitchId)
            .filter(|&id| self.piece.stitch(id).role == Role::Foundation)
            .collect()
    }

    /// `6 sc in 2nd ch from hook` with no chain made: just as many chains as that takes.
    fn assumed_chain(&mut self, n: u32, span: Span) {
        const LONGEST: u32 = 6;
        if n > LONGEST {
            return;
        }
        self.problems.push(
            Problem::warning(
                "chain-assumed",
                span,
                "these words do not say that a chain is made first: read as if they did",
            )
            .help(format!("say so: `ch {n}, …`")),
        );
        self.push_chains(n, Role::Foundation, span);
        self.turn_to_chain();
    }

    /// `in 2nd ch from hook`: the starting chain, or the chains just made.
    fn chain_from_hook(&mut self, n: u32, span: Span) -> Option<Foot> {
        self.turn_to_chain();
        let skipped = n.saturating_sub(1) as usize;
        if self.is_first && self.piece.stitches.is_empty() {
            self.assumed_chain(n, span);
        }
        if self.below.len() <= skipped {
            let found = self.below.len();
            self.missing(
                "too-few-stitches",
                span,
                &format!("chain {n} from the hook is asked for, but the chain has {found}"),
            );
            return self.below.last();
        }
        let lift: Vec<StitchId> = self.below.ids().take(skipped).collect();
        self.below.move_to(skipped);
        let foot = self.below.next()?;
        if self.is_first {
            let custom = skipped >= 3;
            let counts = self
                .start_counts
                .map_or(custom != self.reading.start_the_other_way, |(counts, _)| {
                    counts
                });
            for (place, id) in lift.iter().enumerate() {
                // The first chain from the hook is the head of the stitch that the skipped chains stand for.
                let head = counts && place == 0;
                self.piece.stitches[id.index()].role = if head { Role::Head } else { Role::Lift };
            }
        }
        Some(foot)
    }

    /// On along the other side of the starting chain, back from where the hook is.
    fn other_side(&mut self) {
        if self.turn_gap() || self.state.skipped.is_some() {
            return;
        }
        let chain: Vec<StitchId> = self.below.ids().collect();
        let at = self.below.position();
        let mut back: Vec<StitchId> = chain[..at.min(chain.len())].iter().rev().copied().collect();
        // Chains that only lifted the hook have no other side to work into, and the last was worked all round.
        back.retain(|&id| self.piece.stitch(id).role != Role::Lift);
        self.below = Below::new(self.piece, back.get(1..).unwrap_or_default());
        self.state.laces = true;
    }

    /// Loops that an earlier round left free.
    fn earlier(&mut self, number: u32, span: Span) -> Option<Foot> {
        self.go_to_round(number, span);
        self.below.next()
    }

    /// Under the next stitch, so many rounds further down.
    fn deeper(&mut self, rounds: u32, span: Span) -> Option<Foot> {
        let mut foot = self.take(Target::Next, span)?;
        for _ in 0..rounds {
            let Some(&under) = foot.ids.first().and_then(|&id| self.piece.feet(id).first()) else {
                break;
            };
            foot.ids = vec![under];
        }
        Some(foot)
    }

    /// From here on the edge of an earlier round is what is worked into.
    fn go_to_round(&mut self, number: u32, span: Span) {
        if self.state.into_round == Some(number) {
            return;
        }
        let rounds = self.piece.rounds.iter().rev().skip(1);
        match rounds.into_iter().find(|r| r.number == number) {
            Some(round) => {
                let edge = round.edge.clone();
                self.below = Below::new(self.piece, &edge);
                self.state.into_round = Some(number);
            }
            None => self.missing(
                "round-unknown",
                span,
                &format!("there is no round {number} above to work into"),
            ),
        }
    }

    /// A yarn is joined with a slip stitch: the round starts at that place, which is still there to work into.
    fn start_at(&mut self, target: Target, span: Span) {
        if self.state.started {
            return;
        }
        if target == Target::Skipped {
            self.state.skipped = self.parts.left_by_the_piece_before();
            if self.state.skipped.is_none() {
                self.missing(
                    "nothing-skipped",
                    span,
                    "the piece before this one left no stitches to join to",
                );
                self.state.skipped = Some(PartEdge::nothing());
            }
            return;
        }
        let Some(foot) = self.take(target, span) else {
            return;
        };
        self.push(Kind::plain(Height::Slip), &foot, Role::Travel, span);
        let from = self.below.last_taken();
        self.below.start_at(from);
        self.state.stands_on = Some(self.below.position());
        self.below.move_to(0);
        self.state.last_foot = Some(foot);
    }

    /// Uses up the place at which the yarn was joined. True if the round starts from one.
    fn leave_start(&mut self) -> bool {
        match self.state.stands_on.take() {
            Some(after) => {
                self.below.move_to(after.max(self.below.position()));
                true
            }
            None => false,
        }
    }

    /// A slip stitch that closes chains: into a ring at the start, or into a picot.
    fn closes_chain(&mut self, work: &Work, span: Span) -> bool {
        let n = match work.target {
            Target::FirstChain => self.state.run.len() as u32,
            Target::FromHook(n) => n,
            Target::Same if !self.state.run.is_empty() && self.state.started => {
                let foot = Foot {
                    into: Into::Stitch,
                    ids: self
                        .state
                        .run
                        .first()
                        .map(|id| StitchId(id.0.saturating_sub(1)))
                        .into_iter()
                        .collect(),
                };
                self.close_picot(&foot, span);
                return true;
            }
            _ => return false,
        };
        let run = self.state.run.len() as u32;
        if run == 0 || n == 0 || n > run {
            return false;
        }
        let foundation = self
            .state
            .run
            .iter()
            .all(|&id| self.piece.stitch(id).role == Role::Foundation);
        let target = self.state.run[(run - n) as usize];
        if foundation {
            if n != run {
                return false;
            }
            self.close_ring(target, span);
        } else {
            self.close_picot(
                &Foot {
                    into: Into::Chain,
                    ids: vec![target],
                },
                span,
            );
        }
        true
    }

    fn close_ring(&mut self, target: StitchId, span: Span) {
        let chain = std::mem::take(&mut self.state.run);
        let foot = Foot {
            into: Into::Chain,
            ids: vec![target],
        };
        self.push(Kind::plain(Height::Slip), &foot, Role::Close, span);
        self.ring = Ring::Chains(chain);
        self.state.closed = true;
        self.state.started = false;
    }

    fn close_picot(&mut self, foot: &Foot, span: Span) {
        for id in std::mem::take(&mut self.state.run) {
            self.piece.stitches[id.index()].role = Role::Picot;
        }
        self.push(Kind::plain(Height::Slip), foot, Role::Picot, span);
    }

    fn picot(&mut self, work: &Work, span: Span) {
        let count = count_of(work.over);
        for _ in 0..count {
            if self.spent() {
                return;
            }
            self.state.run.clear();
            self.push_chains(work.each.max(1), Role::Picot, span);
            if let Some(&first) = self.state.run.first() {
                self.close_picot(
                    &Foot {
                        into: Into::Chain,
                        ids: vec![first],
                    },
                    span,
                );
            }
        }
    }

    fn end_run_as_lift(&mut self) {
        for id in std::mem::take(&mut self.state.run) {
            let stitch = &mut self.piece.stitches[id.index()];
            if stitch.role == Role::Bridge {
                stitch.role = Role::Lift;
            }
        }
    }

    // ---- ends of rounds ----

    fn close(&mut self, span: Span) {
        let chain = self.foundation();
        if self.is_first && !self.state.started && !chain.is_empty() && self.ring == Ring::None {
            self.close_ring(chain[0], span);
            return;
        }
        // A picot just before the joining stitch is closed by its own words; an open run is a space.
        let first = self.heads_of_round().next();
        let foot = Foot {
            into: Into::Stitch,
            ids: first.into_iter().collect(),
        };
        self.push(Kind::plain(Height::Slip), &foot, Role::Close, span);
        self.state.closed = true;
        self.state.run.clear();
    }

    fn finish(&mut self) -> Outcome {
        let moved = self.state.past_start;
        // Lace passes over stitches on its way from space to space.
        let may_leave = self.state.leaves_rest || self.state.into_ring || self.state.laces;
        let left = if may_leave { 0 } else { self.below.left() };
        let Some(place) = self.piece.rounds.len().checked_sub(1) else {
            return Outcome {
                left: 0,
                overflow: 0,
                overflow_span: None,
                closed: false,
                turned: false,
            };
        };
        let stitches = self.piece.rounds[place].stitches.clone();
        let has_heads = stitches
            .clone()
            .any(|id| self.piece.stitches[id as usize].role == Role::Head);
        let mut edge: Vec<StitchId> = stitches
            .map(StitchId)
            .filter(|&id| match self.piece.stitch(id).role {
                Role::Head | Role::Bridge => true,
                Role::Foundation => !has_heads,
                _ => false,
            })
            .collect();
        if self.state.new_start && moved > 0 && moved <= edge.len() {
            edge.drain(..moved);
        }
        let round = &mut self.piece.rounds[place];
        round.edge = edge;
        round.closed = self.state.closed;
        Outcome {
            left,
            overflow: self.state.overflow,
            overflow_span: self.state.overflow_span,
            closed: self.state.closed,
            turned: self.state.turned,
        }
    }

    // ---- groups ----

    fn together(&mut self, group: &Group, span: Span) {
        self.begin();
        self.state.only_slips = false;
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
    }

    /// Works a list several times; `goes_on` says that stitches are worked after it.
    fn repeat(&mut self, repeat: &Repeat, goes_on: bool, span: Span) {
        let last = repeat.last_stops_after.unwrap_or(repeat.items.len());
        let last_items = &repeat.items[..last.min(repeat.items.len())];
        let times = match repeat.times {
            Times::Exactly(n) | Times::Loose(n) => n,
            Times::Unsure(n) => n + u32::from(self.reading.times_more),
            Times::Around => return self.repeat_around(repeat, last_items, 0, goes_on, span),
            Times::ToLast(left) => {
                return self.repeat_around(repeat, last_items, left as usize, goes_on, span);
            }
        };
        for time in 0..times {
            if self.spent() {
                return;
            }
            let is_last = time + 1 == times;
            self.list(if is_last { last_items } else { &repeat.items });
            self.state.repeated = true;
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
        let wants = Wants::of(&repeat.items);
        let mut any = false;
        loop {
            let heads = wants.heads
                && if keep == 0 {
                    self.below.any_left()
                } else {
                    self.below.left() > keep
                };
            let spaces = wants.spaces && self.below.space_left();
            if !(heads || spaces) || self.spent() {
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

    fn skip(&mut self, over: Over, target: Target, span: Span) {
        let take = |hook: &mut Self| match target {
            Target::Space(n) => hook.below.next_space(n).is_some(),
            Target::NextChain => hook.below.next_chain().is_some(),
            _ => {
                hook.turn_to_chain();
                hook.below.next().is_some()
            }
        };
        let n = match over {
            Over::Count(n) | Over::Whole(n) => n,
            Over::Rest => {
                self.state.leaves_rest = true;
                return;
            }
            Over::ToLast(n) => (self.below.left() as u32).saturating_sub(n),
        };
        // After a chain that stands for the first stitch, `skip first st` only says so.
        if target == Target::First && self.state.stood && self.below.position() > 0 {
            return;
        }
        for _ in 0..n {
            if self.spent() {
                return;
            }
            if !take(self) {
                self.overflow(1, span);
                return;
            }
        }
    }
}

fn is_loose(item: &Instruction) -> bool {
    matches!(&item.act, Act::Repeat(repeat) if matches!(repeat.times, Times::Loose(_)))
}

/// A point to go back to.
struct Mark {
    piece: super::model::PieceMark,
    below: Below,
    overflow: usize,
    overflow_span: Option<Span>,
    last_foot: Option<Foot>,
    problems: usize,
    yarn: Option<YarnId>,
    parts: super::parts::PartsMark,
}

/// What a list takes from the round below.
#[derive(Default, Clone, Copy)]
struct Wants {
    heads: bool,
    spaces: bool,
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
            Target::StitchOrChain | Target::StitchOrSpace => {
                self.heads = true;
                self.spaces = true;
            }
            Target::Same | Target::Ring | Target::NewRing => {}
            _ => self.heads = true,
        }
    }
}

fn count_of(over: Over) -> u32 {
    match over {
        Over::Count(n) | Over::Whole(n) => n,
        Over::Rest | Over::ToLast(_) => 1,
    }
}
