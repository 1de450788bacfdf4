//! Two parts on the same stitches.

use super::draft::Draft;
use crate::place::Held;
use crate::source::{Problem, limits};

/// Attachments on stitches of one round that another one takes up already.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let placement = draft.placement();
    let all = &placement.attachments;
    let mut problems = Vec::new();
    for (id, one) in draft.attachments() {
        let Some(stitches) = one.stitches else {
            continue;
        };
        let from = id.saturating_sub(limits::JOINS_LOOKED_BACK);
        let same = all[from..id].iter().position(|other| {
            let rounds = |a: &crate::place::Attachment| a.round.zip(a.last_round);
            let is_beside = match (rounds(one), rounds(other)) {
                (Some((a, b)), Some((c, d))) => a <= d && c <= b,
                _ => false,
            };
            let is_on = other.stitches.is_some_and(|taken| taken.meets(stitches));
            let are_parts = one.held != Held::Feature && other.held != Held::Feature;
            // Two halves that are laid to each other and joined all round.
            let are_laid = one.piece.is_some()
                && one.piece == other.piece
                && one.stitches == other.stitches
                && one.round
                    == draft.fabric.pieces[one.into]
                        .rounds
                        .first()
                        .map(|r| r.number);
            other.into == one.into && is_beside && is_on && are_parts && !are_laid
        });
        if let Some(other) = same.map(|at| from + at) {
            let message = format!(
                "the {} sits on stitches where the {} is",
                placement.name(id),
                placement.name(other)
            );
            problems.push(
                Problem::warning("parts-overlap", one.span, message)
                    .help("move one of them, or join them in different rounds"),
            );
        }
    }
    problems
}
