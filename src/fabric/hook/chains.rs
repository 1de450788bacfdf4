//! Chains: what a piece starts from, what lifts the hook, bridges a gap or closes to a picot.

use super::{Hook, Ring, StartChain, count_of};
use crate::fabric::below::{Below, Foot};
use crate::fabric::model::{Role, StitchId};
use crate::pattern::{Target, Work};
use crate::source::{Problem, Span};
use crate::terms::{Height, Into, Stitch as Kind};

/// Chains at the start of a round that stand for a double crochet.
const STANDS_FOR_DOUBLE: u32 = 3;

impl Hook<'_> {
    pub(super) fn chains(&mut self, n: u32, span: Span) {
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
        // `ch 4, skip 1`: a bridge, or a double crochet and a bridge.
        let stands = self.reading.start_the_other_way && n > STANDS_FOR_DOUBLE;
        if at_start && !self.state.start_done && (self.start != StartChain::Bridges || stands) {
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
        // A run may be told in many phrases: what is known of it is not taken down again.
        let (run, last) = (&self.state.run, &mut self.state.last_chains);
        let goes_on = last.len() <= run.len()
            && !last.is_empty()
            && last.first() == run.first()
            && last.last() == run.get(last.len() - 1);
        if !goes_on {
            last.clear();
        }
        last.extend_from_slice(&run[last.len()..]);
    }

    /// The chain at the start of a round or row: it only lifts the hook, or stands for a stitch.
    fn start_chain(&mut self, n: u32, span: Span) {
        self.state.start_done = true;
        self.close_before_start();
        let travelled = self.travel() || self.state.stands_on.is_some();
        let custom = n >= 3;
        let usual = match self.start {
            StartChain::Bridges => (true, n.saturating_sub(STANDS_FOR_DOUBLE)),
            _ => (custom != (self.reading.start_the_other_way && n > 1), 0),
        };
        let (counts, bridge) = self.start_counts.unwrap_or(usual);
        if !counts {
            // A space that was travelled to is still there where the chain only lifts.
            if travelled && self.below.starts_with_space() {
                // `(sc, ch 3, sc) in same sp` uses it up.
                self.state.stands_on = Some(self.below.position());
                self.below.move_to(0);
            }
            self.push_chains(n, Role::Lift, span);
            self.state.run.clear();
            return;
        }
        self.leave_start();
        // `ch 12, sl st to form a ring, ch 3, dc in next 11 ch`: it stands in the first chain.
        if matches!(self.ring, Ring::Chains(_)) && self.along_chain {
            self.turn_to_chain();
        }
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

    /// `ch 4, sl st to form a ring, ch 3`: one slip stitch between the first chain and another, that names no chain of it, closes the first.
    fn close_before_start(&mut self) {
        let chain = self.foundation();
        let (Some(&first), Some(&last), Some(slip)) = (chain.first(), chain.last(), self.last_id())
        else {
            return;
        };
        let stitch = self.piece.stitch(slip);
        let closes = self.is_first
            && self.ring == Ring::None
            && self.state.only_slips
            && slip.0 == last.0 + 1
            && stitch.kind.height == Height::Slip
            && stitch.into == Into::Chain
            && self.piece.feet(slip) == [last];
        if !closes {
            return;
        }
        let foot = stitch.feet.start as usize;
        self.piece.feet[foot] = first;
        self.piece.stitches[slip.index()].role = Role::Close;
        self.ring = Ring::Chains(chain);
        self.below = Below::new(self.piece, &[]);
        self.state.closed = true;
        self.state.started = false;
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

    /// What comes goes into the space that slip stitches moved to: they are no stitches of the round. True if there are such.
    pub(super) fn arrive_in_space(&mut self) -> bool {
        let space = self.state.last_foot.as_ref();
        space.is_some_and(|foot| foot.into == Into::Space) && self.travel()
    }

    /// The space that slip stitches moved to is the first of those that are worked from here.
    pub(super) fn arrive_before_space(&mut self) {
        if self.arrive_in_space() && self.below.starts_with_space() {
            self.below.move_to(0);
        }
    }

    /// Chains of this round wait to be worked along.
    pub(super) fn chains_wait(&self) -> bool {
        self.is_first
            && self.piece.rounds.last().is_some_and(|round| {
                round
                    .stitches
                    .clone()
                    .any(|id| self.piece.stitches[id as usize].role == Role::Foundation)
            })
    }

    /// The first stitch after a starting chain: the chain is what is worked into.
    pub(super) fn turn_to_chain(&mut self) {
        // Before a part the chain is worked along as what joins it.
        let waits = self.chains_wait() && self.state.gap.is_none();
        if self.below.is_empty() && waits && !self.state.into_ring {
            let mut chain = self.foundation();
            // Closed to a ring the chain is worked in its own order, else back along it.
            if self.ring == Ring::None {
                chain.reverse();
            }
            let flags = (self.below.chains_are_stitches, self.below.flat);
            self.below = Below::new(self.piece, &chain);
            (self.below.chains_are_stitches, self.below.flat) = flags;
            let unsaid = self.is_first && self.reading.start_the_other_way;
            if unsaid && self.ring == Ring::None {
                self.pass_turning_chains();
            }
        }
    }

    /// `ch 11`, then `10 sc`: the first stitch goes into the 2nd chain from the hook, though nobody says so.
    fn pass_turning_chains(&mut self) {
        if self.below.len() <= self.turning {
            return;
        }
        let lift: Vec<StitchId> = self.below.ids().take(self.turning).collect();
        self.below.move_to(self.turning);
        self.lift_at_hook(&lift, self.turning >= STANDS_FOR_DOUBLE as usize);
    }

    /// Chains at the hook that are passed over: they lift it, and where they count the first is the head of the stitch that they
    /// stand for.
    fn lift_at_hook(&mut self, chains: &[StitchId], counts: bool) {
        for (place, id) in chains.iter().enumerate() {
            let head = counts && place == 0;
            self.piece.stitches[id.index()].role = if head { Role::Head } else { Role::Lift };
        }
    }

    pub(super) fn foundation(&self) -> Vec<StitchId> {
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
    pub(super) fn chain_from_hook(&mut self, n: u32, span: Span) -> Option<Foot> {
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
        // Told in a repeat, it is where the first of them begins: the others go on.
        if self.below.position() > skipped {
            return self.below.next();
        }
        let lift: Vec<StitchId> = self.below.ids().take(skipped).collect();
        self.below.move_to(skipped);
        let foot = self.below.next()?;
        if self.is_first {
            // One chain alone never stands for a stitch.
            let custom = skipped >= 3;
            let counts = self.start_counts.map_or(
                skipped > 1 && custom != self.reading.start_the_other_way,
                |(counts, _)| counts,
            );
            self.lift_at_hook(&lift, counts);
        }
        Some(foot)
    }

    /// A slip stitch that closes chains: into a ring at the start, or into a picot.
    pub(super) fn closes_chain(&mut self, work: &Work, span: Span) -> bool {
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

    pub(super) fn close_ring(&mut self, target: StitchId, span: Span) {
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

    pub(super) fn picot(&mut self, work: &Work, span: Span) {
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

    pub(super) fn end_run_as_lift(&mut self) {
        for id in std::mem::take(&mut self.state.run) {
            let stitch = &mut self.piece.stitches[id.index()];
            if stitch.role == Role::Bridge {
                stitch.role = Role::Lift;
            }
        }
    }
}
