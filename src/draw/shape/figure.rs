//! One view as SVG, in mm on paper.

use kurbo::{Affine, Rect, Shape};
use svg::node::element::{Group, Path, Title};

use crate::draw::number::{number, svg_path};
use crate::draw::theme::hex;

use super::scene::Item;

/// A view ready for paper.
pub struct Figure {
    items: Vec<Item>,
    /// What it covers, in cm: x to the right, y up.
    pub bounds: Rect,
}

impl Figure {
    pub fn new(items: Vec<Item>) -> Figure {
        let boxes = items.iter().map(|item| item.path.bounding_box());
        let bounds = boxes.reduce(|one, other| one.union(other));
        Figure {
            items,
            bounds: bounds.unwrap_or(Rect::ZERO),
        }
    }

    /// Drawn with so many mm to the cm, the left end of its bounds at `x_mm`, and its lowest point at `floor_mm`.
    pub fn draw(&self, x_mm: f64, floor_mm: f64, mm_per_cm: f64, name: &str) -> Group {
        let place = Affine::translate((x_mm, floor_mm))
            * Affine::scale_non_uniform(mm_per_cm, -mm_per_cm)
            * Affine::translate((-self.bounds.x0, -self.bounds.y0));
        let mut group = Group::new()
            .set("role", "group")
            .set("aria-label", name)
            .add(Title::new(name));
        for item in &self.items {
            let mut path = Path::new().set("d", svg_path(&(place * &item.path)));
            if let Some(fill) = item.fill {
                path = path.set("fill", hex(fill));
            }
            if let Some((colour, width)) = item.stroke {
                let mm = if width < 0.0 {
                    -width
                } else {
                    width * mm_per_cm
                };
                path = path
                    .set("stroke", hex(colour))
                    .set("stroke-width", number(mm));
            }
            group = group.add(path);
        }
        group
    }
}
