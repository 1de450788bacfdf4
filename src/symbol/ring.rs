use std::f64::consts::TAU;

use kurbo::{Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// Radii of a ring of chains, in mm.
const LEAST_RADIUS: f64 = 2.0;
const MOST_RADIUS: f64 = 50.0;
/// Room that an oval needs on the ring, in mm.
const SHORTEST_PLACE: f64 = 2.2;
/// Radius of the dot that closes a ring of chains, in mm.
const DOT: f64 = 0.6;

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

/// A ring of chains: ovals end to end round a circle of a radius in mm, closed by the dot of a slip stitch at the bottom.
/// As many ovals are drawn as there are chains, from four up to what the circle holds.
pub fn chain_ring(centre: Point, radius_mm: f64, chains: u32) -> Symbol {
    let radius = if radius_mm.is_finite() {
        radius_mm.clamp(LEAST_RADIUS, MOST_RADIUS)
    } else {
        LEAST_RADIUS
    };
    let held = (radius * TAU / SHORTEST_PLACE) as u32;
    // The dot takes a place of its own.
    let places = (chains.max(4) + 1).min(held.max(5));
    let turn = TAU / f64::from(places);
    let axes = Axes::between(centre, centre);
    let centre = axes.paper(0.0, 0.0);
    let mut drawn = Symbol::default();
    for place in 0..places {
        let angle = turn * f64::from(place) + TAU / 4.0;
        let way = Vec2::new(libm::cos(angle), libm::sin(angle));
        let at = centre + way * radius;
        if place == 0 {
            drawn.dot((at.x, at.y), DOT);
        } else {
            let chord = 2.0 * radius * libm::sin(turn / 2.0);
            drawn.add(super::chain(at, Vec2::new(-way.y, way.x), chord));
        }
    }
    drawn
}
