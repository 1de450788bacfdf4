use kurbo::{Point, Vec2};
use svg::node::element::{Description, Group, Line, Rectangle, Title};
use svg::{Document, Node};

use super::picture::{self, Picture};
use super::sample::{UP, for_hand, sample};
use super::{Key, KeyEntry, KeyMark};
use crate::draw::number::number;
use crate::draw::theme::{self, Rgb};
use crate::draw::{Look, SymbolSize, ink};
use crate::fabric::Yarn;
use crate::symbol;
use crate::terms::Hand;
use crate::text::{self, Weight, pt};

/// Columns, the width of one and the paper between them, in mm.
const COLUMNS: usize = 2;
const COLUMN: f64 = 82.0;
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

/// Columns of the sheet: large symbols stand in one, so that the page still holds them.
fn columns(look: Look) -> usize {
    match look.symbols {
        SymbolSize::Usual => COLUMNS,
        SymbolSize::Large => 1,
    }
}

/// Width of the sheet, in mm.
fn width(look: Look) -> f64 {
    let columns = columns(look) as f64;
    2.0 * theme::MARGIN_MM + columns * COLUMN + (columns - 1.0) * GUTTER
}

/// The key as an SVG document, in mm.
pub fn key_svg(key: &Key) -> String {
    let stitches = key.entries.iter().map(|&entry| stitch_cell(entry, key));
    let yarns = key.yarns.iter().map(|yarn| yarn_cell(yarn, key.look));
    let marks = key.marks.iter().map(|&mark| mark_cell(mark, key));
    let mut sheet = Sheet::new(key);
    sheet.section("Stitches", stitches.collect());
    sheet.section("Yarns", yarns.collect());
    sheet.section("Marks", marks.collect());
    sheet.document(key).to_string()
}

/// What stands in one place of the key.
struct Cell {
    picture: Picture,
    /// The first line of its words, bold; may be empty.
    short: String,
    /// The second.
    long: String,
}

fn stitch_cell(entry: KeyEntry, key: &Key) -> Cell {
    let drawn = match entry {
        KeyEntry::Ring => symbol::magic_ring(Point::ORIGIN, 1.5),
        KeyEntry::Picot => symbol::picot_loop(Point::ORIGIN, UP, 3),
        KeyEntry::Stitch { kind, into, count } => sample(kind, into, count),
    };
    Cell {
        picture: Picture::of(for_hand(drawn, key.hand), theme::INK, key.look),
        short: entry.abbreviation(key.terms),
        long: entry.name(key.terms),
    }
}

fn yarn_cell(yarn: &Yarn, look: Look) -> Cell {
    Cell {
        picture: picture::swatch(yarn, look),
        short: format!("yarn {}", yarn.letter),
        long: yarn.name.clone(),
    }
}

fn mark_cell(mark: KeyMark, key: &Key) -> Cell {
    let ahead = match key.hand {
        Hand::Right => -1.0,
        Hand::Left => 1.0,
    };
    let picture = match mark {
        KeyMark::Start => {
            let ahead = Vec2::new(ahead, 0.0);
            let arrow = symbol::start_arrow(Point::ORIGIN, ahead, 6.0);
            Picture::of(arrow, theme::ACCENT, key.look)
        }
        KeyMark::Number => picture::number_and_count(ahead),
        KeyMark::Eye => picture::eye(key.look),
        KeyMark::Join => picture::join(key.look),
        KeyMark::YarnChange => {
            let to = key.yarns.last().map_or("", |yarn| &yarn.letter);
            picture::yarn_change(to, ahead, key.look)
        }
        KeyMark::JoinYarn => {
            Picture::of(symbol::join_yarn(Point::ORIGIN, UP), theme::INK, key.look)
        }
        KeyMark::FastenOff => {
            Picture::of(symbol::fasten_off(Point::ORIGIN, UP), theme::INK, key.look)
        }
        KeyMark::Surface => {
            let along = Vec2::new(1.0, 0.0);
            let sign = symbol::surface_slip(Point::ORIGIN, along, 1.45);
            Picture::of(sign, theme::INK, key.look)
        }
        KeyMark::Skip => Picture::of(symbol::skip(Point::ORIGIN, UP), theme::QUIET, key.look),
        KeyMark::Turn => {
            let out = Vec2::new(ahead, 0.0);
            let sign = symbol::turn(Point::ORIGIN, out, UP);
            Picture::of(sign, theme::QUIET, key.look)
        }
        KeyMark::Marker => Picture::of(symbol::marker(Point::ORIGIN, UP), theme::ACCENT, key.look),
    };
    let (short, long) = mark.words(key.terms);
    Cell {
        picture,
        short: short.to_owned(),
        long: long.to_owned(),
    }
}

/// The sheet as it grows downwards.
struct Sheet {
    look: Look,
    drawn: Group,
    /// How far down it is filled, in mm.
    bottom: f64,
    /// What its sections say in words.
    says: Vec<String>,
}

impl Sheet {
    fn new(key: &Key) -> Sheet {
        let mut sheet = Sheet {
            look: key.look,
            drawn: Group::new(),
            bottom: theme::MARGIN_MM,
            says: Vec::new(),
        };
        let size = pt(theme::TITLE_PT);
        let title = text::fitted(
            &title(key),
            size,
            Weight::Bold,
            width(key.look) - 2.0 * theme::MARGIN_MM,
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
        for row in cells.chunks(columns(self.look)) {
            let tallest = row.iter().map(|cell| cell.picture.room.height());
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
                .placed(middle + Vec2::new(WORDS_AT / 2.0 - 1.0, 0.0)),
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
            .set("x2", number(width(self.look) - theme::MARGIN_MM))
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
        let (look, width) = (key.look, width(key.look));
        let paper = Rectangle::new()
            .set("width", number(width))
            .set("height", number(height))
            .set("fill", theme::hex(theme::PAPER));
        Document::new()
            .set("width", look.side(width))
            .set("height", look.side(height))
            .set(
                "viewBox",
                format!("0 0 {} {}", number(width), number(height)),
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
    use crate::terms::{Height, Into, Stitch, Terms};

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
    fn the_trades_own_names_fit_their_column() {
        let fits = |words: &str, weight| {
            let width = COLUMN - WORDS_AT;
            assert_eq!(
                text::fitted(words, pt(theme::TEXT_PT), weight, width),
                words
            );
        };
        let places = [
            Into::Stitch,
            Into::FrontLoop,
            Into::BackLoop,
            Into::FrontPost,
        ];
        for terms in [Terms::Us, Terms::Uk] {
            for (height, into) in Height::ALL.into_iter().flat_map(|h| places.map(|p| (h, p))) {
                for count in [1, 3] {
                    let kind = Stitch::plain(height);
                    let entry = KeyEntry::Stitch { kind, into, count };
                    fits(&entry.name(terms), Weight::Regular);
                    fits(&entry.abbreviation(terms), Weight::Bold);
                }
            }
        }
        for mark in [
            KeyMark::Start,
            KeyMark::Number,
            KeyMark::Eye,
            KeyMark::Join,
            KeyMark::YarnChange,
            KeyMark::Surface,
            KeyMark::Skip,
            KeyMark::Turn,
        ] {
            fits(mark.words(Terms::Us).1, Weight::Regular);
        }
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
