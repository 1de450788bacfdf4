//! Eyes, and where the front is.

use crate::fabric::{Fabric, Piece, StepKind};
use crate::pattern::Pattern;
use crate::source::Source;

use super::relaxed::Relaxed;
use super::vector::{Vec3, centroid};
use super::words::{Token, tokens};

/// Width of an eye where the pattern gives none, in cm: eyes of 9 mm suit a palm-sized animal (common practice, no source).
const USUAL_EYE_CM: f64 = 0.9;

/// An eye on a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    /// The piece.
    pub piece: usize,
    /// The point at whose head it goes through.
    pub point: u32,
    /// How wide it is, in cm.
    pub width_cm: f64,
}

/// The eyes of a pattern that say between which rounds and through which stitches they go.
pub fn eyes(source: &Source, pattern: &Pattern, fabric: &Fabric, shapes: &[Relaxed]) -> Vec<Eye> {
    let width_cm = eye_width_cm(source, pattern);
    let mut eyes = Vec::new();
    for shape in shapes {
        let piece = &fabric.pieces[shape.piece];
        for step in &piece.steps {
            let StepKind::Eyes(place) = step.kind else {
                continue;
            };
            let (Some((below, _)), Some((one, other))) = (place.rounds, place.stitches) else {
                continue;
            };
            let round = piece.rounds.iter().position(|round| round.number == below);
            let points = [one, other].into_iter().filter_map(|stitch| {
                shape.in_round(piece, round?, (stitch as usize).checked_sub(1)?)
            });
            eyes.extend(points.map(|point| Eye {
                piece: shape.piece,
                point,
                width_cm,
            }));
        }
    }
    eyes
}

/// `Eyes: 9 mm, 2`
fn eye_width_cm(source: &Source, pattern: &Pattern) -> f64 {
    let entry = pattern
        .header
        .entries
        .iter()
        .find(|entry| entry.key == "eyes");
    let words = entry
        .map(|entry| tokens(source.slice(entry.value)))
        .unwrap_or_default();
    let width = words.windows(2).find_map(|pair| {
        let mm = pair[0].number()?;
        pair[1].is_any(&["mm"]).then_some(mm / 10.0)
    });
    width
        .filter(|cm| (0.1..=5.0).contains(cm))
        .unwrap_or(USUAL_EYE_CM)
}

/// The angle of a piece's front from +x towards +y, in radians: where the header says (`Front: Rnd 12, stitch 9`, for the piece that has such a
/// round), between the eyes, between the parts of a pair, or opposite the start of the rounds.
pub fn front(
    source: &Source,
    pattern: &Pattern,
    piece: &Piece,
    shape: &Relaxed,
    eyes: &[Eye],
) -> f64 {
    let said = said_front(source, pattern, piece, shape);
    let seen = || {
        let of_piece = eyes.iter().filter(|eye| eye.piece == shape.piece);
        bearing(shape, of_piece.map(|eye| eye.point))
    };
    let back = start_of_rounds(piece, shape);
    said.or_else(seen)
        .or_else(|| between_pair(piece, shape, back))
        .unwrap_or(back + std::f64::consts::PI)
}

fn said_front(source: &Source, pattern: &Pattern, piece: &Piece, shape: &Relaxed) -> Option<f64> {
    let entry = pattern
        .header
        .entries
        .iter()
        .find(|entry| entry.key == "front")?;
    let words = tokens(source.slice(entry.value));
    let mut numbers = words.iter().filter_map(Token::number);
    let (round, stitch) = (numbers.next()?, numbers.next()?);
    let round = piece
        .rounds
        .iter()
        .position(|r| f64::from(r.number) == round)?;
    let point = shape.in_round(piece, round, (stitch as usize).checked_sub(1)?)?;
    bearing(shape, [point])
}

/// The direction from the axis to the middle of some points.
fn bearing(shape: &Relaxed, points: impl IntoIterator<Item = u32>) -> Option<f64> {
    let points: Vec<u32> = points.into_iter().collect();
    let row = shape.web.knots.get(*points.first()? as usize)?.row as usize;
    let axis = centroid(
        shape.web.rows[row]
            .points
            .iter()
            .map(|&p| shape.points[p as usize]),
    );
    let middle = centroid(points.iter().map(|&p| shape.points[p as usize]));
    angle(middle - axis)
}

fn angle(way: Vec3) -> Option<f64> {
    (way.x * way.x + way.y * way.y > 1e-9).then(|| libm::atan2(way.y, way.x))
}

/// The middle of the first stitches of all rounds, seen from the axis.
fn start_of_rounds(piece: &Piece, shape: &Relaxed) -> f64 {
    let rings = shape.web.rows.iter().filter(|row| row.is_ring);
    let sum = rings.fold(Vec3::ZERO, |sum, row| {
        let at = |point: u32| shape.points[point as usize];
        let axis = centroid(row.points.iter().map(|&point| at(point)));
        let first = row.points.first().map_or(axis, |&point| at(point));
        sum + (first - axis)
    });
    debug_assert_eq!(piece.stitches.len(), shape.web.of_stitch.len());
    angle(sum).unwrap_or(0.0)
}

/// Between the two copies of a part in one round, on the side away from the start of the rounds.
fn between_pair(piece: &Piece, shape: &Relaxed, back: f64) -> Option<f64> {
    let pair = piece.joins.iter().enumerate().find_map(|(place, one)| {
        let rest = piece.joins[place + 1..].iter();
        let other = rest
            .into_iter()
            .find(|other| other.part == one.part && other.round == one.round)?;
        Some((one, other))
    })?;
    let points = |join: &crate::fabric::Join| -> Vec<u32> {
        let stitches = join.stitches.iter();
        stitches
            .filter_map(|(stitch, _)| shape.web.of_stitch[stitch.index()])
            .collect()
    };
    let (one, other) = (
        bearing(shape, points(pair.0))?,
        bearing(shape, points(pair.1))?,
    );
    let middle = one + turn(other - one) / 2.0;
    let is_behind = turn(middle - back).abs() < std::f64::consts::FRAC_PI_2;
    Some(if is_behind {
        middle + std::f64::consts::PI
    } else {
        middle
    })
}

/// An angle between −π and π.
fn turn(angle: f64) -> f64 {
    libm::atan2(libm::sin(angle), libm::cos(angle))
}
