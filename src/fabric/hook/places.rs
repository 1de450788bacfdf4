//! The place that words name: the next stitch, a ring, a space, a chain, a round further down.

use super::{Hook, OnLoops, Ring};
use crate::fabric::along::Gap;
use crate::fabric::below::{Below, Foot};
use crate::fabric::model::{Role, StitchId};
use crate::fabric::parts::PartEdge;
use crate::pattern::{Over, Target};
use crate::source::{Problem, Span};
use crate::terms::{Height, Into, Stitch as Kind};

impl Hook<'_> {
    /// The place that a target names; `None` if it is not there (a problem, except for running out of stitches).
    pub(super) fn take(&mut self, target: Target, span: Span) -> Option<Foot> {
        if let Some(fixed) = &self.state.fixed {
            return Some(fixed.clone());
        }
        match target {
            Target::Border(_) => None,
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
                self.turn_round_the_chain();
                self.below.next()
            }
            Target::NextChain if self.state.gap.as_ref().is_some_and(Gap::any_left) => {
                self.take_gap()
            }
            // The chain between two parts, a second time: its other side.
            Target::NextChain
                if self.state.gap.is_some() && !self.state.in_gap && self.turn_gap() =>
            {
                self.take_gap()
            }
            Target::Skipped => self.below.next(),
            Target::JustSkipped => {
                let place = self.state.passed.pop_front();
                if place.is_none() {
                    self.missing(
                        "nothing-skipped",
                        span,
                        "no stitch has been passed over here",
                    );
                }
                Some(self.below.at_place(place.unwrap_or_default()))
            }
            Target::NextChain if !self.state.horn.is_empty() => self.along_horn(),
            Target::NextChain => {
                self.turn_to_chain();
                self.turn_round_the_chain();
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
            Target::Corner => self.next_corner(span),
            // `sc in next loop`, of another piece
            Target::Space(None) if self.goes_into_loops() => self.below.next(),
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
                    None => {
                        self.turn_to_chain();
                        self.below.next()
                    }
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
            Target::FromHook(n) if self.at_horn(n) => self.turn_along_horn(n),
            Target::FromHook(n) => self.chain_from_hook(n, span),
            Target::FirstChain => {
                self.turn_to_chain();
                // Back along the other side it lies at the end, and so does the first chain made once the others are worked.
                let lies_ahead = self.below.position() > 0 && !matches!(self.ring, Ring::Chains(_));
                if self.state.back_along_chain || lies_ahead {
                    self.below.last()
                } else {
                    self.below.first()
                }
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
            Target::Earlier(number) => self.earlier(number, None, span),
            Target::Deeper(rounds) => self.deeper(rounds, span),
        }
    }

    /// True if what is worked into are loops that a round has left: `sc in each lp around` means those.
    pub(super) fn goes_into_loops(&self) -> bool {
        let in_a_loop = matches!(self.state.hold, Some(Into::FrontLoop | Into::BackLoop));
        self.state.on_loops.is_some() || self.state.into_round.is_some() && in_a_loop
    }

    pub(super) fn no_space(&mut self, chains: Option<u32>, span: Span) {
        let other = chains.filter(|_| self.below.space_left());
        let message = match other {
            Some(n) => format!(
                "there is no space of {n} chains left here to work into, only spaces of other sizes"
            ),
            None => "there is no chain space here to work into".to_owned(),
        };
        self.missing("no-space", span, &message);
    }

    /// True if a round of this piece leaves none of such loops free in the one below it.
    fn takes_loops(&self, place: usize, hold: Option<Into>) -> bool {
        let Some(other) = hold.and_then(Into::other_loop) else {
            return false;
        };
        let round = &self.piece.rounds[place];
        let mut stitches = self.piece.round_stitches(round);
        stitches.all(|(_, stitch)| stitch.into != other)
    }

    /// The round after the one whose loops are asked for went through both of them.
    fn loops_not_free(&mut self, number: u32, span: Span) {
        if self.problems.iter().any(|p| p.code == "loops-not-free") {
            return;
        }
        self.problems.push(
            Problem::warning(
                "loops-not-free",
                span,
                format!("round {number} has no loops left free: the round after it is worked through both"),
            )
            .help("check the number of the round, or work the round after it in the other loops only"),
        );
    }

    /// `3 sc in corner`, at the end of a side of rows or in the round below.
    pub(super) fn next_corner(&mut self, span: Span) -> Option<Foot> {
        self.state.laces |= self.below.has_bridges();
        let corner = self.corner().or_else(|| self.below.next_corner());
        if corner.is_none() {
            self.missing(
                "no-corner",
                span,
                "there is no corner left here to work into: neither a chain space nor stitches that share a place",
            );
        }
        corner.or(Some(Foot {
            into: Into::Stitch,
            ids: Vec::new(),
        }))
    }

    pub(super) fn nothing_below(&mut self, span: Span) {
        // A later round with nothing below follows one that could not be worked: that has been said.
        if self.is_first && !self.problems.iter().any(|p| p.code == "nothing-below") {
            self.problems.push(
                Problem::error("nothing-below", span, "there is nothing here yet to work into")
                    .help("start with a magic ring (`6 sc in MR`) or a chain (`ch 2, 6 sc in 2nd ch from hook`)"),
            );
        }
    }

    pub(super) fn ring_foot(&self) -> Foot {
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

    /// Loops that an earlier round left free.
    fn earlier(&mut self, number: u32, hold: Option<Into>, span: Span) -> Option<Foot> {
        self.go_to_round(number, hold, span);
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

    /// From here on the edge of an earlier round is what is worked into; where the piece has none yet, that of a piece before.
    pub(super) fn go_to_round(&mut self, number: u32, hold: Option<Into>, span: Span) {
        if self.state.into_round == Some(number) {
            return;
        }
        let place = self.piece.rounds.len().saturating_sub(1);
        let found = self.piece.rounds[..place]
            .iter()
            .rposition(|r| r.number == number);
        // Plates that each begin in loops of another round of the piece before count no such round of their own.
        let begins = self.is_first && self.below.is_empty();
        if (begins || found.is_none())
            && let Some((of, are_free)) = self.parts.loops_of_a_piece_before(number, hold)
        {
            if !are_free {
                self.loops_not_free(number, span);
            }
            self.below = Below::of_stitches(&of.edge);
            self.state.into_round = Some(number);
            let worked = Vec::new();
            self.state.on_loops = Some(OnLoops { of, span, worked });
            return;
        }
        match found {
            Some(at) => {
                let taken = |at: usize| at + 1 < place && self.takes_loops(at + 1, hold);
                // `a back loop left free behind Rnd 12`, which was worked into the front ones: of the round below it.
                let behind = at
                    .checked_sub(1)
                    .filter(|&below| taken(at) && !taken(below));
                let at = behind.unwrap_or(at);
                let is_taken = taken(at);
                let edge = self.piece.rounds[at].edge.clone();
                if is_taken {
                    self.loops_not_free(number, span);
                }
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
    pub(super) fn start_at(&mut self, target: Target, span: Span) {
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
    pub(super) fn leave_start(&mut self) -> bool {
        match self.state.stands_on.take() {
            Some(after) => {
                self.below.move_to(after.max(self.below.position()));
                true
            }
            None => false,
        }
    }

    /// At the end of a starting chain that is worked all round, though no words say so: its other side.
    fn turn_round_the_chain(&mut self) {
        let at_end = self.below.position() > 0 && !self.below.any_left();
        if self.reading.all_round && self.chains_wait() && at_end && !self.state.back_along_chain {
            self.other_side();
        }
    }

    /// On along the other side of the starting chain, back from where the hook is.
    pub(super) fn other_side(&mut self) {
        if self.turn_gap() || self.state.skipped.is_some() {
            return;
        }
        let chain: Vec<StitchId> = self.below.ids().collect();
        let at = self.below.position();
        // `ch 5, 4 sc, 4 sc on the other side`: as many are left at the far end as custom passes over at the hook.
        let left = chain.len().saturating_sub(at);
        if left > 0 && left == self.turning && self.chains_wait() && !self.state.back_along_chain {
            self.state.far_end_left = left;
        }
        let mut back: Vec<StitchId> = chain[..at.min(chain.len())].iter().rev().copied().collect();
        // Chains that only lifted the hook have no other side to work into, and neither has the last if it was worked all round.
        back.retain(|&id| self.piece.stitch(id).role != Role::Lift);
        let worked_round = back.first().is_none_or(|&end| self.shares(end));
        self.below = Below::new(
            self.piece,
            &back[usize::from(worked_round && !back.is_empty())..],
        );
        self.state.back_along_chain = true;
        self.state.laces = true;
    }

    /// True if the last two stitches at least went into this one.
    fn shares(&self, place: StitchId) -> bool {
        let Some(round) = self.piece.rounds.last() else {
            return false;
        };
        let made = round.stitches.clone().rev().map(StitchId);
        let mut last = made.take(2);
        round.stitches.len() > 1 && last.all(|id| self.piece.feet(id).contains(&place))
    }

    pub(super) fn skip(&mut self, over: Over, target: Target, span: Span) {
        let take = |hook: &mut Self| match target {
            Target::Space(None) if hook.goes_into_loops() => hook.below.next().is_some(),
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
            Over::ToCorner => self.below.left_to_corner(),
        };
        // After a chain that stands for the first stitch, `skip first st` only says so.
        let stands_on_first =
            target == Target::First && self.state.stood && self.below.position() > 0;
        let n = n.saturating_sub(u32::from(stands_on_first));
        if n == 0 {
            return;
        }
        self.state.passed.clear();
        for _ in 0..n {
            if self.spent() {
                return;
            }
            if take(self) {
                self.state.passed.push_back(self.below.position() - 1);
            } else {
                // Before the first space of the round as many were passed over without a word.
                if self.state.laces && self.below.position() > 0 {
                    return;
                }
                self.overflow(1, span);
                return;
            }
        }
    }
}
