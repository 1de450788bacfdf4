//! A toy or piece by itself, seen as it is best known, without words or measures: for titles and covers.

use crate::draw::blank;
use crate::fabric::Fabric;
use crate::shape::Shapes;
use crate::toy::Toy;

use super::figure::Figure;
use super::scene::{View, scene};

/// Something lower than this is drawn no larger than that, in mm to the cm: a small thing stays a small thing.
const LARGEST: f64 = 12.0;
/// Something lower than this share of its width is best known from above.
const FLAT: f64 = 0.4;

/// A toy from the front, or from above where it lies flat, as large as it can be within a width and a height in mm, as an SVG document in mm
/// with no paper under it.
pub fn portrait_svg(fabric: &Fabric, shapes: &Shapes, toy: &Toy, room_mm: (f64, f64)) -> String {
    let size = toy.size(shapes);
    let view = match size.z < FLAT * size.x.min(size.y) {
        true => View::Top,
        false => View::Front,
    };
    let figure = Figure::new(scene(fabric, shapes, toy, view, false));
    let (wide, high) = (
        figure.bounds.width().max(0.01),
        figure.bounds.height().max(0.01),
    );
    // Lines at the edge are half outside of it.
    const EDGE_MM: f64 = 1.0;
    let scale = ((room_mm.0 - 2.0 * EDGE_MM) / wide)
        .min((room_mm.1 - 2.0 * EDGE_MM) / high)
        .min(LARGEST);
    let (width, height) = (wide * scale + 2.0 * EDGE_MM, high * scale + 2.0 * EDGE_MM);
    let document = blank(width, height, "The finished work")
        .set("fill", "none")
        .set("stroke-linecap", "round")
        .set("stroke-linejoin", "round")
        .add(figure.draw(EDGE_MM, height - EDGE_MM, scale, "front"));
    format!("{document}\n")
}
