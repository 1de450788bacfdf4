//! Whether the chain at the start of a round of half doubles counts.

use super::draft::Draft;
use crate::fabric::{Piece, Role, Round};
use crate::pattern::{Act, Line};
use crate::source::{Problem, Span};
use crate::terms::Height;

/// Two chains at the start of a round of hdc count as a stitch to some and not to others (common practice); the first such
/// round without a word on it is pointed out, unless the words say it once for all.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let told = draft.prose.sentences.iter().any(|sentence| {
        sentence.has(&["counts", "count", "counted", "counting"])
            && sentence.has(&["ch", "chain", "chains"])
    });
    if told {
        return Vec::new();
    }
    for (piece, written) in draft.fabric.pieces.iter().zip(&draft.pattern.pieces) {
        for round in piece.rounds.iter().skip(1) {
            if !opens_with_two_chains(piece, round) || !is_half_double(piece, round) {
                continue;
            }
            let told = written.lines.iter().any(|line| match line {
                Line::Round(line) => {
                    line.span == round.span
                        && line
                            .body
                            .iter()
                            .any(|item| matches!(item.act, Act::StartCounts { .. }))
                }
                _ => false,
            });
            if !told {
                let span = first_words(piece, round);
                return vec![problem(span, round.stated.is_some())];
            }
        }
    }
    Vec::new()
}

fn problem(span: Span, has_total: bool) -> Problem {
    let message =
        "whether these chains count as a stitch is not said, and for half doubles customs differ";
    let problem = match has_total {
        // The total tells, to those who work it out.
        true => Problem::note("start-chain-unsaid", span, message),
        false => Problem::warning("start-chain-unsaid", span, message),
    };
    problem.help("write `ch 2 (counts as a st)` or `ch 2 (does not count as a st)`")
}

fn opens_with_two_chains(piece: &Piece, round: &Round) -> bool {
    let mut stitches = piece.round_stitches(round).map(|(_, stitch)| stitch);
    let is_start = |stitch: Option<&crate::fabric::Stitch>| {
        stitch.is_some_and(|stitch| {
            stitch.kind.height == Height::Chain
                && matches!(stitch.role, Role::Lift | Role::Stand | Role::Head)
        })
    };
    is_start(stitches.next()) && is_start(stitches.next()) && !is_start(stitches.next())
}

/// The round's first stitch after the chains is a half double.
fn is_half_double(piece: &Piece, round: &Round) -> bool {
    piece
        .round_stitches(round)
        .map(|(_, stitch)| stitch.kind.height)
        .find(|&height| height > Height::Slip)
        == Some(Height::HalfDouble)
}

fn first_words(piece: &Piece, round: &Round) -> Span {
    piece
        .round_stitches(round)
        .next()
        .map_or(round.span, |(_, stitch)| stitch.span)
}
