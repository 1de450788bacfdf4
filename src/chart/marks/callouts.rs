//! What is told outside the work: a few words, with a thin leader from the stitches that they are about.

use kurbo::{BezPath, Line, Point, Rect, Size, Vec2};

use super::clear::meets;
use crate::chart::panel::{self, Direction, Ink, Layout, Mark, Tone, Words};
use crate::chart::quality::{crossing, words_box};
use crate::chart::scene::Scene;
use crate::chart::sizes::{ANCHOR_MM, LABEL_MM};
use crate::chart::slots::Slot;
use crate::chart::track::Track;
use crate::symbol;
use crate::text::{self, Weight};

/// From line to line of the words, in mm.
const LINE_MM: f64 = LABEL_MM * 1.3;
/// From the outermost ink to the words, in mm.
const OFF_MM: f64 = 4.0;
/// How far words are moved outward at most to be clear of others, in mm.
const MOST_MOVES: u32 = 60;
/// How far the arc lies outside the heads, in mm.
const ARC_LIFT_MM: f64 = 0.25;
/// Paper between words and what else is outside the work, in mm.
const AIR_MM: f64 = 0.5;
/// From one place for a leader to the next that is tried, in mm.
const STEP_MM: f64 = 0.6;
/// How many places are tried at least and at most.
const STEPS: std::ops::RangeInclusive<u32> = 16..=160;
/// How far aside a leader may end, in mm along its line: straight out where that is free.
const SLANTS_MM: [f64; 9] = [0.0, 3.0, -3.0, 6.0, -6.0, 9.0, -9.0, 12.0, -12.0];
/// What a leader over words, or over another leader, is worse by than any other.
const OVER_WORDS: f64 = 100.0;

/// The words outside a panel's work, each clear of those before.
pub(super) struct Callouts<'a> {
    scene: &'a Scene<'a>,
    /// Words within the work and outside it.
    words: Vec<Rect>,
    leaders: Vec<Line>,
}

impl<'a> Callouts<'a> {
    /// For a panel that has some marks already.
    pub fn new(scene: &'a Scene<'a>, marks: &[Mark]) -> Callouts<'a> {
        let ink = marks.iter().flat_map(|mark| &mark.ink);
        let words = ink.filter_map(|ink| match ink {
            Ink::Words(words) => Some(words_box(words)),
            _ => None,
        });
        Callouts {
            scene,
            words: words.collect(),
            leaders: Vec::new(),
        }
    }

    /// An arc along the heads from one place on a line to another, and words for it.
    pub fn along(&mut self, track: &Track, from: f64, to: f64, lines: &[&str]) -> Vec<Ink> {
        let arc = Ink::Line {
            path: track.stretch(from, to, ARC_LIFT_MM),
            line: panel::Line::Strong,
        };
        let mut ink = vec![arc];
        ink.extend(self.from(track, from, to, lines));
        ink
    }

    /// Words with a leader from the best place between two on a line.
    pub fn from(&mut self, track: &Track, from: f64, to: f64, lines: &[&str]) -> Vec<Ink> {
        let outside = self.outside_mm(track);
        let size = size(lines);
        let mut best = (Line::new(Point::ZERO, Point::ZERO), f64::NEG_INFINITY);
        for slant in SLANTS_MM {
            let ends = |s: f64| leader(track, s, slant, outside);
            let (at, good) = self.place(track, from, to, ends, size);
            if good > best.1 {
                best = (ends(at), good);
            }
            if best.1 > -OVER_WORDS / 2.0 {
                break;
            }
        }
        let Line { p0: start, p1: end } = best.0;
        let (words, end) = self.label(lines, start, end);
        self.leaders.push(Line::new(start, end));
        let mut path = BezPath::new();
        path.move_to(start);
        path.line_to(end);
        let leader = Ink::Line {
            path,
            line: panel::Line::Leader(Tone::Accent),
        };
        let mut ink = vec![leader];
        ink.extend(words.into_iter().map(Ink::Words));
        ink
    }

    /// True if a leader from somewhere between two places on a line passes no words and no other leader.
    pub fn has_room(&self, track: &Track, from: f64, to: f64, lines: &[&str]) -> bool {
        let outside = self.outside_mm(track);
        let ends = |s: f64| leader(track, s, 0.0, outside);
        let (_, good) = self.place(track, from, to, ends, size(lines));
        good > -OVER_WORDS / 2.0
    }

    /// The place from where a line outward passes words, other leaders and heads at the greatest distance, and
    /// how good it is.
    fn place(
        &self,
        track: &Track,
        from: f64,
        to: f64,
        ends: impl Fn(f64) -> Line,
        size: Size,
    ) -> (f64, f64) {
        let steps = ((to - from).abs() / STEP_MM) as u32;
        let steps = steps.clamp(*STEPS.start(), *STEPS.end()) / 2 * 2;
        let mut best = ((from + to) / 2.0, f64::NEG_INFINITY);
        for step in 0..=steps {
            let s = from + (to - from) * f64::from(step) / f64::from(steps);
            // From the middle, where it is as good as anywhere.
            let off = f64::from(step.abs_diff(steps / 2)) / f64::from(steps);
            let mut good = clearance(self.scene, track, s) - off * 0.3;
            let Line { p0: start, p1: end } = ends(s);
            let (end, _) = self.clear_end(start, end, size);
            if self.is_in_the_way(Line::new(start, end)) {
                good -= OVER_WORDS;
            }
            if good > best.1 {
                best = (s, good);
            }
        }
        best
    }

    fn is_in_the_way(&self, leader: Line) -> bool {
        let lines = (leader.p0, leader.p1);
        self.words
            .iter()
            .any(|words| meets(lines, words.inset(AIR_MM)))
            || self
                .leaders
                .iter()
                .any(|other| crossing(lines, (other.p0, other.p1)).is_some())
    }

    /// From a line to the outside of the work, in mm.
    fn outside_mm(&self, track: &Track) -> f64 {
        let scene = self.scene;
        let crown = |k: usize| scene.cut.courses[k].slots.crown_mm;
        let outer = (0..scene.tracks.len())
            .map(|k| scene.tracks[k].reach_mm() + crown(k))
            .fold(scene.ground.reach_mm() + anchor_mm(scene), f64::max);
        let floor = match scene.cut.layout {
            Layout::Rings => 0.0,
            Layout::Strip => f64::NEG_INFINITY,
        };
        (outer - track.reach_mm()).max(floor)
    }

    /// Lines of words beyond the end of a leader, moved outward until they are clear of other words and leaders. Returns them and the end of
    /// the leader.
    fn label(&mut self, lines: &[&str], start: Point, end: Point) -> (Vec<Words>, Point) {
        let size = size(lines);
        let width = size.width;
        let way = (end - start).normalize();
        let (end, room) = self.clear_end(start, end, size);
        self.words.push(room);
        let words = lines.iter().enumerate().map(|(i, line)| {
            let weight = match i {
                0 => Weight::Bold,
                _ => Weight::Regular,
            };
            let wide = text::extents(line, LABEL_MM, weight).width_mm;
            // Lines are flush on the side of the leader.
            let x = room.x0 + (width - wide) * (0.5 - way.x * 0.5).clamp(0.0, 1.0);
            Words {
                text: (*line).to_owned(),
                at: Point::new(x, room.y0 + LINE_MM * (i as f64 + 0.78)),
                size_mm: LABEL_MM,
                weight,
                tone: Tone::Accent,
            }
        });
        (words.collect(), end)
    }

    /// Where a leader ends so that words of a size beyond it are clear of others, and the box of these.
    fn clear_end(&self, start: Point, end: Point, size: Size) -> (Point, Rect) {
        let way = (end - start).normalize();
        let mut end = end;
        let mut room = beside(end, way, size.width, size.height);
        for _ in 0..MOST_MOVES {
            if !self.is_taken(room) {
                break;
            }
            end += way;
            room = beside(end, way, size.width, size.height);
        }
        (end, room)
    }

    fn is_taken(&self, room: Rect) -> bool {
        let room = room.inset(AIR_MM);
        self.words.iter().any(|other| other.overlaps(room))
            || self
                .leaders
                .iter()
                .any(|leader| meets((leader.p0, leader.p1), room))
    }
}

/// A leader outward from a place on a line, past what lies outside it by so many mm; its end is so far aside, along the line.
fn leader(track: &Track, s: f64, slant_mm: f64, outside_mm: f64) -> Line {
    let lift = outside_mm + OFF_MM - 1.0;
    Line::new(track.at(s, ARC_LIFT_MM), track.at(s + slant_mm, lift))
}

/// The room that lines of words need.
fn size(lines: &[&str]) -> Size {
    let widths = lines
        .iter()
        .map(|line| text::extents(line, LABEL_MM, Weight::Bold).width_mm);
    Size::new(widths.fold(0.0, f64::max), LINE_MM * lines.len() as f64)
}

/// How near the closest head of the lines outside is to a line outward from `s`, in mm along those lines.
fn clearance(scene: &Scene, track: &Track, s: f64) -> f64 {
    let mut least = f64::INFINITY;
    for (k, course) in scene.courses() {
        let other = &scene.tracks[k];
        if other.reach_mm() <= track.reach_mm() {
            continue;
        }
        let here = track.carry(s, other);
        least = least.min(nearest(scene, &course.slots.slots, here, other));
    }
    least.min(symbol::STITCH_WIDTH_MM)
}

/// From a place on a round's line to the nearest of its slots, in mm.
fn nearest(scene: &Scene, slots: &[Slot], here: f64, track: &Track) -> f64 {
    let place = |slot: &Slot| scene.spots.get(slot.first()).map_or(0.0, |spot| spot.s);
    let (Some(first), Some(last)) = (slots.first().map(place), slots.last().map(place)) else {
        return f64::INFINITY;
    };
    let here = match track.length() {
        Some(length) => first + (here - first).rem_euclid(length),
        None => here,
    };
    let next = slots.partition_point(|slot| place(slot) < here);
    let after = match (slots.get(next), track.length()) {
        (Some(slot), _) => place(slot) - here,
        (None, Some(length)) => first + length - here,
        (None, None) => f64::INFINITY,
    };
    let before = match next.checked_sub(1) {
        Some(before) => here - place(&slots[before]),
        None => here - (last - track.length().unwrap_or(f64::INFINITY)),
    };
    after.min(before).max(0.0)
}

/// How far the stitches that the panel stands on reach outside their line, in mm.
fn anchor_mm(scene: &Scene) -> f64 {
    match (scene.cut.direction, scene.cut.anchor) {
        (Direction::Inward, Some(_)) => ANCHOR_MM,
        _ => 0.0,
    }
}

/// The box of a label that a leader in a direction ends at: beside, over or under its end.
fn beside(end: Point, way: Vec2, width: f64, height: f64) -> Rect {
    let middle = Point::new(
        end.x + way.x * (width / 2.0 + 1.2),
        end.y + way.y * (height / 2.0 + 1.0),
    );
    Rect::from_center_size(middle, (width, height))
}
