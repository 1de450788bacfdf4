//! The whole toy: its pieces as they stand, and parts set at their joins and where they are sewn.
//!
//! `seat` says where a part comes to be, `face` where the front and the eyes are.

mod face;
mod seat;
mod stated;

pub use face::Eye;
pub use stated::size_problem;

use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::place::{Held, Placement, Stands};
use crate::shape::{self, Limb, Relaxed, Shapes, Vec3, centroid};
use crate::source::Source;

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

    /// Its size in words.
    pub fn says(&self, shapes: &Shapes) -> String {
        let size = self.size(shapes);
        shape::sides([size.z, size.x, size.y], shapes.gauge.width_mm / 10.0)
    }

    /// Every point of every part, in cm.
    pub fn points<'a>(&'a self, shapes: &'a Shapes) -> impl Iterator<Item = Vec3> + 'a {
        self.parts.iter().flat_map(|part| {
            let points = part.shape(shapes).points.iter();
            points.map(|&point| part.place.put(point))
        })
    }
}

impl Part {
    /// Its shape: that of its piece, unless it bends with another one that goes on from it.
    pub fn shape<'s>(&self, shapes: &'s Shapes) -> &'s Relaxed {
        match self.limb {
            Some(limb) => &shapes.limbs[limb].shape,
            None => &shapes.pieces[self.piece],
        }
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
    /// Its place among what other pieces go on from, if it is one of those.
    pub limb: Option<usize>,
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

/// What toys are put together from: the pieces of a pattern, relaxed, and where things sit on them.
pub struct Kit<'a> {
    fabric: &'a Fabric,
    shapes: &'a Shapes,
    placement: &'a Placement,
    eye_cm: f64,
    /// For each piece the outward direction at each point.
    normals: Vec<Vec<Vec3>>,
    /// The same for what pieces go on from.
    limb_normals: Vec<Vec<Vec3>>,
}

impl<'a> Kit<'a> {
    /// The pieces of a pattern.
    pub fn new(
        source: &Source,
        pattern: &Pattern,
        fabric: &'a Fabric,
        shapes: &'a Shapes,
        placement: &'a Placement,
    ) -> Kit<'a> {
        Kit {
            fabric,
            shapes,
            placement,
            eye_cm: face::eye_width_cm(source, pattern),
            normals: shapes.pieces.iter().map(Relaxed::normals).collect(),
            limb_normals: shapes
                .limbs
                .iter()
                .map(|limb| limb.shape.normals())
                .collect(),
        }
    }

    /// One piece by itself, as it stands.
    pub fn alone(&self, piece: usize) -> Toy {
        let place = self.standing(piece);
        let mut toy = Toy {
            parts: vec![Part {
                piece,
                copy: 1,
                limb: None,
                place,
            }],
            eyes: self.eyes(piece).map(|eye| (0, eye)).collect(),
        };
        self.set_on_floor(&mut toy);
        toy
    }

    /// The body with all that is joined into it or sewn on where the words say; `None` if nothing is.
    pub fn whole(&self) -> Option<Toy> {
        let mut toy = self.alone(self.body()?);
        let mut host = 0;
        let mut depth = vec![0];
        while host < toy.parts.len() {
            let on = toy.parts[host].clone();
            if depth[host] < DEEPEST {
                for part in self.set_on(&on) {
                    let is_there = toy
                        .parts
                        .iter()
                        .any(|p| p.piece == part.piece && p.copy == part.copy);
                    if !is_there {
                        toy.parts.push(part);
                        depth.push(depth[host] + 1);
                    }
                }
            }
            host += 1;
        }
        self.set_on_floor(&mut toy);
        Some(toy)
    }

    /// The parts that are on another one: what it goes on from and what is joined into it first.
    fn set_on(&self, on: &Part) -> Vec<Part> {
        let is_limb = |limb: &Limb| limb.host == on.piece && on.limb.is_none();
        let limbs = self.shapes.limbs.iter().enumerate();
        let limbs = limbs
            .filter(|(_, limb)| is_limb(limb))
            .map(|(id, limb)| Part {
                piece: limb.shape.piece,
                copy: limb.copy,
                limb: Some(id),
                place: on.place,
            });
        let joins = &self.fabric.pieces[on.piece].joins;
        let joined = joins.iter().filter_map(|join| {
            Some(Part {
                piece: join.part,
                copy: join.copy,
                limb: None,
                place: self.at_join(on, join)?,
            })
        });
        let ids = 0..self.placement.attachments.len();
        let sewn = ids.filter_map(|id| {
            let attachment = &self.placement.attachments[id];
            if attachment.into != on.piece || attachment.held != Held::Sewn {
                return None;
            }
            Some(Part {
                piece: attachment.piece?,
                copy: attachment.copy,
                limb: None,
                place: self.at_seam(on, id)?,
            })
        });
        limbs.chain(joined).chain(sewn).collect()
    }

    /// The outward direction at each point of a part.
    fn normals(&self, part: &Part) -> &[Vec3] {
        match part.limb {
            Some(limb) => &self.limb_normals[limb],
            None => &self.normals[part.piece],
        }
    }

    /// The piece that most parts are on, and that is on none.
    fn body(&self) -> Option<usize> {
        let parts = || {
            self.placement
                .attachments
                .iter()
                .filter_map(|a| Some((a.piece?, a.into)))
        };
        let mut on_it = vec![0_usize; self.fabric.pieces.len()];
        let mut is_part = vec![false; self.fabric.pieces.len()];
        for (part, into) in parts() {
            on_it[into] += 1;
            is_part[part] = true;
        }
        let bodies = (0..on_it.len()).filter(|&piece| on_it[piece] > 0 && !is_part[piece]);
        bodies.max_by_key(|&piece| {
            let size = self.fabric.pieces[piece].stitches.len();
            (on_it[piece], size, usize::MAX - piece)
        })
    }

    /// A piece upright, its front to −y.
    fn standing(&self, piece: usize) -> Place {
        // What it looks along, and its left: who looks along f with z up has z × f to the left.
        let front = self.front(piece);
        let (sin, cos) = (libm::sin(front), libm::cos(front));
        let (ahead, left) = (Vec3::new(cos, sin, 0.0), Vec3::new(-sin, cos, 0.0));
        let up = Vec3::new(0.0, 0.0, 1.0);
        let (left, up) = match self.placement.hosts[piece].stands {
            Stands::FromTheBottom => (-left, -up),
            Stands::FromTheTop => (left, up),
        };
        let row = |part: fn(Vec3) -> f64| Vec3::new(part(left), -part(ahead), part(up));
        Place {
            axes: [row(|v| v.x), row(|v| v.y), row(|v| v.z)],
            origin: Vec3::ZERO,
        }
    }

    /// Moves a toy so that its lowest point has z = 0 and its body's middle stands over the origin.
    fn set_on_floor(&self, toy: &mut Toy) {
        let Some(body) = toy.parts.first() else {
            return;
        };
        let points = body.shape(self.shapes).points.iter();
        let middle = centroid(points.map(|&point| body.place.put(point)));
        let low = toy
            .points(self.shapes)
            .map(|point| point.z)
            .fold(f64::INFINITY, f64::min);
        if low.is_finite() {
            for part in &mut toy.parts {
                part.place.origin -= Vec3::new(middle.x, middle.y, low);
            }
        }
    }
}
