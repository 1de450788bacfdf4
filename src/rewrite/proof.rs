//! The proof: what was written is read and worked again, and has to come out as the old words did.

use crate::fabric::{Fabric, Piece, Stitch, StitchId, YarnId};

/// The first round of each piece that came out otherwise, as places of pieces and rounds; `None` if the pieces or their rounds
/// are not the same ones.
pub(super) fn differences(old: &Fabric, new: &Fabric) -> Option<Vec<(usize, usize)>> {
    if old.pieces.len() != new.pieces.len() {
        return None;
    }
    let mut differences = Vec::new();
    for (place, (a, b)) in old.pieces.iter().zip(&new.pieces).enumerate() {
        let first =
            (0..a.rounds.len().max(b.rounds.len())).find(|&at| !same_round(old, a, new, b, at));
        match first {
            Some(at) if at < a.rounds.len() => differences.push((place, at)),
            Some(_) => return None,
            None => {}
        }
    }
    Some(differences)
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

/// The part, copy and layers that a stitch goes through, and what it takes of them.
fn join(piece: &Piece, id: StitchId) -> Option<(usize, u32, u32, &[StitchId])> {
    let join = &piece.joins[piece.stitch(id).join? as usize];
    let taken = join.stitches.iter().find(|(stitch, _)| *stitch == id);
    Some((
        join.part,
        join.copy,
        join.layers,
        taken.map_or(&[][..], |(_, taken)| taken),
    ))
}
