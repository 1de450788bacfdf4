//! Increases on top of each other.

use crate::fabric::{Piece, Role, Round, StitchId};
use crate::source::Problem;

use super::draft::Draft;

/// So many rounds of stacked increases show as corners.
const SHOWS: usize = 4;

/// Rounds whose increases all stand on increases of the round below, four or more on end: the disc or ball gets corners
/// (hexagonal when increases are stacked: kristitullus.com, "Crocheting a round piece"). Many designers do not mind.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    draft.fabric.pieces.iter().filter_map(of_piece).collect()
}

fn of_piece(piece: &Piece) -> Option<Problem> {
    let mut run = 0;
    for pair in piece.rounds.windows(2) {
        run = match corners(piece, &pair[0], &pair[1]) {
            Some(corners) if run + 1 >= SHOWS => {
                return Some(
                    Problem::note(
                        "increases-stacked",
                        pair[1].span,
                        format!("the increases of {SHOWS} rounds stand on each other: the work gets {corners} corners"),
                    )
                    .help("shift the increases of every other round by half a repeat"),
                );
            }
            Some(_) => run + 1,
            None => 0,
        };
    }
    None
}

/// The increases of a round, if all of them are worked into increases of the round below, and there are a few and not as many
/// as stitches.
fn corners(piece: &Piece, below: &Round, round: &Round) -> Option<usize> {
    let under = increased(piece, below);
    let here = increased(piece, round);
    let on_pair = |id: &StitchId| {
        piece
            .feet(*id)
            .first()
            .is_some_and(|foot| under.binary_search(foot).is_ok())
    };
    let is_few = (3..=12).contains(&here.len()) && here.len() < below.edge.len();
    (is_few && here.iter().all(on_pair)).then_some(here.len())
}

/// The stitches of the round below that a round works into more than once, in order.
fn increased(piece: &Piece, round: &Round) -> Vec<StitchId> {
    let mut feet: Vec<StitchId> = piece
        .round_stitches(round)
        .filter(|(_, stitch)| stitch.role == Role::Head)
        .filter_map(|(id, _)| match piece.feet(id) {
            [foot] => Some(*foot),
            _ => None,
        })
        .collect();
    feet.sort_unstable();
    let mut twice: Vec<StitchId> = feet
        .windows(2)
        .filter(|pair| pair[0] == pair[1])
        .map(|pair| pair[0])
        .collect();
    twice.dedup();
    twice
}
