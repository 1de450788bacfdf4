//! One round, stitch by stitch.

mod border;
mod chains;
mod horn;
mod kinds;
mod places;
mod repeats;
mod stitches;

use std::collections::{BTreeMap, VecDeque};

use self::border::edge_and_corners;
use self::kinds::every_kind;
use super::along::Gap;
use super::below::{Below, Foot};
use super::edging::Edging;
use super::model::{Join, NewStitch, Piece, Role, Step, StepKind, StitchId, YarnId};
use super::parts::{PartEdge, Parts};
use super::reading::Reading;
use crate::pattern::{
    self, Act, Bare, Instruction, Over, PartSide, Repeat, Target, Through, Times,
};
use crate::source::{Problem, Span};
use crate::terms::{Height, Into, Stitch as Kind};

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
    /// Chains at the hook that are passed over where custom leaves that unsaid.
    pub turning: usize,
    /// The first stitch of the round goes along what is there.
    pub along_chain: bool,
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

/// Stitches worked into the loops of another piece.
#[derive(Debug, Clone)]
struct OnLoops {
    of: PartEdge,
    span: Span,
    worked: Vec<(StitchId, Vec<StitchId>)>,
}

#[derive(Default)]
pub(super) struct State {
    /// The chains made last, whatever was worked after them.
    pub(super) last_chains: Vec<StitchId>,
    /// The chain between two parts.
    pub(super) gap: Option<Gap>,
    /// How far the edges of parts have been worked along, by part and copy.
    pub(super) along: BTreeMap<(usize, u32), usize>,
    /// The part that was worked into last.
    pub(super) last_part: Option<Through>,
    /// The edge of rows that is worked along.
    edging: Option<Edging>,
    /// The other side of that chain is what is worked into.
    pub(super) in_gap: bool,
    /// Chains at the far end that the first side did not reach.
    far_end_left: usize,
    /// The chain's other side is what is worked into.
    back_along_chain: bool,
    /// What the piece before passed over is what is worked into.
    pub(super) skipped: Option<PartEdge>,
    hold: Option<Into>,
    /// Chains of this round that are still to be worked back along.
    horn: Vec<StitchId>,
    /// Places of the round below that were passed over last.
    passed: VecDeque<usize>,
    /// What comes next goes into chains.
    chains_follow: bool,
    /// How many stitches that name no place of their own come next, up to the end of each act: a bit for each number. Only
    /// where a horn begins or is worked along.
    bare_ahead: u64,
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
    /// It is a round of an earlier piece, and these stitches have been worked into its loops.
    on_loops: Option<OnLoops>,
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
            turning: 0,
            along_chain: false,
            ring: Ring::None,
            state: State {
                only_slips: true,
                ..State::default()
            },
        }
    }

    fn list(&mut self, items: &[Instruction]) {
        match items
            .iter()
            .position(|item| is_loose(item) || is_of_list(item))
        {
            Some(at) if self.reading.around && is_of_list(&items[at]) => {
                self.list_around(&items[..=at]);
                self.items(&items[at + 1..]);
            }
            Some(at) if self.reading.of_all && is_loose(&items[at]) => {
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
        let from = pattern::start_of_repeat(items).min(at);
        self.items(&items[..from]);
        for _ in 0..*n {
            if self.spent() {
                return;
            }
            self.items(&items[from..at]);
            self.items(last);
        }
    }

    /// `sc, hdc around` read as all of the list, around.
    fn list_around(&mut self, items: &[Instruction]) {
        let from = pattern::start_of_repeat(items);
        self.items(&items[..from]);
        let around = pattern::list_around(&items[from..]);
        self.items(std::slice::from_ref(&around));
    }

    fn items(&mut self, items: &[Instruction]) {
        let mut taken = 0;
        for (at, item) in items.iter().enumerate() {
            if self.spent() {
                return;
            }
            if at < taken {
                continue;
            }
            if let Some((along, corner)) = edge_and_corners(&items[at..]) {
                self.around_with_corners(along, corner, item.span);
                taken = at + 2;
                continue;
            }
            if let Some(kinds) = every_kind(&items[at..]) {
                self.each_by_kind(kinds);
                taken = at + kinds.len();
                continue;
            }
            self.state.chains_follow = matches!(
                items.get(at + 1).map(|next| &next.act),
                Some(Act::Work(work)) if work.target == Target::NextChain
            );
            self.state.bare_ahead = match self.on_horn() || works_from_hook(item) {
                true => bare_run(&items[at + 1..]),
                false => 0,
            };
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
            Act::Together(group) if !self.reading.shares(group.sharing) => self.list(&group.items),
            Act::Together(group) => self.together(group, item.span),
            // A list hands its repeats on with what follows them.
            Act::Repeat(repeat) => self.repeat(repeat, false, item.span),
            Act::Evenly(evenly) => self.evenly(evenly, item.span),
            Act::Skip { over, target } => self.skip(*over, *target, item.span),
            Act::StartAt(target) => self.start_at(*target, item.span),
            Act::IntoRound { number, hold } => {
                self.go_to_round(*number, *hold, item.span);
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
            Act::StartCounts { .. }
            | Act::YarnFrom { .. }
            | Act::AsRounds { .. }
            | Act::AsPiece { .. }
            | Act::GoOn { .. }
            | Act::Surface(_)
            | Act::Unread => {}
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
        let on_loops = self.push_on_loops(new, foot);
        Some(on_loops.unwrap_or_else(|| self.piece.work(new, &foot.ids)))
    }

    /// A stitch into the loops of another piece, where the round goes along these.
    fn push_on_loops(&mut self, new: NewStitch, foot: &Foot) -> Option<StitchId> {
        let on_loops = self.state.on_loops.as_mut()?;
        let takes_loops = !matches!(foot.into, Into::Chain | Into::Ring | Into::Part);
        if new.role == Role::Close || !takes_loops || foot.ids.is_empty() {
            return None;
        }
        let new = NewStitch {
            into: Into::Part,
            ..new
        };
        let id = self.piece.work(new, &[]);
        // What a repeat has taken back is worked anew.
        while on_loops.worked.pop_if(|(last, _)| *last >= id).is_some() {}
        on_loops.worked.push((id, foot.ids.clone()));
        Some(id)
    }

    /// Records the stitches that go into the loops of another piece.
    fn join_loops(&mut self) {
        let Some(on_loops) = self.state.on_loops.take() else {
            return;
        };
        let mut stitches = on_loops.worked;
        stitches.retain(|(id, _)| id.index() < self.piece.stitches.len());
        if stitches.is_empty() {
            return;
        }
        let join = self.piece.joins.len() as u32;
        for (id, _) in &stitches {
            self.piece.stitches[id.index()].join = Some(join);
        }
        self.piece.joins.push(Join {
            part: on_loops.of.part,
            copy: on_loops.of.copy,
            layers: 1,
            side: PartSide::default(),
            border: None,
            loops: true,
            round: self.piece.rounds.len().saturating_sub(1) as u32,
            stitches,
            span: on_loops.span,
        });
    }

    fn last_id(&self) -> Option<StitchId> {
        self.piece
            .stitches
            .len()
            .checked_sub(1)
            .map(|i| StitchId(i as u32))
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

    pub(super) fn missing(&mut self, code: &'static str, span: Span, message: &str) {
        if !self.problems.iter().any(|p| p.code == code) {
            self.problems.push(Problem::error(code, span, message));
        }
    }

    /// A stitch other than a chain follows: what was left open about chains before it is settled.
    fn begin(&mut self) {
        self.state.started = true;
        self.state.any_stitch = true;
        self.state.stood = false;
        self.state.run.clear();
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
        self.join_loops();
        let moved = self.state.past_start;
        // Lace passes over stitches on its way from space to space.
        let may_leave = self.state.leaves_rest || self.state.into_ring || self.state.laces;
        let unused = if may_leave { 0 } else { self.below.left_over() };
        let left = unused + self.state.far_end_left;
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
}

fn is_loose(item: &Instruction) -> bool {
    matches!(&item.act, Act::Repeat(repeat) if matches!(repeat.times, Times::Loose(_)))
}

fn is_of_list(item: &Instruction) -> bool {
    matches!(&item.act, Act::Work(work) if work.bare == Bare::List)
}

fn works_from_hook(item: &Instruction) -> bool {
    matches!(&item.act, Act::Work(work) if matches!(work.target, Target::FromHook(_)))
}

/// Where stitches that name no place follow one another: a bit for each number of them that an act ends at.
fn bare_run(items: &[Instruction]) -> u64 {
    let (mut ends, mut sum) = (0, 0);
    for item in items {
        match &item.act {
            Act::Work(work)
                if work.target == Target::Next
                    && work.each == 1
                    && work.hold.is_none()
                    && work.through.is_none()
                    && work.stitch.height.is_none_or(|h| h > Height::Chain) =>
            {
                let Over::Count(n) = work.over else { break };
                sum += u64::from(n);
            }
            _ => break,
        }
        if sum >= u64::from(u64::BITS) {
            break;
        }
        ends |= 1 << sum;
    }
    ends
}

fn count_of(over: Over) -> u32 {
    match over {
        Over::Count(n) | Over::Whole(n) => n,
        Over::Rest | Over::ToLast(_) | Over::ToCorner => 1,
    }
}
