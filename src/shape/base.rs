//! Where what a piece goes on from starts: its rims side by side under the row that stands on them.

use std::f64::consts::{PI, TAU};

use super::coefficients::WIDTH;
use super::mesh::PointId;
use super::vector::{Vec3, centroid};
use super::web::Web;

/// What a row stands on that goes on from other pieces.
pub(super) struct Base {
    /// Place of the row.
    pub row: usize,
    /// From the middle of one of two rims to that of the other, in widths; 0 for any other number of them.
    pub apart: f64,
    grounds: Vec<Ground>,
}

/// One of the rings that the row stands on: a rim, or the round of its own piece.
struct Ground {
    /// In the order of work.
    points: Vec<PointId>,
    /// All that moves with it.
    all: Vec<PointId>,
    /// Where its middle comes to be.
    middle: Vec3,
    /// For each stitch on it, the place of its foot on the ring, and the angle at which that stands, about the middle.
    feet: Vec<(usize, f64)>,
}

impl Base {
    /// The base of a web that goes on from others.
    pub fn of(web: &Web) -> Option<Base> {
        let row = web.on_rims()?;
        let mut rings: Vec<(Vec<PointId>, Vec<PointId>)> = web
            .rims
            .iter()
            .map(|rim| (rim.clone(), rim.clone()))
            .collect();
        rings.extend(own_round(web, row));
        let count = web.rows[row].points.len().max(1) as f64;
        let chain = chain(web, row).map_or(0, |chain| web.rows[chain].points.len());
        let gap = (chain + 1) as f64 * WIDTH;
        let radii: f64 = rings.iter().map(|(ring, _)| radius(ring)).sum();
        let apart = if rings.len() == 2 { radii + gap } else { 0.0 };
        let widest = rings
            .iter()
            .map(|(ring, _)| radius(ring))
            .fold(0.0, f64::max);
        let far = match rings.len() {
            1 => 0.0,
            2 => apart / 2.0,
            many => (widest + WIDTH / 2.0) / libm::sin(PI / many as f64),
        };
        let is_only = rings.len() == 1;
        let mut place_on = vec![None; web.knots.len()];
        let mut grounds: Vec<Ground> = Vec::with_capacity(rings.len());
        for (at, (points, all)) in rings.into_iter().enumerate() {
            for (place, &point) in points.iter().enumerate() {
                place_on[point as usize] = Some((at, place));
            }
            grounds.push(Ground {
                points,
                all,
                middle: Vec3::ZERO,
                feet: Vec::new(),
            });
        }
        for (at, ground) in grounds.iter_mut().enumerate() {
            // The stitches on it, by their places in the row.
            let heads = web.rows[row].points.iter().enumerate();
            let heads = heads.filter_map(|(place, &head)| {
                let feet = web.knots[head as usize].feet.iter();
                let mut feet = feet.filter_map(|&foot| place_on[foot as usize]);
                let (_, foot) = feet.find(|(other, _)| *other == at)?;
                Some((place, foot))
            });
            let heads = from_gap(heads.collect(), web.rows[row].points.len());
            let around = |place: f64| TAU * place / count;
            let span = heads.len().max(1) as f64;
            let middle = heads.get(heads.len() / 2).map_or(0, |(place, _)| *place);
            let out = match (apart > 0.0, at) {
                (true, 0) => PI,
                (true, _) => 0.0,
                (false, _) => around(middle as f64 + 0.5),
            };
            ground.middle = Vec3::new(far, 0.0, 0.0).turned_about_z(out);
            // Beside others, it is gone round from its side next to them and back there.
            let feet = heads.iter().enumerate().map(|(nth, &(place, foot))| {
                let angle = match is_only {
                    true => around(place as f64 + 0.5),
                    false => out + TAU * ((nth as f64 + 0.5) / span - 0.5),
                };
                (foot, angle)
            });
            ground.feet = feet.collect();
        }
        Some(Base {
            row,
            apart,
            grounds,
        })
    }

    /// The points of all rings that it stands on, which are level, if those are several.
    pub fn level(&self) -> Option<Vec<PointId>> {
        let all = self.grounds.iter().flat_map(|ground| &ground.points);
        (self.grounds.len() > 1).then(|| all.copied().collect())
    }

    /// Lays what the row stands on, the rims at this height.
    pub fn lay(&self, web: &Web, height: f64, points: &mut [Vec3]) {
        for rim in &web.rims {
            let step = TAU / rim.len() as f64;
            for (place, &point) in rim.iter().enumerate() {
                let at = Vec3::new(radius(rim), 0.0, height);
                points[point as usize] = at.turned_about_z((place as f64 + 0.5) * step);
            }
        }
        for ground in &self.grounds {
            let at = |&point: &PointId| points[point as usize];
            let axis = centroid(ground.points.iter().map(at));
            let axis = Vec3::new(axis.x, axis.y, 0.0);
            let (mut sin, mut cos) = (0.0, 0.0);
            for &(foot, angle) in &ground.feet {
                let out = points[ground.points[foot] as usize] - axis;
                let turn = angle - libm::atan2(out.y, out.x);
                sin += libm::sin(turn);
                cos += libm::cos(turn);
            }
            let turn = libm::atan2(sin, cos);
            for &point in &ground.all {
                let point = &mut points[point as usize];
                *point = (*point - axis).turned_about_z(turn) + ground.middle;
            }
        }
        // The chain between runs from what lies beside its one end to what lies beside its other.
        let Some(chain) = chain(web, self.row) else {
            return;
        };
        let chain = &web.rows[chain].points;
        let end = |point: PointId| {
            let beside = web.knots[point as usize].beside.iter();
            centroid(beside.map(|&other| points[other as usize]))
        };
        let (from, to) = (end(chain[0]), end(chain[chain.len() - 1]));
        for (place, &point) in chain.iter().enumerate() {
            let share = (place + 1) as f64 / (chain.len() + 1) as f64;
            points[point as usize] = from * (1.0 - share) + to * share;
        }
    }
}

/// The round of its own piece that a row on rims stands on as well, and all that was worked before.
fn own_round(web: &Web, row: usize) -> Option<(Vec<PointId>, Vec<PointId>)> {
    let feet = web.rows[row].points.iter();
    let mut feet = feet.flat_map(|&head| &web.knots[head as usize].feet);
    let below = feet.find_map(|&foot| {
        let below = web.knots[foot as usize].row as usize;
        (below < row && !web.rows[below].is_chain).then_some(below)
    })?;
    let before = web.rows[..=below].iter().flat_map(|row| &row.points);
    let all = before.copied().chain(web.start).collect();
    Some((web.rows[below].points.clone(), all))
}

/// The chain that was worked from one to the next of what a row stands on.
fn chain(web: &Web, row: usize) -> Option<usize> {
    let chain = row.checked_sub(1)?;
    web.rows[chain].is_chain.then_some(chain)
}

/// Places in a row, in the order of work, from behind their widest gap on.
fn from_gap(mut heads: Vec<(usize, usize)>, count: usize) -> Vec<(usize, usize)> {
    let gap = |at: usize| {
        let before = heads[(at + heads.len() - 1) % heads.len()].0;
        (heads[at].0 + count - before - 1) % count + 1
    };
    let widest = (0..heads.len()).rev().max_by_key(|&at| gap(at));
    heads.rotate_left(widest.unwrap_or(0));
    heads
}

/// Of a ring of stitches.
fn radius(ring: &[PointId]) -> f64 {
    ring.len() as f64 * WIDTH / TAU
}
