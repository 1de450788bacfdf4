//! Round the edge of a piece worked in rows: along the ends of its rows, its starting chain, and its last row.

use super::Hook;
use crate::fabric::below::Foot;
use crate::fabric::model::{Piece, Role, RoundKind, StitchId};
use crate::pattern::{Border, Over, Work};
use crate::source::Span;
use crate::terms::{Into, Stitch as Kind};

/// The edge from where the hook is, all the way round.
#[derive(Debug, Clone, Default)]
pub(super) struct Edging {
    /// The first side down, the bottom, the other side up, the top.
    sides: [Vec<Foot>; 4],
    /// The side that is worked along, and how far.
    at: usize,
    done: usize,
}

impl Edging {
    /// The edge of the rows that the piece ends with; `from` is the stitch beside which the first side begins.
    fn new(piece: &Piece, from: StitchId) -> Edging {
        let rounds = &piece.rounds[..piece.rounds.len().saturating_sub(1)];
        let heads = |round: &crate::fabric::model::Round| -> Vec<StitchId> {
            let stitches = round.stitches.clone().map(StitchId);
            stitches
                .filter(|&id| piece.stitch(id).role == Role::Head)
                .collect()
        };
        let mut near = Vec::new();
        let mut far = Vec::new();
        let mut bottom = Vec::new();
        let mut beside = from;
        let rows = rounds.iter().rev().take_while(|r| r.kind == RoundKind::Row);
        for row in rows {
            let mut heads = heads(row);
            let Some(place) = heads.iter().position(|&id| id == beside) else {
                break;
            };
            // Outwards from the side that is worked down.
            if place * 2 >= heads.len() {
                heads.reverse();
            }
            let (Some(&first), Some(&last)) = (heads.first(), heads.last()) else {
                break;
            };
            near.push(end_of_row(first));
            far.push(end_of_row(last));
            bottom = heads
                .iter()
                .map(|&id| match piece.feet(id) {
                    [] => end_of_row(id),
                    feet => Foot {
                        into: Into::Chain,
                        ids: feet[..1].to_vec(),
                    },
                })
                .collect();
            let Some(&below) = piece.feet(first).first() else {
                break;
            };
            beside = nearest_end(piece, below);
        }
        far.reverse();
        Edging {
            sides: [near, bottom, far, Vec::new()],
            at: 0,
            done: 0,
        }
    }

    fn is_empty(&self) -> bool {
        self.sides.iter().all(Vec::is_empty)
    }

    /// Goes on to the next side, if something of this one has been worked.
    fn go_to(&mut self, part: Border) {
        let is_it = |at: usize| match part {
            Border::RowEnds | Border::Side => matches!(at, 0 | 2),
            Border::Bottom => at == 1,
            Border::Top => at == 3,
            Border::All => true,
        };
        if part != Border::All && self.done >= self.sides[self.at].len() && self.done > 0 {
            self.at = (self.at + 1) % 4;
            self.done = 0;
        }
        for _ in 0..4 {
            if is_it(self.at) {
                return;
            }
            self.at = (self.at + 1) % 4;
            self.done = 0;
        }
    }

    /// The places that some stitches go into: spread over what is left of the side, or of all of it.
    fn places(&mut self, part: Border, over: Over) -> Vec<Foot> {
        self.go_to(part);
        let left: Vec<Foot> = match part {
            Border::All => self.sides.concat(),
            _ => self.sides[self.at][self.done.min(self.sides[self.at].len())..].to_vec(),
        };
        let count = match over {
            Over::Count(n) | Over::Whole(n) => n as usize,
            Over::Rest => left.len(),
            Over::ToLast(n) => left.len().saturating_sub(n as usize),
        };
        if left.is_empty() {
            return Vec::new();
        }
        // One by one, as the row ends are named; along a side, as they come out.
        let spread = part != Border::RowEnds;
        self.done += if spread { left.len() } else { count };
        let place = |at: usize| if spread { at * left.len() / count } else { at };
        (0..count)
            .filter_map(|at| left.get(place(at)).cloned())
            .collect()
    }

    /// The corner that the hook is at: the end of the side that was worked along, or where the next begins.
    fn corner(&self) -> Option<Foot> {
        let side = &self.sides[self.at];
        let at = self.done.min(side.len());
        side.get(at.saturating_sub(1))
            .or_else(|| side.first())
            .cloned()
    }
}

fn end_of_row(id: StitchId) -> Foot {
    Foot {
        into: Into::RowEnd,
        ids: vec![id],
    }
}

/// The first or the last head of a stitch's row, whichever is nearer.
fn nearest_end(piece: &Piece, id: StitchId) -> StitchId {
    let round = &piece.rounds[piece.stitch(id).round as usize];
    let heads = || {
        let stitches = round.stitches.clone().map(StitchId);
        stitches.filter(|&id| piece.stitch(id).role == Role::Head)
    };
    match (heads().next(), heads().next_back()) {
        (Some(first), Some(last)) if id.0 - first.0.min(id.0) <= last.0.max(id.0) - id.0 => first,
        (_, Some(last)) => last,
        _ => id,
    }
}

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
            let ends = [row.edge.first(), row.edge.last()];
            let worked_last = ends.into_iter().flatten().max().copied();
            // What has been worked of the last row is behind; the side begins where that ended.
            let from = match self.below.position() {
                0 => worked_last,
                _ => row.edge.last().copied(),
            }?;
            let mut edging = Edging::new(self.piece, from);
            // Each row has been looked at.
            let rows = edging.sides[0].len();
            self.budget.actions = self.budget.actions.saturating_sub(rows);
            if edging.is_empty() {
                return None;
            }
            let mut top = row.edge.clone();
            if top.first() == Some(&from) {
                top.reverse();
            }
            edging.sides[3] = top
                .into_iter()
                .map(|id| Foot {
                    into: Into::Stitch,
                    ids: vec![id],
                })
                .collect();
            self.state.edging = Some(edging);
            self.state.laces = true;
        }
        self.state.edging.as_mut()
    }
}
