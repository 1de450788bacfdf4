use kurbo::Point;

use super::Symbol;
use super::axes::Axes;

/// A magic ring: a small circle of a radius in mm.
pub fn magic_ring(centre: Point, radius_mm: f64) -> Symbol {
    let radius = if radius_mm.is_finite() {
        radius_mm.max(0.0)
    } else {
        0.0
    };
    let mut drawn = Symbol::default();
    drawn.open_oval((0.0, 0.0), radius, radius);
    Axes::between(centre, centre).place(drawn)
}
