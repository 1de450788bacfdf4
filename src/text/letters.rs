//! The letters of a face, looked up once: every word of a chart is measured, most of them several times.

use std::sync::OnceLock;

use kurbo::Rect;
use ttf_parser::{Face, GlyphId};

use super::glyph;

/// The characters kept at hand: printable ASCII.
const FIRST: char = ' ';
/// See [`FIRST`].
const LAST: char = '~';
const COUNT: usize = LAST as usize - FIRST as usize + 1;

/// A face with its letters.
pub(super) struct Font {
    pub face: Face<'static>,
    /// Those of the characters kept at hand.
    letters: Vec<Option<Letter>>,
    /// For each of them, its kerning before every other, in font units; made when first asked for.
    kerning: [OnceLock<Vec<i16>>; COUNT],
    /// For each of them, the box of its ink; made when first asked for.
    ink: [OnceLock<Option<Rect>>; COUNT],
}

/// A character that the face has.
#[derive(Debug, Clone, Copy)]
pub(super) struct Letter {
    pub glyph: GlyphId,
    /// How far the pen moves, in font units.
    pub advance: f64,
    /// Its place among the characters kept at hand.
    at: Option<usize>,
}

impl Font {
    pub fn new(face: Face<'static>) -> Font {
        let letters = (FIRST..=LAST).enumerate();
        let letters = letters.map(|(at, character)| find(&face, character, Some(at)));
        Font {
            letters: letters.collect(),
            kerning: [const { OnceLock::new() }; COUNT],
            ink: [const { OnceLock::new() }; COUNT],
            face,
        }
    }

    /// The letter of a character; `None` if the face lacks it.
    pub fn letter(&self, character: char) -> Option<Letter> {
        match character {
            FIRST..=LAST => self.letters[character as usize - FIRST as usize],
            _ => find(&self.face, character, None),
        }
    }

    /// The box of a letter's ink in font units, y up, its own pen at 0; `None` for a letter without ink.
    pub fn ink_box(&self, letter: Letter) -> Option<Rect> {
        let find = || glyph::glyph_box(&self.face, letter.glyph);
        match letter.at {
            Some(at) => *self.ink[at].get_or_init(find),
            None => find(),
        }
    }

    /// How much farther apart two letters stand than their advances say, in font units.
    pub fn kerning(&self, left: Letter, right: Letter) -> f64 {
        let (Some(before), Some(after)) = (left.at, right.at) else {
            return f64::from(kerning(&self.face, left.glyph, right.glyph));
        };
        let row = self.kerning[before].get_or_init(|| {
            let other = |letter: &Option<Letter>| {
                letter.map_or(0, |right| kerning(&self.face, left.glyph, right.glyph))
            };
            self.letters.iter().map(other).collect()
        });
        f64::from(row[after])
    }
}

fn find(face: &Face, character: char, at: Option<usize>) -> Option<Letter> {
    let glyph = face.glyph_index(character)?;
    Some(Letter {
        glyph,
        advance: f64::from(face.glyph_hor_advance(glyph).unwrap_or(0)),
        at,
    })
}

fn kerning(face: &Face, left: GlyphId, right: GlyphId) -> i16 {
    let tables = face.tables().kern.into_iter();
    let value = tables
        .flat_map(|table| table.subtables)
        .find_map(|pairs| pairs.glyphs_kerning(left, right));
    value.unwrap_or(0)
}
