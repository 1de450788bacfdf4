//! A piece that nobody puts anywhere.

use std::collections::BTreeSet;

use super::draft::{Draft, Place};
use super::parts::{Names, PARTS, fastens, is_goal, joined, tells_assembly};
use crate::source::{Problem, quoted};

/// Pieces of these names are what parts are fastened to.
const HOSTS: &[&str] = &["body", "head"];

/// A piece that is neither joined in a round nor named where pieces are fastened, in a pattern that tells how others are, or by whose name
/// it is a part. The largest piece is what the others are fastened to.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let pieces = &draft.pattern.pieces;
    let names = Names::new(draft.pattern);
    let tells = tells_assembly(draft);
    // `Body + tail` is what others are fastened to.
    let is_named_part = |piece: usize| {
        let mut stems = names.of(piece).iter();
        let is_host = stems.clone().any(|stem| HOSTS.contains(&stem.as_str()));
        !is_host && stems.any(|stem| PARTS.contains(&stem.as_str()))
    };
    let is_part = |piece: usize| tells || draft.is_whole() && is_named_part(piece);
    if pieces.len() < 2 {
        return Vec::new();
    }
    let mut named: BTreeSet<&str> = BTreeSet::new();
    let mut own: BTreeSet<usize> = BTreeSet::new();
    for sentence in &draft.prose.sentences {
        // `The egg stays loose.`
        let stays = sentence.has(&["stays", "remains", "stay", "separate", "separately"])
            && sentence.has(&["loose", "free", "separate", "separately", "unattached"]);
        let fastens = fastens(sentence) || stays;
        let home = match sentence.place {
            Place::Piece(piece) => Some(piece),
            _ => None,
        };
        let mut found = names.in_sentence(sentence).peekable();
        // `Sew it to the body` below a piece is about that piece, `Sew the arm to the body` is not.
        let mut is_about = |piece: usize| {
            found.peek().is_none_or(|&(at, stem)| {
                is_goal(sentence, at) || names.of(piece).iter().any(|own| own == stem)
            })
        };
        if let Some(piece) = home.filter(|_| fastens && !sentence.in_round)
            && is_about(piece)
        {
            own.insert(piece);
        }
        let of_all = home.is_none() || sentence.has(&["all", "everything"]);
        let ends = sentence.has(&["end", "ends", "tails", "hole", "sts", "stitches"]);
        if fastens
            && found.peek().is_none()
            && of_all
            && !(home.is_some() && ends)
            && !sentence.in_round
        {
            // `Sew all parts together.`
            return Vec::new();
        }
        for (_, stem) in found {
            let elsewhere = home.is_none_or(|piece| !names.of(piece).iter().any(|s| s == stem));
            // `Arms at Rnd 8, legs along Rnds 9-12`
            let placed = sentence.place == Place::Finishing;
            if fastens || placed || sentence.in_round && elsewhere {
                named.insert(stem);
            }
        }
    }
    let joined = joined(draft);
    // A long tail may have more stitches than the body.
    let size = |piece: usize| draft.fabric.pieces[piece].stitches.len();
    let all = 0..draft.fabric.pieces.len();
    let hosts = all.clone().filter(|&piece| !is_named_part(piece)).map(size);
    let largest = hosts.max().or_else(|| all.map(size).max());
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
