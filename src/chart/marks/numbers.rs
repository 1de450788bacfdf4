use std::ops::Range;

use kurbo::{Point, Vec2};

use super::{centred, over};
use crate::chart::cut::Course;
use crate::chart::panel::{Ink, Layout, Mark, Tone};
use crate::chart::scene::{Scene, Spot};
use crate::chart::sizes::{LABEL_CLEAR_MM, LABEL_MM};
use crate::chart::slots::{Slot, SlotKind};
use crate::chart::track::Track;
use crate::fabric::{Fabric, Piece, StitchId};
use crate::symbol;
use crate::text::{self, Weight};

/// Length of the arrow at the start of a panel, in mm.
const ARROW_MM: f64 = 3.4;
/// Between a number and what stands beside it, in mm.
const SPACE_MM: f64 = 0.7;

/// `7`, or `7–12` for a run of rounds; nothing for a chain before the first round.
pub(in crate::chart) fn label(piece: &Piece, rounds: &Range<usize>) -> String {
    let first = piece.rounds[rounds.start].number;
    let last = piece.rounds[rounds.end - 1].number;
    match (first, last) {
        (0, 0) => String::new(),
        (first, last) if first == last => first.to_string(),
        (first, last) => format!("{first}–{last}"),
    }
}

/// The room that a round needs at its start for its number, the letter of a yarn that begins there and, at the start of a panel, the arrow.
pub(in crate::chart) fn label_room_mm(
    fabric: &Fabric,
    piece: &Piece,
    rounds: &Range<usize>,
    starts_panel: bool,
) -> f64 {
    let number = label(piece, rounds);
    let width = |words: &str| text::extents(words, LABEL_MM, Weight::Bold).width_mm;
    let letter = opening_yarn(fabric, piece, piece.rounds[rounds.start].stitches.start);
    let letter_mm = letter.map_or(0.0, |letter| SPACE_MM + width(letter));
    let arrow_mm = if starts_panel {
        SPACE_MM + ARROW_MM
    } else {
        0.0
    };
    width(&number) + letter_mm + arrow_mm + LABEL_CLEAR_MM
}

/// The letter of the yarn of a stitch, if that yarn begins with it.
pub(super) fn opening_yarn<'a>(fabric: &'a Fabric, piece: &Piece, stitch: u32) -> Option<&'a str> {
    let yarn = piece.stitches.get(stitch as usize)?.yarn?;
    let before = stitch
        .checked_sub(1)
        .and_then(|before| piece.stitches[before as usize].yarn);
    if before == Some(yarn) || fabric.yarns.len() < 2 {
        return None;
    }
    let letter = fabric.yarns.get(yarn.0 as usize)?.letter.as_str();
    Some(letter)
}

/// Each round's number at its start, with the letter of a yarn that begins there; beside the first the arrow.
pub(super) fn numbers(scene: &Scene) -> Vec<Mark> {
    scene
        .courses()
        .filter_map(|(k, course)| number(scene, k, course))
        .collect()
}

fn number(scene: &Scene, k: usize, course: &Course) -> Option<Mark> {
    let piece = scene.piece;
    let number = label(piece, &course.rounds);
    let first_stitch = piece.rounds[course.rounds.start].stitches.start;
    let letter = opening_yarn(scene.fabric, piece, first_stitch);
    let (middle, ahead) = start(scene, k, course)?;
    let width = |words: &str| text::extents(words, LABEL_MM, Weight::Bold).width_mm;
    let letter_mm = letter.map_or(0.0, |letter| SPACE_MM + width(letter));
    let arrow_mm = if k == 0 { SPACE_MM + ARROW_MM } else { 0.0 };
    let words_mm = width(&number) + letter_mm;
    // Words and arrow share the room: how much of it the words' box takes up in the direction of work.
    let cap = text::extents("0", LABEL_MM, Weight::Bold).cap_mm;
    let extent = words_mm * ahead.x.abs() + cap * ahead.y.abs();
    let words_at = middle - ahead * (arrow_mm / 2.0);
    let left = words_at.x - words_mm / 2.0;
    let mut ink = Vec::new();
    if !number.is_empty() {
        let at = Point::new(left + width(&number) / 2.0, words_at.y);
        ink.push(Ink::Words(centred(
            number.as_str(),
            at,
            Weight::Bold,
            Tone::Ink,
        )));
    }
    if let Some(letter) = letter {
        let at = Point::new(left + words_mm - width(letter) / 2.0, words_at.y);
        ink.push(Ink::Words(centred(letter, at, Weight::Bold, Tone::Accent)));
    }
    if k == 0 {
        let tail = words_at + ahead * (extent / 2.0 + SPACE_MM);
        let arrow = symbol::start_arrow(tail, ahead, ARROW_MM);
        ink.push(Ink::Symbol(arrow, Tone::Accent));
    }
    let says = match letter {
        Some(letter) => format!("Round {number} starts in yarn {letter}"),
        None => String::new(),
    };
    Some(over(says, ink))
}

/// The middle of the room before a round's first stitch, and the direction of work there.
fn start(scene: &Scene, k: usize, course: &Course) -> Option<(Point, Vec2)> {
    let track = &scene.tracks[k];
    let slots = &course.slots.slots;
    let first = slots.first()?;
    let spot = slot_spot(scene, first)?;
    let room = course.seam_mm + first.width_mm / 2.0;
    if scene.cut.layout == Layout::Strip {
        let level = track.at(spot.s, -course.height_mm / 2.0);
        let ahead = track.along(spot.s);
        return Some((
            level - ahead * (room / 2.0 + first.width_mm / 2.0 + 0.6),
            ahead,
        ));
    }
    let length = track.length()?;
    let last = slots
        .iter()
        .rev()
        .find(|slot| !matches!(slot.kind, SlotKind::Close(_)))?;
    let lane = spot.s - (slot_spot(scene, last)?.s - length);
    let needed = (first.width_mm + last.width_mm) / 2.0 + course.seam_mm;
    // A round begins where its first stitch is, however far back the last one ended.
    let back = if lane > 2.0 * needed {
        needed / 2.0
    } else {
        lane / 2.0
    };
    let below = scene.below(k);
    let s = spot.s - back;
    let at_heads = track.at(s, 0.0);
    let ahead = track.along(s);
    if k == 0 && scene.cut.anchor.is_none() {
        // Legs from a middle leave no room at their feet.
        let lower = if course.slots.closed() { 2.2 } else { 0.3 };
        return Some((track.at(s, -lower), ahead));
    }
    let under = |slot: &Slot| foot(scene, slot, track, below);
    let at_feet = match (under(first), under(last)) {
        (Some(first), Some(last)) if lane <= 2.0 * needed => first.midpoint(last),
        _ => below.at(track.carry(s, below), 0.0),
    };
    Some((at_heads.midpoint(at_feet), ahead))
}

/// Where the symbol of a slot stands.
fn foot(scene: &Scene, slot: &Slot, track: &Track, below: &Track) -> Option<Point> {
    let spot = slot_spot(scene, slot)?;
    let own = match slot.kind {
        SlotKind::Stitch(id) => scene
            .piece
            .feet(id)
            .first()
            .and_then(|&foot| scene.spots.get(foot))
            .map(|spot| spot.head),
        _ => None,
    };
    Some(own.unwrap_or_else(|| below.at(track.carry(spot.s, below), 0.0)))
}

fn slot_spot<'a>(scene: &'a Scene, slot: &Slot) -> Option<&'a Spot> {
    let id = match slot.kind {
        SlotKind::Stitch(id) | SlotKind::Chain(id) | SlotKind::Close(id) => id,
        SlotKind::Column(first, count) => StitchId(first.0 + count - 1),
    };
    scene.spots.get(id)
}
