//! Where the points start: on a surface of revolution, or for rows on a plane.

use std::f64::consts::{PI, TAU};

use super::base::Base;
use super::coefficients::{LAYER, WIDTH};
use super::making::Making;
use super::vector::{Vec3, centroid};
use super::web::{Row, Web};

/// The least step down from round to round, so that flat pieces have an outside, in widths.
const LEAST_STEP: f64 = 0.02;

/// A start for every point, in widths: the piece begins at z = 0 and grows towards −z, and rounds run counter-clockwise as seen from +z. Rows
/// lie in the plane y = 0; those of the right side, seen from −y, run towards +x. What a piece goes on from stands on its first round.
pub fn points(web: &Web, making: &Making) -> Vec<Vec3> {
    let mut points = vec![Vec3::ZERO; web.knots.len()];
    let base = Base::of(web);
    let rings = profile(web, base.as_ref(), making.lean);
    let mut placed = vec![false; web.knots.len()];
    if let Some(start) = web.start {
        placed[start as usize] = true;
    }
    for (place, row) in web.rows.iter().enumerate() {
        if let Some(base) = base.as_ref().filter(|base| base.row == place) {
            base.lay(web, rings[place].z + mean_height(web, row), &mut points);
        }
        if row.is_ring {
            ring(web, &rings, place, making.lean, &mut points);
        } else {
            line(web, row, place, &mut points, &placed);
        }
        for &point in &row.points {
            placed[point as usize] = true;
        }
    }
    if making.pressed {
        press(web, &rings, &mut points);
    }
    if let Some(end) = web.end {
        let feet = web.knots[end as usize].feet.iter();
        let middle = centroid(feet.map(|&foot| points[foot as usize]));
        points[end as usize] = middle - Vec3::new(0.0, 0.0, LEAST_STEP);
    }
    for (place, point) in points.iter_mut().enumerate() {
        *point += disturbance(place as u64, making.seed) * making.disturbance;
    }
    points
}

/// A round as a stadium: two half circles and what is straight between them.
#[derive(Debug, Clone, Copy, Default)]
struct Ring {
    radius: f64,
    straight: f64,
    z: f64,
}

impl Ring {
    fn between(self, other: Ring, share: f64) -> Ring {
        let mix = |a: f64, b: f64| a + (b - a) * share;
        Ring {
            radius: mix(self.radius, other.radius),
            straight: mix(self.straight, other.straight),
            z: mix(self.z, other.z),
        }
    }

    /// The place at a share of the way round, from 0 to 1, counter-clockwise from +x.
    fn at(self, share: f64) -> Vec3 {
        let bends = TAU * self.radius;
        let around = bends + 2.0 * self.straight;
        let half = self.straight / 2.0;
        // Quarter of a bend, a straight, half a bend, a straight, and the other quarter.
        let mut way = (share - libm::floor(share)) * around;
        let quarter = bends / 4.0;
        let bend = |middle: f64, angle: f64| {
            let (sin, cos) = (libm::sin(angle), libm::cos(angle));
            Vec3::new(middle + self.radius * cos, self.radius * sin, self.z)
        };
        let radius = self.radius.max(1e-9);
        if way < quarter {
            return bend(half, way / radius);
        }
        way -= quarter;
        if way < self.straight {
            return Vec3::new(half - way, self.radius, self.z);
        }
        way -= self.straight;
        if way < 2.0 * quarter {
            return bend(-half, PI / 2.0 + way / radius);
        }
        way -= 2.0 * quarter;
        if way < self.straight {
            return Vec3::new(way - half, -self.radius, self.z);
        }
        way -= self.straight;
        bend(half, 1.5 * PI + way / radius)
    }
}

/// The ring of each row; those of rows that do not run round are not used.
fn profile(web: &Web, base: Option<&Base>, lean: f64) -> Vec<Ring> {
    let on_base = base.map_or(usize::MAX, |base| base.row);
    let chain = web.rows.first().filter(|row| row.is_chain && !row.is_ring);
    let chain = chain.filter(|_| on_base != 1);
    let long = chain.map_or(0.0, |row| row.points.len().saturating_sub(1) as f64 * WIDTH);
    let starts_open = web.start.is_none() && chain.is_none();
    let mut rings: Vec<Ring> = Vec::with_capacity(web.rows.len());
    let mut before = (!starts_open).then_some(Ring {
        straight: long,
        ..Ring::default()
    });
    for (place, row) in web.rows.iter().enumerate() {
        if !row.is_ring {
            rings.push(before.unwrap_or_default());
            continue;
        }
        let around = around(web, row);
        let long = match base {
            Some(base) if place >= base.row => base.apart,
            _ => long,
        };
        let straight = long.min(around * 0.4);
        let mut radius = (around - 2.0 * straight) / TAU;
        let mut z = 0.0;
        if let Some(ridge) = ridge(web, row, &rings) {
            let height = mean_height(web, row);
            radius = ridge.at.radius + ridge.out * height;
            z = ridge.at.z + ridge.up * height;
        } else if let (true, Some(before)) = (place == on_base, before) {
            z = before.z - mean_height(web, row);
        } else if let Some(before) = before {
            // What leans stands less high.
            let height = mean_height(web, row);
            let height = (height * height - lean * lean)
                .max(height * height / 4.0)
                .sqrt();
            // Where it can't grow so fast in the plane it starts too tight, and finds its ruffles.
            radius = radius.min(before.radius + height * 0.999);
            let out = radius - before.radius;
            z = before.z
                - (height * height - out * out)
                    .max(0.0)
                    .sqrt()
                    .max(LEAST_STEP);
        }
        let ring = Ring {
            radius,
            straight,
            z,
        };
        rings.push(ring);
        before = Some(ring);
    }
    rings
}

/// How long a row is along its yarn, in widths.
pub(super) fn around(web: &Web, row: &Row) -> f64 {
    let widths = row
        .points
        .iter()
        .map(|&point| web.knots[point as usize].width);
    widths.sum()
}

/// Where a row on a ridge begins, and which way it goes from there.
struct Ridge {
    at: Ring,
    out: f64,
    up: f64,
}

/// The ridge of a row that stands on one. At the edge of a flat base, which the walls leave downwards, it is a foot and goes the other way; on a
/// wall it is a skirt, and goes with the wall outside of it.
fn ridge(web: &Web, row: &Row, rings: &[Ring]) -> Option<Ridge> {
    let foot = row
        .points
        .iter()
        .find_map(|&point| web.knots[point as usize].feet.first());
    let below = web.knots[*foot.filter(|_| row.on_ridge)? as usize].row as usize;
    let at = *rings.get(below)?;
    let before = below
        .checked_sub(1)
        .map_or(Ring::default(), |before| rings[before]);
    let is_base = at.radius - before.radius > before.z - at.z;
    let (out, up) = if is_base { (0.0, 1.0) } else { (0.4, -0.9) };
    Some(Ridge { at, out, up })
}

/// How high the stitches of a row are on average, in widths.
pub(super) fn mean_height(web: &Web, row: &Row) -> f64 {
    let heights = row.points.iter().map(|&point| &web.knots[point as usize]);
    let heights = heights.filter(|knot| !knot.feet.is_empty());
    let (sum, count) = heights.fold((0.0, 0.0), |(sum, count), knot| {
        (sum + knot.height, count + 1.0)
    });
    if count > 0.0 { sum / count } else { 0.0 }
}

/// Places a round evenly on its ring, turned so that its heads come as near as can be to where they stand over their feet. A spiral runs on from
/// the round before and towards the next.
fn ring(web: &Web, rings: &[Ring], place: usize, lean: f64, points: &mut [Vec3]) {
    let row = &web.rows[place];
    let count = row.points.len() as f64;
    let way = if row.wrong_side { -1.0 } else { 1.0 };
    let is_spiral = web.knots[row.points[0] as usize]
        .before
        .is_some_and(|before| web.knots[before as usize].row != place as u32);
    // Stitches stand across the yarn, which climbs in a spiral: so a long tube ends turned a good way round, too far to be sought downhill.
    let around = around(web, row);
    let height = mean_height(web, row);
    let climbs = match is_spiral {
        true => height * height / around,
        false => 0.0,
    };
    let back = (lean + climbs) / around;
    let turn = best_turn(web, row, way, points).map_or(0.0, |turn| turn - way * back);
    let neighbour = |other: Option<usize>| {
        let other = other.and_then(|other| web.rows.get(other).map(|row| (other, row)));
        // What goes on from several has no ring in common with any of them.
        let is_parted = |other: usize| web.on_rims() == Some(place.max(other));
        other
            .filter(|(_, row)| is_spiral && row.is_ring && !row.is_chain)
            .filter(|(other, _)| !is_parted(*other))
            .map_or(rings[place], |(other, _)| rings[other])
    };
    let (before, after) = (neighbour(place.checked_sub(1)), neighbour(Some(place + 1)));
    for (index, &point) in row.points.iter().enumerate() {
        let share = (index as f64 + 0.5) / count;
        let ring = if share < 0.5 {
            before.between(rings[place], 0.5 + share)
        } else {
            rings[place].between(after, share - 0.5)
        };
        points[point as usize] = ring.at(way * share + turn);
    }
}

/// The turn of a round, as a share of it, that brings its heads nearest to their feet.
fn best_turn(web: &Web, row: &Row, way: f64, points: &[Vec3]) -> Option<f64> {
    let count = row.points.len() as f64;
    let (mut along, mut across) = (0.0, 0.0);
    for (index, &point) in row.points.iter().enumerate() {
        let angle = TAU * way * (index as f64 + 0.5) / count;
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        for &foot in &web.knots[point as usize].feet {
            let foot = points[foot as usize];
            along += foot.x * cos + foot.y * sin;
            across += foot.y * cos - foot.x * sin;
        }
    }
    (along * along + across * across > 1e-9).then(|| libm::atan2(across, along) / TAU)
}

/// Presses rounds flat so that the last one's start lies in a fold: its first stitch on its last.
fn press(web: &Web, rings: &[Ring], points: &mut [Vec3]) {
    let last = web.rows.iter().rev().find(|row| row.is_ring);
    let ends = last.and_then(|row| Some((row.points.first()?, row.points.last()?)));
    let Some((&first, &last)) = ends else { return };
    let seam = points[first as usize] + points[last as usize];
    let seam = Vec3::new(seam.x, seam.y, 0.0).unit_or(Vec3::new(1.0, 0.0, 0.0));
    for (row, ring) in web.rows.iter().zip(rings) {
        for &point in &row.points {
            let at = points[point as usize];
            let turned = Vec3::new(
                at.x * seam.x + at.y * seam.y,
                at.y * seam.x - at.x * seam.y,
                at.z,
            );
            points[point as usize] = flattened(turned, ring.radius);
        }
    }
}

/// A point of a tube pressed flat: just as far round, but on two layers.
fn flattened(at: Vec3, radius: f64) -> Vec3 {
    let wide = (PI / 2.0 * radius - LAYER).max(radius * 0.5);
    let share = if radius > 0.0 { at.x / radius } else { 0.0 };
    // Evenly along the layer: the angle, not its cosine.
    let along = 1.0 - libm::acos(share.clamp(-1.0, 1.0)) / (PI / 2.0);
    Vec3::new(along * wide, LAYER * at.y / radius.max(1e-9), at.z)
}

/// Places a row: each head under its feet, and a starting chain from right to left as the first row runs back along it.
fn line(web: &Web, row: &Row, place: usize, points: &mut [Vec3], placed: &[bool]) {
    if row.is_chain
        || row
            .points
            .iter()
            .all(|&p| web.knots[p as usize].feet.is_empty())
    {
        let half = row.points.len().saturating_sub(1) as f64 / 2.0;
        let above = web.rows.get(place + 1);
        let way = if above.is_some_and(|above| above.wrong_side) {
            1.0
        } else {
            -1.0
        };
        for (index, &point) in row.points.iter().enumerate() {
            points[point as usize] = Vec3::new(way * (index as f64 - half) * WIDTH, 0.0, 0.0);
        }
        return;
    }
    let way = if row.wrong_side { -1.0 } else { 1.0 };
    let mut last: Option<Vec3> = None;
    for &point in &row.points {
        let knot = &web.knots[point as usize];
        let feet = knot.feet.iter().filter(|&&foot| placed[foot as usize]);
        let feet: Vec<Vec3> = feet.map(|&foot| points[foot as usize]).collect();
        let mut at = match (feet.is_empty(), last) {
            (false, _) => centroid(feet) - Vec3::new(0.0, 0.0, knot.height),
            (true, Some(last)) => last + Vec3::new(way * WIDTH, 0.0, 0.0),
            (true, None) => Vec3::ZERO,
        };
        if let Some(last) = last {
            // Several in one place stand side by side.
            let ahead: f64 = way * (at.x - last.x);
            if ahead < 0.3 {
                at.x = last.x + way * 0.3;
            }
        }
        points[point as usize] = at;
        last = Some(at);
    }
}

/// A fixed direction of length at most √3 for each point: the same on every machine (the mixing function is that of splitmix64; from memory).
fn disturbance(point: u64, seed: u64) -> Vec3 {
    let mut state = point
        .wrapping_add(seed.wrapping_mul(0x1000_0000))
        .wrapping_mul(3);
    let mut next = || {
        state = state.wrapping_add(1);
        let mut z = state.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        (z >> 11) as f64 / (1u64 << 53) as f64 * 2.0 - 1.0
    };
    Vec3::new(next(), next(), next())
}
