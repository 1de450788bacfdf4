//! The edge of a piece worked in rows: the ends of its rows, its starting chain, and its last row.

use std::rc::Rc;

use super::below::Foot;
use super::model::{Piece, Role, Round, RoundKind, StitchId};
use crate::pattern::{Border, Over};
use crate::terms::Into;

/// The edge from where the hook is, all the way round.
#[derive(Debug, Clone, Default)]
pub(super) struct Edging {
    /// The first side down, the bottom, the other side up, the top.
    sides: Rc<[Vec<Foot>; 4]>,
    /// The side that is worked along, and how far.
    at: usize,
    done: usize,
    /// Places of each side that have been worked.
    worked: [usize; 4],
}

impl Edging {
    /// The edge of the rows that the piece has up to the one at `last`; `from` is the stitch beside which the first side begins.
    pub fn new(piece: &Piece, last: usize, from: StitchId) -> Edging {
        let rounds = &piece.rounds[..=last];
        let heads = |round: &Round| -> Vec<StitchId> {
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
        let mut top = piece.rounds[last].edge.clone();
        if top.first() == Some(&from) {
            top.reverse();
        }
        let top = top.into_iter().map(|id| Foot {
            into: Into::Stitch,
            ids: vec![id],
        });
        Edging {
            sides: Rc::new([near, bottom, far, top.collect()]),
            at: 0,
            done: 0,
            worked: [0; 4],
        }
    }

    /// The edge of a finished piece, from where its last row ended; `None` if it does not end with rows.
    pub fn of_finished(piece: &Piece) -> Option<Edging> {
        let last = piece.rounds.len().checked_sub(1)?;
        let row = &piece.rounds[last];
        let edging = Edging::new(piece, last, last_worked(row)?);
        (row.kind == RoundKind::Row && edging.has_row_ends()).then_some(edging)
    }

    pub fn has_row_ends(&self) -> bool {
        self.rows() > 0
    }

    /// Rows that end at its first side.
    pub fn rows(&self) -> usize {
        self.sides[0].len()
    }

    /// Places all the way round.
    pub fn length(&self) -> usize {
        self.sides.iter().map(Vec::len).sum()
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
    pub fn places(&mut self, part: Border, over: Over) -> Vec<Foot> {
        let Some((from, left)) = self.left(part) else {
            return Vec::new();
        };
        let count = match over {
            Over::Count(n) | Over::Whole(n) => n as usize,
            Over::Rest => left,
            Over::ToLast(n) => left.saturating_sub(n as usize),
            Over::ToCorner => left,
        };
        // One by one, as the row ends are named; along a side, as they come out.
        let spread = part != Border::RowEnds;
        let place = |at: usize| if spread { at * left / count } else { at };
        let places = (0..count).map_while(|at| self.place(part, from + place(at)));
        let places = places.collect();
        self.pass_over(part, left, count);
        places
    }

    /// The places all the way round, each with whether it is a corner: the last of each side. Of so many stitches, `in_corner`
    /// go into each of these, and the others are spread over the sides.
    pub fn around(&mut self, over: Over, in_corner: usize) -> Vec<(Foot, bool)> {
        let sides = self.sides.iter().filter(|side| !side.is_empty());
        let along = self.length() - sides.clone().count();
        let others = match over {
            Over::Count(n) | Over::Whole(n) => {
                (n as usize).saturating_sub(in_corner * sides.clone().count())
            }
            _ => along,
        };
        let mut places = Vec::new();
        let mut passed = 0;
        for side in sides {
            let Some((last, rest)) = side.split_last() else {
                continue;
            };
            for foot in rest {
                // As many as bring the stitches so far in step with the places so far.
                let due = others * (passed + 1) / along - others * passed / along;
                places.extend(std::iter::repeat_n((foot.clone(), false), due));
                passed += 1;
            }
            places.push((last.clone(), true));
        }
        self.pass_over(Border::All, self.length(), self.length());
        places
    }

    /// Goes past the places of so many stitches.
    pub fn pass(&mut self, part: Border, count: usize) {
        if let Some((_, left)) = self.left(part) {
            self.pass_over(part, left, count);
        }
    }

    /// Goes to a part of the edge: where the hook is on it, and how many places are left there. `None` if there are none.
    fn left(&mut self, part: Border) -> Option<(usize, usize)> {
        self.go_to(part);
        let (from, all) = match part {
            Border::All => (0, self.length()),
            _ => (self.done, self.sides[self.at].len()),
        };
        (from < all).then(|| (from, all - from))
    }

    fn place(&self, part: Border, mut at: usize) -> Option<Foot> {
        if part != Border::All {
            return self.sides[self.at].get(at).cloned();
        }
        for side in &*self.sides {
            match side.get(at) {
                Some(foot) => return Some(foot.clone()),
                None => at -= side.len(),
            }
        }
        None
    }

    fn pass_over(&mut self, part: Border, left: usize, count: usize) {
        self.done += if part == Border::RowEnds { count } else { left };
        if part == Border::All {
            self.worked = [1; 4];
        } else {
            self.worked[self.at] = self.done;
        }
    }

    /// True if nothing of a part of the edge has been worked yet, or, of the row ends, not all.
    pub fn is_free(&self, part: Border) -> bool {
        let is_left = |at: usize| self.worked[at] < self.sides[at].len();
        match part {
            Border::RowEnds | Border::Side => is_left(0) || is_left(2),
            Border::Bottom => self.worked[1] == 0,
            Border::Top => self.worked[3] == 0,
            Border::All => self.worked == [0; 4],
        }
    }

    /// The corner that the hook is at: the end of the side that was worked along, or where the next begins.
    pub fn corner(&self) -> Option<Foot> {
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

/// The stitch of a row that was worked last.
pub(super) fn last_worked(row: &Round) -> Option<StitchId> {
    let ends = [row.edge.first(), row.edge.last()];
    ends.into_iter().flatten().max().copied()
}
