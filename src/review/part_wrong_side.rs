//! A left part on the right.

use super::draft::Draft;
use crate::place::Side;
use crate::prose::{Word, words};
use crate::source::{Problem, quoted};

/// Parts that are called left or right, by their name or by the words that put them on, and sit on the other side of the toy.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (_, attachment) in draft.attachments() {
        let name: Vec<_> = words::split(&attachment.part, 0).collect();
        let told: Vec<_> = words::split(draft.source.slice(attachment.span), 0).collect();
        let called = |pair: &[Word<'_>], side: &str| {
            let is_part = name
                .last()
                .is_some_and(|part| part.stem() == pair[1].stem());
            pair[0].is(side) && is_part
        };
        let named = |side: &str| {
            name.iter().any(|word| word.is(side)) || told.windows(2).any(|pair| called(pair, side))
        };
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
