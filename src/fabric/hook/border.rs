//! Round the edge of a piece worked in rows, by the piece itself.

use super::Hook;
use crate::fabric::below::Foot;
use crate::fabric::edging::{Edging, last_worked};
use crate::fabric::model::{Role, RoundKind};
use crate::pattern::{Border, Over, Work};
use crate::source::Span;
use crate::terms::Stitch as Kind;

impl Hook<'_> {
    /// Stitches along the edge of a piece worked in rows.
    pub(super) fn border(&mut self, part: Border, work: &Work, kind: Kind, span: Span) {
        let Some(edging) = self.edging() else {
            self.missing(
                "no-edge",
                span,
                "there are no rows here whose ends could be worked into",
            );
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
