use kurbo::{BezPath, Rect, Shape, Vec2};
use ttf_parser::{Face, GlyphId, OutlineBuilder};

use super::letters::{Font, Letter};

/// The width of a line of words in font units.
pub(super) fn width(font: &Font, words: &str) -> f64 {
    set(font, words, |_, _| ())
}

/// The outline of a line of words in font units, y up.
pub(super) fn outline(font: &Font, words: &str) -> BezPath {
    let mut pen = Pen::default();
    set(font, words, |letter, x| {
        pen.x = x;
        match letter {
            Some(letter) => {
                font.face.outline_glyph(letter.glyph, &mut pen);
            }
            None => StandIn::new(&font.face).draw(&mut pen),
        }
    });
    pen.path
}

/// The box of the ink of a line of words in font units, y up; `None` if there is no ink.
pub(super) fn ink_box(font: &Font, words: &str) -> Option<Rect> {
    let mut all: Option<Rect> = None;
    set(font, words, |letter, x| {
        let ink = match letter {
            Some(letter) => font.ink_box(letter),
            None => {
                let mut pen = Pen::default();
                StandIn::new(&font.face).draw(&mut pen);
                inked(&pen.path)
            }
        };
        if let Some(ink) = ink {
            let ink = ink + Vec2::new(x, 0.0);
            all = Some(all.map_or(ink, |all| all.union(ink)));
        }
    });
    all
}

/// The box of the ink of one glyph, its own pen at 0.
pub(super) fn glyph_box(face: &Face, glyph: GlyphId) -> Option<Rect> {
    let mut pen = Pen::default();
    face.outline_glyph(glyph, &mut pen);
    inked(&pen.path)
}

fn inked(path: &BezPath) -> Option<Rect> {
    (!path.is_empty()).then(|| path.bounding_box())
}

/// Sets letters side by side, telling each (none for a character that the font lacks) and its x in font units; returns where the line ends.
fn set(font: &Font, words: &str, mut put: impl FnMut(Option<Letter>, f64)) -> f64 {
    let mut x = 0.0;
    let mut before = None;
    for character in words.chars().filter_map(printed) {
        let letter = font.letter(character);
        if let (Some(left), Some(right)) = (before, letter) {
            x += font.kerning(left, right);
        }
        put(letter, x);
        x += match letter {
            Some(letter) => letter.advance,
            None => StandIn::new(&font.face).advance(),
        };
        before = letter;
    }
    x
}

/// The character to draw: white space is a space, and what has no shape of its own is left out.
pub(super) fn printed(character: char) -> Option<char> {
    let formats = matches!(character,
        '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
        | '\u{e0000}'..='\u{e0fff}');
    // U+FFFE and its kind are no characters, and XML can't hold them.
    let no_character = u32::from(character) & 0xfffe == 0xfffe;
    if character.is_whitespace() {
        Some(' ')
    } else if character.is_control() || formats || no_character {
        None
    } else {
        Some(character)
    }
}

/// Height of capitals in font units.
pub(super) fn cap_height(face: &Face) -> f64 {
    f64::from(face.capital_height().unwrap_or(face.ascender()))
}

/// The empty box in place of a character that the font lacks: as tall as a capital, two thirds as wide.
struct StandIn {
    height: f64,
}

impl StandIn {
    fn new(face: &Face) -> StandIn {
        StandIn {
            height: cap_height(face),
        }
    }

    fn side(&self) -> f64 {
        self.height * 0.12
    }

    fn advance(&self) -> f64 {
        self.height * 2.0 / 3.0 + 2.0 * self.side()
    }

    fn draw(&self, pen: &mut Pen) {
        let wall = self.height * 0.1;
        let (left, right) = (self.side(), self.advance() - self.side());
        let (inner_left, inner_right) = (left + wall, right - wall);
        let (bottom, top) = (wall, self.height - wall);
        pen.polygon([
            (left, 0.0),
            (left, self.height),
            (right, self.height),
            (right, 0.0),
        ]);
        // The other way round, so that the nonzero rule leaves it empty.
        pen.polygon([
            (inner_left, bottom),
            (inner_right, bottom),
            (inner_right, top),
            (inner_left, top),
        ]);
    }
}

/// Collects outlines in font units, each glyph moved to its place.
#[derive(Default)]
struct Pen {
    path: BezPath,
    x: f64,
}

impl Pen {
    fn at(&self, x: f64, y: f64) -> (f64, f64) {
        (self.x + x, y)
    }

    fn polygon(&mut self, corners: [(f64, f64); 4]) {
        let [first, rest @ ..] = corners.map(|(x, y)| self.at(x, y));
        self.path.move_to(first);
        for corner in rest {
            self.path.line_to(corner);
        }
        self.path.close_path();
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.at(x.into(), y.into()));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.at(x.into(), y.into()));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.path
            .quad_to(self.at(x1.into(), y1.into()), self.at(x.into(), y.into()));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.path.curve_to(
            self.at(x1.into(), y1.into()),
            self.at(x2.into(), y2.into()),
            self.at(x.into(), y.into()),
        );
    }

    fn close(&mut self) {
        self.path.close_path();
    }
}
