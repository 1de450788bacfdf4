use kurbo::BezPath;
use ttf_parser::{Face, GlyphId, OutlineBuilder};

/// Glyphs set side by side in font units, y up.
pub(super) struct Line<'a> {
    face: &'a Face<'a>,
    glyphs: Vec<Placed>,
    width: f64,
}

struct Placed {
    /// None for a character that the font lacks.
    glyph: Option<GlyphId>,
    x: f64,
}

impl<'a> Line<'a> {
    pub fn new(face: &'a Face<'a>, words: &str) -> Line<'a> {
        let mut glyphs = Vec::with_capacity(words.len());
        let mut x = 0.0;
        let mut before = None;
        for character in words.chars().filter_map(printed) {
            let glyph = face.glyph_index(character);
            if let (Some(left), Some(right)) = (before, glyph) {
                x += kerning(face, left, right);
            }
            glyphs.push(Placed { glyph, x });
            x += match glyph {
                Some(glyph) => f64::from(face.glyph_hor_advance(glyph).unwrap_or(0)),
                None => StandIn::new(face).advance(),
            };
            before = glyph;
        }
        Line {
            face,
            glyphs,
            width: x,
        }
    }

    pub fn width(&self) -> f64 {
        self.width
    }

    pub fn outline(&self) -> BezPath {
        let mut pen = Pen {
            path: BezPath::new(),
            x: 0.0,
        };
        for placed in &self.glyphs {
            pen.x = placed.x;
            match placed.glyph {
                Some(glyph) => {
                    self.face.outline_glyph(glyph, &mut pen);
                }
                None => StandIn::new(self.face).draw(&mut pen),
            }
        }
        pen.path
    }
}

/// The character to draw: white space is a space, and what has no shape of its own is left out.
fn printed(character: char) -> Option<char> {
    let formats = matches!(character,
        '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}'
        | '\u{e0000}'..='\u{e0fff}');
    if character.is_whitespace() {
        Some(' ')
    } else if character.is_control() || formats {
        None
    } else {
        Some(character)
    }
}

/// Height of capitals in font units.
pub(super) fn cap_height(face: &Face) -> f64 {
    f64::from(face.capital_height().unwrap_or(face.ascender()))
}

fn kerning(face: &Face, left: GlyphId, right: GlyphId) -> f64 {
    let tables = face.tables().kern.into_iter();
    let value = tables
        .flat_map(|table| table.subtables)
        .find_map(|pairs| pairs.glyphs_kerning(left, right));
    f64::from(value.unwrap_or(0))
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
