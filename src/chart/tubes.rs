//! The sides of a piece that parts are attached to: shown as a strip, where a part's place is seen at a glance.

use std::ops::Range;

use super::cut::{kind_of, starts_afresh};
use crate::fabric::{Piece, RoundKind};

/// Fewest even rounds that make a strip worth a panel of its own.
const LEAST_ROUNDS: usize = 3;

/// Runs of even rounds that hold a join, as places in [`Piece::rounds`].
pub(super) fn with_joins(piece: &Piece) -> Vec<Range<usize>> {
    let mut tubes = Vec::new();
    if piece.joins.is_empty() {
        return tubes;
    }
    let mut from = 0;
    for to in 1..=piece.rounds.len() {
        if to < piece.rounds.len() && is_even(piece, to) {
            continue;
        }
        // The first of a run is what its even rounds stand on.
        let tube = from + 1..to;
        let joins = |tube: &Range<usize>| {
            let mut rounds = piece.joins.iter().map(|join| join.round as usize);
            rounds.any(|round| tube.contains(&round))
        };
        if tube.len() >= LEAST_ROUNDS && joins(&tube) {
            tubes.push(tube);
        }
        from = to;
    }
    tubes
}

/// True if a round goes on as wide as the one below.
fn is_even(piece: &Piece, k: usize) -> bool {
    let width = |k: usize| piece.rounds[k].edge.len();
    width(k) == width(k - 1)
        && width(k) > 0
        && kind_of(piece, k) == RoundKind::Round
        && !starts_afresh(piece, k)
}
