//! One eye higher than the other.

use super::draft::Draft;
use crate::source::Problem;

/// Two eyes in different rounds.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let all = &draft.placement().attachments;
    let eyes = all.iter().enumerate().filter(|(_, a)| a.part == "eye");
    let uneven = eyes.filter(|(id, eye)| {
        eye.partner
            .is_some_and(|partner| partner < *id && all[partner].round != eye.round)
    });
    uneven
        .map(|(_, eye)| {
            Problem::warning(
                "eyes-not-level",
                eye.span,
                "the eyes sit in different rounds, so one is higher than the other",
            )
            .help("put both between the same two rounds")
        })
        .collect()
}
