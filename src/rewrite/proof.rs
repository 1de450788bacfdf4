//! The proof: what was written is read and worked again, and has to come out as the old words did.

use crate::fabric::{Fabric, PartSide, Piece, Step, Stitch, StitchId, YarnId};

/// Where a piece first comes out otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Difference {
    /// Place of the piece.
    pub piece: usize,
    /// Place of the round; `None` if it is not one of its rounds.
    pub round: Option<usize>,
}

/// Where each piece first comes out otherwise; `None` if the pieces are not the same ones.
pub(super) fn differences(old: &Fabric, new: &Fabric) -> Option<Vec<Difference>> {
    let named = |fabric: &Fabric| -> Vec<(String, u32)> {
        let pieces = fabric.pieces.iter();
        pieces
            .map(|piece| (piece.name.clone(), piece.make))
            .collect()
    };
    if named(old) != named(new) || old.hand != new.hand {
        return None;
    }
    let pieces = old.pieces.iter().zip(&new.pieces).enumerate();
    let differences = pieces.filter_map(|(piece, (a, b))| {
        let rounds = 0..a.rounds.len().max(b.rounds.len());
        let found = |round| Difference {
            piece,
            round: Some(round).filter(|&at| at < a.rounds.len()),
        };
        rounds
            .into_iter()
            .find(|&at| !same_round(old, a, new, b, at))
            .or_else(|| other_step(a, b))
            .map(found)
    });
    Some(differences.collect())
}

/// The round of the first step that is another one, or is done elsewhere.
fn other_step(a: &Piece, b: &Piece) -> Option<usize> {
    let told = |step: &Step| (step.kind, step.after_round, step.after);
    let mut steps = a.steps.iter().zip(&b.steps);
    match steps.find(|(x, y)| told(x) != told(y)) {
        Some((step, _)) => Some(step.after_round.saturating_sub(1) as usize),
        None => (a.steps.len() != b.steps.len()).then_some(a.rounds.len()),
    }
}

fn same_round(old: &Fabric, a: &Piece, new: &Fabric, b: &Piece, at: usize) -> bool {
    let (Some(left), Some(right)) = (a.rounds.get(at), b.rounds.get(at)) else {
        return false;
    };
    let yarn = |fabric: &Fabric, id: Option<YarnId>| {
        id.and_then(|id| {
            fabric
                .yarns
                .get(usize::from(id.0))
                .map(|y| y.letter.clone())
        })
    };
    let same_stitch = |x: (StitchId, &Stitch), y: (StitchId, &Stitch)| {
        let (s, t) = (x.1, y.1);
        (s.kind, s.into, s.role) == (t.kind, t.into, t.role)
            && yarn(old, s.yarn) == yarn(new, t.yarn)
            && a.feet(x.0) == b.feet(y.0)
            && join(a, x.0) == join(b, y.0)
    };
    (left.number, left.kind, left.closed, left.wrong_side)
        == (right.number, right.kind, right.closed, right.wrong_side)
        && (left.count, left.spaces) == (right.count, right.spaces)
        && left.edge == right.edge
        && left.stitches == right.stitches
        && a.round_stitches(left)
            .zip(b.round_stitches(right))
            .all(|(x, y)| same_stitch(x, y))
}

/// What a stitch is joined to.
#[derive(PartialEq)]
struct Joined<'a> {
    part: usize,
    copy: u32,
    layers: u32,
    side: PartSide,
    /// What it takes of the part.
    taken: &'a [StitchId],
}

fn join(piece: &Piece, id: StitchId) -> Option<Joined<'_>> {
    let join = &piece.joins[piece.stitch(id).join? as usize];
    let taken = join
        .stitches
        .binary_search_by_key(&id, |(stitch, _)| *stitch);
    Some(Joined {
        part: join.part,
        copy: join.copy,
        layers: join.layers,
        side: join.side,
        taken: taken.map_or(&[][..], |at| &join.stitches[at].1),
    })
}
