//! Where the front of a piece is in space, and its eyes.

use std::f64::consts::PI;

use crate::fabric::Piece;
use crate::pattern::Pattern;
use crate::place::{Attachment, KnownBy};
use crate::prose::{lengths, words};
use crate::shape::{Relaxed, Spot, Vec3, centroid};
use crate::source::Source;

use super::Kit;

/// Width of an eye where the pattern gives none, in cm: eyes of 9 mm suit a palm-sized animal (common practice, no source).
const USUAL_EYE_CM: f64 = 0.9;

/// An eye on a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    /// Where it is on the piece, in cm.
    pub at: Vec3,
    /// The outward direction there.
    pub out: Vec3,
    /// How wide it is, in cm.
    pub width_cm: f64,
}

/// The width of eyes by the header: `Eyes: 9 mm, 2`.
pub(super) fn eye_width_cm(source: &Source, pattern: &Pattern) -> f64 {
    let entries = &pattern.header.entries;
    let width = entries
        .iter()
        .find(|entry| entry.key == "eyes")
        .and_then(|entry| {
            let told: Vec<_> = words::split(source.slice(entry.value), entry.value.start).collect();
            (0..told.len()).find_map(|at| lengths::length_at(&told, at))
        })
        .map(|length| length.mm / 10.0);
    width
        .filter(|cm| (0.1..=5.0).contains(cm))
        .unwrap_or(USUAL_EYE_CM)
}

impl Kit<'_> {
    /// The eyes of a piece whose places are known.
    pub(super) fn eyes(&self, piece: usize) -> impl Iterator<Item = Eye> {
        let all = self.placement.attachments.iter();
        all.filter(move |a| a.into == piece && a.part == "eye")
            .filter_map(move |eye| {
                let rounds = [eye.round?, eye.last_round.or(eye.round)?];
                let spots = self.spots(eye, rounds, eye.turn_deg?)?;
                Some(Eye {
                    at: centroid(spots.map(|spot| spot.of(&self.shapes.pieces[piece].points))),
                    out: centroid(spots.map(|spot| spot.of(&self.normals[piece])))
                        .unit_or(Vec3::new(0.0, -1.0, 0.0)),
                    width_cm: self.eye_cm,
                })
            })
    }

    /// The place of something at a turn on two rounds of what it is put on, given by their numbers. What no stitch tells is put there by eye, so the
    /// stitches' lean does not carry it along.
    pub(super) fn spots(
        &self,
        put: &Attachment,
        rounds: [u32; 2],
        turn_deg: f64,
    ) -> Option<[Spot; 2]> {
        let lean = match put.stitches {
            Some(_) => 0.0,
            None => self.shapes.lean - self.placement.lean.counted(),
        };
        let spot = |round: u32| {
            let wound_deg = self.placement.wound_deg(put.into, round, lean);
            self.spot(put.into, round, turn_deg - wound_deg)
        };
        Some([spot(rounds[0])?, spot(rounds[1])?])
    }

    /// A turn on a round, given by its number.
    fn spot(&self, piece: usize, number: u32, turn_deg: f64) -> Option<Spot> {
        let worked = &self.fabric.pieces[piece];
        let round = place(worked, number)?;
        let at = self.placement.on_round(piece, number, turn_deg)?;
        self.shapes.pieces[piece].on_round(worked, round, at)
    }

    /// The angle of a piece's front from its own +x towards +y, in radians; that of a flat one is its flat side, and where nothing tells the
    /// front, it is opposite the start of the rounds, or as near to there as its two legs stand side by side, or as squares and ovals look straight
    /// ahead.
    pub fn front(&self, piece: usize) -> f64 {
        let shape = &self.shapes.pieces[piece];
        if shape.pressed || shape.web.rows.iter().all(|row| !row.is_ring) {
            return -PI / 2.0;
        }
        let known = || {
            let front = self.placement.hosts[piece].front?;
            let spot = self.spot(piece, front.round, front.turn_deg)?;
            let round = place(&self.fabric.pieces[piece], front.round)?;
            angle(spot.of(&shape.points) - axis(shape, round)?)
        };
        let legs = || {
            let [one, other] = &shape.web.rims[..] else {
                return None;
            };
            angle(middle(shape, other) - middle(shape, one))
        };
        let by = self.placement.hosts[piece].front.map(|front| front.by);
        let front = known();
        let near = front.unwrap_or_else(|| start_of_rounds(shape) + PI);
        match (legs(), front.and(by)) {
            // Two legs tell it better than the stitches between them.
            (Some(along), None | Some(KnownBy::Pair)) => {
                let across = along + PI / 2.0;
                across + halves(near - across)
            }
            (None, None) => squared(&shape.points, near),
            _ => near,
        }
    }
}

/// The place of a round in its piece, by its number.
pub(super) fn place(piece: &Piece, number: u32) -> Option<usize> {
    piece.rounds.iter().position(|round| round.number == number)
}

/// The middle of a round, by its place.
pub(super) fn axis(shape: &Relaxed, round: usize) -> Option<Vec3> {
    let row = shape.web.rows.iter().rfind(|row| row.round == round)?;
    Some(middle(shape, &row.points))
}

fn middle(shape: &Relaxed, points: &[u32]) -> Vec3 {
    centroid(points.iter().map(|&point| shape.points[point as usize]))
}

fn angle(way: Vec3) -> Option<f64> {
    (way.x * way.x + way.y * way.y > 1e-9).then(|| libm::atan2(way.y, way.x))
}

/// The direction near to `front` from which points are seen at their longest, if they are longer one way than the other; else that in which they take up
/// least width and depth, if it is worth turning them for.
fn squared(points: &[Vec3], front: f64) -> f64 {
    if let Some(longest) = longest(points) {
        let across = longest + PI / 2.0;
        return across + halves(front - across);
    }
    const DEGREE: f64 = PI / 180.0;
    const WORTH: f64 = 0.97;
    let room = |turn: i32| {
        let angle = front + f64::from(turn) * DEGREE;
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        reach(points, Vec3::new(cos, sin, 0.0)) + reach(points, Vec3::new(-sin, cos, 0.0))
    };
    let turned = (-45..45).map(|turn| (turn, room(turn)));
    let best = turned.min_by(|(_, one), (_, other)| one.total_cmp(other));
    match best {
        Some((turn, least)) if least < WORTH * room(0) => front + f64::from(turn) * DEGREE,
        _ => front,
    }
}

/// An angle rounded to a multiple of half a turn.
fn halves(angle: f64) -> f64 {
    libm::round(angle / PI) * PI
}

/// The angle of the principal axis along which points are spread most, seen from above, if they are spread more that way than the other. Own estimate, no
/// source: something that is a tenth longer than it is wide has sides.
fn longest(points: &[Vec3]) -> Option<f64> {
    const LONGER: f64 = 0.1;
    let middle = centroid(points.iter().copied());
    let (mut along, mut across, mut both) = (0.0, 0.0, 0.0);
    for &point in points {
        let off = point - middle;
        along += off.x * off.x;
        across += off.y * off.y;
        both += 2.0 * off.x * off.y;
    }
    let (sum, difference) = (along + across, along - across);
    let uneven = (difference * difference + both * both).sqrt();
    (uneven > LONGER * sum).then(|| libm::atan2(both, difference) / 2.0)
}

/// How far points reach along a direction.
fn reach(points: &[Vec3], along: Vec3) -> f64 {
    let ways = points.iter().map(|point| point.dot(along));
    let (low, high) = ways.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
        (low.min(at), high.max(at))
    });
    high - low
}

/// The middle of the first stitches of all rounds, seen from the axis.
fn start_of_rounds(shape: &Relaxed) -> f64 {
    let rings = shape.web.rows.iter().filter(|row| row.is_ring);
    let sum = rings.fold(Vec3::ZERO, |sum, row| {
        let axis = middle(shape, &row.points);
        let first = row
            .points
            .first()
            .map_or(axis, |&point| shape.points[point as usize]);
        sum + (first - axis)
    });
    angle(sum).unwrap_or(0.0)
}
