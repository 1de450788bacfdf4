//! A piece relaxed: its points in space, and what can be measured on them.

use std::sync::Mutex;

use crate::at_once::in_order;
use crate::fabric::{Fabric, Piece, StitchId};
use crate::pattern::Pattern;
use crate::prose;
use crate::source::{Source, limits};
use crate::terms::Hand;

use super::align::fit;
use super::base::Base;
use super::coefficients::LEAN;
use super::descent::{Descent, Limits, descend_watched};
use super::gauge::{Gauge, gauge_told};
use super::mesh::Mesh;
use super::said::{self, Filling, Telling};
use super::together::Joiner;
use super::vector::{Vec3, centroid};
use super::web::{Node, Web};

/// At which a shape counts as found: the root mean square of what is left to move by the springs' reckoning, in widths.
pub const TOLERANCE: f64 = 1e-5;
/// Steps after which no more is hoped for.
const MOST_STEPS: usize = 2_000;
/// Pieces that are relaxed at a time.
const AT_A_TIME: usize = 2;

/// All pieces of a pattern, relaxed.
#[derive(Debug, Clone)]
pub struct Shapes {
    /// The size of a stitch.
    pub gauge: Gauge,
    /// Lean of plain stitches, in widths a round.
    pub lean: f64,
    /// Whether the pattern gives the lean.
    pub lean_is_given: bool,
    /// A shape for each piece of the fabric, in its order.
    pub pieces: Vec<Relaxed>,
    /// What pieces go on from, as it comes out with them.
    pub limbs: Vec<Limb>,
}

/// A copy of a piece that another one goes on from, such as a leg of a body: each bends the other where they meet.
#[derive(Debug, Clone)]
pub struct Limb {
    /// The piece that goes on from it: a place in the fabric.
    pub host: usize,
    /// Which copy it is, from 1.
    pub copy: u32,
    /// Its shape, its points where they are on the other piece.
    pub shape: Relaxed,
}

/// The relaxed shape of one piece. It begins at z = 0 and grows towards −z; seen from +z, a right-hander's rounds run counter-clockwise.
#[derive(Debug, Clone)]
pub struct Relaxed {
    /// Place of the piece in its fabric.
    pub piece: usize,
    /// Its points, as they hang together.
    pub web: Web,
    /// Its springs and cells; its corners run counter-clockwise as seen from outside.
    pub mesh: Mesh,
    /// Where each point is, in cm.
    pub points: Vec<Vec3>,
    /// Width of a stitch, in cm.
    pub width_cm: f64,
    /// How full it is.
    pub filling: Filling,
    /// Whether it is pressed flat.
    pub pressed: bool,
    /// Whether it is the mirror image that a left-handed maker makes.
    pub is_mirrored: bool,
    /// Whether the least energy was found within [`TOLERANCE`].
    pub settled: bool,
    /// Steps of the solver.
    pub steps: usize,
}

/// A place between two points that are neighbours in a round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    one: u32,
    other: u32,
    /// How far it is from the one to the other: 0 at the one.
    share: f64,
}

impl Spot {
    /// Its value, of values for all points.
    pub fn of(self, values: &[Vec3]) -> Vec3 {
        values[self.one as usize] * (1.0 - self.share) + values[self.other as usize] * self.share
    }
}

/// Relaxes every piece of a pattern.
pub fn relax(source: &Source, pattern: &Pattern, fabric: &Fabric) -> Shapes {
    relax_watched(source, pattern, fabric, &|_| {})
}

/// The same, telling now and then what share of the way is done, from 0 to 1.
pub fn relax_watched(
    source: &Source,
    pattern: &Pattern,
    fabric: &Fabric,
    watch: &(dyn Fn(f64) + Sync),
) -> Shapes {
    let stitches = fabric.pieces.iter().map(|piece| piece.stitches.len());
    let all = stitches.sum::<usize>().max(1) as f64;
    let done = Mutex::new(0.0);
    let prose = prose::sentences(source, pattern);
    let gauge = gauge_told(&prose, fabric);
    let tellings = Telling::all(&prose, fabric.pieces.len());
    let told = prose::lean(source, pattern);
    let lean = if told.is_told() { told.counted() } else { LEAN };
    let made = |piece: usize, host: Option<Filling>| {
        let stitches = &fabric.pieces[piece];
        let telling = &tellings[piece];
        let filling = said::filling(telling, stitches, host);
        let mut making = said::making(telling, &gauge, lean, filling, stitches);
        making.drawn_shut &= host.is_none();
        (filling, making)
    };
    let joiner = Joiner::new(fabric, &made);
    let one = |piece: usize| {
        let stitches = &fabric.pieces[piece];
        let weight = stitches.stitches.len() as f64 / all;
        let mut own = 0.0;
        let mut note = |share: f64| {
            let more = (share - own).max(0.0);
            own += more;
            if let Ok(mut done) = done.lock() {
                *done += more * weight;
                watch(*done);
            }
        };
        let relaxed = relax_piece(&joiner, piece, &gauge, fabric.hand, &mut note);
        note(1.0);
        relaxed
    };
    let found = in_order(fabric.pieces.len(), AT_A_TIME, one);
    let (pieces, limbs): (Vec<Relaxed>, Vec<Vec<Limb>>) = found.into_iter().unzip();
    Shapes {
        gauge,
        lean,
        lean_is_given: told.is_told(),
        pieces,
        limbs: limbs.into_iter().flatten().collect(),
    }
}

/// A piece, and what it goes on from.
fn relax_piece(
    joiner: &Joiner<'_>,
    place: usize,
    gauge: &Gauge,
    hand: Hand,
    watch: &mut dyn FnMut(f64),
) -> (Relaxed, Vec<Limb>) {
    let (whole, filling, making) = joiner.whole(place);
    let mesh = whole.all.as_ref().unwrap_or(&whole.mesh);
    let most = limits::RELAXING_WORK / mesh.start.len().max(1);
    let Descent {
        points,
        steps,
        settled,
        ..
    } = descend_watched(
        mesh,
        Limits {
            tolerance: TOLERANCE,
            steps: MOST_STEPS.min(most),
        },
        watch,
    );
    let width_cm = gauge.width_mm / 10.0;
    // No shape is better than one that is no shape.
    let found = points.iter().all(|point| point.is_finite());
    let points = if found { &points } else { &mesh.start };
    let mut points = set_down(&whole.web, &whole.mesh, points);
    for point in &mut points {
        *point = *point * width_cm;
    }
    let is_mirrored = hand == Hand::Left;
    let shape = |piece, web: Web, mut mesh: Mesh, mut points: Vec<Vec3>, filling| {
        if is_mirrored {
            mirror(&mut mesh, &mut points);
        }
        Relaxed {
            piece,
            web,
            mesh,
            points,
            width_cm,
            filling,
            pressed: making.pressed,
            is_mirrored,
            settled,
            steps,
        }
    };
    let limbs = whole.limbs.into_iter().map(|limb| {
        let own = limb.points.iter().map(|&point| points[point as usize]);
        Limb {
            host: place,
            copy: limb.copy,
            shape: shape(limb.piece, limb.web, limb.mesh, own.collect(), limb.filling),
        }
    });
    let limbs = limbs.collect();
    points.truncate(whole.web.knots.len());
    (shape(place, whole.web, whole.mesh, points, filling), limbs)
}

/// All points, turned as the piece's own started, its first row at z = 0 and its middle on the axis. What several legs start stands level on them.
fn set_down(web: &Web, mesh: &Mesh, points: &[Vec3]) -> Vec<Vec3> {
    let own = mesh.start.len();
    let fit = match Base::of(web).and_then(|base| base.level()) {
        Some(level) => {
            let of = |points: &[Vec3]| -> Vec<Vec3> {
                level.iter().map(|&at| points[at as usize]).collect()
            };
            fit(&of(points), &of(&mesh.start))
        }
        None => fit(&points[..own], &mesh.start),
    };
    let mut laid: Vec<Vec3> = points.iter().map(|&point| fit.put(point)).collect();
    let middle = centroid(laid[..own].iter().copied());
    let first = match (web.start, web.rows.first()) {
        (Some(start), _) => laid[start as usize],
        (None, Some(row)) => centroid(row.points.iter().map(|&point| laid[point as usize])),
        (None, None) => Vec3::ZERO,
    };
    for point in &mut laid {
        *point -= Vec3::new(middle.x, middle.y, first.z);
    }
    laid
}

/// What the other hand makes.
fn mirror(mesh: &mut Mesh, points: &mut [Vec3]) {
    for point in points {
        point.y = -point.y;
    }
    for cell in 0..mesh.cell_count() {
        let range = mesh.cells[cell] as usize..mesh.cells[cell + 1] as usize;
        mesh.corners[range].reverse();
    }
}

impl Relaxed {
    /// Where a stitch's head is, in cm. A stitch that is no point of the shape, such as a picot or a slip stitch that closes a round, is where
    /// what it stands on is.
    pub fn head(&self, piece: &Piece, stitch: StitchId) -> Vec3 {
        let mut at = stitch;
        loop {
            if let Some(point) = self.web.of_stitch[at.index()] {
                return self.points[point as usize];
            }
            match piece.feet(at).first() {
                Some(&foot) if foot < at => at = foot,
                _ => break,
            }
        }
        // Work goes on where it stood.
        let before = self.web.of_stitch[..stitch.index()].iter().rev();
        let near = before.chain(&self.web.of_stitch[stitch.index()..]);
        near.flatten()
            .next()
            .map_or(Vec3::ZERO, |&point| self.points[point as usize])
    }

    /// How far each point's springs are stretched on average, as a share of their rest lengths: 0.1 is a tenth too long, −0.1 too short.
    pub fn strains(&self) -> Vec<f64> {
        let mut sums = vec![(0.0, 0.0); self.points.len()];
        for spring in self.mesh.springs.iter().filter(|spring| spring.pull > 0.0) {
            let (a, b) = (spring.a as usize, spring.b as usize);
            let length = (self.points[b] - self.points[a]).length() / self.width_cm;
            let strain = spring.force(length - spring.rest) / spring.rest;
            // A stitch holds its foot and the yarn on both sides of it, but not what is worked into it.
            for (end, holds) in [(a, self.holds(b, a)), (b, true)] {
                if holds {
                    sums[end].0 += strain;
                    sums[end].1 += 1.0;
                }
            }
        }
        let mean = |(sum, count): (f64, f64)| if count > 0.0 { sum / count } else { 0.0 };
        sums.into_iter().map(mean).collect()
    }

    /// False if point `lower` is a foot of point `upper`.
    fn holds(&self, upper: usize, lower: usize) -> bool {
        !self.web.knots[upper].feet.contains(&(lower as u32))
    }

    /// The outward direction at a point: the mean of its cells', by their area.
    pub fn normals(&self) -> Vec<Vec3> {
        let mut normals = vec![Vec3::ZERO; self.points.len()];
        for cell in 0..self.mesh.cell_count() {
            let corners = self.mesh.cell(cell);
            let first = self.points[corners[0] as usize];
            let area = corners.windows(2).skip(1).fold(Vec3::ZERO, |sum, pair| {
                let (one, other) = (self.points[pair[0] as usize], self.points[pair[1] as usize]);
                sum + (one - first).cross(other - first)
            });
            for &corner in corners {
                normals[corner as usize] += area;
            }
        }
        let up = Vec3::new(0.0, 0.0, 1.0);
        normals
            .into_iter()
            .map(|normal| normal.unit_or(up))
            .collect()
    }

    /// The point of a stitch by its round's place in the piece and its own place in the round's edge, both from 0.
    pub fn in_round(&self, piece: &Piece, round: usize, index: usize) -> Option<u32> {
        let id = piece.rounds.get(round)?.edge.get(index)?;
        self.web.of_stitch[id.index()]
    }

    /// A place on a round, given by the round's place in the piece, and by how many stitches of its edge lie before: 2.5 is the middle of the third.
    /// `None` for a round that is no row of the shape.
    pub fn on_round(&self, piece: &Piece, round: usize, place: f64) -> Option<Spot> {
        let count = piece.rounds.get(round)?.edge.len();
        let from_head = (place - 0.5).rem_euclid(count.max(1) as f64);
        let before = from_head as usize;
        let point = |place: usize| self.in_round(piece, round, place % count.max(1));
        Some(Spot {
            one: point(before)?,
            other: point(before + 1)?,
            share: from_head - before as f64,
        })
    }

    /// The stitch of a point, if it is one's.
    pub fn stitch(&self, point: u32) -> Option<StitchId> {
        match self.web.knots[point as usize].node {
            Node::Head(stitch) => Some(stitch),
            Node::Middle | Node::Rim => None,
        }
    }

    /// True if its surface has no opening through which the inside shows.
    pub fn is_closed(&self) -> bool {
        self.mesh.cell_count() > 0 && self.mesh.caps.is_empty()
    }
}
