use kurbo::Point;

use super::Symbol;
use super::axes::Axes;

/// A magic ring: a circle of a radius in mm with the yarn's loose end curled inside.
pub fn magic_ring(centre: Point, radius_mm: f64) -> Symbol {
    let radius = if radius_mm.is_finite() {
        radius_mm.max(0.0)
    } else {
        0.0
    };
    let mut drawn = Symbol::default();
    drawn.open_oval((0.0, 0.0), radius, radius);
    let at = |x: f64, y: f64| (x * radius, y * radius);
    drawn.stroke.move_to(at(-1.0, 0.0));
    drawn
        .stroke
        .curve_to(at(-1.0, -0.45), at(0.35, -0.75), at(0.35, 0.1));
    Axes::between(centre, centre).place(drawn)
}
