//! Horns: a chain in the middle of a round, worked back along before the round goes on.

use super::Hook;
use crate::fabric::below::Foot;
use crate::fabric::model::{Role, StitchId};
use crate::pattern::{Over, Target, Work};
use crate::terms::Into;

impl Hook<'_> {
    /// True if the chains just made bridge nothing yet, and `n` from the hook is one of them.
    pub(super) fn at_horn(&self, n: u32) -> bool {
        let chains = &self.state.last_chains;
        let just_made = self.last_id().is_some() && chains.last().copied() == self.last_id();
        let bridges = |&id: &StitchId| self.piece.stitch(id).role == Role::Bridge;
        just_made && (1..=chains.len()).contains(&(n as usize)) && chains.iter().all(bridges)
    }

    /// Turns at the `n`th chain from the hook: those before it lift, those behind it are still to be worked into.
    pub(super) fn turn_along_horn(&mut self, n: u32) -> Option<Foot> {
        let mut chains = std::mem::take(&mut self.state.last_chains);
        self.state.run.clear();
        let lift = chains.split_off(chains.len().saturating_sub(n.saturating_sub(1) as usize));
        for id in lift {
            self.piece.stitches[id.index()].role = Role::Lift;
        }
        for id in &chains {
            self.piece.stitches[id.index()].role = Role::Foundation;
        }
        self.state.horn = chains;
        self.along_horn()
    }

    /// The next chain back along the horn.
    pub(super) fn along_horn(&mut self) -> Option<Foot> {
        let id = self.state.horn.pop()?;
        Some(Foot {
            into: Into::Chain,
            ids: vec![id],
        })
    }

    /// True if chains of a horn are still to be worked into.
    pub(super) fn on_horn(&self) -> bool {
        !self.state.horn.is_empty()
    }

    /// Chains of a horn that are still to be worked into.
    pub(super) fn horn_left(&self) -> u32 {
        self.state.horn.len() as u32
    }

    /// `sl st in 2nd ch from hook, sc in next 2 ch` on a chain of four: a horn, where a slip stitch alone makes a picot.
    pub(super) fn starts_horn(&self, work: &Work) -> bool {
        let Target::FromHook(n) = work.target else {
            return false;
        };
        let left = self.state.last_chains.len().saturating_sub(n as usize);
        // `ch 6, sl st in 2nd ch from hook, sc, hdc, 2 dc`, though no chain is named again
        let bare = n == 2 && left > 1 && self.ends_after(left);
        self.at_horn(n) && left > 0 && (self.state.chains_follow || bare)
    }

    /// True if what comes next without a place of its own takes so many stitches, or more and an act ends there.
    fn ends_after(&self, stitches: usize) -> bool {
        stitches < u64::BITS as usize && self.state.bare_ahead >> stitches & 1 == 1
    }

    /// `sc in next 2` that takes just what is left of a horn goes there, alone or with what follows.
    pub(super) fn goes_along_horn(&self, work: &Work) -> bool {
        let left = self.state.horn.len();
        let Over::Count(n) = work.over else {
            return false;
        };
        let rest = left.checked_sub(n as usize);
        left > 0
            && work.target == Target::Next
            && rest.is_some_and(|rest| rest == 0 || self.ends_after(rest))
    }
}
