//! A piece that nobody puts anywhere.

use std::collections::BTreeSet;

use super::draft::{Draft, Place};
use super::parts::{FASTEN, Names, joined, tells_assembly};
use crate::source::{Problem, quoted};

/// Pieces of these names are parts of something, also where no words put any piece anywhere.
const PARTS: &[&str] = &[
    "wing", "ear", "arm", "leg", "foot", "paw", "fin", "beak", "nose", "snout", "muzzle", "horn",
    "tail", "mane", "comb", "flipper", "claw", "antenna", "tentacle", "hand",
];

/// A piece that is neither joined in a round nor named where pieces are fastened, in a pattern that tells how others are, or by whose name
/// it is a part. The largest piece is what the others are fastened to.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let pieces = &draft.pattern.pieces;
    let names = Names::new(draft.pattern);
    let tells = tells_assembly(draft);
    let is_part = |piece: usize| {
        let stems = names.of(piece);
        tells || draft.is_whole() && stems.iter().any(|stem| PARTS.contains(&stem.as_str()))
    };
    if pieces.len() < 2 {
        return Vec::new();
    }
    let mut named: BTreeSet<&str> = BTreeSet::new();
    let mut own: BTreeSet<usize> = BTreeSet::new();
    for sentence in &draft.sentences {
        let fastens = sentence.has(FASTEN);
        let home = match sentence.place {
            Place::Piece(piece) => Some(piece),
            _ => None,
        };
        if let Some(piece) = home.filter(|_| fastens && !sentence.in_round) {
            own.insert(piece);
        }
        let mut found = names.in_sentence(sentence).peekable();
        if fastens && found.peek().is_none() && home.is_none() && !sentence.in_round {
            // `Sew all parts together.`
            return Vec::new();
        }
        for (_, stem) in found {
            let elsewhere = home.is_none_or(|piece| !names.of(piece).iter().any(|s| s == stem));
            if fastens || sentence.in_round && elsewhere {
                named.insert(stem);
            }
        }
    }
    let joined = joined(draft);
    let largest = draft
        .fabric
        .pieces
        .iter()
        .map(|piece| piece.stitches.len())
        .max();
    let mut problems = Vec::new();
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let is_host = !piece.joins.is_empty() || Some(piece.stitches.len()) == largest;
        let is_used =
            joined[place].copies > 0 || own.contains(&place) || names.is_among(place, &named);
        if !is_host && !is_used && is_part(place) {
            problems.push(
                Problem::warning(
                    "part-unattached",
                    piece.span,
                    format!(
                        "{} is made, but no words say where it goes",
                        quoted(&piece.name)
                    ),
                )
                .help("say where it is sewn on, or join it in a round of another piece"),
            );
        }
    }
    problems
}
