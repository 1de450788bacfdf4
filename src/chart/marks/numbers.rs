use std::ops::Range;

use kurbo::{Point, Vec2};

use super::{centred, over};
use crate::chart::cut::{Course, Cut};
use crate::chart::panel::{Direction, Ink, Layout, Mark, Tone};
use crate::chart::scene::{Scene, Spot};
use crate::chart::sizes::{LABEL_CLEAR_MM, LABEL_MM, MAGIC_RING_MM};
use crate::chart::slots::{Slot, SlotKind};
use crate::chart::track::Track;
use crate::fabric::{Fabric, Piece, StitchId};
use crate::symbol;
use crate::terms::{Height, Stitch};
use crate::text::{self, Weight};

/// Length of the arrow at the start of a panel, in mm.
const ARROW_MM: f64 = 3.4;
/// The lowest stitch with bars.
const TALL: Stitch = Stitch::plain(Height::Double);
/// Length of the arrow where it stands under its number, and how far its middle is from it, in mm.
const SHORT_MM: f64 = 2.3;
/// How far the arrow is from the line that the first round stands on, in mm.
const BEFORE_MM: f64 = 2.0;
/// See [`SHORT_MM`].
const UNDER_MM: f64 = 1.3;
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

/// Where the arrow of a panel stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::chart) enum Arrow {
    /// Beside the first number.
    Beside,
    /// Under the first number, where the first round leaves room for it.
    Under,
    /// By the first number, among the stitches that the first round stands on.
    Before,
}

impl Arrow {
    pub fn of(cut: &Cut) -> Arrow {
        let roomy = cut.courses.first().is_some_and(|first| {
            // Bars of tall stitches would reach into it.
            first.slots.start.is_empty() && first.height_mm < symbol::height_mm(TALL)
        });
        match (cut.layout, cut.anchor) {
            (Layout::Rings, Some(_)) => Arrow::Before,
            (Layout::Rings, None) if roomy && cut.hollow_mm == MAGIC_RING_MM => Arrow::Under,
            _ => Arrow::Beside,
        }
    }
}

/// The room that a round needs at its start for its number, the letter of a yarn that begins there and, at the start of a panel, the arrow.
pub(in crate::chart) fn label_room_mm(
    fabric: &Fabric,
    piece: &Piece,
    rounds: &Range<usize>,
    arrow: Option<Arrow>,
) -> f64 {
    let number = label(piece, rounds);
    let width = |words: &str| text::extents(words, LABEL_MM, Weight::Bold).width_mm;
    let letter = opening_yarn(fabric, piece, piece.rounds[rounds.start].stitches.start);
    let letter_mm = letter.map_or(0.0, |letter| SPACE_MM + width(letter));
    let words_mm = width(&number) + letter_mm;
    let room = match arrow {
        Some(Arrow::Beside) => words_mm + SPACE_MM + ARROW_MM,
        Some(Arrow::Before) => words_mm.max(ARROW_MM),
        Some(Arrow::Under) | None => words_mm,
    };
    room + LABEL_CLEAR_MM
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

/// Each round's number at its start, with the letter of a yarn that begins there; by the first of them the arrow.
pub(super) fn numbers(scene: &Scene) -> Vec<Mark> {
    let arrow_at = scene
        .courses()
        .find(|(_, course)| !label(scene.piece, &course.rounds).is_empty())
        .map(|(k, _)| k);
    scene
        .courses()
        .filter_map(|(k, course)| number(scene, k, course, arrow_at == Some(k)))
        .collect()
}

fn number(scene: &Scene, k: usize, course: &Course, starts: bool) -> Option<Mark> {
    let piece = scene.piece;
    let number = label(piece, &course.rounds);
    let first_stitch = piece.rounds[course.rounds.start].stitches.start;
    let letter = opening_yarn(scene.fabric, piece, first_stitch);
    if number.is_empty() && letter.is_none() {
        return None;
    }
    let start = start(scene, k, course)?;
    let width = |words: &str| text::extents(words, LABEL_MM, Weight::Bold).width_mm;
    let letter_mm = letter.map_or(0.0, |letter| SPACE_MM + width(letter));
    let words_mm = width(&number) + letter_mm;
    let cap = text::extents("0", LABEL_MM, Weight::Bold).cap_mm;
    let ahead = start.ahead;
    // How far the box of the words reaches in the direction of work.
    let extent = words_mm * ahead.x.abs() + cap * ahead.y.abs();
    let arrow = starts.then(|| Arrow::of(&scene.cut));
    let arrow_mm = match arrow {
        Some(Arrow::Beside) => SPACE_MM + ARROW_MM,
        _ => 0.0,
    };
    let words_at = match scene.cut.layout {
        Layout::Rings => start.middle - ahead * (arrow_mm / 2.0),
        Layout::Strip => start.middle - ahead * (arrow_mm + words_mm / 2.0),
    };
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
    let arrow = arrow.map(|arrow| match arrow {
        Arrow::Beside => {
            let tail = words_at + ahead * (extent / 2.0 + SPACE_MM);
            symbol::start_arrow(tail, ahead, ARROW_MM)
        }
        Arrow::Under => {
            let inward = Vec2::new(-ahead.y, ahead.x) * start.inside;
            let middle = words_at + inward * (cap / 2.0 + UNDER_MM);
            symbol::start_arrow(middle - ahead * (SHORT_MM / 2.0), ahead, SHORT_MM)
        }
        Arrow::Before => {
            let lift = match scene.cut.direction {
                Direction::Inward => BEFORE_MM,
                Direction::Outward => -BEFORE_MM,
            };
            let s = scene.tracks[k].carry(start.s, &scene.ground);
            let ahead = scene.ground.along(s);
            let tail = scene.ground.at(s, lift) - ahead * (ARROW_MM / 2.0);
            symbol::start_arrow(tail, ahead, ARROW_MM)
        }
    });
    ink.extend(arrow.map(|arrow| Ink::Symbol(arrow, Tone::Accent)));
    let says = match letter {
        Some(letter) => format!("Round {number} starts in yarn {letter}"),
        None => String::new(),
    };
    Some(over(says, ink))
}

/// The place of a round's number.
struct Start {
    /// Its middle; in a strip the end that is nearest to the work.
    middle: Point,
    /// Its place along the round's line, in mm.
    s: f64,
    /// The direction of work there.
    ahead: Vec2,
    /// 1 if the inside of the ring is to the right of the direction of work, −1 if it is to the left.
    inside: f64,
}

fn start(scene: &Scene, k: usize, course: &Course) -> Option<Start> {
    let track = &scene.tracks[k];
    let slots = &course.slots.slots;
    let first = slots.first()?;
    let spot = slot_spot(scene, first)?;
    let Some(length) = track.length() else {
        return Some(row_start(scene, k, course, spot));
    };
    let is_close = |slot: &&Slot| matches!(slot.kind, SlotKind::Close(_));
    let last = slots.iter().rev().find(|slot| !is_close(slot))?;
    let (next, laps) = match slots.last() {
        Some(close) if course.slots.closed() => (close, length),
        _ => (first, 0.0),
    };
    let low = slot_spot(scene, last)?.s - length;
    let high = slot_spot(scene, next)?.s - laps;
    // A round begins where its first stitch is, however far back the last one ended.
    let needed = (next.width_mm + last.width_mm) / 2.0 + course.seam_mm;
    let back = |lane: f64| (lane / 2.0).min(0.6 * needed);
    let s = high - back(high - low);
    let ahead = track.along(s);
    let inside = if Vec2::new(-ahead.y, ahead.x).dot(track.up(s)) < 0.0 {
        1.0
    } else {
        -1.0
    };
    let at = |middle| Start {
        middle,
        s,
        ahead,
        inside,
    };
    if k == 0 && scene.cut.anchor.is_none() {
        // Legs from a middle leave no room at their feet.
        return Some(at(track.at(s, -0.4)));
    }
    let below = scene.below(k);
    let s_below = match (
        foot(scene, first, track, below, End::First),
        foot(scene, last, track, below, End::Last),
        below.length(),
    ) {
        (Some(first), Some(last), Some(length)) => {
            let lane = (first - last).rem_euclid(length);
            first - back(lane)
        }
        _ => track.carry(s, below),
    };
    Some(at(track.at(s, 0.0).midpoint(below.at(s_below, 0.0))))
}

/// Outside a row, on the side where it starts, clear of the row below.
fn row_start(scene: &Scene, k: usize, course: &Course, first: &Spot) -> Start {
    let track = &scene.tracks[k];
    let under = k.checked_sub(1).map(|k| &scene.cut.courses[k]);
    let ends = under
        .into_iter()
        .flat_map(|course| [course.slots.slots.first(), course.slots.slots.last()])
        .flatten()
        .filter_map(|slot| slot_spot(scene, slot))
        .map(|spot| spot.track.carry(spot.s, track));
    let s = ends.fold(first.s, f64::min) - symbol::STITCH_WIDTH_MM / 2.0 - 1.2;
    Start {
        middle: track.at(s, -course.height_mm / 2.0),
        s,
        ahead: track.along(s),
        inside: 1.0,
    }
}

/// Which of several feet.
enum End {
    First,
    Last,
}

/// Where on the line below the first or last foot of a slot's symbol stands, in mm.
fn foot(scene: &Scene, slot: &Slot, track: &Track, below: &Track, end: End) -> Option<f64> {
    let spot = slot_spot(scene, slot)?;
    let feet = match slot.kind {
        SlotKind::Stitch(id) => scene.piece.feet(id),
        _ => &[],
    };
    let foot = match end {
        End::First => feet.first(),
        End::Last => feet.last(),
    };
    let own = foot
        .and_then(|&foot| scene.spots.get(foot))
        .map(|spot| spot.track.carry(spot.s, below));
    Some(own.unwrap_or_else(|| track.carry(spot.s, below)))
}

fn slot_spot<'a>(scene: &'a Scene, slot: &Slot) -> Option<&'a Spot> {
    let id = match slot.kind {
        SlotKind::Stitch(id) | SlotKind::Chain(id) | SlotKind::Close(id) => id,
        SlotKind::Column(first, count) => StitchId(first.0 + count - 1),
    };
    scene.spots.get(id)
}
