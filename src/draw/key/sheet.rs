use kurbo::{Affine, Point, Rect, Size, Vec2};
use svg::node::element::{Description, Group, Line, Rectangle, Title};
use svg::{Document, Node};

use super::{Key, KeyEntry, KeyMark};
use crate::draw::ink;
use crate::draw::number::number;
use crate::draw::theme::{self, Rgb};
use crate::fabric::Yarn;
use crate::symbol::{self, STITCH_WIDTH_MM, Symbol};
use crate::terms::{Form, Hand, Into, Stitch};
use crate::text::{self, Weight, pt};

/// Columns, their width and the paper between them, in mm.
const COLUMNS: usize = 2;
const COLUMN: f64 = 70.0;
const GUTTER: f64 = 6.0;
/// Where the words of a cell begin, in mm from its left; what is drawn stands in the middle of the rest.
const WORDS_AT: f64 = 18.0;
/// Least height of a row, and the paper round what is drawn in it, in mm.
const LEAST_ROW: f64 = 9.8;
const AIR: f64 = 3.2;
/// Height of a heading with its paper, in mm.
const HEADING: f64 = 11.0;
/// From line to line of a cell's words, in mm.
const LINE: f64 = 4.2;
/// A yarn's swatch, and the width of the strip in its own colour, in mm.
const SWATCH: Size = Size::new(12.0, 6.5);
const STRIP: f64 = 3.5;
/// Legs and heads drawn at most: more would not fit a cell.
const MOST_LEGS: u8 = 4;

const WIDTH: f64 = 2.0 * theme::MARGIN_MM + COLUMNS as f64 * COLUMN + (COLUMNS - 1) as f64 * GUTTER;

/// The key as an SVG document, in mm.
pub fn key_svg(key: &Key) -> String {
    let stitches = key.entries.iter().map(|&entry| stitch_cell(entry, key));
    let yarns = key.yarns.iter().map(yarn_cell);
    let marks = key.marks.iter().map(|&mark| mark_cell(mark, key.hand));
    let mut sheet = Sheet::new(key);
    sheet.section("Stitches", stitches.collect());
    sheet.section("Yarns", yarns.collect());
    sheet.section("Marks", marks.collect());
    sheet.document(key).to_string()
}

/// What stands in one place of the key.
struct Cell {
    /// Drawn about the origin.
    picture: Picture,
    /// The first line of its words, bold; may be empty.
    short: String,
    /// The second.
    long: String,
}

enum Picture {
    Symbol(Symbol, Rgb),
    Swatch(Yarn),
}

impl Picture {
    fn height(&self) -> f64 {
        match self {
            Picture::Symbol(symbol, _) => symbol.ink_box().height(),
            Picture::Swatch(_) => SWATCH.height,
        }
    }
}

fn stitch_cell(entry: KeyEntry, key: &Key) -> Cell {
    let drawn = match entry {
        KeyEntry::Ring => symbol::magic_ring(Point::ORIGIN, 1.5),
        KeyEntry::Picot => symbol::picot_loop(Point::ORIGIN, UP, 3),
        KeyEntry::Stitch { kind, into, count } => sample(kind, into, count),
    };
    Cell {
        picture: Picture::Symbol(for_hand(drawn, key.hand), theme::INK),
        short: entry.abbreviation(key.terms),
        long: entry.name(key.terms),
    }
}

fn yarn_cell(yarn: &Yarn) -> Cell {
    Cell {
        picture: Picture::Swatch(yarn.clone()),
        short: format!("yarn {}", yarn.letter),
        long: yarn.name.clone(),
    }
}

fn mark_cell(mark: KeyMark, hand: Hand) -> Cell {
    let (drawn, colour) = match mark {
        KeyMark::Start => (symbol::start_arrow(Point::ORIGIN, LEFT, 6.0), theme::ACCENT),
        KeyMark::Join => (joined(), theme::ACCENT),
        KeyMark::YarnChange => (symbol::yarn_change(Point::ORIGIN, UP), theme::ACCENT),
        KeyMark::JoinYarn => (symbol::join_yarn(Point::ORIGIN, UP), theme::ACCENT),
        KeyMark::FastenOff => (symbol::fasten_off(Point::ORIGIN, UP), theme::ACCENT),
        KeyMark::Marker => (symbol::marker(Point::ORIGIN, UP), theme::ACCENT),
    };
    Cell {
        picture: Picture::Symbol(for_hand(drawn, hand), colour),
        short: String::new(),
        long: mark.meaning().to_owned(),
    }
}

const UP: Vec2 = Vec2::new(0.0, -1.0);
const LEFT: Vec2 = Vec2::new(-1.0, 0.0);

/// A stitch as it stands in a chart; several of them fanned out from one foot.
fn sample(kind: Stitch, into: Into, count: u8) -> Symbol {
    let height = symbol::height_mm(kind);
    let spread = |place: u8, of: u8| (f64::from(place) - f64::from(of - 1) / 2.0) * STITCH_WIDTH_MM;
    if let Form::Together(legs) = kind.form {
        let legs = legs.clamp(1, MOST_LEGS);
        let feet: Vec<Point> = (0..legs)
            .map(|leg| Point::new(spread(leg, legs), height))
            .collect();
        return symbol::stitch(kind, into, &feet, Point::ORIGIN);
    }
    let heads = count.clamp(1, MOST_LEGS);
    let foot = Point::new(0.0, height);
    let mut drawn = symbol::loop_arc(into, foot, UP);
    for place in 0..heads {
        let head = Point::new(spread(place, heads), 0.0);
        drawn.add(symbol::sibling(kind, into, &[foot], head));
    }
    drawn
}

/// A short stretch of the line along joined stitches.
fn joined() -> Symbol {
    let mut drawn = Symbol::default();
    drawn.stroke.move_to((-4.0, 0.0));
    drawn.stroke.line_to((4.0, 0.0));
    drawn
}

fn for_hand(drawn: Symbol, hand: Hand) -> Symbol {
    match hand {
        Hand::Right => drawn,
        Hand::Left => drawn.transformed(Affine::FLIP_X),
    }
}

/// The sheet as it grows downwards.
struct Sheet {
    drawn: Group,
    /// How far down it is filled, in mm.
    bottom: f64,
    /// What its sections say in words.
    says: Vec<String>,
}

impl Sheet {
    fn new(key: &Key) -> Sheet {
        let mut sheet = Sheet {
            drawn: Group::new(),
            bottom: theme::MARGIN_MM,
            says: Vec::new(),
        };
        let size = pt(theme::TITLE_PT);
        let title = text::fitted(
            &title(key),
            size,
            Weight::Bold,
            WIDTH - 2.0 * theme::MARGIN_MM,
        );
        sheet.bottom += text::extents(&title, size, Weight::Bold).cap_mm;
        sheet.words(
            &title,
            theme::MARGIN_MM,
            sheet.bottom,
            size,
            Weight::Bold,
            theme::INK,
        );
        sheet.bottom += 5.0;
        sheet.words(
            &subtitle(key),
            theme::MARGIN_MM,
            sheet.bottom,
            pt(theme::TEXT_PT),
            Weight::Regular,
            theme::QUIET,
        );
        sheet
    }

    /// A heading with its cells, row by row; nothing without cells.
    fn section(&mut self, heading: &str, cells: Vec<Cell>) {
        if cells.is_empty() {
            return;
        }
        let told: Vec<String> = cells.iter().map(Cell::told).collect();
        self.says.push(format!("{heading}: {}.", told.join("; ")));
        self.bottom += HEADING;
        let (left, size) = (theme::MARGIN_MM, pt(theme::HEADING_PT));
        self.words(heading, left, self.bottom, size, Weight::Bold, theme::INK);
        self.bottom += 2.0;
        self.rule();
        self.bottom += 1.0;
        for row in cells.chunks(COLUMNS) {
            let tallest = row.iter().map(|cell| cell.picture.height());
            let height = tallest.fold(LEAST_ROW, |height, ink| height.max(ink + AIR));
            for (column, cell) in row.iter().enumerate() {
                let left = theme::MARGIN_MM + column as f64 * (COLUMN + GUTTER);
                self.cell(cell, Point::new(left, self.bottom + height / 2.0));
            }
            self.bottom += height;
        }
    }

    /// A cell about the middle of its left side.
    fn cell(&mut self, cell: &Cell, middle: Point) {
        let mut group = Group::new().add(Title::new(cell.told()));
        group = group.add(
            cell.picture
                .at(middle + Vec2::new(WORDS_AT / 2.0 - 1.0, 0.0)),
        );
        let lines = [
            (&cell.short, pt(theme::TEXT_PT), Weight::Bold, theme::INK),
            (&cell.long, pt(theme::TEXT_PT), Weight::Regular, theme::INK),
        ];
        let lines = lines.into_iter().filter(|(words, ..)| !words.is_empty());
        let count = lines.clone().count();
        for (line, (words, size, weight, colour)) in lines.enumerate() {
            let words = text::fitted(words, size, weight, COLUMN - WORDS_AT);
            let above = (count - 1) as f64 / 2.0 - line as f64;
            let down = text::extents(&words, size, weight).cap_mm / 2.0 - above * LINE;
            let at = middle + Vec2::new(WORDS_AT, down);
            group = group.add(ink::words(&words, at, size, weight, colour));
        }
        self.add(group);
    }

    fn words(&mut self, words: &str, x: f64, y: f64, size: f64, weight: Weight, colour: Rgb) {
        self.add(ink::words(words, Point::new(x, y), size, weight, colour));
    }

    fn rule(&mut self) {
        let line = Line::new()
            .set("x1", number(theme::MARGIN_MM))
            .set("x2", number(WIDTH - theme::MARGIN_MM))
            .set("y1", number(self.bottom))
            .set("y2", number(self.bottom))
            .set("stroke", theme::hex(theme::RULE))
            .set("stroke-width", number(theme::THIN_MM));
        self.add(line);
    }

    fn add(&mut self, node: impl Node) {
        self.drawn.append(node);
    }

    fn document(self, key: &Key) -> Document {
        let height = self.bottom + theme::MARGIN_MM;
        let paper = Rectangle::new()
            .set("width", number(WIDTH))
            .set("height", number(height))
            .set("fill", theme::hex(theme::PAPER));
        Document::new()
            .set("width", format!("{}mm", number(WIDTH)))
            .set("height", format!("{}mm", number(height)))
            .set(
                "viewBox",
                format!("0 0 {} {}", number(WIDTH), number(height)),
            )
            .set("role", "img")
            .add(Title::new(title(key)))
            .add(Description::new().add(svg::node::Text::new(self.says.join(" "))))
            .add(paper)
            .add(self.drawn)
    }
}

impl Cell {
    /// What the cell says to those who hear it.
    fn told(&self) -> String {
        let parts = [&self.short, &self.long].map(|words| text::printable(words));
        let [short, long] = &parts;
        match (short.is_empty(), long.is_empty()) {
            (false, false) => format!("{short}, {long}"),
            _ => parts.concat(),
        }
    }
}

impl Picture {
    /// The picture with the middle of its ink at a point.
    fn at(&self, middle: Point) -> Group {
        match self {
            Picture::Symbol(symbol, colour) => {
                let way = middle - symbol.ink_box().center();
                ink::symbol(&symbol.clone().transformed(Affine::translate(way)), *colour)
            }
            Picture::Swatch(yarn) => swatch(yarn, middle),
        }
    }
}

/// The bed as it lies under the stitches of a yarn, its letter on it, with a strip of the yarn's own colour.
fn swatch(yarn: &Yarn, middle: Point) -> Group {
    let whole = Rect::from_center_size(middle, SWATCH);
    let own = yarn.colour.unwrap_or(theme::PAPER);
    let strip = Rect::new(whole.x0, whole.y0, whole.x0 + STRIP, whole.y1);
    let size = pt(theme::TEXT_PT);
    let letter = text::fitted(&yarn.letter, size, Weight::Bold, SWATCH.width - STRIP - 1.0);
    let room = text::extents(&letter, size, Weight::Bold);
    let bed = Rect::new(strip.x1, whole.y0, whole.x1, whole.y1);
    let at = bed.center() + Vec2::new(-room.width_mm / 2.0, room.cap_mm / 2.0);
    Group::new()
        .add(rectangle(bed).set("fill", theme::hex(theme::bed(own))))
        .add(rectangle(strip).set("fill", theme::hex(own)))
        .add(
            rectangle(whole)
                .set("fill", "none")
                .set("stroke", theme::hex(theme::RULE))
                .set("stroke-width", number(theme::THIN_MM)),
        )
        .add(ink::words(&letter, at, size, Weight::Bold, theme::INK))
}

fn rectangle(rect: Rect) -> Rectangle {
    Rectangle::new()
        .set("x", number(rect.x0))
        .set("y", number(rect.y0))
        .set("width", number(rect.width()))
        .set("height", number(rect.height()))
}

fn title(key: &Key) -> String {
    match text::printable(&key.title) {
        title if title.trim().is_empty() => "Key to the charts".to_owned(),
        title => format!("{title} – key"),
    }
}

fn subtitle(key: &Key) -> String {
    let hand = match key.hand {
        Hand::Right => "right-handed",
        Hand::Left => "left-handed",
    };
    format!("{} terms, {hand}", key.terms.name())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terms::{Height, Terms};

    fn parsed(key: &Key) -> usvg::Tree {
        usvg::Tree::from_str(&key_svg(key), &usvg::Options::default())
            .expect("the key is sound SVG")
    }

    fn plain(height: Height) -> KeyEntry {
        KeyEntry::Stitch {
            kind: Stitch::plain(height),
            into: Into::Stitch,
            count: 1,
        }
    }

    #[test]
    fn the_sheet_grows_with_what_it_lists_and_nothing_leaves_it() {
        let mut key = Key::default();
        let empty = parsed(&key).size();
        key.entries = Height::ALL.map(plain).to_vec();
        let tree = parsed(&key);
        assert!(tree.size().height() > empty.height() + 100.0);
        let ink = tree.root().abs_bounding_box();
        assert!(ink.right() <= tree.size().width() && ink.bottom() <= tree.size().height());
    }

    #[test]
    fn every_entry_is_told_in_words() {
        let key = Key {
            terms: Terms::Uk,
            entries: vec![KeyEntry::Ring, plain(Height::HalfDouble)],
            marks: vec![KeyMark::FastenOff],
            ..Key::default()
        };
        let svg = key_svg(&key);
        for words in [
            "<title>MR, magic ring</title>",
            "<title>htr, half treble</title>",
            "<title>fasten off</title>",
            "Stitches: MR, magic ring; htr, half treble.",
            "Marks: fasten off.",
        ] {
            assert!(svg.contains(words), "{words} in {svg}");
        }
        assert!(!svg.contains("Yarns"));
    }

    #[test]
    fn words_of_a_pattern_are_never_markup() {
        let hostile = "</title><script>\"'&\u{0}\u{7}\u{ffff}]]>".repeat(50);
        let key = Key {
            title: hostile.clone(),
            yarns: vec![Yarn {
                letter: hostile.clone(),
                name: hostile,
                colour: Some([0, 0, 0]),
            }],
            ..Key::default()
        };
        let svg = key_svg(&key);
        assert!(!svg.contains("<script"));
        assert!(svg.chars().all(|c| c == '\n' || !c.is_control()));
        parsed(&key);
    }

    #[test]
    fn a_left_handers_key_is_the_mirror_image() {
        let hook = |hand| {
            let drawn = sample(Stitch::plain(Height::Slip), Into::FrontPost, 1);
            for_hand(drawn, hand).ink_box()
        };
        let (right, left) = (hook(Hand::Right), hook(Hand::Left));
        assert!((right.x0 + left.x1).abs() < 1e-9 && (right.x1 + left.x0).abs() < 1e-9);
        assert!((right.x0 + right.x1).abs() > 0.1, "the hook is on one side");
    }

    #[test]
    fn samples_stay_clear_of_the_words() {
        for count in [1, 2, 3, 255] {
            for height in Height::ALL {
                let drawn = sample(Stitch::plain(height), Into::BackLoop, count);
                assert!(
                    drawn.ink_box().width() < WORDS_AT - 1.0,
                    "{count} {height:?}"
                );
                let drawn = sample(Stitch::together(height, count), Into::BackLoop, 1);
                assert!(
                    drawn.ink_box().width() < WORDS_AT - 1.0,
                    "{count} {height:?}"
                );
            }
        }
    }
}
