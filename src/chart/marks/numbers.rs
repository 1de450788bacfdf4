use std::ops::Range;

use kurbo::{Point, Rect, Vec2};

use super::counts::count;
use super::start::Start;
use super::{centred, clear, over, parts};
use crate::chart::cut::{Cut, steps_after};
use crate::chart::fit;
use crate::chart::panel::{Direction, Ink, Layout, Mark, Tone};
use crate::chart::quality;
use crate::chart::scene::Scene;
use crate::chart::sheet::ink_box;
use crate::chart::sizes::{ANCHOR_MM, LABEL_CLEAR_MM, LABEL_MM};
use crate::chart::slots::SlotKind;
use crate::chart::track::Track;
use crate::fabric::{Fabric, Piece, Role, Round, Step, StepKind};
use crate::symbol;
use crate::terms::{Height, Stitch};
use crate::text::{self, Weight};

/// Widest name of a yarn, in mm.
const LETTER_MM: f64 = 9.0;
/// Length of the triangle where a yarn is joined in, in mm.
const TRIANGLE_MM: f64 = 2.4;
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
/// What an arrow beside a number needs more than its own length, in mm.
const INSIDE_MM: f64 = 1.2;
/// Between a round's number and its count, in mm.
const COUNT_SPACE_MM: f64 = 1.4;
/// How level a line must run at a round's start (the cosine of its slope) for the count to stand beside the number, and not over or
/// under it.
const LEVEL: f64 = 0.8;
/// From the middle of a number to that of a count over or under it, in mm, and where the count of the round beside is in the way.
const STACK_MM: f64 = 2.9;
const STAGGERED_MM: f64 = 5.2;
/// Between a number and what stands beside it, in mm.
const SPACE_MM: f64 = 0.7;

/// How far words beside a row are moved at a time, in mm, and how often at most.
const MOVE_MM: f64 = 0.6;
/// See [`MOVE_MM`].
const MOST_MOVES: u32 = 60;
/// How often a number is moved along its round at most, each way.
const MOST_ASIDE: u32 = 10;
/// Paper between words beside a row, in mm.
const AIR_MM: f64 = 0.3;

/// `7`, or `7–12` for a run of rounds; nothing for a chain before the first round, but `0` for stitches that are worked there.
pub(in crate::chart) fn label(piece: &Piece, rounds: &Range<usize>) -> String {
    let first = piece.rounds[rounds.start].number;
    let last = piece.rounds[rounds.end - 1].number;
    match (first, last) {
        (0, 0) if !works_stitches(piece, &piece.rounds[rounds.start]) => String::new(),
        (first, last) if first == last => first.to_string(),
        (first, last) => format!("{first}–{last}"),
    }
}

/// True if a round has more than chains.
fn works_stitches(piece: &Piece, round: &Round) -> bool {
    let mut stitches = piece.round_stitches(round);
    stitches.any(|(_, stitch)| stitch.role == Role::Head && stitch.kind.height > Height::Slip)
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
            // Bars of tall stitches would reach into it, and so would chains and the dot of a joined round.
            let slots = &first.slots;
            let opens_plain = matches!(slots.slots.first(), Some(slot) if matches!(slot.kind, SlotKind::Stitch(_)));
            slots.start.is_empty()
                && opens_plain
                && !slots.closed()
                && first.height_mm < symbol::height_mm(TALL)
        });
        match (cut.layout, cut.anchor) {
            (Layout::Rings, Some(_)) => Arrow::Before,
            (Layout::Rings, None) if roomy => Arrow::Under,
            _ => Arrow::Beside,
        }
    }
}

/// What stands at a round's start.
struct Legend {
    /// How many stitches the round leaves; it stands where the round ends.
    count: Option<String>,
    /// How far the count stands over or under the number, where the line runs steeply, in mm.
    stack_mm: Option<f64>,
    number: String,
    /// Letter of a yarn that begins there.
    letter: Option<String>,
    /// A yarn is joined in there.
    joins_yarn: bool,
    arrow: Option<Arrow>,
}

impl Legend {
    fn of(fabric: &Fabric, piece: &Piece, rounds: &Range<usize>, arrow: Option<Arrow>) -> Legend {
        let first = piece.rounds[rounds.start].stitches.start;
        let steps = steps_after(piece, rounds.start)
            .iter()
            .chain(steps_after(piece, rounds.start + 1));
        let opens = |step: &Step| step.after.map_or(0, |after| after.0 + 1) == first;
        // Legs from a middle leave no room for the count.
        let has_room = matches!(arrow, None | Some(Arrow::Before));
        Legend {
            count: count(piece, rounds).filter(|_| has_room),
            stack_mm: None,
            number: label(piece, rounds),
            letter: opening_yarn(fabric, piece, first),
            joins_yarn: steps
                .filter(|step| step.kind == StepKind::JoinYarn)
                .any(opens),
            arrow,
        }
    }

    fn number_mm(&self) -> f64 {
        width_mm(&self.number)
    }

    fn words_mm(&self) -> f64 {
        let letter = self
            .letter
            .as_deref()
            .map_or(0.0, |letter| SPACE_MM + width_mm(letter));
        match self.stack_mm {
            Some(_) => self.number_mm() + letter,
            None => self.number_mm() + letter + self.count_mm(),
        }
    }

    /// From the middle of all words to that of the number and what stands beside it, in the direction of work, in mm.
    fn number_off_mm(&self) -> f64 {
        self.stack_mm.map_or(0.0, |_| STACK_MM / 2.0)
    }

    /// Room for the count.
    fn count_mm(&self) -> f64 {
        self.count.as_deref().map_or(0.0, |count| {
            COUNT_SPACE_MM + text::extents(count, LABEL_MM, Weight::Regular).width_mm
        })
    }

    /// Room for what stands after the words.
    fn signs_mm(&self) -> f64 {
        let triangle = if self.joins_yarn {
            SPACE_MM + TRIANGLE_MM
        } else {
            0.0
        };
        let arrow = match self.arrow {
            Some(Arrow::Beside) => SPACE_MM + ARROW_MM,
            _ => 0.0,
        };
        triangle + arrow
    }
}

fn width_mm(words: &str) -> f64 {
    text::extents(words, LABEL_MM, Weight::Bold).width_mm
}

/// The room that a round needs at its start for its number and what stands with it, in mm.
pub(in crate::chart) fn label_room_mm(
    fabric: &Fabric,
    piece: &Piece,
    rounds: &Range<usize>,
    arrow: Option<Arrow>,
) -> f64 {
    let legend = Legend::of(fabric, piece, rounds, arrow);
    let room = legend.words_mm() + legend.signs_mm();
    let room = match arrow {
        Some(Arrow::Before) => room.max(ARROW_MM),
        // It stands a little inside the line, where there is less room.
        Some(Arrow::Beside) => room + INSIDE_MM,
        _ => room,
    };
    room + LABEL_CLEAR_MM
}

/// The letter of the yarn of a stitch, if that yarn begins with it.
pub(super) fn opening_yarn(fabric: &Fabric, piece: &Piece, stitch: u32) -> Option<String> {
    let yarn = piece.stitches.get(stitch as usize)?.yarn?;
    let before = stitch
        .checked_sub(1)
        .and_then(|before| piece.stitches[before as usize].yarn);
    if before == Some(yarn) || fabric.yarns.len() < 2 {
        return None;
    }
    let letter = &fabric.yarns.get(yarn.0 as usize)?.letter;
    Some(fit::fitted(letter, LABEL_MM, Weight::Bold, LETTER_MM))
}

/// Each round's number at its start, with the letter of a yarn that begins there; by the first of them the arrow.
pub(super) fn numbers(scene: &Scene) -> Vec<Mark> {
    let arrow_at = scene
        .courses()
        .find(|(_, course)| !label(scene.piece, &course.rounds).is_empty())
        .filter(|_| scene.part.as_ref().is_none_or(|part| part.number == 1))
        .map(|(k, _)| k);
    let mut before: Option<Start> = None;
    let mut taken: Vec<Rect> = parts::words(scene).iter().map(quality::words_box).collect();
    let mut marks = Vec::new();
    for (k, course) in scene.courses() {
        let arrow = (arrow_at == Some(k)).then(|| match scene.part {
            Some(_) => Arrow::Beside,
            None => Arrow::of(&scene.cut),
        });
        let mut legend = Legend::of(scene.fabric, scene.piece, &course.rounds, arrow);
        if let Some(mut start) = Start::of(scene, k, course, before.as_ref()) {
            if scene.has_ends() {
                // Rows have their counts at their ends.
                legend.count = None;
                move_clear(scene, k, &legend, &mut start, &taken);
                taken.push(words_box(scene, &legend, &start));
            } else if start.ahead.x.abs() < LEVEL {
                match scene.tracks[k] {
                    Track::Ring(ring) if ring.half_mm > 0.0 => {
                        stack(scene, k, &mut legend, &start, &taken);
                        move_aside(scene, k, &legend, &mut start, &taken);
                    }
                    _ => legend.count = None,
                }
                taken.push(words_box(scene, &legend, &start));
                taken.extend(stacked_box(scene, &legend, &start));
            } else {
                if !is_free(scene, k, words_box(scene, &legend, &start), &taken) {
                    legend.count = None;
                    move_aside(scene, k, &legend, &mut start, &taken);
                }
                taken.push(words_box(scene, &legend, &start));
            }
            let mark = mark(scene, k, &legend, &start);
            if !scene.has_ends() {
                let ink = mark.iter().flat_map(|mark| &mark.ink);
                let symbols = ink.filter(|ink| matches!(ink, Ink::Symbol(..)));
                taken.extend(symbols.map(ink_box));
            }
            marks.extend(mark);
            before = Some(start);
        }
    }
    marks
}

/// Puts a round's count over or under its number, where both are clear of stitches and of other words; else it has none.
fn stack(scene: &Scene, k: usize, legend: &mut Legend, start: &Start, taken: &[Rect]) {
    if legend.count.is_none() {
        return;
    }
    for stack_mm in [STACK_MM, STAGGERED_MM] {
        legend.stack_mm = Some(stack_mm);
        let number = words_box(scene, legend, start);
        let is_clear =
            |room: Rect| is_free(scene, k, room, taken) && !clear::meets_chains(scene, k, room);
        let count = stacked_box(scene, legend, start);
        if count.is_none_or(is_clear) && is_clear(number) {
            return;
        }
    }
    legend.stack_mm = None;
    legend.count = None;
}

/// True if words in a box at a round's start are clear of stitches and of other words.
fn is_free(scene: &Scene, k: usize, room: Rect, taken: &[Rect]) -> bool {
    let over = |other: &Rect| other.overlaps(room.inset(AIR_MM));
    !clear::crowds(scene, k, room) && !taken.iter().any(over)
}

/// Moves what is written beside a row away from the work until it is clear of stitches and of other words.
fn move_clear(scene: &Scene, k: usize, legend: &Legend, start: &mut Start, taken: &[Rect]) {
    for _ in 0..MOST_MOVES {
        let room = words_box(scene, legend, start).inset(AIR_MM);
        let is_taken = taken.iter().any(|other| other.overlaps(room));
        if !is_taken && !clear::crowds(scene, k, room) {
            break;
        }
        start.middle -= start.ahead * MOVE_MM;
    }
}

/// Moves a number along its round until it is clear of stitches and of the words beside it; where it is nowhere, it stays.
fn move_aside(scene: &Scene, k: usize, legend: &Legend, start: &mut Start, taken: &[Rect]) {
    let is_clear = |start: &Start| {
        let count = stacked_box(scene, legend, start);
        let mut rooms = count.into_iter().chain([words_box(scene, legend, start)]);
        rooms.all(|room| is_free(scene, k, room, taken))
    };
    let middle = start.middle;
    let moves = (1..=MOST_ASIDE).flat_map(|step| [f64::from(step), -f64::from(step)]);
    for by in std::iter::once(0.0).chain(moves) {
        start.middle = middle + start.ahead * (by * MOVE_MM);
        if is_clear(start) {
            return;
        }
    }
    start.middle = middle;
}

/// The middle of the free part of the ring that a panel stands on, in mm along it.
fn lane_below(scene: &Scene) -> Option<f64> {
    let length = scene.ground.length()?;
    // An edging stands on more than the last of its rows.
    if scene.facts.edges_rows {
        return None;
    }
    let round = &scene.piece.rounds[scene.cut.anchor?];
    let spots = round
        .edge
        .iter()
        .filter_map(|&id| scene.spots.get(id))
        .map(|spot| spot.s);
    let (low, high) = spots.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| {
        (low.min(s), high.max(s))
    });
    (low <= high).then(|| (low + high - length) / 2.0)
}

/// The middle of what is written at a round's start.
fn words_middle(scene: &Scene, legend: &Legend, start: &Start) -> Point {
    let (words_mm, signs_mm) = (legend.words_mm(), legend.signs_mm());
    match scene.has_ends() {
        false => start.middle - start.ahead * (signs_mm / 2.0),
        true => start.middle - start.ahead * (signs_mm + words_mm / 2.0),
    }
}

/// The box of what is written at a round's start.
fn words_box(scene: &Scene, legend: &Legend, start: &Start) -> Rect {
    let cap = text::extents("0", LABEL_MM, Weight::Bold).cap_mm;
    let middle = words_middle(scene, legend, start);
    let off = start.ahead * legend.number_off_mm();
    Rect::from_center_size(middle + off, (legend.words_mm(), cap))
}

/// The middle of a count that stands over or under its number.
fn stacked_middle(scene: &Scene, legend: &Legend, start: &Start) -> Option<Point> {
    let off = legend.stack_mm? - legend.number_off_mm();
    Some(words_middle(scene, legend, start) - start.ahead * off)
}

/// The box of such a count.
fn stacked_box(scene: &Scene, legend: &Legend, start: &Start) -> Option<Rect> {
    let middle = stacked_middle(scene, legend, start)?;
    let room = text::extents(legend.count.as_deref()?, LABEL_MM, Weight::Regular);
    Some(Rect::from_center_size(middle, (room.width_mm, room.cap_mm)))
}

fn mark(scene: &Scene, k: usize, legend: &Legend, start: &Start) -> Option<Mark> {
    if legend.number.is_empty() && legend.letter.is_none() {
        return None;
    }
    let words_mm = legend.words_mm();
    let ahead = start.ahead;
    let words_at = words_middle(scene, legend, start) + ahead * legend.number_off_mm();
    let mut left = words_at.x - words_mm / 2.0;
    let right = left + words_mm;
    let mut ink = Vec::new();
    let stacked = stacked_middle(scene, legend, start);
    if let (Some(count), Some(at)) = (legend.count.as_deref(), stacked) {
        ink.push(Ink::Words(centred(count, at, Weight::Regular, Tone::Ink)));
    } else if let Some(count) = legend.count.as_deref() {
        let half = (legend.count_mm() - COUNT_SPACE_MM) / 2.0;
        // The round ends on the side that the work comes from.
        let x = match ahead.x < 0.0 {
            true => right - half,
            false => left + half,
        };
        if ahead.x >= 0.0 {
            left += legend.count_mm();
        }
        let at = Point::new(x, words_at.y);
        ink.push(Ink::Words(centred(count, at, Weight::Regular, Tone::Ink)));
    }
    if !legend.number.is_empty() {
        let at = Point::new(left + legend.number_mm() / 2.0, words_at.y);
        let number = centred(legend.number.as_str(), at, Weight::Bold, Tone::Ink);
        ink.push(Ink::Words(number));
    }
    if let Some(letter) = legend.letter.as_deref() {
        let x = left + legend.number_mm() + SPACE_MM + width_mm(letter) / 2.0;
        let at = Point::new(x, words_at.y);
        ink.push(Ink::Words(centred(letter, at, Weight::Bold, Tone::Accent)));
    }
    // How far the box of the words reaches in the direction of work.
    let cap = text::extents("0", LABEL_MM, Weight::Bold).cap_mm;
    let extent = words_mm * ahead.x.abs() + cap * ahead.y.abs();
    let mut after = words_at + ahead * (extent / 2.0 + SPACE_MM);
    if legend.joins_yarn {
        after += ahead * TRIANGLE_MM;
        ink.push(Ink::Symbol(symbol::join_yarn(after, ahead), Tone::Ink));
        after += ahead * SPACE_MM;
    }
    let arrow = legend.arrow.map(|arrow| match arrow {
        Arrow::Beside => symbol::start_arrow(after, ahead, ARROW_MM),
        Arrow::Under => {
            let inward = Vec2::new(-ahead.y, ahead.x) * start.inside;
            let middle = words_at + inward * (cap / 2.0 + UNDER_MM);
            symbol::start_arrow(middle - ahead * (SHORT_MM / 2.0), ahead, SHORT_MM)
        }
        Arrow::Before => {
            let lift = match scene.cut.direction {
                Direction::Inward => BEFORE_MM,
                // An edging may begin over the middle of a stitch.
                Direction::Outward if scene.facts.edges_rows => -ANCHOR_MM - BEFORE_MM,
                Direction::Outward => -BEFORE_MM,
            };
            let s =
                lane_below(scene).unwrap_or_else(|| scene.tracks[k].carry(start.s, &scene.ground));
            let ahead = scene.ground.along(s);
            let tail = scene.ground.at(s, lift) - ahead * (ARROW_MM / 2.0);
            symbol::start_arrow(tail, ahead, ARROW_MM)
        }
    });
    ink.extend(arrow.map(|arrow| Ink::Symbol(arrow, Tone::Accent)));
    let number = &legend.number;
    let mut says = Vec::new();
    if legend.joins_yarn {
        says.push(format!("Join yarn before round {number}"));
    }
    if let Some(letter) = legend.letter.as_deref() {
        says.push(format!("Round {number} starts in yarn {letter}"));
    }
    Some(over(says.join(". "), ink))
}
