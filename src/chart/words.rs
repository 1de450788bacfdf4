//! What a round is, in words, for those who hear a chart instead of seeing it.

use super::marks::label;
use super::scene::Scene;
use super::table::here;
use crate::fabric::{Fabric, Piece, Role, RoundKind, Stitch, StitchId};
use crate::terms::{Height, Into, Terms};

/// Longest pattern of stitches that is looked for as a repeat within a round.
const LONGEST_REPEAT: usize = 48;
/// Longest list of stitches that is told in full, in parts.
const LONGEST_LIST: usize = 60;

/// A round or a run of equal rounds in a sentence or two; of a part, what is on it.
pub(super) fn says(scene: &Scene, k: usize) -> String {
    let piece = scene.piece;
    let rounds = &scene.cut.courses[k].rounds;
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
    let ids: Vec<StitchId> = scene.own_of_first(k).map(StitchId).collect();
    if ids.is_empty() && scene.part.is_some() {
        return format!("{opening}: nothing on this part.");
    }
    let told = told(&parts(scene.fabric, piece, &ids));
    if let Some((first, last)) = here(scene, k, round) {
        return format!(
            "{opening}, stitches {first} to {last} of {}: {told}.",
            round.count
        );
    }
    let each = if rounds.len() > 1 { " each" } else { "" };
    let mut lengths = rounds.clone().filter_map(|at| piece.length_at(at));
    let length = match lengths.next() {
        Some(length) => format!(" {}.", capital(&length.says())),
        None => String::new(),
    };
    format!("{opening}: {told}. {count}{each}.{length}")
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}

/// What is worked, in the order of work: a phrase, and whether a number can stand before it.
#[derive(PartialEq, Clone)]
struct Part {
    phrase: String,
    count: u32,
}

fn parts(fabric: &Fabric, piece: &Piece, ids: &[StitchId]) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let mut before: Option<&[StitchId]> = None;
    let mut yarns = ids.iter().map(|&id| piece.stitch(id).yarn);
    let first = yarns.next().flatten();
    let in_one_yarn = yarns.all(|yarn| yarn == first);
    for group in ids.chunk_by(|&a, &b| belong_together(piece, a, b)) {
        if let (Some(before), Some(last)) = (before, parts.last_mut())
            && let ([one], [other]) = (before, group)
            && is_told_alike(piece.stitch(*one), piece.stitch(*other))
        {
            last.count += 1;
            continue;
        }
        before = Some(group);
        let (mut phrase, count) = phrase(fabric, piece, group);
        let yarn = piece.stitch(group[0]).yarn.filter(|_| !in_one_yarn);
        if let Some(yarn) = yarn.and_then(|yarn| fabric.yarns.get(usize::from(yarn.0))) {
            phrase = format!("{phrase} in yarn {}", yarn.letter);
        }
        match parts.last_mut() {
            Some(last) if last.phrase == phrase => last.count += count,
            _ => parts.push(Part { phrase, count }),
        }
    }
    parts
}

/// True if two stitches by themselves are told in the same words.
fn is_told_alike(one: &Stitch, other: &Stitch) -> bool {
    one.kind == other.kind
        && one.into == other.into
        && one.yarn == other.yarn
        && one.join == other.join
        && one.role == Role::Head
        && other.role == Role::Head
}

/// Some stitches that are told as one, in words, and how often they stand there.
fn phrase(fabric: &Fabric, piece: &Piece, group: &[StitchId]) -> (String, u32) {
    let stitch = piece.stitch(group[0]);
    let name = stitch.kind.abbreviation(fabric.terms);
    let many = group.len() as u32;
    if stitch.role == Role::Stand {
        return (format!("{many} {name} that stand for a stitch"), 1);
    }
    if stitch.role == Role::Picot {
        return (format!("picot of {} {name}", many - 1), 1);
    }
    if let Some(purpose) = purpose(stitch, fabric.terms) {
        return (purpose, many);
    }
    let place = place(stitch, many);
    let in_one = many > 1
        && matches!(
            stitch.into,
            Into::Stitch
                | Into::FrontLoop
                | Into::BackLoop
                | Into::Chain
                | Into::RowEnd
                | Into::Space
        );
    let (phrase, count) = if in_one {
        (format!("{many} {name}{place}"), 1)
    } else {
        (format!("{name}{place}"), many)
    };
    match stitch.join.and_then(|join| piece.joins.get(join as usize)) {
        Some(join) => {
            let part = fabric.pieces.get(join.part).map_or("", |part| &part.name);
            (format!("{phrase} through {part} {}", join.copy), count)
        }
        None => (phrase, count),
    }
}

/// Stitches that are told as one: those in one place, the chain that stands for a stitch, a picot.
fn belong_together(piece: &Piece, a: StitchId, b: StitchId) -> bool {
    let (one, other) = (piece.stitch(a), piece.stitch(b));
    let is_chain = |stitch: &Stitch| stitch.kind.height == Height::Chain;
    if one.yarn != other.yarn {
        return false;
    }
    match (one.role, other.role) {
        (Role::Stand, Role::Stand) => true,
        (Role::Stand, Role::Head) => is_chain(other),
        // A picot ends with its slip stitch.
        (Role::Picot, Role::Picot) => is_chain(one),
        _ => are_siblings(piece, a, b),
    }
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
        (Into::Space, false) => " in the space",
        (Into::Space, true) => " in one space",
        (Into::RowEnd, false) => " in the row end",
        (Into::RowEnd, true) => " in one row end",
        (Into::Ring, _) => " in the ring",
    }
}

fn purpose(stitch: &Stitch, terms: Terms) -> Option<String> {
    let name = stitch.kind.abbreviation(terms);
    match stitch.role {
        Role::Close => Some(format!("{name} to join")),
        Role::Travel => Some(format!("{name} to move on")),
        _ => None,
    }
}

/// The parts in words, those that come again and again as repeats: `(1 sc, 2 sc in one stitch) 6 times`.
fn told(parts: &[Part]) -> String {
    let mut said: Vec<String> = Vec::new();
    let mut at = 0;
    while at < parts.len() && said.len() < LONGEST_LIST {
        let (period, times) = repeat_at(&parts[at..]);
        let unit: Vec<String> = parts[at..at + period].iter().map(Part::told).collect();
        let unit = unit.join(", ");
        said.push(match (period, times) {
            (_, 1) => unit,
            (1, times) => format!("{unit}, {times} times"),
            (_, times) => format!("({unit}) {times} times"),
        });
        at += period * times;
    }
    if at < parts.len() {
        said.push("and so on".to_owned());
    }
    said.join(", ")
}

/// The repeat at the front of a list that covers most of it: how long, and how often.
fn repeat_at(parts: &[Part]) -> (usize, usize) {
    let mut best = (1, 1);
    for period in 1..=LONGEST_REPEAT.min(parts.len() / 2) {
        let times = parts
            .chunks_exact(period)
            .take_while(|chunk| *chunk == &parts[..period])
            .count();
        if times > 1 && period * times > best.0 * best.1 {
            best = (period, times);
        }
    }
    best
}

impl Part {
    fn told(&self) -> String {
        match (self.count, self.phrase.as_bytes().first()) {
            (1, Some(b'0'..=b'9')) => self.phrase.clone(),
            (count, Some(b'0'..=b'9')) => format!("{} {count} times", self.phrase),
            (count, _) => format!("{count} {}", self.phrase),
        }
    }
}
