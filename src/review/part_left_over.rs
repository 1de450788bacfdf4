//! More copies of a part than rounds join, or words sew on.

use std::collections::BTreeSet;

use super::draft::Draft;
use super::parts::{Names, fastens, joined};
use crate::source::Problem;

/// Copies that are left over after all joins, where no words fasten the part in another way.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    let mut fastened: BTreeSet<&str> = BTreeSet::new();
    for sentence in &draft.prose.sentences {
        if !sentence.in_round && fastens(sentence) {
            fastened.extend(names.in_sentence(sentence).map(|(_, stem)| stem));
        }
    }
    let mut problems = Vec::new();
    let joined = joined(draft);
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let joined = joined[place].copies;
        if joined == 0
            && let Some(sewn) = sewn(draft, &names, place).filter(|&n| n < piece.make as usize)
        {
            let are = if sewn == 1 { "is" } else { "are" };
            let message = format!(
                "{} of this piece are made, but only {sewn} {are} put on",
                piece.make
            );
            problems.push(
                Problem::warning("part-left-over", piece.span, message)
                    .help(format!("make {sewn}, or say where the others go")),
            );
        }
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

/// How many of a piece are put on, where the words that do it all say `the two wings` or `both wings`.
fn sewn(draft: &Draft<'_>, names: &Names, place: usize) -> Option<usize> {
    // `Sew the two wings to the back, the other one to the front` would need a reader of its own.
    const OTHERS: &[&str] = &[
        "each",
        "other",
        "others",
        "another",
        "remaining",
        "rest",
        "repeat",
        "same",
        "again",
        "pair",
        "pairs",
        "every",
    ];
    let mut sewn = None;
    for sentence in draft.below_the_header().filter(|s| !s.in_round) {
        let mut named = names
            .in_sentence(sentence)
            .filter(|(_, stem)| names.only(stem) == Some(place));
        let Some((at, _)) = named.next().filter(|_| fastens(sentence)) else {
            continue;
        };
        if named.next().is_some() || sentence.has(OTHERS) {
            return None;
        }
        let number = at.checked_sub(1).map(|before| &sentence.words[before])?;
        let is_all = number.is("both")
            || at >= 2 && sentence.words[at - 2].is("the") && number.number() > Some(1.0);
        if !is_all {
            return None;
        }
        sewn = Some(sewn.unwrap_or(0) + number.number()? as usize);
    }
    sewn
}
