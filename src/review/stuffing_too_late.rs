//! Stuffing goes in while a finger does.

use super::draft::{Draft, Place, Sentence};
use crate::order::Opening;
use crate::pattern::StepKind;
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
    ]);
    sentence.has(&["stuff", "stuffing", "fill"]) && !not && !tells_when(sentence)
}

/// `Stuff between 13 and 14`, `after Rnd 12`: done there, wherever it is told.
fn tells_when(sentence: &Sentence<'_>) -> bool {
    let words = &sentence.words;
    let is_number = |at: usize| {
        words
            .get(at)
            .is_some_and(|word| word.whole_number().is_some())
    };
    (0..words.len()).any(|at| {
        let named = words.get(at + 1).is_some_and(|word| {
            word.is_any(&["rnd", "rnds", "round", "rounds", "r", "rd", "row", "rows"])
        });
        words[at].is_any(&["between", "after"]) && is_number(at + 1 + usize::from(named))
    })
}
