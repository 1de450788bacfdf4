//! The surface of a piece, stitch by stitch: what there is to see of it.

use std::collections::BTreeSet;

use crate::fabric::Piece;
use crate::fabric::{Role, StitchId, YarnId};

use super::build::{end_of_spiral, shortest_way, to_next_head};
use super::relaxed::Relaxed;
use super::vector::{Vec3, centroid};

/// The part of the surface that one stitch takes up.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// The stitch.
    pub stitch: StitchId,
    /// Its yarn.
    pub yarn: Option<YarnId>,
    /// What there is of it.
    pub form: Form,
}

/// How a stitch is part of the surface.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// Two sides that meet along its middle, from its foot to its head.
    Sides([Side; 2]),
    /// A chain that bridges a gap: the way of the yarn, in cm.
    Thread([Vec3; 2]),
}

/// One half of a stitch: what lies on one side of its middle.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// Its outline, in cm, counter-clockwise as seen from outside.
    pub outline: Vec<Vec3>,
    /// Its corners: the stitch's foot, its head, and halfway to the neighbour's head and foot.
    pub corners: [Vec3; 4],
}

impl Side {
    /// Its middle.
    pub fn middle(&self) -> Vec3 {
        centroid(self.outline.iter().copied())
    }

    /// The place of the stitch's head in its outline.
    pub fn head(&self) -> usize {
        let head = self.outline.iter().position(|&at| at == self.corners[1]);
        head.unwrap_or(0)
    }

    /// A place on it: `out` from 0 at the stitch's middle to 1 beside the neighbour, `up` from 0 at the foot to 1 at the head.
    pub fn at(&self, out: f64, up: f64) -> Vec3 {
        let [foot, head, other_head, other_foot] = self.corners;
        let low = foot + (other_foot - foot) * out;
        let high = head + (other_head - head) * out;
        low + (high - low) * up
    }
}

/// The patches of all stitches of a piece that are part of its surface, in the order of work.
pub fn patches(shape: &Relaxed, piece: &Piece) -> Vec<Patch> {
    let mut halves: Vec<[Option<Half>; 2]> = vec![[None, None]; shape.points.len()];
    for point in 0..shape.points.len() as u32 {
        if let Some((last, after, before)) = between(shape, point) {
            halves[point as usize][1] = Some(after);
            halves[last as usize][0] = Some(before);
        }
    }
    if let Some(end) = end_of_spiral(&shape.web) {
        let at = |point: u32| shape.points[point as usize];
        halves[end.last as usize][1] = Some(Half {
            low: vec![at(end.foot), at(end.first)],
            low_middle: at(end.first),
            high_middle: at(end.first),
        });
    }
    let covered = covered(shape);
    let mut patches = Vec::new();
    for (point, halves) in halves.iter().enumerate() {
        let Some(stitch) = shape.stitch(point as u32) else {
            continue;
        };
        let knot = &shape.web.knots[point];
        let made = piece.stitch(stitch);
        let form = if !knot.feet.is_empty() {
            Form::Sides(sides(shape, point, halves))
        } else if let (Role::Bridge | Role::Foundation, Some(next)) = (made.role, knot.next)
            && !covered.contains(&(point as u32, next))
        {
            Form::Thread([shape.points[point], shape.points[next as usize]])
        } else {
            continue;
        };
        patches.push(Patch {
            stitch,
            yarn: made.yarn,
            form,
        });
    }
    patches
}

/// The ways from a point of the starting chain to the next along which stitches stand on both sides.
fn covered(shape: &Relaxed) -> BTreeSet<(u32, u32)> {
    let Some(chain) = shape.web.rows.first().filter(|row| row.is_chain) else {
        return BTreeSet::new();
    };
    let is_chain: BTreeSet<u32> = chain.points.iter().copied().collect();
    let mut edges = BTreeSet::new();
    for cell in 0..shape.mesh.cell_count() {
        let corners = shape.mesh.cell(cell);
        for (place, &from) in corners.iter().enumerate() {
            let to = corners[(place + 1) % corners.len()];
            if is_chain.contains(&from) && is_chain.contains(&to) {
                edges.insert((from, to));
            }
        }
    }
    let both = edges
        .iter()
        .filter(|(from, to)| edges.contains(&(*to, *from)));
    both.copied().collect()
}

/// The two sides of a stitch, the one that was worked first before the other. Beside the edge of the fabric a side is empty.
fn sides(shape: &Relaxed, point: usize, halves: &[Option<Half>; 2]) -> [Side; 2] {
    let knot = &shape.web.knots[point];
    let head = shape.points[point];
    let feet: Vec<Vec3> = knot
        .feet
        .iter()
        .map(|&foot| shape.points[foot as usize])
        .collect();
    let nearest_first = |to: Vec3| {
        let far = (feet[0] - to).square() > (feet[feet.len() - 1] - to).square();
        if far {
            feet.iter().rev().copied().collect()
        } else {
            feet.clone()
        }
    };
    let own_foot = centroid(feet.iter().copied());
    let clockwise = shape.web.rows[knot.row as usize].wrong_side != shape.is_mirrored;
    let mut after = true;
    let side = |half: &Option<Half>| {
        after = !after;
        let Some(half) = half else {
            return Side {
                outline: vec![head, own_foot],
                corners: [own_foot, head, head, own_foot],
            };
        };
        // Out from the stitch's own foot, along the row below.
        let mut low: Vec<Vec3> = nearest_first(half.low_middle);
        low.truncate(feet.len().div_ceil(2));
        low.reverse();
        if feet.len().is_multiple_of(2) {
            low.insert(0, own_foot);
        }
        low.extend(half.low.iter().skip(1));
        let mut outline = vec![head];
        outline.extend(low);
        outline.extend([half.low_middle, half.high_middle]);
        // From the head down to the foot and out with the work is clockwise as seen from outside, where rounds run on to the right.
        if after != clockwise {
            outline.reverse();
        }
        Side {
            outline,
            corners: [own_foot, head, half.high_middle, half.low_middle],
        }
    };
    halves.each_ref().map(side)
}

/// What one side of a stitch reaches to.
#[derive(Debug, Clone)]
struct Half {
    /// The points below, from its own outer foot towards the middle.
    low: Vec<Vec3>,
    /// Halfway to the other stitch's foot.
    low_middle: Vec3,
    /// Halfway to the other stitch's head.
    high_middle: Vec3,
}

/// What lies between a head and the next one: that one, the half after the first and the half before the second.
fn between(shape: &Relaxed, point: u32) -> Option<(u32, Half, Half)> {
    let web = &shape.web;
    let knot = &web.knots[point as usize];
    if knot.feet.is_empty() || shape.stitch(point).is_none() {
        return None;
    }
    let upper = to_next_head(web, point)?;
    let last = upper[upper.len() - 1];
    let way = shortest_way(web, &knot.feet, &web.knots[last as usize].feet)?;
    let at = |&point: &u32| shape.points[point as usize];
    // Across a space each stitch keeps to itself.
    if upper.len() > 2 || way.points.len() > 4 {
        return None;
    }
    let low: Vec<Vec3> = way.points.iter().map(at).collect();
    let high = at(&upper[0]).middle(at(&upper[1]));
    let count = low.len();
    let middle = if count % 2 == 1 {
        low[count / 2]
    } else {
        low[count / 2 - 1].middle(low[count / 2])
    };
    let half = |low: Vec<Vec3>| Half {
        low,
        low_middle: middle,
        high_middle: high,
    };
    let near = low[..count.div_ceil(2)].to_vec();
    let far = low[count / 2..].iter().rev().copied().collect();
    Some((last, half(near), half(far)))
}
