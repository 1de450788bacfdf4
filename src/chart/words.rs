//! What a round is, in words, for those who hear a chart instead of seeing it.

use std::ops::Range;

use super::marks::label;
use crate::fabric::{Fabric, Piece, Role, Round, RoundKind, Stitch, StitchId};
use crate::terms::{Height, Into, Terms};

/// Longest pattern of stitches that is looked for as a repeat within a round.
const LONGEST_REPEAT: usize = 48;
/// Longest list of stitches that is told in full, in parts.
const LONGEST_LIST: usize = 60;

/// A round or a run of equal rounds in a sentence or two.
pub(super) fn says(fabric: &Fabric, piece: &Piece, rounds: &Range<usize>) -> String {
    let round = &piece.rounds[rounds.start];
    let name = match (round.kind, rounds.len()) {
        (RoundKind::Round, 1) => "Round",
        (RoundKind::Round, _) => "Rounds",
        (RoundKind::Row, 1) => "Row",
        (RoundKind::Row, _) => "Rows",
    };
    let label = label(piece, rounds).replace('–', " to ");
    let count = match round.count {
        1 => "1 stitch".to_owned(),
        count => format!("{count} stitches"),
    };
    let opening = if label.is_empty() {
        "Start".to_owned()
    } else {
        format!("{name} {label}")
    };
    let each = if rounds.len() > 1 { " each" } else { "" };
    let parts = parts(fabric, piece, round);
    format!("{opening}: {}. {count}{each}.", told(&parts))
}

/// What is worked, in the order of work: a phrase, and whether a number can stand before it.
#[derive(PartialEq, Clone)]
struct Part {
    phrase: String,
    count: u32,
}

fn parts(fabric: &Fabric, piece: &Piece, round: &Round) -> Vec<Part> {
    let ids: Vec<StitchId> = round.stitches.clone().map(StitchId).collect();
    let mut parts: Vec<Part> = Vec::new();
    for group in ids.chunk_by(|&a, &b| are_siblings(piece, a, b)) {
        let stitch = piece.stitch(group[0]);
        let name = stitch.kind.abbreviation(fabric.terms);
        let many = group.len() as u32;
        let place = place(stitch, many);
        let (phrase, count) = match stitch.into {
            Into::Stitch | Into::FrontLoop | Into::BackLoop | Into::Chain if many > 1 => {
                (format!("{many} {name}{place}"), 1)
            }
            _ => (format!("{name}{place}"), many),
        };
        let phrase = match stitch.join.and_then(|join| piece.joins.get(join as usize)) {
            Some(join) => {
                let part = fabric.pieces.get(join.part).map_or("", |part| &part.name);
                format!("{phrase} through {part} {}", join.copy)
            }
            None => match purpose(stitch, fabric.terms) {
                Some(purpose) => purpose,
                None => phrase,
            },
        };
        match parts.last_mut() {
            Some(last) if last.phrase == phrase => last.count += count,
            _ => parts.push(Part { phrase, count }),
        }
    }
    parts
}

fn are_siblings(piece: &Piece, a: StitchId, b: StitchId) -> bool {
    let (one, other) = (piece.stitch(a), piece.stitch(b));
    one.kind == other.kind
        && one.into == other.into
        && one.role == other.role
        && one.join == other.join
        && one.kind.height != Height::Chain
        && (one.into == Into::Ring || !piece.feet(a).is_empty() && piece.feet(a) == piece.feet(b))
}

fn place(stitch: &Stitch, many: u32) -> &'static str {
    match (stitch.into, many > 1) {
        (Into::Stitch | Into::Part, false) | (Into::Chain, false) => "",
        (Into::Stitch | Into::Part, true) => " in one stitch",
        (Into::Chain, true) => " in one chain",
        (Into::FrontLoop, false) => " in the front loop",
        (Into::FrontLoop, true) => " in one front loop",
        (Into::BackLoop, false) => " in the back loop",
        (Into::BackLoop, true) => " in one back loop",
        (Into::FrontPost, _) => " round the front post",
        (Into::BackPost, _) => " round the back post",
        (Into::Space, _) => " in the space",
        (Into::Ring, _) => " in the ring",
    }
}

fn purpose(stitch: &Stitch, terms: Terms) -> Option<String> {
    let name = stitch.kind.abbreviation(terms);
    match stitch.role {
        Role::Close => Some(format!("{name} to join")),
        Role::Travel => Some(format!("{name} to move on")),
        Role::Picot => Some(format!("{name} of a picot")),
        Role::Stand => Some(format!("{name} that stands for a stitch")),
        _ => None,
    }
}

/// The parts with the repeat that covers them, if there is one: `(1 sc, 2 sc in one stitch) 6 times`.
fn told(parts: &[Part]) -> String {
    let n = parts.len();
    let period = (1..=LONGEST_REPEAT.min(n / 2)).find(|&period| {
        n.is_multiple_of(period) && parts.chunks(period).all(|c| c == &parts[..period])
    });
    match period {
        Some(period) => format!("({}) {} times", list(&parts[..period]), n / period),
        None => list(parts),
    }
}

fn list(parts: &[Part]) -> String {
    let mut said: Vec<String> = parts
        .iter()
        .take(LONGEST_LIST)
        .map(|part| match (part.count, part.phrase.as_bytes().first()) {
            (1, Some(b'0'..=b'9')) => part.phrase.clone(),
            (count, Some(b'0'..=b'9')) => format!("{} {count} times", part.phrase),
            (count, _) => format!("{count} {}", part.phrase),
        })
        .collect();
    if parts.len() > LONGEST_LIST {
        said.push("and so on".to_owned());
    }
    said.join(", ")
}
