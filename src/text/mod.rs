//! Words as outlines, from the fonts in `fonts/`, so that a chart looks the same everywhere and needs no
//! font where it is shown.
//!
//! ```
//! use roundwright::text::{extents, outline, pt, Weight};
//! use kurbo::Shape;
//!
//! let path = outline("Rnd 3 (18)", pt(9.0), Weight::Regular);
//! let room = extents("Rnd 3 (18)", pt(9.0), Weight::Regular);
//! assert!(path.bounding_box().width() <= room.width_mm);
//! ```

mod face;
mod glyph;

pub use face::Weight;

use kurbo::{Affine, BezPath};

/// Millimetres of a length in points (72 to the inch).
pub const fn pt(points: f64) -> f64 {
    points * 25.4 / 72.0
}

/// The room that a line of words takes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Extents {
    /// How far the pen moves, in mm.
    pub width_mm: f64,
    /// From the baseline up to the top of the line, accents included, in mm.
    pub ascent_mm: f64,
    /// From the baseline down to the bottom of the line, in mm.
    pub descent_mm: f64,
    /// From the baseline up to the top of capitals and figures, in mm.
    pub cap_mm: f64,
}

/// The room for `words` on one line at a size in mm (the font's em). Nothing for a size that is not a
/// positive number.
pub fn extents(words: &str, size_mm: f64, weight: Weight) -> Extents {
    if !usable(size_mm) {
        return Extents::default();
    }
    face::with(weight, |face| {
        let scale = size_mm / f64::from(face.units_per_em());
        Extents {
            width_mm: glyph::Line::new(face, words).width() * scale,
            ascent_mm: f64::from(face.ascender()) * scale,
            descent_mm: f64::from(-face.descender()) * scale,
            cap_mm: glyph::cap_height(face) * scale,
        }
    })
}

/// The outline of `words` on one line at a size in mm, to be filled by the nonzero rule: the baseline
/// starts at the origin, x to the right and y down, in mm.
///
/// White space of any kind is a space; other control and format characters are dropped; a character that
/// the font lacks is drawn as an empty box. Empty for a size that is not a positive number.
pub fn outline(words: &str, size_mm: f64, weight: Weight) -> BezPath {
    if !usable(size_mm) {
        return BezPath::new();
    }
    face::with(weight, |face| {
        let scale = size_mm / f64::from(face.units_per_em());
        let mut path = glyph::Line::new(face, words).outline();
        path.apply_affine(Affine::scale_non_uniform(scale, -scale));
        path
    })
}

fn usable(size_mm: f64) -> bool {
    size_mm.is_finite() && size_mm > 0.0
}
