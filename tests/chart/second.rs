//! Overlaps and crossings counted by a general geometry library, to check our own count.

use geo::line_intersection::line_intersection;
use geo::{BooleanOps, Coord, Intersects, Line, LineString, MultiPolygon, Polygon};
use kurbo::Point;
use roundwright::chart::Ink;
use roundwright::chart::quality::{MEETING_MM, lies_over, meetings, stretches};
use roundwright::chart::{Glyph, Panel, Placed, drawn};
use roundwright::fabric::{Piece, StitchId};
use roundwright::symbol::{PEN_MM, Symbol};
use roundwright::terms::Height;

/// Corners of the polygon that stands for a disc.
const CORNERS: u32 = 720;

fn coord(point: Point) -> Coord<f64> {
    Coord {
        x: point.x,
        y: point.y,
    }
}

/// The box of a line, as wide as the pen.
fn pen_box((from, to): (Point, Point)) -> Polygon<f64> {
    let along = (to - from) / (to - from).hypot().max(1e-9);
    let side = kurbo::Vec2::new(-along.y, along.x) * (PEN_MM / 2.0);
    let corners = [from + side, to + side, to - side, from - side];
    Polygon::new(LineString::new(corners.map(coord).to_vec()), Vec::new())
}

fn disc(middle: Point) -> Polygon<f64> {
    let corner = |i: u32| {
        let turn = std::f64::consts::TAU * f64::from(i) / f64::from(CORNERS);
        coord(middle + kurbo::Vec2::new(libm::cos(turn), libm::sin(turn)) * MEETING_MM)
    };
    Polygon::new(
        LineString::new((0..CORNERS).map(corner).collect()),
        Vec::new(),
    )
}

/// A line outside the discs: the parts of it that a clip by their union leaves.
fn outside(line: (Point, Point), discs: &MultiPolygon<f64>) -> Vec<(Point, Point)> {
    if discs.0.is_empty() {
        return vec![line];
    }
    let line = geo::MultiLineString::new(vec![LineString::new(vec![coord(line.0), coord(line.1)])]);
    let point = |coord: &Coord<f64>| Point::new(coord.x, coord.y);
    discs
        .clip(&line, true)
        .iter()
        .flat_map(|part| part.0.windows(2))
        .map(|pair| (point(&pair[0]), point(&pair[1])))
        .collect()
}

/// Pairs of stitches whose ink touches away from where they meet; a stitch beside itself touches a mark.
pub fn overlaps(panel: &Panel, piece: &Piece) -> Vec<[StitchId; 2]> {
    let mut all: Vec<(Option<&Placed>, Symbol)> = Vec::new();
    for placed in [&panel.anchors, &panel.stitches] {
        let symbols = placed.iter().zip(drawn(panel, placed));
        all.extend(symbols.map(|(placed, symbol)| (Some(placed), symbol)));
    }
    for ink in panel.marks.iter().flat_map(|mark| &mark.ink) {
        if let Ink::Symbol(symbol, _) = ink {
            all.push((None, symbol.clone()));
        }
    }
    let worked = worked_crossings(panel, piece);
    let mut found = Vec::new();
    for (i, (one, symbol)) in all.iter().enumerate() {
        for (other, others) in &all[i + 1..] {
            let pair = match (one, other) {
                (Some(a), Some(b)) => [a.id.min(b.id), a.id.max(b.id)],
                (Some(a), None) | (None, Some(a)) => [a.id, a.id],
                (None, None) => continue,
            };
            let apart = !symbol.ink_box().overlaps(others.ink_box());
            if apart || worked.contains(&pair) || lies_over(piece, pair) {
                continue;
            }
            let discs = match (one, other) {
                (Some(a), Some(b)) => meetings(panel, piece, a, b),
                _ => Vec::new(),
            };
            let discs = discs
                .into_iter()
                .map(disc)
                .fold(MultiPolygon::new(Vec::new()), |all, disc| all.union(&disc));
            let boxes = |symbol: &Symbol| -> Vec<Polygon<f64>> {
                let lines = stretches(symbol).into_iter();
                lines
                    .flat_map(|line| outside(line, &discs))
                    .map(pen_box)
                    .collect()
            };
            let (ones, others) = (boxes(symbol), boxes(others));
            if ones.iter().any(|a| others.iter().any(|b| a.intersects(b))) {
                found.push(pair);
            }
        }
    }
    found.sort();
    found
}

fn worked_crossings(panel: &Panel, piece: &Piece) -> Vec<[StitchId; 2]> {
    let needless = roundwright::chart::quality::quality(panel, piece).crossings;
    crossing_pairs(panel)
        .into_iter()
        .filter(|pair| !needless.contains(pair))
        .collect()
}

/// How many pairs of stitches have legs that cross.
pub fn crossings(panel: &Panel) -> usize {
    crossing_pairs(panel).len()
}

fn crossing_pairs(panel: &Panel) -> Vec<[StitchId; 2]> {
    let mut legs: Vec<(StitchId, Line<f64>)> = Vec::new();
    for placed in &panel.stitches {
        if matches!(placed.glyph, Glyph::Stitch { kind, .. } if kind.height > Height::Slip) {
            for &foot in panel.feet(placed) {
                legs.push((placed.id, Line::new(coord(foot), coord(placed.head))));
            }
        }
    }
    let mut found = Vec::new();
    for (i, (one, a)) in legs.iter().enumerate() {
        for (other, b) in &legs[i + 1..] {
            let near = |p: Coord<f64>, q: Coord<f64>| libm::hypot(p.x - q.x, p.y - q.y) <= 0.01;
            let meet = [a.start, a.end]
                .iter()
                .any(|&p| near(p, b.start) || near(p, b.end));
            if one != other && !meet && line_intersection(*a, *b).is_some() {
                found.push([*one.min(other), *one.max(other)]);
            }
        }
    }
    found.sort();
    found.dedup();
    found
}
