//! Pieces that close without a word on stuffing.

use super::draft::{Draft, Place};
use crate::order::closes;
use crate::source::Problem;

/// Words about what is inside a piece, or that nothing is.
const SPEAKS: &[&str] = &[
    "stuff",
    "stuffed",
    "stuffing",
    "fill",
    "filled",
    "filling",
    "unstuffed",
    "fiberfill",
    "fibrefill",
    "flat",
    "flatten",
    "empty",
    "fold",
    "rattle",
];

/// Stitches of the widest round from which on a piece is surely stuffed.
const WIDE: usize = 24;

/// A piece that closes with no word on stuffing, in a pattern that speaks of stuffing elsewhere, or a wide one in a whole pattern.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let stuffing = &["stuff", "stuffed", "stuffing", "fiberfill", "fibrefill"];
    let mut sentences = draft.prose.sentences.iter();
    let least = match sentences.any(|sentence| sentence.has(stuffing)) {
        true => 12,
        false if draft.is_whole() => WIDE,
        false => return Vec::new(),
    };
    let told = draft
        .below_the_header()
        .any(|s| !matches!(s.place, Place::Piece(_)) && s.has(SPEAKS));
    let mut problems = Vec::new();
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let Some((widest, _)) = closes(piece).filter(|_| !told) else {
            continue;
        };
        // A bobble of a few stitches fills itself.
        let speaks = draft.in_place(Place::Piece(place)).any(|s| s.has(SPEAKS));
        if widest >= least && !speaks {
            problems.push(
                Problem::note(
                    "stuffing-never",
                    piece.span,
                    "this piece closes, but no words say whether it is stuffed",
                )
                .help("write `Stuff.` before the last decreases, or `Do not stuff.`"),
            );
        }
    }
    problems
}
