//! Signs that go where there is paper between the stitches: what is worked on the face of a round, stitches that are left unworked, and turns.
//! Where there is none, a sign stands on the nearest free paper with a leader to where it belongs; none is left out without a word.

use std::ops::Range;

use std::f64::consts::TAU;

use kurbo::{Affine, BezPath, Line, ParamCurve, ParamCurveNearest, Point, Rect, Vec2};

use super::clear::meets;
use super::over;
use crate::chart::cut::{Course, edges_rows, is_folded_flat};
use crate::chart::drawn::drawn;
use crate::chart::panel::{self, Ink, Layout, Mark, Panel, Tone};
use crate::chart::quality::{Stretch, crossing, stretches, words_box};
use crate::chart::scene::{Part, Scene, Spot};
use crate::chart::slots::{Slot, SlotKind};
use crate::chart::track::Track;
use crate::fabric::{Piece, Role, RoundKind, StepKind, StitchId};
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

/// How far from where it belongs a sign is looked a place for, in mm: in rings so far apart, with so many places in each.
const FAR_STEP_MM: f64 = 1.2;
/// See [`FAR_STEP_MM`].
const FAR_STEPS: u32 = 26;
/// See [`FAR_STEP_MM`].
const FAR_WAYS: u32 = 24;
/// How many signs of a panel are looked a place for farther away.
const MOST_FAR: u32 = 48;
/// From a head to the tip of a marker at it, in mm, and how much the marker leans along the round, as the tangent of the angle.
const MARKER_OFF_MM: [f64; 3] = [0.5, 0.9, 1.4];
/// See [`MARKER_OFF_MM`].
const MARKER_LEANS: [f64; 5] = [0.0, 0.5, -0.5, 1.2, -1.2];
/// How near to where it belongs a leader may touch what is drawn there, in mm.
const AT_HOME_MM: f64 = 1.3;
/// How much farther a leader begins at a time where words stand, in mm.
const LEADER_STEP_MM: f64 = 0.3;
/// From the end of a leader to its sign, in mm.
const LEADER_OFF_MM: f64 = 0.4;

/// What [`among`] finds.
#[derive(Default)]
pub(in crate::chart) struct Signs {
    pub marks: Vec<Mark>,
    /// What there is no place for, in words.
    pub missing: Vec<String>,
}

/// The signs of a panel that has its stitches and its other marks.
pub(in crate::chart) fn among(scene: &Scene, panel: &Panel) -> Signs {
    let mut signs = Signs::default();
    let unseen = unseen(scene);
    let has_any = !scene.piece.surfaces.is_empty()
        || !unseen.is_empty()
        || turns(scene).next().is_some()
        || marked_within(scene.piece).next().is_some()
        || scene.courses().any(|(k, _)| !skipped(scene, k).is_empty());
    if !has_any {
        return signs;
    }
    let mut taken = Taken::of(panel);
    for (k, _) in scene.courses() {
        bows(scene, k, &mut taken, &mut signs);
    }
    if let Some(first) = scene.cut.courses.first() {
        signs.left(unseen.len(), scene.piece.rounds[first.rounds.start].number);
    }
    surfaces(scene, &mut taken, &mut signs);
    for k in turns(scene) {
        turn(scene, k, &mut taken, &mut signs);
    }
    markers(scene, &mut taken, &mut signs);
    signs
}

/// The stitches that get a marker within a round. One at the end of a round is where the next one starts, as its number shows.
pub fn marked_within(piece: &Piece) -> impl Iterator<Item = StitchId> {
    piece.steps.iter().filter_map(|step| {
        let after = step.after.filter(|_| step.kind == StepKind::PlaceMarker)?;
        let stitch = piece.stitch(after);
        let round = &piece.rounds[stitch.round as usize];
        let is_within = step.after_round == stitch.round + 1 && after.0 + 1 < round.stitches.end;
        is_within.then_some(after)
    })
}

/// A drop at each stitch that gets a marker.
fn markers(scene: &Scene, taken: &mut Taken, signs: &mut Signs) {
    for id in marked_within(scene.piece).filter(|&id| scene.owns(id)) {
        let stitch = scene.piece.stitch(id);
        let round = stitch.round as usize;
        let mut courses = scene.cut.courses.iter();
        let is_shown = courses.any(|course| course.rounds.contains(&round));
        let Some(spot) = scene.spots.get(id).filter(|_| is_shown) else {
            continue;
        };
        let (up, along) = (spot.track.up(spot.s), spot.track.along(spot.s));
        let ways = MARKER_LEANS.iter().flat_map(|&lean| {
            let way = (up + along * lean).normalize();
            [way, -way]
        });
        let symbols = ways.flat_map(|way| {
            let offs = MARKER_OFF_MM.iter();
            offs.map(move |&off| symbol::marker(spot.head + way * off, way))
        });
        let number = scene.piece.rounds[round].number;
        match taken.place(symbols, Tone::Accent) {
            Some(ink) => {
                let place = stitch.index + 1;
                let says = format!("Place a marker in stitch {place} of round {number}");
                signs.marks.push(over(says, ink));
            }
            None => signs.missing(1, "marker", "markers", number),
        }
    }
}

/// What is on the paper already.
struct Taken {
    lines: Vec<Stretch>,
    words: Vec<Rect>,
    /// How many signs have been looked a place for farther away.
    far: u32,
}

impl Taken {
    fn of(panel: &Panel) -> Taken {
        let mut taken = Taken {
            lines: Vec::new(),
            words: Vec::new(),
            far: 0,
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

    /// The first of some symbols that is clear or, if none is, the like of the first of them on the nearest free paper, with a leader.
    fn place(&mut self, symbols: impl Iterator<Item = Symbol>, tone: Tone) -> Option<Vec<Ink>> {
        let mut symbols = symbols.peekable();
        let first = symbols.peek().cloned()?;
        if let Some(near) = self.first_clear(symbols) {
            return Some(vec![Ink::Symbol(near, tone)]);
        }
        self.far += 1;
        if self.far > MOST_FAR {
            return None;
        }
        let (far, leader) = self.farther(&first)?;
        self.lines.extend(stretches(&far));
        self.lines.push((leader.p0, leader.p1));
        let mut path = BezPath::new();
        path.move_to(leader.p0);
        path.line_to(leader.p1);
        let line = panel::Line::Leader(tone);
        Some(vec![Ink::Line { path, line }, Ink::Symbol(far, tone)])
    }

    /// A symbol moved to free paper, and a line to it from where it was: one that touches nothing on its way, if there is one.
    fn farther(&self, symbol: &Symbol) -> Option<(Symbol, Line)> {
        let home = symbol.ink_box().center();
        let ways = (1..=FAR_STEPS).flat_map(|step| {
            (0..FAR_WAYS).map(move |way| {
                let turn = TAU * f64::from(way) / f64::from(FAR_WAYS);
                let out = Vec2::new(libm::cos(turn), libm::sin(turn));
                out * (f64::from(step) * FAR_STEP_MM)
            })
        });
        let mut over_lines = None;
        for by in ways {
            let moved = symbol.clone().transformed(Affine::translate(by));
            if !self.is_clear(&moved) {
                continue;
            }
            let Some(leader) = self.leader(home, &moved) else {
                continue;
            };
            let line = (leader.p0, leader.p1);
            let over_words = |words: &Rect| meets(line, words.inset(AIR_MM));
            if self.words.iter().any(over_words) {
                continue;
            }
            let touches = |other: &Stretch| {
                crossing(line, *other).is_some_and(|at| at.distance(home) > AT_HOME_MM)
            };
            if !self.lines.iter().any(touches) {
                return Some((moved, leader));
            }
            over_lines = over_lines.or(Some((moved, leader)));
        }
        over_lines
    }

    /// From where a sign belongs, or from beside the words that stand there, to just before the sign.
    fn leader(&self, home: Point, sign: &Symbol) -> Option<Line> {
        let lines = stretches(sign);
        let nearest = |line: &Stretch| {
            let line = Line::new(line.0, line.1);
            line.eval(line.nearest(home, 1e-3).t)
        };
        let ends = lines.iter().map(nearest);
        let end = ends.min_by(|a, b| a.distance(home).total_cmp(&b.distance(home)))?;
        let way = (end - home).normalize();
        let length = end.distance(home) - LEADER_OFF_MM;
        let is_over_words = |off: &f64| {
            let at = home + way * *off;
            let near = |words: &Rect| words.inset(AIR_MM).contains(at);
            self.words.iter().any(near)
        };
        let starts = (0..FAR_STEPS).map(|step| f64::from(step) * LEADER_STEP_MM);
        let start = starts
            .take_while(|off| *off < length)
            .find(|off| !is_over_words(off))?;
        (start + LEADER_OFF_MM < length).then(|| Line::new(home + way * start, home + way * length))
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
fn surfaces(scene: &Scene, taken: &mut Taken, signs: &mut Signs) {
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
        let (mut ink, mut count, mut missing) = (Vec::new(), 0, 0);
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
            match taken.place(symbols, Tone::Ink) {
                Some(sign) => ink.extend(sign),
                None => missing += 1,
            }
            count += 1;
        }
        let number = scene.piece.rounds[last].number;
        signs.missing(
            missing,
            "slip stitch on the face",
            "slip stitches on the face",
            number,
        );
        let shown = count - missing;
        if shown > 0 {
            let says = format!("{shown} slip stitches on the face");
            signs.marks.push(over(says, ink));
        }
    }
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
/// no more than are left out elsewhere, for the rest may be left for later. An edging over the ends of rows leaves none out, nor does what
/// goes through both layers of an edge: there the corner and the fold lie between.
pub fn left_out(piece: &Piece, round: usize) -> Vec<StitchId> {
    let Some(below) = round.checked_sub(1).map(|below| &piece.rounds[below]) else {
        return Vec::new();
    };
    let round = &piece.rounds[round];
    if edges_rows(piece, round) || is_folded_flat(piece, round) {
        return Vec::new();
    }
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
fn bows(scene: &Scene, k: usize, taken: &mut Taken, signs: &mut Signs) {
    let (mut ink, mut count, mut missing) = (Vec::new(), 0, 0);
    for &id in skipped(scene, k).iter().filter(|&&id| shows(scene, id)) {
        count += 1;
        let Some(spot) = scene.spots.get(id) else {
            missing += 1;
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
        match taken.place(symbols, Tone::Quiet) {
            Some(bow) => ink.extend(bow),
            None => missing += 1,
        }
    }
    let number = scene.piece.rounds[scene.cut.courses[k].rounds.start].number;
    signs.left(missing, number);
    let shown = count - missing;
    if shown > 0 {
        let says = format!("Under round {number}, {shown} left unworked");
        signs.marks.push(over(says, ink));
    }
}

/// True if a stitch is one of the panel's own, or of the round that it stands on.
fn shows(scene: &Scene, id: StitchId) -> bool {
    let on_ground = |part: &Part| part.ground.contains(&id);
    scene.owns(id) || scene.part.as_ref().is_some_and(on_ground)
}

/// Stitches that the first round of a panel leaves unworked in a round that the panel does not show.
fn unseen(scene: &Scene) -> Vec<StitchId> {
    let is_on_first = scene.part.as_ref().is_none_or(|part| part.number == 1);
    let first = scene.cut.courses.first().map(|first| first.rounds.start);
    let unseen = first
        .filter(|&first| is_on_first && scene.cut.anchor.is_none_or(|anchor| anchor + 1 != first));
    unseen.map_or(Vec::new(), |first| left_out(scene.piece, first))
}

impl Signs {
    /// Notes stitches left unworked that have no bow.
    fn left(&mut self, count: usize, round: u32) {
        self.missing(
            count,
            "stitch left unworked",
            "stitches left unworked",
            round,
        );
    }

    /// Notes what has no place, if anything has none: what one and several are called, and the round that they go with.
    fn missing(&mut self, count: usize, one: &str, several: &str, round: u32) {
        match count {
            0 => {}
            1 => self.missing.push(format!("1 {one}, round {round}")),
            _ => self
                .missing
                .push(format!("{count} {several}, round {round}")),
        }
    }
}

/// True if the work is turned before a round. Along the ends of its rows a piece is worked on as it lies.
pub fn is_turned_before(piece: &Piece, round: usize) -> bool {
    let Some(before) = round.checked_sub(1).map(|before| &piece.rounds[before]) else {
        return false;
    };
    let round = &piece.rounds[round];
    let goes_on_round_the_corner = round.kind == RoundKind::Row && edges_rows(piece, round);
    before.wrong_side != round.wrong_side && !goes_on_round_the_corner
}

/// The courses before which the work is turned, on the part that they start on.
fn turns(scene: &Scene) -> impl Iterator<Item = usize> {
    let starts_here = |k: usize| {
        let first = scene.piece.rounds[scene.cut.courses[k].rounds.start]
            .stitches
            .start;
        scene.owns(StitchId(first))
    };
    let turned = |k: usize| is_turned_before(scene.piece, scene.cut.courses[k].rounds.start);
    (0..scene.cut.courses.len()).filter(move |&k| turned(k) && starts_here(k))
}

/// An arrow that comes back: beyond the end of the row below a course, or where a round starts.
fn turn(scene: &Scene, k: usize, taken: &mut Taken, signs: &mut Signs) {
    let arrows = match scene.cut.layout {
        Layout::Strip => beyond_row(scene, k),
        Layout::Rings => at_seam(scene, k),
    };
    match taken.place(arrows.into_iter(), Tone::Quiet) {
        Some(ink) => signs.marks.push(over("Turn", ink)),
        None => {
            let round = scene.cut.courses[k].rounds.start;
            signs.missing(1, "turn", "turns", scene.piece.rounds[round].number);
        }
    }
}

/// Before the first stitch of a round.
fn at_seam(scene: &Scene, k: usize) -> Vec<Symbol> {
    let (track, below) = (&scene.tracks[k], scene.below(k));
    let first = scene.cut.courses[k].slots.slots.first();
    let Some(first) = first.and_then(|first| scene.spots.get(first.last())) else {
        return Vec::new();
    };
    let start = first.s;
    let places = AT_SEAM_MM
        .iter()
        .flat_map(|&back| FROM_BELOW.iter().map(move |&share| (back, share)));
    let symbols = places.map(|(back, share)| {
        let s = start - back;
        let (foot, head) = (below.at(track.carry(s, below), 0.0), track.at(s, 0.0));
        symbol::turn(foot.lerp(head, share), head - foot, track.along(s))
    });
    symbols.collect()
}

/// Beyond the end of the row below a course, to the start of its own.
fn beyond_row(scene: &Scene, k: usize) -> Vec<Symbol> {
    let track = &scene.tracks[k];
    let slots = scene.cut.courses[k].slots.slots.iter();
    let before = k.checked_sub(1).map(|k| &scene.cut.courses[k]);
    let before = before.iter().flat_map(|before| &before.slots.slots);
    let places = slots.chain(before).filter_map(|slot| {
        let spot = scene.spots.get(slot.last())?;
        Some(spot.track.carry(spot.s, track))
    });
    let start = places.fold(f64::INFINITY, f64::min);
    if !start.is_finite() {
        return Vec::new();
    }
    let (out, to) = (-track.along(start), Vec2::new(0.0, -1.0));
    let end = Point::new(track.at(start, 0.0).x, scene.below(k).at(0.0, 0.0).y);
    let symbols = (0..TURN_STEPS).map(|step| {
        let off = STITCH_WIDTH_MM / 2.0 + TURN_OFF_MM + f64::from(step) * TURN_STEP_MM;
        symbol::turn(end + out * off, out, to)
    });
    symbols.collect()
}
