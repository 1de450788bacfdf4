//! Stuffing goes in while a finger does.

use super::draft::{Draft, Place, Sentence};
use super::opening::names_rounds_after;
use crate::order::Opening;
use crate::pattern::StepKind;
use crate::prose::Word;
use crate::source::Problem;

/// The least opening in mm through which stuffing can be pushed with a stick (common practice, no source).
const LEAST_MM: f64 = 8.0;

/// A piece that is first stuffed when it is closed or all but closed.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let mut stuffing = draft.in_place(Place::Piece(place)).filter(|s| stuffs(s));
        let Some(first) = stuffing.next() else {
            continue;
        };
        let Some(opening) = Opening::of(piece).filter(|opening| opening.closes().is_some()) else {
            continue;
        };
        let start = first.span().start;
        let rounds = draft.rounds_before(piece, start);
        let closed = piece
            .steps
            .iter()
            .any(|step| step.kind == StepKind::CloseHole && step.span.end < start);
        let opening_mm = opening
            .diameter_mm(rounds, draft.stitch_mm)
            .unwrap_or(f64::MAX);
        let is_late = rounds == piece.rounds.len()
            && (closed || opening_mm < LEAST_MM)
            && !draft.is_misread_before(place, start);
        if is_late {
            problems.push(
                Problem::error(
                    "stuffing-too-late",
                    first.span(),
                    match closed {
                        true => "the piece is closed here, and stuffing can't get in".to_owned(),
                        false => format!(
                            "the opening is only {} mm across here: too small for stuffing",
                            opening_mm.floor()
                        ),
                    },
                )
                .help("stuff before the last decreases"),
            );
        }
    }
    problems
}

/// True for words that fill a piece.
pub(super) fn stuffs(sentence: &Sentence<'_>) -> bool {
    let not = sentence.has(&[
        "not",
        "don't",
        "don’t",
        "no",
        "without",
        "before",
        "unstuffed",
        // `Stuff only the hand` says how far.
        "only",
    ]);
    // `Stuff between 13 and 14`, `after Rnd 12`, `at the end`: done there, wherever it is told.
    let at_the_end =
        |three: &[Word<'_>]| three[0].is("at") && three[1].is("the") && three[2].is("end");
    let tells_when = names_rounds_after(sentence, &["between", "after"])
        || sentence.words.windows(3).any(at_the_end);
    sentence.has(&["stuff", "stuffing", "fill"]) && !not && !tells_when
}
