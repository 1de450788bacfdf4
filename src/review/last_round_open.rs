//! How a piece ends.

use super::draft::{Draft, Place};
use super::parts::joined;
use crate::order::closes;
use crate::source::Problem;

/// Words on what becomes of the last opening.
const SPEAKS: &[&str] = &[
    "close",
    "closed",
    "closing",
    "hole",
    "gather",
    "gathered",
    "cinch",
    "draw",
    "drawn",
    "pull",
    "opening",
    "open",
    "sew",
    "sewn",
    "sewing",
    "tighten",
    "loops",
    "flat",
    "flatten",
    "join",
    "attach",
    "remaining",
];

/// A piece that narrows to a few stitches, in a whole pattern, with no word on closing them.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let told = draft
        .below_the_header()
        .any(|s| !matches!(s.place, Place::Piece(_)) && s.has(&["close", "hole", "opening"]));
    if !draft.is_whole() || told {
        return Vec::new();
    }
    let joined = joined(draft);
    let mut problems = Vec::new();
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let (Some((_, last)), Some(round)) = (closes(piece), piece.rounds.last()) else {
            continue;
        };
        let speaks = draft
            .in_place(Place::Piece(place))
            .filter(|sentence| sentence.span().end > round.span.start)
            .any(|sentence| sentence.has(SPEAKS));
        if !speaks && joined[place].copies == 0 {
            problems.push(
                Problem::note(
                    "last-round-open",
                    round.span,
                    format!("the last {last} stitches stay open: no words say how to close them"),
                )
                .help("end with `Fasten off and close the hole through the front loops.`"),
            );
        }
    }
    problems
}
