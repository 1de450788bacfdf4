//! More copies of a part than rounds join.

use std::collections::BTreeSet;

use super::draft::Draft;
use super::parts::{FASTEN, Names, joined};
use crate::source::Problem;

/// Copies that are left over after all joins, where no words fasten the part in another way.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    let mut fastened: BTreeSet<&str> = BTreeSet::new();
    for sentence in &draft.sentences {
        if !sentence.in_round && sentence.has(FASTEN) {
            fastened.extend(names.in_sentence(sentence).map(|(_, stem)| stem));
        }
    }
    let mut problems = Vec::new();
    let joined = joined(draft);
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let joined = joined[place].copies;
        if joined == 0 || joined >= piece.make as usize || names.is_among(place, &fastened) {
            continue;
        }
        problems.push(
            Problem::warning(
                "part-left-over",
                piece.span,
                format!(
                    "{} of this piece are made, but only {joined} {} joined",
                    piece.make,
                    if joined == 1 { "is" } else { "are" }
                ),
            )
            .help(format!("make {joined}, or say where the others go")),
        );
    }
    problems
}
