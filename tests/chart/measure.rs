//! Judges a laid-out panel by numbers.

use kurbo::{BezPath, ParamCurve, Point, Rect, Shape};
use roundwright::chart::{Glyph, Ink, Panel, Placed, Words};
use roundwright::symbol::{self, PEN_MM, Symbol};
use roundwright::text;

type Segment = (Point, Point);

/// Symbols whose lines cross away from the small discs where stitches meet by nature.
pub fn overlaps(panel: &Panel) -> usize {
    let drawn: Vec<(&Placed, Vec<Segment>)> = panel
        .stitches
        .iter()
        .map(|placed| (placed, segments(&drawn(panel, placed).stroke)))
        .filter(|(_, segments)| !segments.is_empty())
        .collect();
    let mut count = 0;
    for (i, (one, lines)) in drawn.iter().enumerate() {
        for (other, others) in &drawn[i + 1..] {
            if one.head.distance(other.head) < 16.0 && cross(panel, one, lines, other, others) {
                count += 1;
            }
        }
    }
    count
}

fn cross(
    panel: &Panel,
    one: &Placed,
    lines: &[Segment],
    other: &Placed,
    others: &[Segment],
) -> bool {
    let meeting = |at: Point| {
        let ends = |placed: &Placed| {
            let mut ends = panel.feet(placed).to_vec();
            ends.push(placed.head);
            ends
        };
        [ends(one), ends(other)]
            .iter()
            .flatten()
            .any(|end| end.distance(at) < 0.9)
    };
    lines.iter().any(|&a| {
        others
            .iter()
            .any(|&b| crossing(a, b).is_some_and(|at| !meeting(at)))
    })
}

/// Pairs of stitches whose ways from foot to head cross.
pub fn crossing_legs(panel: &Panel) -> usize {
    let legs: Vec<Segment> = panel
        .stitches
        .iter()
        .filter(|placed| matches!(placed.glyph, Glyph::Stitch { .. }))
        .flat_map(|placed| panel.feet(placed).iter().map(|&foot| (foot, placed.head)))
        .collect();
    let mut count = 0;
    for (i, &a) in legs.iter().enumerate() {
        for &b in &legs[i + 1..] {
            let apart = [a.0, a.1]
                .iter()
                .all(|p| p.distance(b.0) > 0.01 && p.distance(b.1) > 0.01);
            if apart && crossing(a, b).is_some() {
                count += 1;
            }
        }
    }
    count
}

/// Words that touch a symbol or other words.
pub fn hidden_words(panel: &Panel) -> Vec<String> {
    let words: Vec<(&Words, Rect)> = panel
        .marks
        .iter()
        .flat_map(|mark| &mark.ink)
        .filter_map(|ink| match ink {
            Ink::Words(words) => Some((words, words_box(words))),
            _ => None,
        })
        .collect();
    let lines: Vec<Segment> = panel
        .stitches
        .iter()
        .flat_map(|placed| segments(&drawn(panel, placed).stroke))
        .collect();
    let mut hidden = Vec::new();
    for (i, (one, room)) in words.iter().enumerate() {
        let by_words = words[i + 1..]
            .iter()
            .any(|(_, other)| room.overlaps(*other));
        let by_lines = lines
            .iter()
            .any(|&line| touches(line, room.inset(PEN_MM / 2.0)));
        if by_words || by_lines {
            hidden.push(one.text.clone());
        }
    }
    hidden
}

pub fn words_box(words: &Words) -> Rect {
    let mut outline = text::outline(&words.text, words.size_mm, words.weight);
    outline.apply_affine(kurbo::Affine::translate(words.at.to_vec2()));
    outline.bounding_box()
}

/// The symbol that is drawn for a stitch.
pub fn drawn(panel: &Panel, placed: &Placed) -> Symbol {
    match placed.glyph {
        Glyph::Stitch { kind, into, .. } => {
            symbol::stitch(kind, into, panel.feet(placed), placed.head)
        }
        Glyph::Chain {
            centre,
            direction,
            length_mm,
        } => symbol::chain(centre, direction, length_mm),
        Glyph::Picot { at, up, chains } => symbol::picot_loop(at, up, chains),
        Glyph::None => Symbol::default(),
    }
}

fn segments(path: &BezPath) -> Vec<Segment> {
    let mut segments = Vec::new();
    for segment in path.segments() {
        let steps = if matches!(segment, kurbo::PathSeg::Line(_)) {
            1
        } else {
            6
        };
        for step in 0..steps {
            let at = |step: usize| segment.eval(step as f64 / steps as f64);
            segments.push((at(step), at(step + 1)));
        }
    }
    segments
}

/// Where two segments cross.
fn crossing(a: Segment, b: Segment) -> Option<Point> {
    let (u, v, w) = (a.1 - a.0, b.1 - b.0, b.0 - a.0);
    let turn = u.cross(v);
    if turn.abs() < 1e-12 {
        return None;
    }
    let (s, t) = (w.cross(v) / turn, w.cross(u) / turn);
    let within = (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t);
    within.then(|| a.0 + u * s)
}

fn touches(line: Segment, room: Rect) -> bool {
    let corners = [
        Point::new(room.x0, room.y0),
        Point::new(room.x1, room.y0),
        Point::new(room.x1, room.y1),
        Point::new(room.x0, room.y1),
    ];
    room.contains(line.0)
        || (0..4).any(|i| crossing(line, (corners[i], corners[(i + 1) % 4])).is_some())
}
