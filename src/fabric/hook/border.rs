//! Round the edge of a piece worked in rows, by the piece itself.

use super::Hook;
use super::kinds::once;
use crate::fabric::below::Foot;
use crate::fabric::edging::{Edging, last_worked};
use crate::fabric::model::{Role, RoundKind};
use crate::pattern::{Act, Border, Instruction, Over, Target, Work};
use crate::source::Span;
use crate::terms::{Height, Stitch as Kind};

/// At the front of a list, stitches all round the edge and what goes into each of its corners instead.
pub(super) fn edge_and_corners(items: &[Instruction]) -> Option<(&Work, &Instruction)> {
    let [along, corner, ..] = items else {
        return None;
    };
    match &along.act {
        Act::Work(work)
            if work.target == Target::Border(Border::All) && corner.act.goes_into_corners() =>
        {
            Some((work, corner))
        }
        _ => None,
    }
}

impl Hook<'_> {
    /// `sc evenly around, 3 sc in each corner (36)`: the number is of all.
    pub(super) fn around_with_corners(&mut self, along: &Work, corner: &Instruction, span: Span) {
        let in_corner = match &corner.act {
            Act::Work(work) => work.each as usize,
            Act::Together(group) => stitches_of(&group.items),
            _ => 1,
        };
        let Some(edging) = self.edging() else {
            self.no_edge(span);
            return;
        };
        let places = edging.around(along.over, in_corner);
        let side = Work {
            target: Target::Next,
            over: Over::Count(1),
            ..along.clone()
        };
        let corner = once(corner, false);
        for (foot, is_corner) in places {
            if self.spent() {
                return;
            }
            let outer = self.state.fixed.replace(foot);
            match is_corner {
                true => self.act(&corner),
                false => self.work(&side, span),
            }
            self.state.fixed = outer;
        }
    }

    fn no_edge(&mut self, span: Span) {
        self.missing(
            "no-edge",
            span,
            "there are no rows here whose ends could be worked into",
        );
    }

    /// Stitches along the edge of a piece worked in rows.
    pub(super) fn border(&mut self, part: Border, work: &Work, kind: Kind, span: Span) {
        let Some(edging) = self.edging() else {
            self.no_edge(span);
            return;
        };
        let places = edging.places(part, work.over);
        let short = match work.over {
            Over::Count(n) if part == Border::RowEnds => (n as usize).saturating_sub(places.len()),
            _ => 0,
        };
        self.overflow_of(short, span);
        for foot in places {
            for _ in 0..work.each {
                if self.spent() || self.push(kind, &foot, Role::Head, span).is_none() {
                    return;
                }
            }
            self.state.last_foot = Some(foot);
        }
    }

    fn overflow_of(&mut self, places: usize, span: Span) {
        if places > 0 {
            self.overflow(places, span);
        }
    }

    /// True if the piece ends with rows, whose ends can be worked into.
    pub(super) fn has_row_ends(&mut self) -> bool {
        self.edging().is_some()
    }

    /// The corner of the edge that is worked along, if one is.
    pub(super) fn corner(&self) -> Option<Foot> {
        self.state.edging.as_ref().and_then(Edging::corner)
    }

    /// The edge, from where the hook is when it is first worked along.
    fn edging(&mut self) -> Option<&mut Edging> {
        if self.state.edging.is_none() {
            let place = self.piece.rounds.len().checked_sub(2)?;
            let row = &self.piece.rounds[place];
            if row.kind != RoundKind::Row {
                return None;
            }
            // What has been worked of the last row is behind; the side begins where that ended.
            let from = match self.below.position() {
                0 => last_worked(row),
                _ => row.edge.last().copied(),
            }?;
            let edging = Edging::new(self.piece, place, from);
            // Each row has been looked at.
            self.budget.actions = self.budget.actions.saturating_sub(edging.rows());
            if !edging.has_row_ends() {
                return None;
            }
            self.state.edging = Some(edging);
            self.state.laces = true;
        }
        self.state.edging.as_mut()
    }
}

/// Stitches that a group makes in its place.
fn stitches_of(items: &[Instruction]) -> usize {
    let made = items.iter().map(|item| match &item.act {
        Act::Work(work) if work.stitch.height > Some(Height::Chain) => {
            let over = match work.over {
                Over::Count(n) => n,
                _ => 1,
            };
            work.each as usize * over as usize
        }
        _ => 0,
    });
    made.sum()
}
