//! What can be told of a relaxed piece in numbers.

use crate::fabric::Piece;

use super::energy;
use super::relaxed::Relaxed;
use super::vector::{Vec3, centroid};

/// The measures of a piece, in cm.
#[derive(Debug, Clone, PartialEq)]
pub struct Measures {
    /// Along the axis.
    pub height_cm: f64,
    /// From its own left to its own right.
    pub width_cm: f64,
    /// From front to back.
    pub depth_cm: f64,
    /// What it holds, if it is stuffed; else 0.
    pub stuffing_cm3: f64,
    /// Each round's number and how far it is round; for a row, how long it is.
    pub rounds: Vec<(u32, f64)>,
    /// How far the axis turns from the first third to the last, in degrees; 0 for what is flat or short.
    pub bend_deg: f64,
    /// Height of the waves of an open edge, in cm from trough to crest.
    pub ruffle_cm: f64,
    /// How deep an open disc is dished, in cm.
    pub cup_cm: f64,
}

/// Measures a piece whose front lies at this angle, in radians from +x towards +y.
pub fn measure(shape: &Relaxed, piece: &Piece, front: f64) -> Measures {
    let (sin, cos) = (libm::sin(front), libm::cos(front));
    let reach = |along: Vec3| {
        let (low, high) = shape
            .points
            .iter()
            .map(|point| point.dot(along))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                (low.min(at), high.max(at))
            });
        (high - low).max(0.0)
    };
    let rings = rings(shape);
    let (ruffle_cm, cup_cm) = open_edge(shape, &rings);
    let extent = |along| {
        if shape.points.is_empty() {
            0.0
        } else {
            reach(along)
        }
    };
    Measures {
        height_cm: extent(Vec3::new(0.0, 0.0, 1.0)),
        width_cm: extent(Vec3::new(-sin, cos, 0.0)),
        depth_cm: extent(Vec3::new(cos, sin, 0.0)),
        stuffing_cm3: if shape.mesh.stuffing > 0.0 {
            energy::volume(&shape.mesh, &shape.points).max(0.0)
        } else {
            0.0
        },
        rounds: lengths(shape, piece),
        bend_deg: bend(&rings),
        ruffle_cm,
        cup_cm,
    }
}

/// Each round's length along the yarn.
fn lengths(shape: &Relaxed, piece: &Piece) -> Vec<(u32, f64)> {
    let rows = shape
        .web
        .rows
        .iter()
        .filter(|row| !row.is_chain || shape.web.rows.len() == 1);
    rows.map(|row| {
        let at = |point: u32| shape.points[point as usize];
        let mut around: f64 = row
            .points
            .windows(2)
            .map(|pair| (at(pair[1]) - at(pair[0])).length())
            .sum();
        if let (true, [first, .., last]) = (row.is_ring, &row.points[..]) {
            // A spiral goes on to the next round; round once is back beside its start.
            let next = shape.web.knots[*last as usize].next.unwrap_or(*first);
            around += (at(next) - at(*last)).length();
        }
        // Adding zero turns the -0.0 of nothing into 0.0.
        (piece.rounds[row.round].number, around + 0.0)
    })
    .collect()
}

/// A round as a ring.
struct Ring {
    middle: Vec3,
    radius: f64,
    points: Vec<u32>,
}

fn rings(shape: &Relaxed) -> Vec<Ring> {
    let rows = shape
        .web
        .rows
        .iter()
        .filter(|row| row.is_ring && row.points.len() > 2);
    rows.map(|row| {
        let middle = centroid(row.points.iter().map(|&point| shape.points[point as usize]));
        let out = row
            .points
            .iter()
            .map(|&point| (shape.points[point as usize] - middle).length());
        Ring {
            middle,
            radius: out.sum::<f64>() / row.points.len() as f64,
            points: row.points.clone(),
        }
    })
    .collect()
}

/// The angle between the axis at the beginning and at the end, in degrees.
fn bend(rings: &[Ring]) -> f64 {
    let count = rings.len();
    if count < 6 {
        return 0.0;
    }
    let third = count / 3;
    let way = |rings: &[Ring]| rings[rings.len() - 1].middle - rings[0].middle;
    let (first, last) = (way(&rings[..third + 1]), way(&rings[count - third - 1..]));
    let widest = rings.iter().map(|ring| ring.radius).fold(0.0, f64::max);
    // A disc has no axis to speak of.
    if first.length() + last.length() < widest {
        return 0.0;
    }
    let cos = first.unit_or(Vec3::ZERO).dot(last.unit_or(Vec3::ZERO));
    libm::acos(cos.clamp(-1.0, 1.0)).to_degrees()
}

/// Of a piece that grows to its open edge: the height of the edge's waves, and how deep it is dished.
fn open_edge(shape: &Relaxed, rings: &[Ring]) -> (f64, f64) {
    let (Some(first), Some(edge)) = (rings.first(), rings.last()) else {
        return (0.0, 0.0);
    };
    let grows = rings
        .windows(2)
        .all(|pair| pair[1].points.len() > pair[0].points.len());
    if shape.mesh.stuffing > 0.0 || !grows || edge.points.len() < 8 {
        return (0.0, 0.0);
    }
    let heights: Vec<f64> = edge
        .points
        .iter()
        .map(|&point| shape.points[point as usize].z)
        .collect();
    let count = heights.len() as f64;
    let mean = heights.iter().sum::<f64>() / count;
    // A tilt of the whole edge is no wave: it is the first harmonic.
    let (mut sin_part, mut cos_part) = (0.0, 0.0);
    for (place, height) in heights.iter().enumerate() {
        let angle = std::f64::consts::TAU * place as f64 / count;
        sin_part += 2.0 / count * height * libm::sin(angle);
        cos_part += 2.0 / count * height * libm::cos(angle);
    }
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for (place, height) in heights.iter().enumerate() {
        let angle = std::f64::consts::TAU * place as f64 / count;
        let tilt = sin_part * libm::sin(angle) + cos_part * libm::cos(angle);
        let wave = height - mean - tilt;
        (low, high) = (low.min(wave), high.max(wave));
    }
    (high - low, (mean - first.middle.z).abs())
}
