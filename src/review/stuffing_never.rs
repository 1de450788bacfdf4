//! Pieces that close without a word on stuffing.

use std::collections::BTreeSet;

use super::draft::{Draft, Place, Sentence};
use super::parts::Names;
use crate::order::closes;
use crate::source::Problem;

/// Words about what is inside a piece.
const STUFFS: &[&str] = &[
    "stuff",
    "stuffed",
    "stuffing",
    "fill",
    "filled",
    "filling",
    "unstuffed",
    "fiberfill",
    "fibrefill",
    "rattle",
];

/// Words about a piece that nothing is put into.
const FLATTENS: &[&str] = &["flat", "flatten", "empty", "fold"];

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
    let names = Names::new(draft.pattern);
    let elsewhere = || {
        let below = draft.below_the_header();
        below.filter(|s| !matches!(s.place, Place::Piece(_)))
    };
    // `Flatten the wings and sew them on` says nothing of the body.
    let of_all = |s: &Sentence<'_>| {
        s.has(STUFFS) || s.has(FLATTENS) && names.in_sentence(s).next().is_none()
    };
    let told = elsewhere().any(of_all);
    let flattened: BTreeSet<&str> = elsewhere()
        .filter(|s| s.has(FLATTENS))
        .filter_map(|s| names.in_sentence(s).next())
        .map(|(_, stem)| stem)
        .collect();
    let mut problems = Vec::new();
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let Some((widest, _)) = closes(piece).filter(|_| !told) else {
            continue;
        };
        // A bobble of a few stitches fills itself.
        let mut own = draft.in_place(Place::Piece(place));
        let speaks =
            own.any(|s| s.has(STUFFS) || s.has(FLATTENS)) || names.is_among(place, &flattened);
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
