//! The drawing: what was worked, the round, and its marks. Stitches lie where the chart has them; marks keep their size on the card.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};
use svg::Node;
use svg::node::element::{Circle, Group, Path, Title};

use super::course::Course;
use super::page::Page;
use super::round::Told;
use crate::chart::{Direction, Glyph, Layout, Panel, Placed, sizes};
use crate::draw::number::{number, svg_path};
use crate::draw::theme::{self, Rgb};
use crate::draw::{self, Look, ink};
use crate::fabric::{Fabric, Piece, Role, StitchId, YarnId};
use crate::symbol::{self, Symbol};
use crate::terms::{Height, Into};
use crate::text::{self, Weight};

/// Largest scale of the drawing.
const MOST_SCALE: f64 = 2.2;
/// Paper round the work for its marks, in mm: where there is but the arrow, and where there are letters and numbers.
const ROOM: f64 = 4.5;
const WIDE_ROOM: f64 = 7.0;
/// Pens on the card, in mm.
const THINNEST: f64 = 0.2;
const THICKEST: f64 = 0.55;
/// How far marks are from the heads, in mm.
const ARC_LIFT: f64 = 0.75;
const BADGE_LIFT: f64 = 3.2;
const LETTER_LIFT: f64 = 2.0;
const ARROW_LIFT: f64 = 2.4;
const HIGH_ARROW_LIFT: f64 = 5.4;
/// Length of the arrow at the start, in mm, and as a share of the round at most.
const ARROW: f64 = 13.0;
const ARROW_SHARE: f64 = 0.28;
/// Length of the arrow's head and the dot that it starts from, in mm.
const HEAD: f64 = 1.9;
const START_DOT: f64 = 0.75;
/// Radius of the mark on a stitch to work into, in mm at full size.
const FOOT_DOT: f64 = 0.62;
/// How far that mark moves back from the arc of a single loop, in mm at full size.
const UNDER_ARC: f64 = 0.45;
/// Rings under a closing round that are shown; all of them would leave it no room.
const RINGS_AROUND: usize = 3;
/// Free paper inside a ring under which its arrow runs further round and stands alone, in mm.
const TIGHT: f64 = 6.0;
const TIGHT_ARROW: f64 = 7.0;
const TIGHT_SHARE: f64 = 0.62;
/// Contrast with paper under which a bed gets an outline.
const PALE: f64 = 1.2;
/// Radius of the badge of a part, in mm.
pub(super) const BADGE: f64 = 1.8;

/// The stitches of the round that is drawn, with their places along its line.
struct Round<'a> {
    stitches: Vec<&'a Placed>,
    course: Course,
    places: Vec<f64>,
}

/// How large the drawing comes out in a room.
pub(super) fn scale(panel: &Panel, ring: usize, told: &Told, fabric: &Fabric, room: Rect) -> f64 {
    let work = work_box(panel, ring);
    let piece = &fabric.pieces[panel.piece];
    let marks = 2.0 * margin(panel, piece, ring, told);
    let across = (room.width() - marks).max(1.0) / work.width().max(1.0);
    let down = (room.height() - marks).max(1.0) / work.height().max(1.0);
    across.min(down).min(MOST_SCALE)
}

/// Paper that the marks need round the work; marks on the inside of a closing round need none.
fn margin(panel: &Panel, piece: &Piece, ring: usize, told: &Told) -> f64 {
    if panel.direction == Direction::Inward {
        return 1.0;
    }
    let yarns = panel.ring_stitches(&panel.rings[ring]);
    let mut yarns = yarns.iter().map(|placed| piece.stitch(placed.id).yarn);
    let first = yarns.next().flatten();
    match told.parts.is_empty() && yarns.all(|yarn| yarn == first) {
        true => ROOM,
        false => WIDE_ROOM,
    }
}

/// The box of the round and of all that lies under it.
fn work_box(panel: &Panel, ring: usize) -> Rect {
    let from = first_shown(panel, ring);
    let shown = &panel.rings[from..=ring];
    let bands = shown
        .iter()
        .filter(|ring| !ring.band.is_empty())
        .map(|ring| ring.band.bounding_box());
    let stitches = shown[0].stitches.start..panel.rings[ring].stitches.end;
    let anchors: &[Placed] = if from == 0 { &panel.anchors } else { &[] };
    let stitches = [&panel.stitches[stitches], anchors]
        .map(|placed| draw::stitches_ink(panel, placed))
        .into_iter()
        .filter(|ink| !ink.is_empty())
        .map(|ink| ink.ink_box());
    bands
        .chain(stitches)
        .reduce(|all, one| all.union(one))
        .unwrap_or(Rect::ZERO)
}

/// The first ring that is shown under a round.
fn first_shown(panel: &Panel, ring: usize) -> usize {
    match panel.direction {
        Direction::Outward => 0,
        Direction::Inward => ring.saturating_sub(RINGS_AROUND),
    }
}

/// True if a stitch is worked into stitches of its piece.
pub(super) fn is_on_stitch(piece: &Piece, id: StitchId) -> bool {
    let stitch = piece.stitch(id);
    !piece.feet(id).is_empty()
        && stitch.kind.height != Height::Chain
        && !matches!(stitch.role, Role::Picot | Role::Close | Role::Travel)
        && !matches!(stitch.into, Into::Ring | Into::Part)
}

/// The drawing in a room of a card.
pub(super) fn drawn(
    fabric: &Fabric,
    panel: &Panel,
    ring: usize,
    told: &Told,
    room: Rect,
    page: &Page,
    look: Look,
) -> Group {
    let work = work_box(panel, ring);
    let scale = scale(panel, ring, told, fabric, room);
    let to_card = Affine::translate(room.center().to_vec2())
        * Affine::scale(scale)
        * Affine::translate(-work.center().to_vec2());
    let mut sketch = Sketch {
        fabric,
        piece: &fabric.pieces[panel.piece],
        panel,
        ring,
        told,
        page,
        look,
        scale,
        to_card,
        group: Group::new(),
    };
    sketch.draw();
    sketch.group
}

struct Sketch<'a> {
    fabric: &'a Fabric,
    piece: &'a Piece,
    panel: &'a Panel,
    ring: usize,
    told: &'a Told,
    page: &'a Page,
    look: Look,
    scale: f64,
    /// From the panel's paper to the card's.
    to_card: Affine,
    group: Group,
}

impl<'a> Sketch<'a> {
    fn draw(&mut self) {
        let round = self.round();
        self.ground(&round);
        self.below();
        self.feet(&round);
        let stitches = self.panel.ring_stitches(&self.panel.rings[self.ring]);
        let says = self.panel.rings[self.ring].says.as_str();
        self.stitches(stitches, theme::INK, says);
        let mut taken = self.parts(&round);
        taken.extend(self.changes(&round));
        self.start(&round, &taken);
    }

    /// The round that is drawn, on the card.
    fn round(&self) -> Round<'a> {
        let ring = &self.panel.rings[self.ring];
        let stitches: Vec<&Placed> = self
            .panel
            .ring_stitches(ring)
            .iter()
            .filter(|placed| self.told.drawn.contains(&placed.id.0))
            .filter(|placed| placed.glyph != Glyph::None)
            .collect();
        let stitches = without_foundation(self.piece, stitches);
        let heads: Vec<Point> = stitches
            .iter()
            .map(|placed| self.to_card * placed.head)
            .collect();
        let band = self.to_card * ring.band.clone();
        let course = Course::new(&band, self.panel.layout, self.panel.direction, &heads);
        let places = course.places(&heads);
        Round {
            stitches,
            course,
            places,
        }
    }

    /// A soft ground under the round: the beds of its yarns, or a band.
    fn ground(&mut self, round: &Round) {
        if !self.look.has_beds() {
            return;
        }
        let yarn = |place: usize| self.piece.stitch(round.stitches[place].id).yarn;
        let band = self.to_card * self.panel.rings[self.ring].band.clone();
        let count = round.stitches.len();
        let mut beds: Vec<(BezPath, Rgb)> = Vec::new();
        let mut from = 0;
        while from < count {
            let to = (from..count)
                .find(|&place| yarn(place) != yarn(from))
                .unwrap_or(count);
            let colour = self.bed(yarn(from));
            let (mut start, end) = (border(round, from), border(round, to));
            // One bed over the seam.
            if let (0, true, Some(lap)) = (from, yarn(0) == yarn(count - 1), round.course.lap()) {
                let last = (0..count).rev().find(|&place| yarn(place) != yarn(0));
                start = last.map_or(start, |last| border(round, last + 1) - lap);
            }
            if from == 0 && to == count {
                beds.push((band.clone(), colour));
            } else if to < count || round.course.lap().is_none() || yarn(from) != yarn(0) {
                beds.push((round.course.stretch_of_band(start, end), colour));
            }
            from = to;
        }
        for (path, colour) in beds {
            let mut bed = Path::new()
                .set("d", svg_path(&path))
                .set("fill", theme::hex(colour))
                .set("fill-rule", "evenodd");
            if theme::contrast(colour, theme::PAPER) < PALE {
                bed = bed
                    .set("stroke", theme::hex(theme::RULE))
                    .set("stroke-width", number(theme::THIN_MM));
            }
            self.group.append(bed);
        }
    }

    fn bed(&self, yarn: Option<YarnId>) -> Rgb {
        if self.fabric.yarns.len() < 2 {
            return theme::BAND;
        }
        let yarn = yarn.and_then(|yarn| self.fabric.yarns.get(usize::from(yarn.0)));
        let colour = yarn.and_then(|yarn| yarn.colour);
        colour.map_or(theme::BAND, theme::bed)
    }

    /// What was worked before: the round that is worked into nearer than those under it.
    fn below(&mut self) {
        let from = first_shown(self.panel, self.ring);
        let rings = &self.panel.rings[from..self.ring];
        let anchors: &[Placed] = &self.panel.anchors;
        match (rings.first(), rings.last()) {
            (Some(first), Some(last)) => {
                let far = first.stitches.start..last.stitches.start;
                if from == 0 {
                    self.stitches(anchors, theme::RULE, "Worked before");
                }
                self.stitches(&self.panel.stitches[far], theme::RULE, "Worked before");
            }
            _ => self.stitches(anchors, theme::NEAR, "Worked before"),
        }
        if let Some(near) = rings.last() {
            let stitches = self.panel.ring_stitches(near);
            self.stitches(stitches, theme::NEAR, "Just worked");
        }
        self.magic_ring();
    }

    fn magic_ring(&mut self) {
        let first = &self.panel.rings[0];
        let is_in_ring = |placed: &Placed| self.piece.stitch(placed.id).into == Into::Ring;
        if self.panel.layout != Layout::Rings
            || first_shown(self.panel, self.ring) > 0
            || !self.panel.anchors.is_empty()
            || !self.panel.ring_stitches(first).iter().any(is_in_ring)
        {
            return;
        }
        let colour = match self.ring {
            0 => theme::INK,
            1 => theme::NEAR,
            _ => theme::RULE,
        };
        let centre = first.band.bounding_box().center();
        let ring = symbol::magic_ring(centre, sizes::MAGIC_RING_MM);
        self.symbol(ring, colour, "Magic ring");
    }

    fn stitches(&mut self, placed: &[Placed], colour: Rgb, says: &str) {
        self.symbol(draw::stitches_ink(self.panel, placed), colour, says);
    }

    /// Ink of the chart, on the card.
    fn symbol(&mut self, symbol: Symbol, colour: Rgb, says: &str) {
        if symbol.is_empty() {
            return;
        }
        let pen = (self.look.pen_mm() * self.scale).clamp(THINNEST, THICKEST);
        let drawn = ink::symbol(&symbol.transformed(self.to_card), colour, pen);
        let says = draw::clean(says);
        self.group.append(
            drawn
                .set("role", "group")
                .set("aria-label", says.as_str())
                .add(Title::new(says)),
        );
    }

    /// A dot on every stitch to work into.
    fn feet(&mut self, round: &Round) {
        let worked: Vec<&Placed> = round
            .stitches
            .iter()
            .copied()
            .filter(|placed| matches!(placed.glyph, Glyph::Stitch { .. }))
            .filter(|placed| is_on_stitch(self.piece, placed.id))
            .collect();
        let mut feet: Vec<Point> = Vec::new();
        for group in worked.chunk_by(|one, next| self.share_space(one, next)) {
            if self.piece.stitch(group[0].id).into == Into::Space {
                // One dot for the space that they stand in.
                let under = group.iter().flat_map(|placed| self.panel.feet(placed));
                let under: Vec<Vec2> = under.map(|foot| foot.to_vec2()).collect();
                let sum: Vec2 = under.iter().copied().sum();
                feet.push((sum / under.len().max(1) as f64).to_point());
                continue;
            }
            for placed in group {
                self.feet_of(placed, &mut feet);
            }
        }
        let radius = FOOT_DOT * self.scale.clamp(0.55, 1.2);
        let mut dots = Group::new();
        for foot in feet {
            dots.append(dot(self.to_card * foot, radius, theme::ACCENT));
        }
        self.group
            .append(dots.add(Title::new("Stitches to work into")));
    }

    /// The stitches that a stitch stands on; one that is there already is not marked again.
    fn feet_of(&self, placed: &Placed, feet: &mut Vec<Point>) {
        let back = match self.piece.stitch(placed.id).into {
            Into::FrontLoop | Into::BackLoop => UNDER_ARC,
            _ => 0.0,
        };
        for &foot in self.panel.feet(placed) {
            let way = foot - placed.head;
            let mark = foot + way * (back / way.length().max(1.0));
            if feet
                .last()
                .is_none_or(|last| last.distance(mark) > FOOT_DOT)
            {
                feet.push(mark);
            }
        }
    }

    fn share_space(&self, one: &Placed, next: &Placed) -> bool {
        let of = |placed: &Placed| {
            (
                self.piece.stitch(placed.id).into,
                self.piece.feet(placed.id),
            )
        };
        of(one).0 == Into::Space && of(one) == of(next)
    }

    /// An arc along the heads that join a part, with the part's number. Returns the places that marks take.
    fn parts(&mut self, round: &Round) -> Vec<f64> {
        let mut taken = Vec::new();
        for (number, part) in self.told.parts.iter().enumerate() {
            let mut places = Vec::new();
            for (placed, &place) in round.stitches.iter().zip(&round.places) {
                if part.stitches.contains(&placed.id.0) {
                    places.push(place);
                }
            }
            let (Some(&first), Some(&last)) = (places.first(), places.last()) else {
                continue;
            };
            let half = round.course.ahead * 1.5 * self.scale * round.course.a_mm(first, 0.0);
            let (from, to) = (first - half, last + half);
            let lift = self.lift(round, first, ARC_LIFT);
            self.strong(&round.course.stretch(from, to, lift));
            let middle = (from + to) / 2.0;
            let lift = self.lift(round, middle, BADGE_LIFT);
            let says = format!("{}, {}", part.name, part.says());
            let badge = badge(round.course.at(middle, lift), number + 1, self.page.label);
            self.group.append(badge.add(Title::new(draw::clean(&says))));
            taken.extend([from, middle, to]);
        }
        taken
    }

    /// A tick and a letter where another yarn is drawn through. Returns the places that they take.
    fn changes(&mut self, round: &Round) -> Vec<f64> {
        let mut taken = Vec::new();
        for place in 1..round.stitches.len() {
            let yarns = [place - 1, place].map(|at| self.piece.stitch(round.stitches[at].id).yarn);
            let (Some(old), Some(new)) = (yarns[0], yarns[1]) else {
                continue;
            };
            if old == new {
                continue;
            }
            let (from, to) = (round.places[place - 1], border(round, place));
            let lift = self.lift(round, from, ARC_LIFT * 0.6);
            self.strong(&round.course.stretch(from, to, lift));
            let lift = self.lift(round, to, LETTER_LIFT);
            self.letter(new, round.course.at(to, lift));
            taken.push(to);
        }
        taken
    }

    /// Where the round starts and which way it goes, with the yarn in use.
    fn start(&mut self, round: &Round, taken: &[f64]) {
        let Some(&first) = round.places.first() else {
            return;
        };
        let course = &round.course;
        let is_tight = course.room_mm(first) < TIGHT;
        let reach = |lift: f64| {
            let length = course.lap().map_or(ARROW, |lap| {
                let whole = lap.abs() / course.a_mm(first, lift);
                match is_tight {
                    true => TIGHT_ARROW.min(whole * TIGHT_SHARE),
                    false => ARROW.min(whole * ARROW_SHARE),
                }
            });
            length * course.a_mm(first, lift) * course.ahead
        };
        let low = self.lift(round, first, ARROW_LIFT + self.crown(round));
        let span = reach(low);
        let near = 3.0 * course.a_mm(first, low);
        let is_by = |&place: &f64| {
            let way = (place - first) * course.ahead;
            let way = course.lap().map_or(way, |lap| {
                let lap = lap.abs();
                (way + lap / 2.0).rem_euclid(lap) - lap / 2.0
            });
            (-2.0 * near..span.abs() + near).contains(&way)
        };
        let lift = match taken.iter().any(is_by) {
            true => self.lift(round, first, low.max(HIGH_ARROW_LIFT)),
            false => low,
        };
        let span = reach(lift);
        let head = HEAD * course.a_mm(first, lift) * course.ahead;
        let end = first + span;
        self.strong(&course.stretch(first, end - head * 0.8, lift));
        let (tip, tail) = (course.at(end, lift), course.at(end - head, lift));
        let mut arrow = BezPath::new();
        let across = course.up(end - head) * (HEAD * 0.42);
        arrow.move_to(tip);
        arrow.line_to(tail + across);
        arrow.line_to(tail - across);
        arrow.close_path();
        let mut group = Group::new().add(Title::new("Start"));
        group.append(
            Path::new()
                .set("d", svg_path(&arrow))
                .set("fill", theme::hex(theme::ACCENT)),
        );
        group.append(dot(course.at(first, lift), START_DOT, theme::ACCENT));
        self.group.append(group);
        let yarn = self.piece.stitch(round.stitches[0].id).yarn;
        if let (Some(yarn), true) = (yarn, self.fabric.yarns.len() > 1 && !is_tight) {
            let back = 2.3 * course.a_mm(first, lift) * course.ahead;
            self.letter(yarn, course.at(first - back, lift));
        }
    }

    /// How far picots stand over the heads, in mm.
    fn crown(&self, round: &Round) -> f64 {
        let mut stitches = round.stitches.iter();
        let has_picots = stitches.any(|placed| matches!(placed.glyph, Glyph::Picot { .. }));
        match has_picots {
            true => sizes::PICOT_HEIGHT_MM * self.scale,
            false => 0.0,
        }
    }

    /// A distance from the heads that stays clear of the middle of a closing round.
    fn lift(&self, round: &Round, place: f64, wanted: f64) -> f64 {
        wanted.min(round.course.room_mm(place) * 0.62)
    }

    fn letter(&mut self, yarn: YarnId, middle: Point) {
        let Some(yarn) = self.fabric.yarns.get(usize::from(yarn.0)) else {
            return;
        };
        let letter = text::fitted(&yarn.letter, self.page.label, Weight::Bold, 9.0);
        let words = centred(&letter, middle, self.page.label, theme::ACCENT);
        self.group.append(words);
    }

    fn strong(&mut self, path: &BezPath) {
        self.group.append(
            Path::new()
                .set("d", svg_path(path))
                .set("fill", "none")
                .set("stroke", theme::hex(theme::ACCENT))
                .set("stroke-width", number(theme::STRONG_MM))
                .set("stroke-linecap", "round")
                .set("stroke-linejoin", "round"),
        );
    }
}

/// The stitches but those of a chain that the work starts from, unless there are no others.
fn without_foundation<'a>(piece: &Piece, stitches: Vec<&'a Placed>) -> Vec<&'a Placed> {
    let is_worked = |placed: &&Placed| piece.stitch(placed.id).role != Role::Foundation;
    let worked: Vec<&Placed> = stitches.iter().copied().filter(is_worked).collect();
    if worked.is_empty() { stitches } else { worked }
}

/// Half way between a stitch of the round and the one before it, over the seam of a ring too.
fn border(round: &Round, place: usize) -> f64 {
    let (places, course) = (&round.places, &round.course);
    let count = places.len();
    match (place.checked_sub(1), places.get(place), course.lap()) {
        (Some(before), Some(&next), _) => (places[before] + next) / 2.0,
        (None, Some(&first), Some(lap)) => (first + places[count - 1] - lap) / 2.0,
        (Some(before), None, Some(lap)) => (places[before] + places[0] + lap) / 2.0,
        (None, Some(&first), None) => first - course.ahead * symbol::STITCH_WIDTH_MM / 2.0,
        (Some(before), None, None) => places[before] + course.ahead * symbol::STITCH_WIDTH_MM / 2.0,
        (None, None, _) => 0.0,
    }
}

pub(super) fn dot(at: Point, radius: f64, colour: Rgb) -> Circle {
    Circle::new()
        .set("cx", number(at.x))
        .set("cy", number(at.y))
        .set("r", number(radius))
        .set("fill", theme::hex(colour))
}

/// A part's number, in a disc.
pub(super) fn badge(middle: Point, number: usize, size_mm: f64) -> Group {
    Group::new()
        .add(dot(middle, BADGE, theme::ACCENT))
        .add(centred(&number.to_string(), middle, size_mm, theme::PAPER))
}

fn centred(words: &str, middle: Point, size_mm: f64, colour: Rgb) -> Path {
    let room = text::extents(words, size_mm, Weight::Bold);
    let at = middle + Vec2::new(-room.width_mm / 2.0, room.cap_mm / 2.0);
    ink::words(words, at, size_mm, Weight::Bold, colour)
}
