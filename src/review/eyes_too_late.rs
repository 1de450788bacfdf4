//! Eyes go in while the washers do.

use super::draft::{Draft, Place, Sentence};
use super::opening::{eye_mm, names_rounds_after, puts_eyes_in};
use crate::order::{Opening, closes};
use crate::source::Problem;

/// A washer is a third larger than its eye (common practice, no source).
const WASHER: f64 = 4.0 / 3.0;
/// Eyes whose size is not told are taken as small ones, in mm.
const SMALL_EYE_MM: f64 = 6.0;

/// Eyes that are put in when the last opening is smaller than their washers.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let told = draft.prose.sentences.iter().find_map(eye_mm);
    let eye_mm = told.unwrap_or(SMALL_EYE_MM);
    let washer_mm = eye_mm * WASHER;
    // `Fix the backs before the head is closed`, `after Rnd 12`: done then, wherever it is told.
    let tells_when = |sentence: &Sentence<'_>| {
        sentence.has(&["before"]) || names_rounds_after(sentence, &["after"])
    };
    let puts_in = |sentence: &&Sentence<'_>| puts_eyes_in(sentence) && !tells_when(sentence);
    let mut problems = Vec::new();
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let Some(opening) = Opening::of(piece) else {
            continue;
        };
        for sentence in draft.in_place(Place::Piece(place)).filter(puts_in) {
            let rounds = draft.rounds_before(piece, sentence.span().start);
            // Words above the rounds tell beforehand.
            let is_told_late = rounds > 1
                && rounds * 2 > opening.rounds()
                && !draft.is_misread_before(place, sentence.span().start);
            let Some(across_mm) = opening.diameter_mm(rounds, draft.stitch_mm) else {
                continue;
            };
            if is_told_late && across_mm < washer_mm {
                problems.push(too_late(sentence, washer_mm, across_mm));
            }
        }
    }
    let elsewhere = [Place::Finishing, Place::Elsewhere];
    let mut after = elsewhere.iter().flat_map(|&place| draft.in_place(place));
    if let Some(sentence) = after.find(puts_in)
        && all_closed(draft)
    {
        problems.push(too_late(sentence, washer_mm, 0.0));
    }
    problems
}

fn too_late(sentence: &Sentence<'_>, washer_mm: f64, across_mm: f64) -> Problem {
    let washer_mm = washer_mm.round();
    let message = if across_mm > 0.0 {
        format!(
            "the eyes have washers of about {washer_mm} mm, but the opening is only {} mm across here",
            across_mm.floor()
        )
    } else {
        "the eyes are put in after the pieces are closed, when their washers can't be".to_owned()
    };
    Problem::error("eyes-too-late", sentence.span(), message)
        .help("put the eyes in before the rounds that close the piece")
}

/// Every piece that could have eyes is closed at its end.
fn all_closed(draft: &Draft<'_>) -> bool {
    let largest = draft.fabric.pieces.iter().map(|p| p.stitches.len()).max();
    let mut hosts = draft
        .fabric
        .pieces
        .iter()
        .filter(|piece| piece.make == 1 && piece.stitches.len() * 3 > largest.unwrap_or(0))
        .peekable();
    hosts.peek().is_some() && hosts.all(|piece| closes(piece).is_some())
}
