//! A left part on the right.

use super::draft::Draft;
use crate::place::Side;
use crate::prose::words;
use crate::source::{Problem, quoted};

/// Parts whose name says left or right, that sit on the other side of the toy.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (_, attachment) in draft.attachments() {
        let named = |side: &str| words::split(&attachment.part, 0).any(|word| word.is(side));
        let told = match (named("left"), named("right")) {
            (true, false) => Side::Left,
            (false, true) => Side::Right,
            _ => continue,
        };
        let wrong = match told {
            Side::Left => Side::Right,
            _ => Side::Left,
        };
        if attachment.side() != Some(wrong) {
            continue;
        }
        let message = format!(
            "{} comes to sit on the toy's own {}",
            quoted(&attachment.part),
            wrong.name()
        );
        problems.push(
            Problem::warning("part-wrong-side", attachment.span, message)
                .help("left and right are the toy's own: join them in the other order, or change their names"),
        );
    }
    problems
}
