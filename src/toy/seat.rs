//! Where a part comes to be: its open edge on its seat on another piece.

use crate::fabric::{Join, StitchId};
use crate::shape::{Filling, Vec3, centroid};

use super::face::{axis, place};
use super::{Kit, Part, Place};

/// How far a part that hangs down stands off from the body's surface, as the tangent of the angle. Own estimate, no source.
const STANDS_OFF: f64 = 0.12;
/// A part whose middle is no further from its edge than this share of its reach lies flat on its seat. Own estimate, no source.
const FLAT: f64 = 0.3;

/// A place on a piece that a part is set on.
struct Seat {
    /// Its middle.
    at: Vec3,
    /// Away from the piece.
    out: Vec3,
    /// The way in which the part's edge lies along it; nothing for a round edge.
    along: Vec3,
}

/// The open edge of a part.
struct Edge {
    /// Its middle.
    at: Vec3,
    /// Into the part.
    inwards: Vec3,
    /// Which way it runs; nothing for a round edge.
    along: Vec3,
    /// How far the part reaches from there.
    reach: f64,
}

impl Kit<'_> {
    /// Where a joined part comes to be: its joined edge along the stitches that join it.
    pub(super) fn at_join(&self, on: &Part, join: &Join) -> Option<Place> {
        let body = on.shape(self.shapes);
        let part = self.shapes.pieces.get(join.part)?;
        let heads = join
            .stitches
            .iter()
            .filter_map(|(stitch, _)| body.web.of_stitch[stitch.index()]);
        let heads: Vec<u32> = heads.collect();
        let (first, last) = (*heads.first()?, *heads.last()?);
        let put = |point: u32| on.place.put(body.points[point as usize]);
        let normals = self.normals(on);
        let piece = &self.fabric.pieces[join.part];
        let is_ring = join.layers < 2 && join.stitches.len() == piece.rounds.last()?.edge.len();
        let at = centroid(heads.iter().map(|&head| put(head)));
        let out = centroid(
            heads
                .iter()
                .map(|&head| on.place.turned(normals[head as usize])),
        );
        let places = join
            .stitches
            .iter()
            .map(|(_, taken)| centroid(taken.iter().map(|&stitch| part.head(piece, stitch))));
        let places: Vec<Vec3> = places.collect();
        let along = |from: Vec3, to: Vec3| if is_ring { Vec3::ZERO } else { to - from };
        let seat = Seat {
            at,
            out: out.unit_or(Vec3::new(0.0, -1.0, 0.0)),
            along: along(put(first), put(last)),
        };
        let edge = Edge::of(
            centroid(places.iter().copied()),
            along(*places.first()?, *places.last()?),
            &part.points,
        );
        Some(set(&seat, &edge, part.filling == Filling::Empty))
    }

    /// Where a sewn part comes to be: its last round on the rounds that the words name, in their middle. A flat edge lies along the round, or up and
    /// down over several.
    pub(super) fn at_seam(&self, on: &Part, id: usize) -> Option<Place> {
        let attachment = &self.placement.attachments[id];
        let turn_deg = self.placement.turn_deg(id)?;
        let (first, last) = (
            attachment.round?,
            attachment.last_round.or(attachment.round)?,
        );
        let half = (last - first) / 2;
        let middle = self.spots(attachment, [first + half, last - half], turn_deg)?;
        let ends = self.spots(attachment, [first, last], turn_deg)?;
        let body = on.shape(self.shapes);
        let put =
            |spots: [crate::shape::Spot; 2]| spots.map(|spot| on.place.put(spot.of(&body.points)));
        let out = centroid(middle.map(|spot| on.place.turned(spot.of(self.normals(on)))));
        let out = out.unit_or(Vec3::new(0.0, -1.0, 0.0));
        let [upper, lower] = put(ends);
        let round = place(&self.fabric.pieces[on.piece], first + half)?;
        let girth = centroid(put(middle)) - on.place.put(axis(body, round)?);

        let piece = attachment.piece?;
        let part = &self.shapes.pieces[piece];
        let worked = &self.fabric.pieces[piece];
        let ring: &[StitchId] = &worked.rounds.last()?.edge;
        let held: Vec<Vec3> = ring
            .iter()
            .map(|&stitch| part.head(worked, stitch))
            .collect();
        let at = centroid(held.iter().copied());
        let is_flat = part.pressed || part.web.rows.iter().all(|row| !row.is_ring);
        let farthest = held.iter().fold(Vec3::ZERO, |far, &point| {
            if (point - at).square() > far.square() {
                point - at
            } else {
                far
            }
        });
        let edge = Edge::of(
            at,
            if is_flat { farthest } else { Vec3::ZERO },
            &part.points,
        );
        // A round edge lies on a round body with its sides: its middle is as far in as the body bulges out into it.
        let (bulge, wide) = (girth.length(), farthest.length());
        let sunk = match is_flat {
            true => 0.0,
            false => bulge - (bulge * bulge - wide * wide).max(0.0).sqrt(),
        };
        let level = Vec3::new(-out.y, out.x, 0.0);
        let seat = Seat {
            at: centroid(put(middle)) - out * sunk.min(wide),
            out,
            along: match (is_flat, last > first) {
                (false, _) => Vec3::ZERO,
                (true, true) => lower - upper,
                (true, false) => level,
            },
        };
        Some(set(&seat, &edge, part.filling == Filling::Empty && is_flat))
    }
}

impl Edge {
    fn of(at: Vec3, along: Vec3, points: &[Vec3]) -> Edge {
        let way = centroid(points.iter().copied()) - at;
        let widest = points.iter().map(|&point| (point - at).square());
        let widest = widest.fold(0.0, f64::max).sqrt();
        // A disc lies on its seat with its right side out, which is that of its start.
        let start = Vec3::new(0.0, 0.0, 1.0);
        let inwards = match way.length() < FLAT * widest {
            true => start,
            false => way.unit_or(start),
        };
        let reach = points
            .iter()
            .map(|&point| (point - at).dot(inwards))
            .fold(0.0, f64::max);
        Edge {
            at,
            inwards,
            along,
            reach,
        }
    }
}

/// The edge on its seat. What is stuffed stands out from the surface; what is limp hangs down along it, or lies out on the floor where that is
/// nearer than its length.
fn set(seat: &Seat, edge: &Edge, is_limp: bool) -> Place {
    let to = pointing(seat.at, seat.out, edge.reach, is_limp);
    let (from, into) = (frame(edge.inwards, edge.along), frame(to, seat.along));
    let axes = [
        Vec3::new(1.0, 0.0, 0.0),
        Vec3::new(0.0, 1.0, 0.0),
        Vec3::new(0.0, 0.0, 1.0),
    ]
    .map(|axis| {
        into[0] * from[0].dot(axis) + into[1] * from[1].dot(axis) + into[2] * from[2].dot(axis)
    });
    let turned = Place {
        axes,
        origin: Vec3::ZERO,
    };
    Place {
        axes,
        origin: seat.at - turned.turned(edge.at),
    }
}

/// Which way a part points from its seat.
fn pointing(seat: Vec3, out: Vec3, reach: f64, is_limp: bool) -> Vec3 {
    if !is_limp {
        return out;
    }
    let down = Vec3::new(0.0, 0.0, -1.0);
    let level = Vec3::new(out.x, out.y, 0.0).unit_or(Vec3::new(0.0, -1.0, 0.0));
    if seat.z < reach {
        // Its tip rests on the floor.
        let drop = (seat.z / reach.max(1e-9)).clamp(0.0, 0.35);
        return (level * (1.0 - drop * drop).sqrt() + down * drop).unit_or(level);
    }
    let along = (down - out * down.dot(out)).unit_or(level);
    (along + level * STANDS_OFF).unit_or(down)
}

/// Three directions at right angles: one given, one as near as can be to another, and the third.
fn frame(main: Vec3, beside: Vec3) -> [Vec3; 3] {
    let apart = beside - main * main.dot(beside);
    let any = if main.z.abs() < 0.9 {
        Vec3::new(0.0, 0.0, 1.0)
    } else {
        Vec3::new(1.0, 0.0, 0.0)
    };
    let any = (any - main * main.dot(any)).unit_or(Vec3::new(0.0, 1.0, 0.0));
    let beside = apart.unit_or(any);
    [main, beside, main.cross(beside)]
}
