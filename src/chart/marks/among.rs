//! Signs that go where there is paper between the stitches: what is worked on the face of a round, stitches that are left unworked, and turns.

use std::ops::Range;

use kurbo::{Affine, Line, ParamCurveNearest, Point, Rect, Vec2};

use super::clear::meets;
use super::over;
use crate::chart::cut::Course;
use crate::chart::drawn::drawn;
use crate::chart::panel::{Ink, Layout, Mark, Panel, Tone};
use crate::chart::quality::{Stretch, crossing, stretches, words_box};
use crate::chart::scene::{Scene, Spot};
use crate::chart::slots::{Slot, SlotKind};
use crate::chart::track::Track;
use crate::fabric::{Piece, Role, RoundKind, StitchId};
use crate::symbol::{self, PEN_MM, STITCH_WIDTH_MM, Symbol};
use crate::terms::Height;

/// Paper between a sign and other ink, in mm, and between a sign and words.
const AIR_MM: f64 = PEN_MM + 0.15;
/// See [`AIR_MM`].
const WORDS_AIR_MM: f64 = 0.7;
/// Where between the line below and the heads a stitch on the face of a round may lie, as shares of the way, the best first.
const ON_FACE: [f64; 7] = [0.35, 0.45, 0.25, 0.55, 0.65, 0.15, 0.8];
/// The same where it lies between two rounds.
const BETWEEN: [f64; 5] = [0.2, 0.26, 0.14, 0.32, 0.4];
/// How far the yarn shows beside such a stitch, in mm.
const REACHES_MM: [f64; 3] = [1.45, 1.2, 0.0];
/// How far it may be moved along the round, in mm.
const ASIDE_MM: [f64; 5] = [0.0, 0.35, -0.35, 0.7, -0.7];
/// From a stitch to such a one beside it where no other follows, in mm.
const BESIDE_LAST_MM: f64 = 1.3;
/// From a head to a bow over it, in mm.
const BOW_OFF_MM: [f64; 4] = [0.75, 0.6, 1.0, 1.3];
/// How large the bow is.
const BOW_SIZES: [f64; 4] = [1.0, 0.85, 0.7, 0.55];
/// How far beyond the end of a row the turn stands at least, how far it is moved at a time, in mm, and how often at most.
const TURN_OFF_MM: f64 = 2.4;
const TURN_STEP_MM: f64 = 0.5;
const TURN_STEPS: u32 = 40;

/// How far before a round's first stitch the turn may stand, in mm, and where its open end is between the line below and the heads.
const AT_SEAM_MM: [f64; 8] = [3.0, 3.6, 4.2, 5.0, 6.0, 7.0, 8.0, 9.5];
/// See [`AT_SEAM_MM`].
const FROM_BELOW: [f64; 4] = [0.0, 0.15, -0.15, 0.3];

/// The signs of a panel that has its stitches and its other marks.
pub(in crate::chart) fn among(scene: &Scene, panel: &Panel) -> Vec<Mark> {
    let has_any = !scene.piece.surfaces.is_empty()
        || turns(scene).next().is_some()
        || scene.courses().any(|(k, _)| !skipped(scene, k).is_empty());
    if !has_any {
        return Vec::new();
    }
    let mut taken = Taken::of(panel);
    let mut marks = Vec::new();
    for (k, _) in scene.courses() {
        marks.extend(bows(scene, k, &mut taken));
    }
    marks.extend(surfaces(scene, &mut taken));
    marks.extend(turns(scene).filter_map(|k| turn(scene, k, &mut taken)));
    marks
}

/// What is on the paper already.
struct Taken {
    lines: Vec<Stretch>,
    words: Vec<Rect>,
}

impl Taken {
    fn of(panel: &Panel) -> Taken {
        let mut taken = Taken {
            lines: Vec::new(),
            words: Vec::new(),
        };
        for placed in [&panel.anchors, &panel.stitches] {
            for symbol in drawn(panel, placed) {
                taken.lines.extend(stretches(&symbol));
            }
        }
        for ink in panel.marks.iter().flat_map(|mark| &mark.ink) {
            match ink {
                Ink::Symbol(symbol, _) => taken.lines.extend(stretches(symbol)),
                Ink::Words(words) => taken.words.push(words_box(words)),
                Ink::Line { path, .. } => {
                    let line = Symbol {
                        stroke: path.clone(),
                        ..Symbol::default()
                    };
                    taken.lines.extend(stretches(&line));
                }
                Ink::Bed { .. } => {}
            }
        }
        taken
    }

    fn is_clear(&self, symbol: &Symbol) -> bool {
        let own = stretches(symbol);
        let room = symbol.ink_box().inset(AIR_MM);
        let near = |line: &&Stretch| Rect::from_points(line.0, line.1).overlaps(room.inset(0.01));
        let words = |words: &Rect| {
            let words = words.inset(WORDS_AIR_MM);
            words.overlaps(room) && own.iter().any(|&line| meets(line, words))
        };
        !self.words.iter().any(words)
            && !self
                .lines
                .iter()
                .filter(near)
                .any(|&other| own.iter().any(|&line| apart_mm(line, other) < AIR_MM))
    }

    /// The first of some symbols that is clear of everything; it is taken then.
    fn first_clear(&mut self, symbols: impl Iterator<Item = Symbol>) -> Option<Symbol> {
        let mut symbols = symbols;
        let clear = symbols.find(|symbol| self.is_clear(symbol))?;
        self.lines.extend(stretches(&clear));
        Some(clear)
    }
}

/// Between the nearest points of two lines, in mm.
fn apart_mm(a: Stretch, b: Stretch) -> f64 {
    if crossing(a, b).is_some() {
        return 0.0;
    }
    let off = |point: Point, line: Stretch| {
        let line = Line::new(line.0, line.1);
        line.nearest(point, 1e-3).distance_sq.sqrt()
    };
    [off(a.0, b), off(a.1, b), off(b.0, a), off(b.1, a)]
        .into_iter()
        .fold(f64::INFINITY, f64::min)
}

/// Slip stitches on the face of rounds: one beside each stitch, before the next.
fn surfaces(scene: &Scene, taken: &mut Taken) -> Vec<Mark> {
    let mut marks = Vec::new();
    for surface in &scene.piece.surfaces {
        let last = surface.rounds.end - 1;
        let course = scene
            .courses()
            .find(|(_, course)| course.rounds.contains(&last));
        let Some((k, course)) = course else {
            continue;
        };
        let shares: &[f64] = match surface.rounds.len() {
            1 => &ON_FACE,
            _ => &BETWEEN,
        };
        let mut ink = Vec::new();
        for (i, slot) in course.slots.slots.iter().enumerate() {
            let Some(gap) = Gap::after(scene, k, course, i, slot) else {
                continue;
            };
            let places = REACHES_MM.iter().flat_map(|&reach| {
                let along = ASIDE_MM.iter().map(move |&aside| (reach, aside));
                along.flat_map(|(reach, aside)| {
                    shares.iter().map(move |&share| (reach, aside, share))
                })
            });
            let symbols = places.map(|(reach, aside, share)| {
                let at = gap.at(share) + gap.along * aside;
                symbol::surface_slip(at, gap.along, reach)
            });
            let sign = taken.first_clear(symbols);
            ink.extend(sign.map(|sign| Ink::Symbol(sign, Tone::Ink)));
        }
        let count = ink.len();
        marks.push(over(format!("{count} slip stitches on the face"), ink));
    }
    marks
}

/// The paper between two neighbours in a round.
struct Gap {
    foot: Point,
    head: Point,
    along: Vec2,
}

impl Gap {
    /// Between a stitch of a course and the next one, or beside the last.
    fn after(scene: &Scene, k: usize, course: &Course, i: usize, slot: &Slot) -> Option<Gap> {
        if !matches!(slot.kind, SlotKind::Stitch(_)) {
            return None;
        }
        let (track, below) = (&scene.tracks[k], scene.below(k));
        let own = scene.spots.get(slot.last())?;
        let foot = foot_s(scene, slot.last(), own, below);
        let next = course.slots.slots.get(i + 1).map(|next| next.first());
        let (s, foot) = match next.and_then(|id| Some((id, scene.spots.get(id)?))) {
            Some((id, next)) => {
                let mut next_foot = foot_s(scene, id, next, below);
                if let Some(length) = below.length() {
                    next_foot -= ((next_foot - foot) / length).round() * length;
                }
                ((own.s + next.s) / 2.0, (foot + next_foot) / 2.0)
            }
            None => (own.s + BESIDE_LAST_MM, foot + BESIDE_LAST_MM),
        };
        Some(Gap {
            foot: below.at(foot, 0.0),
            head: track.at(s, 0.0),
            along: track.along(s),
        })
    }

    fn at(&self, share: f64) -> Point {
        self.foot.lerp(self.head, share)
    }
}

/// Where on the line below a stitch stands, in mm.
fn foot_s(scene: &Scene, id: StitchId, spot: &Spot, below: &Track) -> f64 {
    let feet = scene.piece.feet(id).last();
    let foot = feet.and_then(|&foot| scene.spots.get(foot));
    foot.unwrap_or(spot)
        .track
        .carry(foot.unwrap_or(spot).s, below)
}

/// Stitches of the round under a course that nothing in it is worked into.
fn skipped<'a>(scene: &'a Scene, k: usize) -> &'a [StitchId] {
    let round = scene.cut.courses[k].rounds.start;
    match round.checked_sub(1) {
        Some(below) => scene.facts.left_out_of(&scene.piece.rounds[below]),
        None => &[],
    }
}

/// Stitches of the round before that nothing in a round is worked into: between those that are worked into, and at the round's start and end
/// no more than are left out elsewhere, for the rest may be left for later.
pub fn left_out(piece: &Piece, round: usize) -> Vec<StitchId> {
    let Some(below) = round.checked_sub(1).map(|below| &piece.rounds[below]) else {
        return Vec::new();
    };
    let round = &piece.rounds[round];
    let mut feet: Vec<StitchId> = piece
        .round_stitches(round)
        .filter(|(_, stitch)| stitch.kind.height > Height::Chain)
        .flat_map(|(id, _)| piece.feet(id))
        .copied()
        .filter(|foot| below.stitches.contains(&foot.0))
        .collect();
    feet.sort();
    let (Some(&first), Some(&last)) = (feet.first(), feet.last()) else {
        return Vec::new();
    };
    let is_head = |id: &StitchId| {
        let stitch = piece.stitch(*id);
        stitch.role == Role::Head && stitch.kind.height > Height::Chain
    };
    let is_left = |id: &StitchId| feet.binary_search(id).is_err();
    let heads = |ids: Range<u32>| ids.map(StitchId).filter(is_head);
    let within: Vec<StitchId> = heads(first.0..last.0 + 1).collect();
    let runs = within.chunk_by(|a, b| is_left(a) == is_left(b));
    let longest = runs.filter(|run| is_left(&run[0])).map(<[_]>::len).max();
    let at_ends = [
        below.stitches.start..first.0,
        last.0 + 1..below.stitches.end,
    ];
    let [before, after] = at_ends.map(|end| {
        let end: Vec<StitchId> = heads(end).collect();
        match round.kind == RoundKind::Round && end.len() <= longest.unwrap_or(0) {
            true => end,
            false => Vec::new(),
        }
    });
    let within = within.into_iter().filter(is_left);
    before.into_iter().chain(within).chain(after).collect()
}

/// A bow over each stitch that is left out.
fn bows(scene: &Scene, k: usize, taken: &mut Taken) -> Option<Mark> {
    let mut ink = Vec::new();
    for &id in skipped(scene, k).iter().filter(|&&id| scene.owns(id)) {
        let Some(spot) = scene.spots.get(id) else {
            continue;
        };
        let (own, below) = (&scene.tracks[k], scene.below(k));
        let over = own.at(spot.track.carry(spot.s, own), 0.0);
        let up = (over - below.at(spot.track.carry(spot.s, below), 0.0)).normalize();
        let places = BOW_SIZES
            .iter()
            .flat_map(|&size| BOW_OFF_MM.iter().map(move |&off| (size, off)));
        let symbols = places.map(|(size, off)| {
            let at = spot.head + up * off;
            symbol::skip(at, up).transformed(Affine::scale_about(size, at))
        });
        let bow = taken.first_clear(symbols);
        ink.extend(bow.map(|bow| Ink::Symbol(bow, Tone::Quiet)));
    }
    let number = scene.piece.rounds[scene.cut.courses[k].rounds.start].number;
    let count = ink.len();
    let says = format!("Under round {number}, {count} left unworked");
    (count > 0).then(|| over(says, ink))
}

/// The courses before which the work is turned.
fn turns(scene: &Scene) -> impl Iterator<Item = usize> {
    let side = |k: usize| {
        let rounds = &scene.cut.courses[k].rounds;
        scene.piece.rounds[rounds.start].wrong_side
    };
    let all = match scene.part {
        None => 1..scene.cut.courses.len(),
        Some(_) => 0..0,
    };
    all.filter(move |&k| side(k) != side(k - 1))
}

/// An arrow that comes back: beyond the end of the row below a course, or where a round starts.
fn turn(scene: &Scene, k: usize, taken: &mut Taken) -> Option<Mark> {
    let arrow = match scene.cut.layout {
        Layout::Strip => beyond_row(scene, k, taken)?,
        Layout::Rings => at_seam(scene, k, taken)?,
    };
    Some(over("Turn", vec![Ink::Symbol(arrow, Tone::Quiet)]))
}

/// Before the first stitch of a round.
fn at_seam(scene: &Scene, k: usize, taken: &mut Taken) -> Option<Symbol> {
    let (track, below) = (&scene.tracks[k], scene.below(k));
    let first = scene.cut.courses[k].slots.slots.first()?;
    let start = scene.spots.get(first.last())?.s;
    let places = AT_SEAM_MM
        .iter()
        .flat_map(|&back| FROM_BELOW.iter().map(move |&share| (back, share)));
    let symbols = places.map(|(back, share)| {
        let s = start - back;
        let (foot, head) = (below.at(track.carry(s, below), 0.0), track.at(s, 0.0));
        symbol::turn(foot.lerp(head, share), head - foot, track.along(s))
    });
    taken.first_clear(symbols)
}

/// Beyond the end of the row below a course, to the start of its own.
fn beyond_row(scene: &Scene, k: usize, taken: &mut Taken) -> Option<Symbol> {
    let track = &scene.tracks[k];
    let slots = scene.cut.courses[k].slots.slots.iter();
    let before = scene.cut.courses[k - 1].slots.slots.iter();
    let places = slots.chain(before).filter_map(|slot| {
        let spot = scene.spots.get(slot.last())?;
        Some(spot.track.carry(spot.s, track))
    });
    let start = places.fold(f64::INFINITY, f64::min);
    if !start.is_finite() {
        return None;
    }
    let (out, to) = (-track.along(start), Vec2::new(0.0, -1.0));
    let end = Point::new(track.at(start, 0.0).x, scene.below(k).at(0.0, 0.0).y);
    let symbols = (0..TURN_STEPS).map(|step| {
        let off = STITCH_WIDTH_MM / 2.0 + TURN_OFF_MM + f64::from(step) * TURN_STEP_MM;
        symbol::turn(end + out * off, out, to)
    });
    taken.first_clear(symbols)
}
