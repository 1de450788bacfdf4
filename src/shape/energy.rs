//! How much a shape resists, and which way each point is drawn: the energy of `design.md` with its gradient.

use std::ops::Range;

use super::coefficients::{BENDING, FOLDED_FROM, FOLDING, LAYER, PRESSING, SHEAR, WARPING};
use super::mesh::{Mesh, PointId};
use super::vector::{Vec3, centroid};

/// The square of twice an area below which a cell loses its direction. That of a stitch has 4.
const LEAST_AREA: f64 = 1e-3;

/// Reused from one evaluation to the next.
#[derive(Debug, Default)]
pub struct Workspace {
    /// Each cell's unit normal.
    normals: Vec<Vec3>,
    /// Twice each cell's area, smoothed away from zero.
    sizes: Vec<f64>,
    /// The gradient by each cell's unit normal.
    pulls: Vec<Vec3>,
}

/// The energy of a shape, and its gradient by every point into `gradient`, which is as long as `points`. Infinite, with no gradient,
/// where stuffing would fill a volume that is not positive.
pub fn energy(
    mesh: &Mesh,
    points: &[Vec3],
    gradient: &mut [Vec3],
    workspace: &mut Workspace,
) -> f64 {
    gradient.fill(Vec3::ZERO);
    let mut sum = 0.0;
    let own = (mesh.stuffing, 0..mesh.own_cells(), &mesh.caps);
    let limbs = mesh.limbs.iter();
    let limbs = limbs.map(|limb| (limb.stuffing, limb.cells.clone(), &limb.caps));
    for (stuffing, cells, caps) in std::iter::once(own).chain(limbs) {
        if stuffing > 0.0 {
            let walls = || polygons(mesh, cells.clone(), caps);
            let filled = held(walls(), points);
            if filled <= 0.0 || !filled.is_finite() {
                return f64::INFINITY;
            }
            sum -= stuffing * libm::log(filled);
            add_volume_gradient(walls(), points, -stuffing / filled, gradient);
        }
    }
    sum += springs(mesh, points, gradient);
    sum += shear(mesh, points, gradient);
    sum += bending(mesh, points, gradient, workspace);
    if mesh.pressed {
        sum += pressing(points, gradient);
    }
    sum
}

fn springs(mesh: &Mesh, points: &[Vec3], gradient: &mut [Vec3]) -> f64 {
    let mut sum = 0.0;
    for spring in &mesh.springs {
        let (a, b) = (spring.a as usize, spring.b as usize);
        let along = points[b] - points[a];
        let length = along.length();
        let stretch = length - spring.rest;
        sum += spring.energy(stretch);
        if length > 1e-12 {
            let force = along * (spring.force(stretch) / length);
            gradient[a] -= force;
            gradient[b] += force;
        }
    }
    sum
}

fn shear(mesh: &Mesh, points: &[Vec3], gradient: &mut [Vec3]) -> f64 {
    let mut sum = 0.0;
    for cell in &mesh.diagonals {
        let [a, b, c, d] = cell.corners.map(|corner| corner as usize);
        let (first, second) = (points[c] - points[a], points[d] - points[b]);
        let off = first.square() - second.square() - cell.sheared;
        sum += SHEAR / 8.0 * off * off;
        let (first, second) = (first * (SHEAR / 2.0 * off), second * (SHEAR / 2.0 * off));
        gradient[c] += first;
        gradient[a] -= first;
        gradient[d] -= second;
        gradient[b] += second;
    }
    sum
}

/// Hinges between cells, and the warping of four-sided ones. A cell's normal is that of its vector area, so that no way of cutting it into
/// triangles is preferred and a mirror image has the mirrored energy.
fn bending(mesh: &Mesh, points: &[Vec3], gradient: &mut [Vec3], work: &mut Workspace) -> f64 {
    let count = mesh.cell_count();
    work.normals.clear();
    work.sizes.clear();
    for cell in 0..count {
        let area = doubled_area(mesh.cell(cell), points);
        let size = (area.square() + LEAST_AREA).sqrt();
        work.normals.push(area * (1.0 / size));
        work.sizes.push(size);
    }
    work.pulls.clear();
    work.pulls.resize(count, Vec3::ZERO);

    let mut sum = 0.0;
    for hinge in &mesh.hinges {
        let (a, b) = (hinge.a as usize, hinge.b as usize);
        let stiffness = hinge.stiffness;
        sum += stiffness * (1.0 - work.normals[a].dot(work.normals[b]));
        let (normal_a, normal_b) = (work.normals[a], work.normals[b]);
        work.pulls[a] -= normal_b * stiffness;
        work.pulls[b] -= normal_a * stiffness;
    }
    for cell in 0..count {
        if let &[a, b, c, d] = mesh.cell(cell) {
            let corners = [a, b, c, d].map(|corner| corner as usize);
            let [a, b, c, d] = corners.map(|corner| points[corner]);
            let across = a - b + c - d;
            let warp = across.dot(work.normals[cell]);
            let folded = (across.square() - FOLDED_FROM).max(0.0);
            sum += WARPING * warp * warp + FOLDING * folded * folded;
            let pull =
                work.normals[cell] * (2.0 * WARPING * warp) + across * (4.0 * FOLDING * folded);
            for (place, corner) in corners.into_iter().enumerate() {
                let sign = if place.is_multiple_of(2) { 1.0 } else { -1.0 };
                gradient[corner] += pull * sign;
            }
            work.pulls[cell] += across * (2.0 * WARPING * warp);
        }
    }
    for cell in 0..count {
        let (normal, pull) = (work.normals[cell], work.pulls[cell]);
        // From the unit normal to the vector area that it was made from.
        let pull = (pull - normal * normal.dot(pull)) * (1.0 / work.sizes[cell]);
        add_area_gradient(mesh.cell(cell), points, pull, gradient);
    }
    sum
}

/// Twice the vector area of a polygon: its direction is outwards, its length twice the area.
fn doubled_area(corners: &[PointId], points: &[Vec3]) -> Vec3 {
    let at = |place: usize| points[corners[place] as usize];
    match corners.len() {
        0..=2 => Vec3::ZERO,
        4 => (at(2) - at(0)).cross(at(3) - at(1)),
        count => {
            let first = at(0);
            (1..count - 1).fold(Vec3::ZERO, |sum, place| {
                sum + (at(place) - first).cross(at(place + 1) - first)
            })
        }
    }
}

/// Adds the gradient of `pull · doubled_area`.
fn add_area_gradient(corners: &[PointId], points: &[Vec3], pull: Vec3, gradient: &mut [Vec3]) {
    let count = corners.len();
    for place in 0..count {
        let before = points[corners[(place + count - 1) % count] as usize];
        let after = points[corners[(place + 1) % count] as usize];
        gradient[corners[place] as usize] += (after - before).cross(pull);
    }
}

/// What the surface of a piece holds, without what it goes on from and openings closed by caps, in cubic widths; negative if it is inside out.
pub fn volume(mesh: &Mesh, points: &[Vec3]) -> f64 {
    held(polygons(mesh, 0..mesh.own_cells(), &mesh.caps), points)
}

fn held<'m>(walls: impl Iterator<Item = &'m [PointId]>, points: &[Vec3]) -> f64 {
    walls
        .map(|corners| {
            let middle = centroid(corners.iter().map(|&corner| points[corner as usize]));
            middle.dot(doubled_area(corners, points)) / 6.0
        })
        .sum()
}

fn add_volume_gradient<'m>(
    walls: impl Iterator<Item = &'m [PointId]>,
    points: &[Vec3],
    factor: f64,
    gradient: &mut [Vec3],
) {
    for corners in walls {
        let middle = centroid(corners.iter().map(|&corner| points[corner as usize]));
        let area = doubled_area(corners, points);
        let share = area * (factor / (6.0 * corners.len() as f64));
        for &corner in corners {
            gradient[corner as usize] += share;
        }
        add_area_gradient(corners, points, middle * (factor / 6.0), gradient);
    }
}

/// Cells, then caps.
fn polygons<'m>(
    mesh: &'m Mesh,
    cells: Range<usize>,
    caps: &'m [Vec<PointId>],
) -> impl Iterator<Item = &'m [PointId]> {
    let cells = cells.map(|cell| mesh.cell(cell));
    cells.chain(caps.iter().map(Vec::as_slice))
}

/// A part pressed flat: every point is drawn to its own layer, on either side of the plane y = 0.
fn pressing(points: &[Vec3], gradient: &mut [Vec3]) -> f64 {
    let mut sum = 0.0;
    for (point, pull) in points.iter().zip(gradient) {
        let beyond = (point.y.abs() - LAYER).max(0.0);
        sum += 0.5 * PRESSING * beyond * beyond;
        pull.y += PRESSING * beyond * point.y.signum();
    }
    sum
}

/// Stiffness of a hinge between two cells.
pub fn hinge_stiffness(is_fold: bool) -> f64 {
    if is_fold {
        BENDING * super::coefficients::FOLD
    } else {
        BENDING
    }
}
