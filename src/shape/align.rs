//! Laying one set of points on another by turning and moving it.

use super::vector::{Vec3, centroid};

/// Turns to try at most; each halves what is off by far more than half.
const SWEEPS: usize = 60;

/// A turn about one middle and a move to another.
#[derive(Debug, Clone, Copy)]
pub struct Fit {
    from: Vec3,
    turn: [Vec3; 3],
    to: Vec3,
}

impl Fit {
    /// A point, turned and moved.
    pub fn put(&self, point: Vec3) -> Vec3 {
        let [x, y, z] = self.turn.map(|row| row.dot(point - self.from));
        Vec3::new(x, y, z) + self.to
    }
}

/// The points turned and moved so that they lie as near as can be to `onto`, which has as many.
pub fn laid_on(points: &[Vec3], onto: &[Vec3]) -> Vec<Vec3> {
    let fit = fit(points, onto);
    points.iter().map(|&point| fit.put(point)).collect()
}

/// What brings points as near as can be to `onto`, which has as many (least squares; Horn, "Closed-form solution of absolute orientation using unit
/// quaternions", 1987; from memory).
pub fn fit(points: &[Vec3], onto: &[Vec3]) -> Fit {
    let (from, to) = (
        centroid(points.iter().copied()),
        centroid(onto.iter().copied()),
    );
    let mut products = [[0.0; 3]; 3];
    for (&point, &other) in points.iter().zip(onto) {
        let (point, other) = (point - from, other - to);
        for (row, a) in products.iter_mut().zip([point.x, point.y, point.z]) {
            for (sum, b) in row.iter_mut().zip([other.x, other.y, other.z]) {
                *sum += a * b;
            }
        }
    }
    Fit {
        from,
        turn: rotation(products),
        to,
    }
}

/// Root mean square of the distances between two sets of points, after the best turn and move.
pub fn distance(points: &[Vec3], other: &[Vec3]) -> f64 {
    let laid = laid_on(points, other);
    let sum: f64 = laid
        .iter()
        .zip(other)
        .map(|(&a, &b)| (a - b).square())
        .sum();
    (sum / points.len().max(1) as f64).sqrt()
}

/// The rotation that brings the two sets of products together: the quaternion is the eigenvector of the largest eigenvalue.
fn rotation(s: [[f64; 3]; 3]) -> [Vec3; 3] {
    let [[xx, xy, xz], [yx, yy, yz], [zx, zy, zz]] = s;
    let matrix = [
        [xx + yy + zz, yz - zy, zx - xz, xy - yx],
        [yz - zy, xx - yy - zz, xy + yx, zx + xz],
        [zx - xz, xy + yx, yy - xx - zz, yz + zy],
        [xy - yx, zx + xz, yz + zy, zz - xx - yy],
    ];
    let [w, x, y, z] = largest_eigenvector(matrix);
    [
        Vec3::new(
            w * w + x * x - y * y - z * z,
            2.0 * (x * y - w * z),
            2.0 * (x * z + w * y),
        ),
        Vec3::new(
            2.0 * (x * y + w * z),
            w * w - x * x + y * y - z * z,
            2.0 * (y * z - w * x),
        ),
        Vec3::new(
            2.0 * (x * z - w * y),
            2.0 * (y * z + w * x),
            w * w - x * x - y * y + z * z,
        ),
    ]
}

/// By Jacobi's rotations.
fn largest_eigenvector(mut a: [[f64; 4]; 4]) -> [f64; 4] {
    let mut vectors = [[0.0; 4]; 4];
    for (place, row) in vectors.iter_mut().enumerate() {
        row[place] = 1.0;
    }
    for _ in 0..SWEEPS {
        for p in 0..3 {
            for q in p + 1..4 {
                if a[p][q].abs() < 1e-300 {
                    continue;
                }
                let theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
                let t = theta.signum() / (theta.abs() + (theta * theta + 1.0).sqrt());
                let c = 1.0 / (t * t + 1.0).sqrt();
                let s = t * c;
                for row in &mut a {
                    let (x, y) = (row[p], row[q]);
                    row[p] = c * x - s * y;
                    row[q] = s * x + c * y;
                }
                let (row_p, row_q) = (a[p], a[q]);
                for (place, (x, y)) in row_p.into_iter().zip(row_q).enumerate() {
                    a[p][place] = c * x - s * y;
                    a[q][place] = s * x + c * y;
                }
                for row in &mut vectors {
                    let (x, y) = (row[p], row[q]);
                    row[p] = c * x - s * y;
                    row[q] = s * x + c * y;
                }
            }
        }
    }
    let mut largest = 0;
    for place in 1..4 {
        if a[place][place] > a[largest][largest] {
            largest = place;
        }
    }
    vectors.map(|row| row[largest])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_turned_and_moved_is_laid_back() {
        let points: Vec<Vec3> = (0..9)
            .map(|i| Vec3::new(f64::from(i % 3), f64::from(i * i % 7), f64::from(i)))
            .collect();
        let (sin, cos) = (libm::sin(2.5), libm::cos(2.5));
        let turned: Vec<Vec3> = points
            .iter()
            .map(|p| {
                Vec3::new(
                    cos * p.x - sin * p.z + 3.0,
                    p.y - 1.0,
                    sin * p.x + cos * p.z,
                )
            })
            .collect();
        assert!(distance(&turned, &points) < 1e-9);
        let mirrored: Vec<Vec3> = points.iter().map(|p| Vec3::new(-p.x, p.y, p.z)).collect();
        assert!(distance(&mirrored, &points) > 0.1, "a turn is no mirror");
    }
}
