//! Downhill to the shape of least energy: L-BFGS, measured in the metric of the springs.
//!
//! Steps are taken with the inverse of a fixed matrix, the Laplacian of the springs: what a pull does far away along the fabric is then
//! known at once, and a long tube takes hardly more steps than a ball. Everything runs in a fixed order, so the same mesh gives the same bits.

use std::collections::VecDeque;

use super::cholesky::Factor;
use super::coefficients::{PRESSING, SHEAR};
use super::energy::{Workspace, energy};
use super::mesh::Mesh;
use super::order::dissected;
use super::vector::Vec3;

/// How a search ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The root mean square over all points of what is left to move by the metric's reckoning, in widths, at which the shape counts as found.
    pub tolerance: f64,
    /// Most steps.
    pub steps: usize,
}

/// Where a search ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Descent {
    /// The points, in widths.
    pub points: Vec<Vec3>,
    /// The energy there.
    pub energy: f64,
    /// The largest force that is left on any point, in units of a spring stretched by one width.
    pub force: f64,
    /// Steps taken.
    pub steps: usize,
    /// Whether it ended within the tolerance.
    pub settled: bool,
}

/// Pairs of steps and changes of gradient that are remembered.
const MEMORY: usize = 16;
/// How much of the decrease that the slope promises a step must bring.
const ENOUGH: f64 = 1e-4;
/// Times that a step is shortened before the search gives up.
const SHORTENINGS: usize = 40;
/// The longest step of any point, in widths.
const LONGEST_STEP: f64 = 2.0;

/// A step taken: how the points moved, how the gradient changed, and 1 over the product of both.
struct Pair {
    moved: Vec<Vec3>,
    changed: Vec<Vec3>,
    inverse: f64,
}

/// Goes downhill from the mesh's start.
pub fn descend(mesh: &Mesh, limits: Limits) -> Descent {
    descend_watched(mesh, limits, |_| {})
}

/// The same, telling after each step what share of the way is done by the look of it, from 0 to 1: it counts the digits by which the tolerance has come
/// nearer.
pub fn descend_watched(mesh: &Mesh, limits: Limits, mut watch: impl FnMut(f64)) -> Descent {
    let mut farthest: Option<f64> = None;
    let metric = metric(mesh);
    let count = mesh.start.len();
    let mut workspace = Workspace::default();
    let mut scratch = Vec::new();
    let mut points = mesh.start.clone();
    let mut gradient = vec![Vec3::ZERO; count];
    let mut value = energy(mesh, &points, &mut gradient, &mut workspace);
    let mut pairs: VecDeque<Pair> = VecDeque::new();
    let mut steps = 0;
    let mut settled = count == 0;
    let mut next = vec![Vec3::ZERO; count];
    let mut next_gradient = vec![Vec3::ZERO; count];
    while !settled && steps < limits.steps && value.is_finite() {
        let mut direction = gradient.clone();
        metric.solve(&mut direction, &mut scratch);
        let left = product(&gradient, &direction);
        let left = (left / count as f64).sqrt();
        if left <= limits.tolerance {
            settled = true;
            break;
        }
        let digits = libm::log(left / limits.tolerance);
        let all = farthest.map_or(digits, |most| most.max(digits));
        farthest = Some(all);
        watch((1.0 - digits / all).clamp(0.0, 1.0));
        if !pairs.is_empty() {
            direction = two_loops(&gradient, &pairs, &metric, &mut scratch);
        }
        let mut slope = -product(&gradient, &direction);
        if slope >= 0.0 || !slope.is_finite() {
            pairs.clear();
            direction.copy_from_slice(&gradient);
            metric.solve(&mut direction, &mut scratch);
            slope = -product(&gradient, &direction);
        }
        let longest = direction
            .iter()
            .map(|d| d.square())
            .fold(0.0, f64::max)
            .sqrt();
        let mut length = (LONGEST_STEP / longest.max(1e-300)).min(1.0);
        let mut found = None;
        for _ in 0..SHORTENINGS {
            for ((next, point), way) in next.iter_mut().zip(&points).zip(&direction) {
                *next = *point - *way * length;
            }
            let there = energy(mesh, &next, &mut next_gradient, &mut workspace);
            if there <= value + ENOUGH * length * slope {
                found = Some(there);
                break;
            }
            length *= shortening(value, slope, length, there);
        }
        let Some(there) = found else {
            if pairs.is_empty() {
                break;
            }
            // What is remembered no longer fits here: start afresh from the metric alone.
            pairs.clear();
            continue;
        };
        remember(&mut pairs, &points, &next, &gradient, &next_gradient);
        std::mem::swap(&mut points, &mut next);
        std::mem::swap(&mut gradient, &mut next_gradient);
        value = there;
        steps += 1;
    }
    Descent {
        force: gradient
            .iter()
            .map(|g| g.square())
            .fold(0.0, f64::max)
            .sqrt(),
        points,
        energy: value,
        steps,
        settled,
    }
}

/// By how much to shorten a step that went too far: to the lowest point of the parabola through what is known.
fn shortening(value: f64, slope: f64, length: f64, there: f64) -> f64 {
    let bend = there - value - slope * length;
    let best = -slope * length / (2.0 * bend);
    if best.is_finite() {
        best.clamp(0.1, 0.6)
    } else {
        0.25
    }
}

fn remember(
    pairs: &mut VecDeque<Pair>,
    points: &[Vec3],
    next: &[Vec3],
    gradient: &[Vec3],
    next_gradient: &[Vec3],
) {
    let difference = |after: &[Vec3], before: &[Vec3]| -> Vec<Vec3> {
        after.iter().zip(before).map(|(&a, &b)| a - b).collect()
    };
    let (moved, changed) = (
        difference(next, points),
        difference(next_gradient, gradient),
    );
    let both = product(&moved, &changed);
    if both > 1e-12 * product(&changed, &changed) {
        if pairs.len() == MEMORY {
            pairs.pop_front();
        }
        pairs.push_back(Pair {
            moved,
            changed,
            inverse: 1.0 / both,
        });
    }
}

/// The direction of L-BFGS (the two loops of Nocedal, "Updating quasi-Newton matrices with limited storage", 1980; from memory).
fn two_loops(
    gradient: &[Vec3],
    pairs: &VecDeque<Pair>,
    metric: &Factor,
    scratch: &mut Vec<Vec3>,
) -> Vec<Vec3> {
    let mut way = gradient.to_vec();
    let mut shares = Vec::with_capacity(pairs.len());
    for pair in pairs.iter().rev() {
        let share = pair.inverse * product(&pair.moved, &way);
        add(&mut way, &pair.changed, -share);
        shares.push(share);
    }
    metric.solve(&mut way, scratch);
    for (pair, share) in pairs.iter().zip(shares.iter().rev()) {
        let back = pair.inverse * product(&pair.changed, &way);
        add(&mut way, &pair.moved, share - back);
    }
    way
}

/// The Laplacian of springs and shear, factored. Bending is left out: it hardly resists the long waves that take most steps. A pinch on the diagonal
/// makes up for what no spring holds: the place of the whole.
fn metric(mesh: &Mesh) -> Factor {
    const PINCH: f64 = 1e-6;
    let mut entries: Vec<(u32, u32, f64)> = Vec::new();
    for spring in &mesh.springs {
        entries.push((spring.a, spring.b, -1.0));
    }
    for cell in &mesh.diagonals {
        let [a, b, c, d] = cell.corners;
        entries.push((a, c, -SHEAR));
        entries.push((b, d, -SHEAR));
    }
    entries.retain(|&(a, b, _)| a != b);
    let count = mesh.start.len();
    let pressed = if mesh.pressed { PRESSING } else { 0.0 };
    let mut diagonal = vec![PINCH + pressed; count];
    let mut neighbours = vec![Vec::new(); count];
    for &(a, b, value) in &entries {
        diagonal[a as usize] -= value;
        diagonal[b as usize] -= value;
        neighbours[a as usize].push(b);
        neighbours[b as usize].push(a);
    }
    Factor::new(&diagonal, &entries, dissected(&mesh.start, &neighbours))
}

fn product(one: &[Vec3], other: &[Vec3]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a.dot(*b)).sum()
}

fn add(to: &mut [Vec3], what: &[Vec3], times: f64) {
    for (to, &what) in to.iter_mut().zip(what) {
        *to += what * times;
    }
}
