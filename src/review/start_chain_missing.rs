//! Joined rounds that start with a chain, all but one.

use super::draft::Draft;
use crate::fabric::{Piece, Role, Round, RoundKind};
use crate::source::{Problem, Span};
use crate::terms::Height;

/// Fewest other rounds that tell how a piece's rounds start.
const FEWEST: usize = 4;

/// A joined round that starts without a chain, where all other joined rounds of its piece but the first start with one.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let pieces = draft.fabric.pieces.iter();
    pieces.filter_map(|piece| in_piece(draft, piece)).collect()
}

fn in_piece(draft: &Draft<'_>, piece: &Piece) -> Option<Problem> {
    let worked = |round: &Round| {
        let mut stitches = piece.round_stitches(round);
        stitches.any(|(_, stitch)| stitch.kind.height > Height::Slip)
    };
    let joined = piece
        .rounds
        .iter()
        .skip(1)
        .filter(|round| round.closed && round.kind == RoundKind::Round && worked(round));
    let (with, without): (Vec<&Round>, Vec<&Round>) =
        joined.partition(|round| opens_with_chain(piece, round));
    let [round] = without[..] else {
        return None;
    };
    if with.len() < FEWEST {
        return None;
    }
    let first = piece.round_stitches(round).next()?.1.span;
    let problem = Problem::warning(
        "start-chain-missing",
        round.span,
        format!(
            "round {} starts without a chain, and the other rounds of this piece with one",
            round.number
        ),
    );
    let words = draft.source.slice(first);
    // `Sc in each st` goes on after the chain in small letters.
    let opens = words.chars().next().filter(|c| c.is_uppercase());
    let chain = if opens.is_some() { "Ch 1, " } else { "ch 1, " };
    let at = Span::new(first.start, first.start + opens.map_or(0, char::len_utf8));
    let letter = opens.map_or(String::new(), |c| c.to_lowercase().collect());
    Some(
        problem
            .help(format!("write `{}` before its first stitch", chain.trim()))
            .mend(at, format!("{chain}{letter}")),
    )
}

fn opens_with_chain(piece: &Piece, round: &Round) -> bool {
    piece
        .round_stitches(round)
        .next()
        .is_some_and(|(_, stitch)| {
            stitch.kind.height == Height::Chain
                && matches!(stitch.role, Role::Lift | Role::Stand | Role::Head)
        })
}
