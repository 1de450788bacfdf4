//! Stitches that are worked into another piece on its own, and the chain that joins two of them.

use std::rc::Rc;

use super::below::{Below, Foot};
use super::hook::Hook;
use super::model::{Join, PartSide, Piece, Role, StitchId};
use super::parts::{PartEdge, RECENT};
use crate::pattern::{Border, Over, Work};
use crate::source::{Problem, Span};
use crate::terms::{Into, Stitch as Kind};

/// The chain between two parts, which is worked into from both sides.
#[derive(Debug, Clone)]
pub(super) struct Gap {
    chains: Vec<StitchId>,
    /// What is left of it to work into on this side.
    side: Below,
}

impl Gap {
    /// True if a chain of this side is left.
    pub fn any_left(&self) -> bool {
        self.side.anything_left()
    }

    /// True if nothing is worked into this side yet, and it has so many chains, more than one.
    pub fn is_as_long_as(&self, chains: u32) -> bool {
        chains > 1 && self.side.position() == 0 && self.chains.len() == chains as usize
    }
}

impl Hook<'_> {
    /// Stitches into the edge of the part that the words name. False if they name the piece itself.
    pub(super) fn along_part(&mut self, work: &Work, kind: Kind, each: u32, span: Span) -> bool {
        let Some(through) = &work.through else {
            return false;
        };
        let told = self.problems.len();
        if through.border.is_some() {
            // What has been worked of the edge is looked at, more than once.
            let looked_at = 4 * self.piece.joins.len();
            self.budget.actions = self.budget.actions.saturating_sub(looked_at);
        }
        let found = self
            .parts
            .edge_of(self.piece, through, span, &mut self.problems);
        let Some(mut edge) = found else {
            // What is asked for is worked all the same, so that the round's own count can be judged.
            return self.problems.len() > told
                && self.work_edge(&mut PartEdge::nothing(), work.over, kind, each, span);
        };
        self.state.last_part = Some(through.clone());
        // All round a part that has no rows is round what its last round leaves.
        if edge.border == Some(Border::All) && !self.parts.has_rows(edge.part) {
            edge.border = None;
        }
        if edge.border.is_some() {
            return self.along_rows(&mut edge, work.over, kind, each, span);
        }
        let copy = (edge.part, edge.copy);
        let piece = &*self.piece;
        edge.at = *self
            .state
            .along
            .entry(copy)
            .or_insert_with(|| used(piece, copy));
        self.open_gap();
        let done = self.work_edge(&mut edge, work.over, kind, each, span);
        self.state.along.insert(copy, edge.at);
        done
    }

    /// Stitches along the row ends or the first row of a part.
    fn along_rows(
        &mut self,
        edge: &mut PartEdge,
        over: Over,
        kind: Kind,
        each: u32,
        span: Span,
    ) -> bool {
        let feet = kind.feet().max(1);
        match self.parts.places_along(self.piece, edge, over, feet) {
            Some(places) => edge.edge = Rc::new(places),
            None => {
                if !edge.any_width {
                    let message = format!(
                        "the {} has no rows whose ends could be worked into",
                        edge.name
                    );
                    self.missing("no-edge", span, &message);
                }
                edge.any_width = true;
                edge.edge = Rc::default();
            }
        }
        self.open_gap();
        self.work_edge(edge, over, kind, each, span)
    }

    /// Stitches into an edge that is no edge of this piece, with a join that records them.
    pub(super) fn work_edge(
        &mut self,
        edge: &mut PartEdge,
        over: Over,
        kind: Kind,
        each: u32,
        span: Span,
    ) -> bool {
        let feet = kind.feet().max(1) as usize;
        let left = edge.edge.len().saturating_sub(edge.at);
        let places = match over {
            Over::Count(n) | Over::Whole(n) => n as usize,
            Over::Rest => left / feet,
            Over::ToLast(n) => left.saturating_sub(n as usize) / feet,
            Over::ToCorner => left / feet,
        };
        let short = (places * feet).saturating_sub(left);
        if short > 0 && !edge.any_width {
            self.problems.push(
                Problem::error(
                    "part-width",
                    span,
                    format!(
                        "this works into {} stitches of the {}, whose edge has {left} left",
                        places * feet,
                        edge.name
                    ),
                )
                .help("check this round's numbers and the total of the part's last round"),
            );
        }
        let mut stitches = Vec::new();
        let foot = Foot {
            into: Into::Part,
            ids: Vec::new(),
        };
        for _ in 0..places {
            let end = (edge.at + feet).min(edge.edge.len());
            let taken = edge.edge.get(edge.at..end).unwrap_or_default().to_vec();
            edge.at = end.max(edge.at);
            for _ in 0..each {
                let Some(id) = (!self.spent())
                    .then(|| self.push(kind, &foot, Role::Head, span))
                    .flatten()
                else {
                    return true;
                };
                stitches.push((id, taken.clone()));
            }
        }
        if edge.name.is_empty() || stitches.is_empty() {
            return true;
        }
        let join = self.piece.joins.len() as u32;
        for (id, _) in &stitches {
            self.piece.stitches[id.index()].join = Some(join);
        }
        self.piece.joins.push(Join {
            part: edge.part,
            copy: edge.copy,
            layers: 1,
            side: PartSide::default(),
            border: edge.border,
            loops: false,
            round: self.piece.rounds.len() as u32 - 1,
            stitches,
            span,
        });
        true
    }

    /// Chains of this round that lie before a part: they join it, and are worked into from both sides.
    fn open_gap(&mut self) {
        let run = std::mem::take(&mut self.state.last_chains);
        if !run.is_empty() {
            let side = Below::new(self.piece, &reversed(&run));
            self.state.gap = Some(Gap { chains: run, side });
        }
    }

    /// The next chain of the gap.
    pub(super) fn take_gap(&mut self) -> Option<Foot> {
        self.state.gap.as_mut()?.side.next_of_all()
    }

    /// On along the other side of the gap's chain. False if there is none.
    pub(super) fn turn_gap(&mut self) -> bool {
        let Some(gap) = &mut self.state.gap else {
            return false;
        };
        // Worked into from both sides, the chains bridge nothing any more.
        for id in &gap.chains {
            let stitch = &mut self.piece.stitches[id.index()];
            if stitch.role == Role::Bridge {
                stitch.role = Role::Foundation;
            }
        }
        gap.side = Below::new(self.piece, &gap.chains);
        self.state.in_gap = true;
        true
    }
}

/// Places of a part's copy that earlier stitches have used up. Looked for no further back than a part is that several rounds join.
fn used(piece: &Piece, copy: (usize, u32)) -> usize {
    let joins = piece.joins.iter().rev().take(RECENT);
    let same = joins.filter(|join| (join.part, join.copy) == copy && join.border.is_none());
    same.flat_map(|join| &join.stitches)
        .map(|(_, taken)| taken.len())
        .sum()
}

fn reversed(run: &[StitchId]) -> Vec<StitchId> {
    run.iter().rev().copied().collect()
}
