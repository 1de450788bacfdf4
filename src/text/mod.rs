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
mod letters;

pub use face::Weight;

use kurbo::{Affine, BezPath, Rect};

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
    face::with(weight, |font| {
        let face = &font.face;
        let scale = size_mm / f64::from(face.units_per_em());
        Extents {
            width_mm: glyph::width(font, words) * scale,
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
    face::with(weight, |font| {
        let scale = size_mm / f64::from(font.face.units_per_em());
        let mut path = glyph::outline(font, words);
        path.apply_affine(Affine::scale_non_uniform(scale, -scale));
        path
    })
}

/// The box of the ink of [`outline`], in mm; empty at the origin if there is none.
pub fn ink_box(words: &str, size_mm: f64, weight: Weight) -> Rect {
    if !usable(size_mm) {
        return Rect::ZERO;
    }
    face::with(weight, |font| {
        let scale = size_mm / f64::from(font.face.units_per_em());
        let ink = glyph::ink_box(font, words).unwrap_or_default();
        Rect::new(ink.x0, -ink.y1, ink.x1, -ink.y0).scale_from_origin(scale)
    })
}

/// The words as they are drawn: white space of any kind as spaces, without control and format characters.
/// For titles and descriptions, so that what is heard is what is seen.
pub fn printable(words: &str) -> String {
    words.chars().filter_map(glyph::printed).collect()
}

/// What stands in text for a character that the fonts lack.
pub const STAND_IN: char = '?';

/// The words as text that the fonts can show: [`printable`], with [`STAND_IN`] for each character that they lack.
pub fn in_our_letters(words: &str) -> String {
    let shown = |character: char| match face::with(Weight::Regular, |font| {
        font.letter(character).is_some()
    }) {
        true => character,
        false => STAND_IN,
    };
    words
        .chars()
        .filter_map(glyph::printed)
        .map(shown)
        .collect()
}

/// How many characters of some words the fonts lack.
pub fn lacking(words: &str) -> usize {
    let lacks =
        |character: &char| face::with(Weight::Regular, |font| font.letter(*character).is_none());
    words
        .chars()
        .filter_map(glyph::printed)
        .filter(lacks)
        .count()
}

/// The files of the fonts, regular and bold: for documents that hold text as text.
pub fn font_files() -> [&'static [u8]; 2] {
    face::FILES
}

/// The words if they fit a width in mm, else as many characters as fit with an ellipsis after them.
pub fn fitted(words: &str, size_mm: f64, weight: Weight, width_mm: f64) -> String {
    let fits = |words: &str| extents(words, size_mm, weight).width_mm <= width_mm;
    let words = printable(words);
    if fits(&words) {
        return words;
    }
    let ends: Vec<usize> = words.char_indices().map(|(at, _)| at).collect();
    let shortened = |end: usize| format!("{}…", words[..end].trim_end());
    let fitting = ends.partition_point(|&end| fits(&shortened(end)));
    shortened(fitting.checked_sub(1).map_or(0, |last| ends[last]))
}

fn usable(size_mm: f64) -> bool {
    size_mm.is_finite() && size_mm > 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape;

    const WEIGHTS: [Weight; 2] = [Weight::Regular, Weight::Bold];

    /// Advances of the web fonts that ours are made from, as fonttools reads them: 1000 units to the em.
    #[test]
    fn words_are_as_wide_as_their_letters_in_the_font() {
        for (weight, h, n) in [
            (Weight::Regular, 694.0, 550.0),
            (Weight::Bold, 701.0, 571.0),
        ] {
            let width = extents("Hn", 1000.0, weight).width_mm;
            assert!((width - (h + n)).abs() < 1e-9, "{weight:?}: {width}");
        }
    }

    #[test]
    fn figures_are_tabular_and_letters_kerned() {
        for weight in WEIGHTS {
            let width = |words: &str| extents(words, 10.0, weight).width_mm;
            for figure in '0'..='9' {
                assert_eq!(width(&figure.to_string()), width("8"), "{figure}");
            }
            assert_eq!(width("1111"), 4.0 * width("8"));
            assert!(width("To") < width("T") + width("o") - 0.3);
        }
    }

    #[test]
    fn the_fonts_have_every_character_that_charts_need() {
        let signs = "×–—’‘“”·→←½éüß°≥≤−…±ÄÖÜàçèêñøåæœłřž";
        let latin = (' '..='~').chain(signs.chars());
        for weight in WEIGHTS {
            for character in latin.clone() {
                let has = face::with(weight, |font| font.letter(character).is_some());
                assert!(has, "{character:?} in {weight:?}");
            }
        }
    }

    #[test]
    fn outlines_stand_on_the_baseline_in_millimetres() {
        for weight in WEIGHTS {
            let room = extents("Hx", 10.0, weight);
            let ink = outline("Hx", 10.0, weight).bounding_box();
            assert!((ink.y0 + room.cap_mm).abs() < 1e-6, "{ink:?}");
            assert!(ink.y1.abs() < 1e-6);
            assert!(ink.x0 >= 0.0 && ink.x1 <= room.width_mm);
            let descender = outline("g", 10.0, weight).bounding_box().y1;
            assert!(descender > 1.0 && descender <= room.descent_mm);
        }
    }

    #[test]
    fn the_box_of_the_ink_is_that_of_the_outline() {
        for words in ["Rnd 3 (18)", "AVA To", "1–9 é", "貝 a", " ", ""] {
            for weight in WEIGHTS {
                let outline = outline(words, 2.6, weight).bounding_box();
                let ink = ink_box(words, 2.6, weight);
                let off = [
                    ink.x0 - outline.x0,
                    ink.y0 - outline.y0,
                    ink.x1 - outline.x1,
                    ink.y1 - outline.y1,
                ];
                assert!(off.iter().all(|off| off.abs() < 1e-9), "{words}: {off:?}");
            }
        }
    }

    #[test]
    fn a_character_that_the_font_lacks_is_an_empty_box() {
        let stand_in = outline("貝", 10.0, Weight::Regular);
        assert_eq!(stand_in, outline("🦀", 10.0, Weight::Regular));
        let ink = stand_in.bounding_box();
        assert_eq!(stand_in.winding(ink.center()), 0, "it is empty inside");
        assert_ne!(stand_in.winding((ink.x0 + 0.1, ink.center().y).into()), 0);
    }

    #[test]
    fn what_has_no_shape_is_dropped_and_white_space_is_a_space() {
        let shape = |words| outline(words, 3.0, Weight::Regular);
        assert_eq!(shape("a\u{0}\u{1b}\u{202e}\u{ffff}b"), shape("ab"));
        assert_eq!(shape("a\tb\u{a0}c"), shape("a b c"));
        assert_eq!(printable("a\u{7}\n<b>\u{feff}"), "a <b>");
    }

    #[test]
    fn characters_that_the_fonts_lack_have_a_stand_in() {
        assert_eq!(in_our_letters("é 貝🦀 – a\tb"), "é ?? – a b");
        assert_eq!((lacking("é 貝🦀"), lacking("a\u{200f}")), (2, 0));
    }

    #[test]
    fn a_size_that_is_no_size_gives_nothing() {
        for size in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(extents("a", size, Weight::Bold), Extents::default());
            assert!(outline("a", size, Weight::Bold).is_empty());
        }
    }

    #[test]
    fn words_too_wide_end_in_an_ellipsis() {
        let fit = |words: &str, width| fitted(words, 3.0, Weight::Regular, width);
        assert_eq!(fit("herring", 100.0), "herring");
        let short = fit("a silver herring to hold", 20.0);
        assert!(
            short.starts_with("a silver") && short.ends_with('…'),
            "{short}"
        );
        assert!(extents(&short, 3.0, Weight::Regular).width_mm <= 20.0);
        assert_eq!(fit("herring", 0.0), "…");
        assert_eq!(fit("", 0.0), "");
    }

    /// A point is 1/72 inch and an inch 25.4 mm, by definition.
    #[test]
    fn seventy_two_points_are_an_inch() {
        assert!((pt(72.0) - 25.4).abs() < 1e-12);
    }
}
