use kurbo::{Affine, BezPath, Point, Rect, Shape};

/// Width of the one pen that all symbols are drawn with, in mm.
pub const PEN_MM: f64 = 0.35;

/// How far the handles of a cubic stand out for a quarter of an ellipse, in radii.
const QUARTER: f64 = 0.552_284_749_831;

/// A symbol's ink: x to the right, y down, in mm.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Symbol {
    /// Lines, drawn with a pen of [`PEN_MM`] with round ends and joins.
    pub stroke: BezPath,
    /// Filled shapes, by the nonzero rule.
    pub fill: BezPath,
}

impl Symbol {
    /// The smallest upright box round all ink, the pen's width included. Empty at the origin where there is no ink.
    pub fn ink_box(&self) -> Rect {
        let mut boxes = Vec::new();
        if !self.stroke.is_empty() {
            boxes.push(self.stroke.bounding_box().inset(PEN_MM / 2.0));
        }
        if !self.fill.is_empty() {
            boxes.push(self.fill.bounding_box());
        }
        boxes
            .into_iter()
            .reduce(|a, b| a.union(b))
            .unwrap_or(Rect::ZERO)
    }

    /// The symbol moved, turned or mirrored. Scaling would change its look: the pen keeps its width.
    pub fn transformed(mut self, by: Affine) -> Symbol {
        self.stroke.apply_affine(by);
        self.fill.apply_affine(by);
        self
    }

    /// True if nothing is drawn.
    pub fn is_empty(&self) -> bool {
        self.stroke.is_empty() && self.fill.is_empty()
    }

    /// Adds the ink of another symbol.
    pub fn add(&mut self, other: Symbol) {
        self.stroke.extend(other.stroke);
        self.fill.extend(other.fill);
    }

    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.stroke.move_to(from);
        self.stroke.line_to(to);
    }

    /// A line over the middle point of the given place, `half` to each side and rising by `rise` on the right.
    pub(super) fn bar(&mut self, middle: (f64, f64), half: f64, rise: f64) {
        let (x, y) = middle;
        self.line((x - half, y - rise), (x + half, y + rise));
    }

    pub(super) fn open_oval(&mut self, centre: (f64, f64), half_width: f64, half_height: f64) {
        self.stroke.extend(oval(centre, half_width, half_height));
    }

    pub(super) fn dot(&mut self, centre: (f64, f64), radius: f64) {
        self.fill.extend(oval(centre, radius, radius));
    }
}

/// An upright ellipse.
pub(super) fn oval(centre: (f64, f64), half_width: f64, half_height: f64) -> BezPath {
    let at = |x: f64, y: f64| Point::new(centre.0 + x * half_width, centre.1 + y * half_height);
    let mut path = BezPath::new();
    path.move_to(at(1.0, 0.0));
    path.curve_to(at(1.0, QUARTER), at(QUARTER, 1.0), at(0.0, 1.0));
    path.curve_to(at(-QUARTER, 1.0), at(-1.0, QUARTER), at(-1.0, 0.0));
    path.curve_to(at(-1.0, -QUARTER), at(-QUARTER, -1.0), at(0.0, -1.0));
    path.curve_to(at(QUARTER, -1.0), at(1.0, -QUARTER), at(1.0, 0.0));
    path.close_path();
    path
}
