use kurbo::{Affine, Point, Vec2};

use super::Symbol;

/// Below this a way has no direction, in mm.
const SHORTEST_MM: f64 = 1e-6;
/// Farther out than any sheet, in mm.
const FARTHEST_MM: f64 = 1e6;

/// A symbol's own axes on paper: x to the right and y up, as one looks along the stem from foot to head.
#[derive(Debug, Clone, Copy)]
pub(super) struct Axes {
    /// From foot to head, in mm.
    pub length: f64,
    to_paper: Affine,
}

impl Axes {
    /// The origin at the foot, y towards the head; straight up the paper where the two are the same.
    pub fn between(foot: Point, head: Point) -> Axes {
        let (foot, head) = (on_paper(foot), on_paper(head));
        let way = head - foot;
        Axes {
            length: way.length(),
            ..Axes::along(foot, way)
        }
    }

    /// The origin at a point, y along a direction of any length.
    pub fn along(origin: Point, direction: Vec2) -> Axes {
        let origin = on_paper(origin);
        let length = direction.length();
        let up = if length > SHORTEST_MM && length.is_finite() {
            direction / length
        } else {
            Vec2::new(0.0, -1.0)
        };
        Axes {
            length: 0.0,
            to_paper: Affine::new([-up.y, up.x, up.x, up.y, origin.x, origin.y]),
        }
    }

    /// Puts on paper what was drawn in these axes.
    pub fn place(&self, drawn: Symbol) -> Symbol {
        drawn.transformed(self.to_paper)
    }

    /// A point of the paper in these axes.
    pub fn local(&self, point: Point) -> Point {
        self.to_paper.inverse() * on_paper(point)
    }

    /// A point of these axes on paper.
    pub fn paper(&self, x: f64, y: f64) -> Point {
        self.to_paper * Point::new(x, y)
    }
}

/// The point itself, or the nearest one that is within reach; the origin for what is no point.
fn on_paper(point: Point) -> Point {
    let within = |value: f64| {
        if value.is_nan() {
            0.0
        } else {
            value.clamp(-FARTHEST_MM, FARTHEST_MM)
        }
    };
    Point::new(within(point.x), within(point.y))
}
