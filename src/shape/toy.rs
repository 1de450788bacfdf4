//! The whole toy: its body as it stands, and its parts set at their joins.

use crate::fabric::{Fabric, Join};
use crate::pattern::Pattern;
use crate::source::Source;

use super::features::{Eye, eyes, front};
use super::relaxed::{Relaxed, Shapes};
use super::said::{Filling, stands_on_start};
use super::vector::{Vec3, centroid};

/// How far a part that hangs down stands off from the body's surface, as the tangent of the angle. Own estimate, no source.
const STANDS_OFF: f64 = 0.12;
/// Parts that hang on parts that hang on parts … are followed so far.
const DEEPEST: usize = 8;

/// A turn and a move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Where the part's own x, y and z point.
    pub axes: [Vec3; 3],
    /// Where its origin is, in cm.
    pub origin: Vec3,
}

impl Toy {
    /// How wide, deep and high it is, in cm.
    pub fn size(&self, shapes: &Shapes) -> Vec3 {
        let (mut low, mut high) = (Vec3::ZERO, Vec3::ZERO);
        for (place, point) in self.points(shapes).enumerate() {
            if place == 0 {
                (low, high) = (point, point);
            }
            low = Vec3::new(low.x.min(point.x), low.y.min(point.y), low.z.min(point.z));
            high = Vec3::new(
                high.x.max(point.x),
                high.y.max(point.y),
                high.z.max(point.z),
            );
        }
        high - low
    }

    /// Every point of every part, in cm.
    pub fn points<'a>(&'a self, shapes: &'a Shapes) -> impl Iterator<Item = Vec3> + 'a {
        self.parts.iter().flat_map(|part| {
            let points = shapes.pieces[part.piece].points.iter();
            points.map(|&point| part.place.put(point))
        })
    }
}

impl Place {
    /// Where it is.
    pub const HERE: Place = Place {
        axes: [
            Vec3::new(1.0, 0.0, 0.0),
            Vec3::new(0.0, 1.0, 0.0),
            Vec3::new(0.0, 0.0, 1.0),
        ],
        origin: Vec3::ZERO,
    };

    /// A direction, turned.
    pub fn turned(&self, way: Vec3) -> Vec3 {
        self.axes[0] * way.x + self.axes[1] * way.y + self.axes[2] * way.z
    }

    /// A point, turned and moved.
    pub fn put(&self, point: Vec3) -> Vec3 {
        self.turned(point) + self.origin
    }

    /// This after another.
    pub fn after(&self, first: &Place) -> Place {
        Place {
            axes: first.axes.map(|axis| self.turned(axis)),
            origin: self.put(first.origin),
        }
    }
}

/// A piece set in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The piece.
    pub piece: usize,
    /// Which copy of it, from 1.
    pub copy: u32,
    /// Where it is.
    pub place: Place,
}

/// Pieces as they stand: x to the toy's own left, −y to its front, z up, lowest at z = 0; all in cm.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Toy {
    /// The body first, then its parts.
    pub parts: Vec<Part>,
    /// The eyes, each with the part (a place in `parts`) that it is on.
    pub eyes: Vec<(usize, Eye)>,
}

/// One piece by itself, as it stands.
pub fn alone(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    shapes: &Shapes,
    piece: usize,
) -> Toy {
    let eyes = eyes(source, pattern, fabric, &shapes.pieces);
    let shape = &shapes.pieces[piece];
    let front = front_of(source, pattern, fabric, shapes, piece);
    let place = standing(source, fabric, shape, front);
    let mut toy = Toy {
        parts: vec![Part {
            piece,
            copy: 1,
            place,
        }],
        eyes: eyes
            .into_iter()
            .filter(|eye| eye.piece == piece)
            .map(|eye| (0, eye))
            .collect(),
    };
    set_on_floor(&mut toy, shapes);
    toy
}

/// The body with all that is joined into it; `None` if nothing is.
pub fn whole(source: &Source, pattern: &Pattern, fabric: &Fabric, shapes: &Shapes) -> Option<Toy> {
    let body = body(fabric)?;
    let mut toy = alone(source, pattern, fabric, shapes, body);
    let mut host = 0;
    let mut depth = vec![0];
    while host < toy.parts.len() {
        let on = toy.parts[host].clone();
        let piece = &fabric.pieces[on.piece];
        let joins = if depth[host] < DEEPEST {
            &piece.joins[..]
        } else {
            &[]
        };
        for join in joins {
            let is_there = toy
                .parts
                .iter()
                .any(|p| p.piece == join.part && p.copy == join.copy);
            if is_there || join.part >= shapes.pieces.len() {
                continue;
            }
            let Some(place) = at_join(fabric, shapes, &on, join) else {
                continue;
            };
            toy.parts.push(Part {
                piece: join.part,
                copy: join.copy,
                place,
            });
            depth.push(depth[host] + 1);
        }
        host += 1;
    }
    set_on_floor(&mut toy, shapes);
    Some(toy)
}

/// The piece that most is joined into, directly, and that is joined into none.
fn body(fabric: &Fabric) -> Option<usize> {
    let is_part = |place: usize| {
        fabric
            .pieces
            .iter()
            .any(|piece| piece.joins.iter().any(|join| join.part == place))
    };
    let bodies = (0..fabric.pieces.len()).filter(|&place| !fabric.pieces[place].joins.is_empty());
    let free = bodies.filter(|&place| !is_part(place));
    free.max_by_key(|&place| {
        let piece = &fabric.pieces[place];
        (piece.joins.len(), piece.stitches.len(), usize::MAX - place)
    })
}

/// The angle of a piece's front from its own +x towards +y, in radians; that of a flat one is its flat side.
pub fn front_of(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    shapes: &Shapes,
    piece: usize,
) -> f64 {
    let shape = &shapes.pieces[piece];
    if shape.pressed || shape.web.rows.iter().all(|row| !row.is_ring) {
        return -std::f64::consts::FRAC_PI_2;
    }
    let eyes = eyes(source, pattern, fabric, &shapes.pieces);
    front(source, pattern, &fabric.pieces[piece], shape, &eyes)
}

/// A piece upright, its front to −y.
fn standing(source: &Source, fabric: &Fabric, shape: &Relaxed, front: f64) -> Place {
    // What it looks along, and its left: who looks along f with z up has z × f to the left.
    let (sin, cos) = (libm::sin(front), libm::cos(front));
    let (ahead, left) = (Vec3::new(cos, sin, 0.0), Vec3::new(-sin, cos, 0.0));
    let up = Vec3::new(0.0, 0.0, 1.0);
    let (left, up) = if stands_on_start(source, fabric, shape.piece) {
        (-left, -up)
    } else {
        (left, up)
    };
    let row = |part: fn(Vec3) -> f64| Vec3::new(part(left), -part(ahead), part(up));
    Place {
        axes: [row(|v| v.x), row(|v| v.y), row(|v| v.z)],
        origin: Vec3::ZERO,
    }
}

/// Moves a toy so that its lowest point has z = 0 and its body's middle stands over the origin.
fn set_on_floor(toy: &mut Toy, shapes: &Shapes) {
    let Some(body) = toy.parts.first() else {
        return;
    };
    let points = shapes.pieces[body.piece].points.iter();
    let middle = centroid(points.map(|&point| body.place.put(point)));
    let low = toy
        .points(shapes)
        .map(|point| point.z)
        .fold(f64::INFINITY, f64::min);
    if low.is_finite() {
        for part in &mut toy.parts {
            part.place.origin -= Vec3::new(middle.x, middle.y, low);
        }
    }
}

/// Where a part comes to be: its joined edge along the stitches that join it. What is stuffed stands out from the surface; what is limp hangs down
/// along it, or lies out on the floor where that is nearer than its length.
fn at_join(fabric: &Fabric, shapes: &Shapes, on: &Part, join: &Join) -> Option<Place> {
    let (body, part) = (&shapes.pieces[on.piece], &shapes.pieces[join.part]);
    let normals = body.normals();
    let heads: Vec<u32> = join
        .stitches
        .iter()
        .filter_map(|(stitch, _)| body.web.of_stitch[stitch.index()])
        .collect();
    let (first, last) = (*heads.first()?, *heads.last()?);
    let put = |point: u32| on.place.put(body.points[point as usize]);
    let seat = centroid(heads.iter().map(|&head| put(head)));
    let out = centroid(
        heads
            .iter()
            .map(|&head| on.place.turned(normals[head as usize])),
    );
    let out = out.unit_or(Vec3::new(0.0, -1.0, 0.0));

    // The part's own edge: where it is held, which way it runs there, and where the part lies from there.
    let piece = &fabric.pieces[join.part];
    let held = |stitches: &[crate::fabric::StitchId]| {
        centroid(stitches.iter().map(|&stitch| part.head(piece, stitch)))
    };
    let places: Vec<Vec3> = join.stitches.iter().map(|(_, taken)| held(taken)).collect();
    let edge = centroid(places.iter().copied());
    let inwards = (centroid(part.points.iter().copied()) - edge).unit_or(Vec3::new(0.0, 0.0, 1.0));
    let reach = part
        .points
        .iter()
        .map(|&point| (point - edge).dot(inwards))
        .fold(0.0, f64::max);
    let is_ring = join.layers < 2 && join.stitches.len() == piece.rounds.last()?.edge.len();

    let along = if is_ring {
        Vec3::ZERO
    } else {
        put(last) - put(first)
    };
    let to = pointing(seat, out, reach, part.filling == Filling::Empty);
    let own_along = if is_ring {
        Vec3::ZERO
    } else {
        places[places.len() - 1] - places[0]
    };
    let (from, into) = (frame(inwards, own_along), frame(to, along));
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
    Some(Place {
        axes,
        origin: seat - turned.turned(edge),
    })
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
