//! The surface of a piece, stitch by stitch: what there is to see of it.

use crate::fabric::Piece;
use crate::fabric::{Role, StitchId, YarnId};

use super::build::{shortest_way, to_next_head};
use super::relaxed::Relaxed;
use super::vector::{Vec3, centroid};

/// The part of the surface that one stitch takes up.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// The stitch.
    pub stitch: StitchId,
    /// Its yarn.
    pub yarn: Option<YarnId>,
    /// Its outline, in cm, counter-clockwise as seen from outside for a right-handed piece worked with the right side out.
    pub outline: Vec<Vec3>,
    /// Its corners: at the foot of the side that was worked first, at the foot of the other, at the head of the other, at the head of the first.
    pub corners: [Vec3; 4],
    /// Outwards.
    pub normal: Vec3,
    /// A chain that bridges a gap: its outline is the way of the yarn alone.
    pub is_thread: bool,
}

/// The patches of all stitches of a piece that are part of its surface, in the order of work.
pub fn patches(shape: &Relaxed, piece: &Piece) -> Vec<Patch> {
    let normals = shape.normals();
    let mut halves: Vec<[Option<Half>; 2]> = vec![[None, None]; shape.points.len()];
    for point in 0..shape.points.len() as u32 {
        if let Some((last, after, before)) = between(shape, point) {
            halves[point as usize][1] = Some(after);
            halves[last as usize][0] = Some(before);
        }
    }
    let mut patches = Vec::new();
    for (point, [before, after]) in halves.iter().enumerate() {
        let Some(stitch) = shape.stitch(point as u32) else {
            continue;
        };
        let knot = &shape.web.knots[point];
        let stitch_of = piece.stitch(stitch);
        let blank = |outline, corners, is_thread| Patch {
            stitch,
            yarn: stitch_of.yarn,
            outline,
            corners,
            normal: normals[point],
            is_thread,
        };
        let head = shape.points[point];
        if knot.feet.is_empty() {
            let is_chain = matches!(stitch_of.role, Role::Bridge | Role::Foundation);
            if let (true, Some(next)) = (is_chain, knot.next) {
                let to = shape.points[next as usize];
                patches.push(blank(vec![head, to], [head, to, to, head], true));
            }
            continue;
        }
        let feet: Vec<Vec3> = knot
            .feet
            .iter()
            .map(|&foot| shape.points[foot as usize])
            .collect();
        // Where the fabric ends beside it, half a stitch is what its foot and head hold by themselves.
        let edge = || Half {
            low: vec![],
            low_middle: None,
            high_middle: None,
        };
        let before = before.clone().unwrap_or_else(edge);
        let after = after.clone().unwrap_or_else(edge);
        let flipped = |half: &Half| {
            half.low.first().is_some_and(|low| {
                feet.len() > 1 && (*low - feet[0]).square() < (*low - feet[feet.len() - 1]).square()
            })
        };
        let mut ways = feet.clone();
        if flipped(&after) {
            ways.reverse();
        }
        let first_foot = before.low_middle.unwrap_or(ways[0]);
        let last_foot = after.low_middle.unwrap_or(ways[ways.len() - 1]);
        let first_head = before.high_middle.unwrap_or(head);
        let last_head = after.high_middle.unwrap_or(head);
        let mut outline = vec![first_foot];
        outline.extend(before.low.iter().rev());
        outline.extend(ways);
        outline.extend(after.low.iter());
        outline.extend([last_foot, last_head, head, first_head]);
        patches.push(blank(
            outline,
            [first_foot, last_foot, last_head, first_head],
            false,
        ));
    }
    patches
}

/// One side of a stitch's patch.
#[derive(Debug, Clone)]
struct Half {
    /// The points below between its own foot and the middle.
    low: Vec<Vec3>,
    /// Halfway to the other stitch's foot.
    low_middle: Option<Vec3>,
    /// Halfway to the other stitch's head.
    high_middle: Option<Vec3>,
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
        low_middle: Some(middle),
        high_middle: Some(high),
    };
    let near = low[..count.div_ceil(2)].to_vec();
    let far = low[count / 2..].iter().rev().copied().collect();
    Some((last, half(near), half(far)))
}

impl Patch {
    /// Its middle.
    pub fn middle(&self) -> Vec3 {
        centroid(self.outline.iter().copied())
    }

    /// A place on it: `across` from 0 at the side worked first to 1 at the other, `up` from 0 at the foot to 1 at the head.
    pub fn at(&self, across: f64, up: f64) -> Vec3 {
        let [a, b, c, d] = self.corners;
        let low = a + (b - a) * across;
        let high = d + (c - d) * across;
        low + (high - low) * up
    }
}
