//! Points and directions in space.

use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

/// A point or a direction in space; what its unit is says whoever holds it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Vec3 {
    /// Across.
    pub x: f64,
    /// Towards the back.
    pub y: f64,
    /// Up.
    pub z: f64,
}

impl Vec3 {
    /// The origin.
    pub const ZERO: Vec3 = Vec3::new(0.0, 0.0, 0.0);

    /// From its three coordinates.
    pub const fn new(x: f64, y: f64, z: f64) -> Vec3 {
        Vec3 { x, y, z }
    }

    /// The scalar product.
    pub fn dot(self, other: Vec3) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// The vector product: right-handed.
    pub fn cross(self, other: Vec3) -> Vec3 {
        Vec3::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    /// Its length squared.
    pub fn square(self) -> f64 {
        self.dot(self)
    }

    /// Its length.
    pub fn length(self) -> f64 {
        self.square().sqrt()
    }

    /// The same direction with length 1; `or` where it has none.
    pub fn unit_or(self, or: Vec3) -> Vec3 {
        let length = self.length();
        if length > 1e-12 {
            self * (1.0 / length)
        } else {
            or
        }
    }

    /// True if no coordinate is infinite or no number.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }

    /// Turned about the z axis by an angle in radians, from x towards y.
    pub fn turned_about_z(self, angle: f64) -> Vec3 {
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        Vec3::new(
            cos * self.x - sin * self.y,
            sin * self.x + cos * self.y,
            self.z,
        )
    }

    /// The middle between two points.
    pub fn middle(self, other: Vec3) -> Vec3 {
        (self + other) * 0.5
    }
}

impl Add for Vec3 {
    type Output = Vec3;
    fn add(self, other: Vec3) -> Vec3 {
        Vec3::new(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl Sub for Vec3 {
    type Output = Vec3;
    fn sub(self, other: Vec3) -> Vec3 {
        Vec3::new(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}

impl Mul<f64> for Vec3 {
    type Output = Vec3;
    fn mul(self, by: f64) -> Vec3 {
        Vec3::new(self.x * by, self.y * by, self.z * by)
    }
}

impl Neg for Vec3 {
    type Output = Vec3;
    fn neg(self) -> Vec3 {
        self * -1.0
    }
}

impl AddAssign for Vec3 {
    fn add_assign(&mut self, other: Vec3) {
        *self = *self + other;
    }
}

impl SubAssign for Vec3 {
    fn sub_assign(&mut self, other: Vec3) {
        *self = *self - other;
    }
}

/// The middle of some points; the origin for none.
pub fn centroid(points: impl IntoIterator<Item = Vec3>) -> Vec3 {
    let (sum, count) = points
        .into_iter()
        .fold((Vec3::ZERO, 0.0), |(sum, count), point| {
            (sum + point, count + 1.0)
        });
    if count > 0.0 {
        sum * (1.0 / count)
    } else {
        sum
    }
}
