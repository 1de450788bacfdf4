//! Joined rounds, or rows, that start with a chain, all but one.

use super::draft::Draft;
use crate::fabric::{Piece, Role, Round, RoundKind, Step};
use crate::pattern::StepKind;
use crate::source::{Problem, Span};
use crate::terms::Height;

/// Fewest other rounds that tell how a piece's rounds or rows start.
const FEWEST: usize = 4;

/// A joined round that starts without a chain, where all other joined rounds of its piece but the first start with one; and a
/// row, unless the yarn is joined for it.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let kinds = [RoundKind::Round, RoundKind::Row];
    let pieces = draft.fabric.pieces.iter();
    pieces
        .flat_map(|piece| kinds.map(|kind| in_piece(draft, piece, kind)))
        .flatten()
        .collect()
}

fn in_piece(draft: &Draft<'_>, piece: &Piece, kind: RoundKind) -> Option<Problem> {
    let worked = |round: &Round| {
        let mut stitches = piece.round_stitches(round);
        stitches.any(|(_, stitch)| stitch.kind.height > Height::Slip)
    };
    let turned_or_joined = piece.rounds.iter().skip(1).filter(|round| {
        round.kind == kind && (round.closed || kind == RoundKind::Row) && worked(round)
    });
    let (with, without): (Vec<&Round>, Vec<&Round>) =
        turned_or_joined.partition(|round| opens_with_chain(piece, round));
    let [round] = without[..] else {
        return None;
    };
    let is_joined_anew = || {
        let words = draft.source.slice(round.span).to_lowercase();
        let early = |step: &Step| {
            step.kind == StepKind::FastenOff && (step.after_round as usize) < piece.rounds.len()
        };
        words.contains("join") || words.contains("attach") || piece.steps.iter().any(early)
    };
    // An edging, and a row of other stitches, may start in its own way.
    let tallest = |round: &Round| {
        let heights = piece.round_stitches(round);
        heights.map(|(_, stitch)| stitch.kind.height).max()
    };
    let is_alike = with.iter().all(|other| tallest(other) == tallest(round))
        && piece
            .rounds
            .last()
            .is_some_and(|last| last.span != round.span);
    if with.len() < FEWEST || kind == RoundKind::Row && (!is_alike || is_joined_anew()) {
        return None;
    }
    let first = piece.round_stitches(round).next()?.1.span;
    let name = match kind {
        RoundKind::Round => "round",
        RoundKind::Row => "row",
    };
    let problem = Problem::warning(
        "start-chain-missing",
        round.span,
        format!(
            "{name} {} starts without a chain, and the other {name}s of this piece with one",
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
