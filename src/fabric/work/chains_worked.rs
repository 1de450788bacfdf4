//! Chains that count as stitches because the next round works into them.

use crate::fabric::model::{Piece, Role, StitchId};
use crate::terms::{Height, Into};

/// Where no total tells, chains that the next round works into one by one count as stitches.
pub(super) fn count_chains_worked(piece: &mut Piece) {
    let mut worked = vec![false; piece.stitches.len()];
    for place in 0..piece.stitches.len() {
        if piece.stitches[place].into == Into::Chain
            && piece.stitches[place].kind.height != Height::Chain
        {
            for foot in piece.feet(StitchId(place as u32)).to_vec() {
                worked[foot.index()] = piece.stitch(foot).role == Role::Bridge;
            }
        }
    }
    for place in 0..piece.rounds.len() {
        let round = &piece.rounds[place];
        let heads = round
            .edge
            .iter()
            .filter(|&&id| piece.stitch(id).role != Role::Bridge)
            .count() as u32;
        let chains = round.edge.iter().filter(|id| worked[id.index()]).count() as u32;
        let told = round
            .stated
            .and_then(|s| s.stitches)
            .is_some_and(|n| n == round.count);
        if !told {
            piece.rounds[place].count = heads + chains;
        }
    }
}
