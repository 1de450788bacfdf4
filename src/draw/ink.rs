//! Symbols and words as SVG elements.

use kurbo::{Affine, BezPath, Point};
use svg::node::element::{Group, Path};

use super::number::{number, svg_path};
use super::theme::{Rgb, hex};
use crate::symbol::Symbol;
use crate::text::{self, Weight};

/// A symbol in one colour, drawn with a pen of a width in mm.
pub fn symbol(symbol: &Symbol, colour: Rgb, pen_mm: f64) -> Group {
    let mut group = Group::new();
    if !symbol.stroke.is_empty() {
        group = group.add(
            Path::new()
                .set("d", svg_path(&symbol.stroke))
                .set("fill", "none")
                .set("stroke", hex(colour))
                .set("stroke-width", number(pen_mm))
                .set("stroke-linecap", "round")
                .set("stroke-linejoin", "round"),
        );
    }
    if !symbol.fill.is_empty() {
        group = group.add(
            Path::new()
                .set("d", svg_path(&symbol.fill))
                .set("fill", hex(colour)),
        );
    }
    group
}

/// Words as an outline, their baseline starting at `at`; `size_mm` is the font's em.
pub fn words(words: &str, at: Point, size_mm: f64, weight: Weight, colour: Rgb) -> Path {
    Path::new()
        .set("d", svg_path(&outline(words, at, size_mm, weight)))
        .set("fill", hex(colour))
}

/// The outline of [`words`].
pub fn outline(words: &str, at: Point, size_mm: f64, weight: Weight) -> BezPath {
    let mut outline = text::outline(words, size_mm, weight);
    outline.apply_affine(Affine::translate(at.to_vec2()));
    outline
}
