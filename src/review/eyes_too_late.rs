//! Eyes go in while the washers do.

use super::draft::{Draft, Place, Sentence};
use super::lengths;
use super::opening::{closes, diameter_mm, eye_mm, puts_eyes_in};
use crate::source::Problem;

/// A washer is a third larger than its eye (common practice, no source).
const WASHER: f64 = 4.0 / 3.0;
/// Eyes whose size is not told are taken as small ones, in mm.
const SMALL_EYE_MM: f64 = 6.0;

/// Eyes that are put in when the last opening is smaller than their washers.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let told = draft.sentences.iter().find_map(eye_mm);
    let eye_mm = told.unwrap_or(SMALL_EYE_MM);
    let washer_mm = eye_mm * WASHER;
    let mut problems = Vec::new();
    for sentence in draft.from_the_pieces() {
        if !puts_eyes_in(sentence) {
            continue;
        }
        let opening_mm = match sentence.place {
            Place::Piece(piece) => opening_at(draft, sentence, piece),
            _ => all_closed(draft).then_some(0.0),
        };
        let Some(opening_mm) = opening_mm.filter(|&opening| opening < washer_mm) else {
            continue;
        };
        problems.push(
            Problem::error(
                "eyes-too-late",
                sentence.span(),
                format!(
                    "the eyes have washers of about {} mm, but the opening is only {} mm across here",
                    washer_mm.round(),
                    opening_mm.floor()
                ),
            )
            .help("put the eyes in before the rounds that close the piece"),
        );
    }
    problems
}

fn opening_at(draft: &Draft<'_>, sentence: &Sentence<'_>, piece: usize) -> Option<f64> {
    let piece = draft.fabric.pieces.get(piece)?;
    let rounds = draft.rounds_before(piece, sentence.span().start);
    // Words above the rounds tell beforehand.
    diameter_mm(piece, rounds, lengths::stitch_width_mm(draft))
        .filter(|_| rounds > 1 && rounds * 2 > piece.rounds.len())
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
