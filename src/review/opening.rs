//! How wide the last opening of a piece is while it is worked, and what has to go through it.

use super::draft::Sentence;
use super::lengths;
use crate::fabric::{Piece, Role, Round, RoundKind};

/// Most stitches in a first round that closes up as the start of a ball does; more are an open end.
const CLOSED_START: usize = 12;

/// Stitches of a round's edge.
fn heads(piece: &Piece, round: &Round) -> usize {
    round
        .edge
        .iter()
        .filter(|&&id| piece.stitch(id).role != Role::Bridge)
        .count()
}

/// Diameter in mm of the opening after so many rounds, round and not pressed flat; `None` where the piece is open at its
/// start as well, or is no tube.
pub(super) fn diameter_mm(piece: &Piece, rounds: usize, stitch_mm: f64) -> Option<f64> {
    let first = piece.rounds.iter().find(|round| !round.edge.is_empty())?;
    let is_tube = piece
        .rounds
        .iter()
        .all(|round| round.kind == RoundKind::Round);
    if !is_tube || heads(piece, first) > CLOSED_START {
        return None;
    }
    let last = piece.rounds.get(rounds.checked_sub(1)?)?;
    Some(heads(piece, last) as f64 * stitch_mm / std::f64::consts::PI)
}

/// Stitches of the widest and of the last round, for pieces that close: worked in the round from a closed start, and no
/// more than 8 stitches at the end, at most half of the widest round.
pub(super) fn closes(piece: &Piece) -> Option<(usize, usize)> {
    let counts: Vec<usize> = piece
        .rounds
        .iter()
        .map(|round| heads(piece, round))
        .collect();
    let widest = counts.iter().copied().max()?;
    let last = *counts.last()?;
    let closed_start = diameter_mm(piece, counts.len(), 1.0).is_some();
    (closed_start && (1..=8).contains(&last) && last * 2 <= widest).then_some((widest, last))
}

/// True for words that put eyes in, rather than sew or draw them on.
pub(super) fn puts_eyes_in(sentence: &Sentence<'_>) -> bool {
    let puts = sentence.has(&[
        "insert", "place", "attach", "put", "add", "push", "fix", "fit", "secure", "set",
    ]);
    let otherwise = sentence.has(&[
        "embroider",
        "embroidered",
        "sew",
        "glue",
        "felt",
        "stitch",
        "crochet",
        "leave",
        "if",
        "marker",
        "between",
    ]);
    let between_rounds = sentence.has(&["rnd", "rnds", "round", "rounds", "rd", "rds", "R"]);
    let soft = sentence.has(&["embroider", "embroidered", "sew", "glue", "felt"]);
    sentence.has(&["eyes", "eye"]) && puts && !soft && (!otherwise || between_rounds)
}

/// Diameter in mm of the eyes that a sentence names.
pub(super) fn eye_mm(sentence: &Sentence<'_>) -> Option<f64> {
    if !sentence.has(&["eyes", "eye"]) {
        return None;
    }
    let length =
        (0..sentence.words.len()).find_map(|at| lengths::length_at(&sentence.words, at))?;
    (length.mm <= 40.0).then_some(length.mm)
}
