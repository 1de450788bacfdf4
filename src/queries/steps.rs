//! Things done between stitches, in two versions: stuffing, eyes, markers that are done elsewhere, are new, or are left out.

use super::compare::Pair;
use super::sheet::code;
use crate::fabric::{Piece, RoundKind, Step};
use crate::source::Source;

/// A version of a piece with the text that it comes from.
pub(super) type Side<'a> = (&'a Source, &'a Piece);

/// The corrections to the steps of a piece, its rounds lined up as they answer to each other.
pub(super) fn corrections(was: Side<'_>, is: Side<'_>, pairs: &[Pair]) -> Vec<String> {
    let places = new_places(was.1, pairs);
    let mut gone: Vec<&Step> = Vec::new();
    let mut here: Vec<&Step> = is.1.steps.iter().collect();
    for step in &was.1.steps {
        let after = places[(step.after_round as usize).min(places.len() - 1)];
        let within = within(was.1, step);
        let found = here.iter().position(|other| {
            let same = is_alike(other, step) && other.after_round == after;
            same && self::within(is.1, other) == within
        });
        match found {
            Some(at) => drop(here.remove(at)),
            None => gone.push(step),
        }
    }
    let mut lines = Vec::new();
    for step in gone {
        let words = code(was.0.slice(step.span));
        let place = place(was.1, step);
        let moved = here.iter().position(|other| is_alike(other, step));
        lines.push(match moved.map(|at| here.remove(at)) {
            Some(other) => format!("{words} {place}: is done {} now.", self::place(is.1, other)),
            None => format!("{words} {place}: is left out now."),
        });
    }
    let new = here.iter();
    lines.extend(new.map(|step| {
        let words = code(is.0.slice(step.span));
        format!("{words} {}: is new.", place(is.1, step))
    }));
    lines
}

/// True for two steps of one kind: where eyes go is told by their words.
fn is_alike(one: &Step, other: &Step) -> bool {
    std::mem::discriminant(&one.kind) == std::mem::discriminant(&other.kind)
}

/// For each number of rounds worked in the old version, that number in the new one.
fn new_places(was: &Piece, pairs: &[Pair]) -> Vec<u32> {
    let mut places = vec![0; was.rounds.len() + 1];
    for pair in pairs {
        if let Pair::Same(a, b) | Pair::Changed(a, b) = *pair {
            places[a + 1] = b as u32 + 1;
        }
    }
    for at in 1..places.len() {
        places[at] = places[at].max(places[at - 1]);
    }
    places
}

/// Stitches of its round before a step; `None` where the round is done.
fn within(piece: &Piece, step: &Step) -> Option<u32> {
    let round = piece
        .rounds
        .get(step.after_round.checked_sub(1)? as usize)?;
    let before = step.after.map_or(0, |id| id.0 + 1);
    (before < round.stitches.end).then(|| before.saturating_sub(round.stitches.start))
}

/// `after Rnd 6`, `in Rnd 6 after 4 stitches`.
fn place(piece: &Piece, step: &Step) -> String {
    let round = (step.after_round.checked_sub(1)).and_then(|at| piece.rounds.get(at as usize));
    let Some(round) = round else {
        return "before the first round".to_owned();
    };
    let label = match round.kind {
        RoundKind::Round => format!("Rnd {}", round.number),
        RoundKind::Row => format!("Row {}", round.number),
    };
    match within(piece, step) {
        None => format!("after {label}"),
        Some(0) => format!("at the start of {label}"),
        Some(1) => format!("in {label} after 1 stitch"),
        Some(n) => format!("in {label} after {n} stitches"),
    }
}
