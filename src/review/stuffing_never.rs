//! Pieces that close without a word on stuffing.

use std::collections::BTreeSet;

use super::draft::{Draft, Place, Sentence};
use super::parts::Names;
use crate::order::closes;
use crate::source::{Level, Problem, Span};

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

/// What a list calls it.
const LISTED: &[&str] = &["stuffing", "fiberfill", "fibrefill", "polyfill", "polyfil"];

/// Words by which a list leaves it out, or the maker may.
const NOT_LISTED: &[&str] = &[
    "no",
    "not",
    "without",
    "optional",
    "optionally",
    "unstuffed",
];

/// Words that close a piece.
const CLOSES: &[&str] = &[
    "close", "closed", "pull", "tight", "tighten", "gather", "draw", "cinch", "hole",
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
    let used = draft.below_the_header().any(|s| s.has(STUFFS));
    let is_listed = draft.prose.sentences.iter().any(|s| {
        matches!(s.place, Place::Front | Place::Materials) && s.has(LISTED) && !s.has(NOT_LISTED)
    });
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
            // What is listed and never used was surely meant for a piece that closes.
            let closing = closing(draft, place);
            let level = match closing {
                Some(_) if is_listed && !used => Level::Warning,
                _ => Level::Note,
            };
            let span = closing.unwrap_or(piece.span);
            problems.push(
                Problem::new(
                    level,
                    "stuffing-never",
                    span,
                    "this piece closes, but no words say whether it is stuffed",
                )
                .help("write `Stuff.` before the last decreases, or `Do not stuff.`"),
            );
        }
    }
    problems
}

/// The words below the last round that close a piece.
fn closing(draft: &Draft<'_>, piece: usize) -> Option<Span> {
    let last = draft.fabric.pieces[piece].rounds.last()?.span;
    let mut own = draft.in_place(Place::Piece(piece));
    let found = own.find(|s| s.span().start >= last.start && s.has(CLOSES));
    found.map(Sentence::span)
}
