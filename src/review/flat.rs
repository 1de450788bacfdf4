//! Discs that are said to be flat and do not grow as flat ones do.

use super::draft::{Draft, Place};
use crate::fabric::{Piece, Round, RoundKind};
use crate::source::Problem;
use crate::terms::{Height, Into};

/// A disc that grows by 30 % more than a flat one ruffles, by 20 % less it cups; nearer than that, a maker's hand decides
/// (common practice, no source).
const RUFFLES: f64 = 1.3;
const CUPS: f64 = 0.8;
/// Growth of a round beside that of a flat disc, from which on it surely ruffles.
const FAST: f64 = 1.4;
/// The first rounds say nothing yet.
const FIRST: usize = 3;

/// A disc, in words that call it flat, that has too many or too few stitches for it from some round on.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let pieces = draft.fabric.pieces.iter().enumerate();
    pieces
        .filter(|&(place, _)| is_said_to_be_flat(draft, place))
        .filter_map(|(_, piece)| disc(piece))
        .collect()
}

fn disc(piece: &Piece) -> Option<Problem> {
    let from_ring = piece.rounds.first().is_some_and(|round| {
        let last = piece.round_stitches(round).last();
        last.is_some_and(|(_, stitch)| {
            stitch.into == Into::Ring || stitch.kind.height == Height::Slip
        }) || in_one_chain(piece, round)
    });
    if !from_ring
        || piece
            .rounds
            .iter()
            .any(|round| round.kind == RoundKind::Row)
    {
        return None;
    }
    let mut flat = 0.0;
    let mut last = 0;
    let mut shares: Vec<(&Round, f64, f64)> = Vec::new();
    for round in &piece.rounds {
        let count = round.edge.len();
        flat += growth(piece, round)?;
        if count < last {
            break;
        }
        // An even round turns the edge up, as the words surely say.
        if count > last {
            shares.push((round, count as f64, flat));
        }
        last = count;
    }
    let grown = shares.get(FIRST - 1..)?;
    // Three rounds in a row that grow by half as much again ruffle as well.
    let steps: Vec<f64> = shares
        .windows(2)
        .map(|pair| (pair[1].1 - pair[0].1) / (pair[1].2 - pair[0].2))
        .collect();
    let fast = steps.len() >= FIRST && steps[steps.len() - FIRST..].iter().all(|&step| step > FAST);
    let most = if fast { (1.0 + RUFFLES) / 2.0 } else { RUFFLES };
    let is_wrong =
        |&(_, count, flat): &(&Round, f64, f64)| count / flat > most || count / flat < CUPS;
    // The last round alone may be an edging.
    let from = grown
        .iter()
        .rposition(|share| !is_wrong(share))
        .map_or(0, |at| at + 1);
    if grown.len() < from + 2 {
        return None;
    }
    let &(round, count, flat) = grown.get(from)?;
    let need = flat.round();
    Some(if count > flat {
        Problem::warning(
            "flat-ruffles",
            round.span,
            format!("a flat disc has about {need} stitches here, not {count}: this one ruffles"),
        )
        .help("work fewer increases: 6 a round for sc, 8 for hdc, 12 for dc")
    } else {
        Problem::warning(
            "flat-cups",
            round.span,
            format!("a flat disc has about {need} stitches here, not {count}: this one cups"),
        )
        .help("work more increases: 6 a round for sc, 8 for hdc, 12 for dc")
    })
}

/// Stitches that a flat disc gains in a round, by its tallest stitch: 6 for sc, 8 for hdc, 12 for dc, 16 for tr (common
/// practice). `None` for rounds of other stitches, and for those round posts.
fn growth(piece: &Piece, round: &Round) -> Option<f64> {
    let heights = piece
        .round_stitches(round)
        .map(|(_, stitch)| stitch.kind.height);
    match heights.max()? {
        Height::Single => Some(6.0),
        Height::HalfDouble => Some(8.0),
        Height::Double => Some(12.0),
        Height::Treble => Some(16.0),
        _ => None,
    }
}

/// Words above a piece's rounds that call it flat; for a pattern of one piece, also those above it.
fn is_said_to_be_flat(draft: &Draft<'_>, piece: usize) -> bool {
    // `Press flat` and the like do something to a piece that is not.
    const ACTS: &[&str] = &[
        "press", "pressed", "fold", "folded", "pin", "hold", "held", "sew", "lay", "flatten",
        "not", "block", "until", "stuff", "keeping",
    ];
    let is_alone = draft.fabric.pieces.len() == 1;
    let above = draft.in_place(Place::Front).filter(|_| is_alone);
    draft
        .in_place(Place::Piece(piece))
        .filter(|sentence| !sentence.in_round)
        .chain(above)
        .any(|sentence| sentence.has(&["flat"]) && !sentence.has(ACTS))
}

/// True for a round that is worked into one chain: `5 dc in 4th ch from hook`.
fn in_one_chain(piece: &Piece, round: &Round) -> bool {
    const LEAST: usize = 4;
    let worked = piece
        .round_stitches(round)
        .filter(|(_, stitch)| stitch.kind.height > Height::Slip && stitch.into == Into::Chain);
    let feet: Vec<_> = worked.map(|(id, _)| piece.feet(id)).collect();
    feet.len() >= LEAST && feet.windows(2).all(|pair| pair[0] == pair[1])
}
