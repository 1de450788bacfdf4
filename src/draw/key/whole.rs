//! The sheet of all symbols: a table of the heights and what is done with them, and the symbols that stand apart.

use kurbo::{Point, Vec2};
use svg::node::element::{Description, Group, Line, Rectangle, Title};
use svg::{Document, Node};

use super::picture::{self, Picture};
use super::sample::{UP, crossed, for_hand, in_space, sample, spike, v_stitch};
use super::{KeyEntry, KeyMark};
use crate::draw::number::number;
use crate::draw::theme::{self, Rgb};
use crate::draw::{Look, ink};
use crate::symbol::{self, Symbol};
use crate::terms::{Form, Hand, Height, Into, Stitch, Terms};
use crate::text::{self, Weight, pt};

const LEFT: f64 = theme::MARGIN_MM;
/// Width of the column that names the heights, in mm.
const NAMES: f64 = 37.0;
/// Paper over and under the symbols of a row, in mm.
const AIR: f64 = 1.5;
/// From line to line of small words, in mm.
const LINE: f64 = 3.1;
/// Columns of the symbols that stand apart, the width of one, where its words begin, and the paper between two, in mm.
const COLUMNS: usize = 5;
const COLUMN: f64 = 49.2;
const WORDS_AT: f64 = 17.0;
const GUTTER: f64 = 3.0;
/// The same of the marks, which are narrower.
const MARK_COLUMNS: usize = 6;
const MARK_COLUMN: f64 = 40.5;
const MARK_WORDS_AT: f64 = 12.5;
/// Paper between a row of them and the next, in mm.
const ROW_AIR: f64 = 1.7;

/// The heights of the table, shortest first.
const HEIGHTS: [Height; 5] = [
    Height::Single,
    Height::HalfDouble,
    Height::Double,
    Height::Treble,
    Height::DoubleTreble,
];

/// A column of the table: its heading, what stands under it, and the width in mm.
struct Column {
    heading: [&'static str; 2],
    form: fn(Height) -> (Stitch, Into, u8),
    width: f64,
}

const fn column(
    heading: [&'static str; 2],
    form: fn(Height) -> (Stitch, Into, u8),
    width: f64,
) -> Column {
    Column {
        heading,
        form,
        width,
    }
}

const TABLE: [Column; 14] = [
    column(
        ["plain", ""],
        |height| (Stitch::plain(height), Into::Stitch, 1),
        13.0,
    ),
    column(
        ["extended", "chain at foot"],
        |height| {
            let form = Form::Extended;
            (Stitch { height, form }, Into::Stitch, 1)
        },
        17.0,
    ),
    column(
        ["front loop", "only, FLO"],
        |height| (Stitch::plain(height), Into::FrontLoop, 1),
        14.0,
    ),
    column(
        ["back loop", "only, BLO"],
        |height| (Stitch::plain(height), Into::BackLoop, 1),
        14.0,
    ),
    column(
        ["front post", "FP"],
        |height| (Stitch::plain(height), Into::FrontPost, 1),
        14.0,
    ),
    column(
        ["back post", "BP"],
        |height| (Stitch::plain(height), Into::BackPost, 1),
        14.0,
    ),
    column(["increase", "2 in one"], |height| increase(height, 2), 14.0),
    column(["", "3 in one"], |height| increase(height, 3), 15.5),
    column(["", "4 in one"], |height| increase(height, 4), 17.5),
    column(["", "5 in one"], |height| increase(height, 5), 20.0),
    column(["decrease", "2 as one"], |height| decrease(height, 2), 15.0),
    column(["", "3 as one"], |height| decrease(height, 3), 15.5),
    column(["", "4 as one"], |height| decrease(height, 4), 17.5),
    column(["", "5 as one"], |height| decrease(height, 5), 20.0),
];

fn increase(height: Height, count: u8) -> (Stitch, Into, u8) {
    (Stitch::plain(height), Into::Stitch, count)
}

fn decrease(height: Height, count: u8) -> (Stitch, Into, u8) {
    (Stitch::together(height, count), Into::Stitch, 1)
}

/// Every symbol on one sheet, as an SVG document in mm, for a hand; with names in one custom, or in both.
pub fn whole_key_svg(hand: Hand, terms: Option<Terms>, look: Look) -> String {
    let mut sheet = Sheet {
        hand,
        terms,
        look,
        drawn: Group::new(),
        bottom: theme::MARGIN_MM,
        says: Vec::new(),
    };
    sheet.title();
    sheet.table();
    sheet.apart("Stitches that stand apart", &stitches());
    sheet.marks();
    sheet.document().to_string()
}

/// A symbol that stands apart, with its abbreviation and name in a custom.
struct Apart {
    drawn: Symbol,
    short: fn(Terms) -> String,
    long: fn(Terms) -> String,
}

fn apart(drawn: Symbol, short: fn(Terms) -> String, long: fn(Terms) -> String) -> Apart {
    Apart { drawn, short, long }
}

fn stitch_name(height: Height, terms: Terms) -> String {
    Stitch::plain(height).abbreviation(terms)
}

/// The symbols of these are from memory where the design of charts does not name them.
fn stitches() -> Vec<Apart> {
    use Height::{Chain, Double, Single, Slip};
    let origin = Point::ORIGIN;
    let single = Point::new(0.0, symbol::height_mm(Stitch::plain(Single)));
    let form = |form| Stitch {
        height: Double,
        form,
    };
    vec![
        apart(
            sample(Stitch::plain(Chain), Into::Stitch, 1),
            |terms| stitch_name(Chain, terms),
            |_| "chain".to_owned(),
        ),
        apart(
            sample(Stitch::plain(Slip), Into::Stitch, 1),
            |terms| stitch_name(Slip, terms),
            |_| "slip stitch".to_owned(),
        ),
        apart(
            symbol::surface_slip(origin, Vec2::new(1.0, 0.0), 2.0),
            |terms| format!("surface {}", stitch_name(Slip, terms)),
            |_| "on finished fabric".to_owned(),
        ),
        apart(
            symbol::slanted_single(single, origin),
            |terms| stitch_name(Single, terms),
            |_| "the other way to draw it".to_owned(),
        ),
        apart(
            symbol::reverse_single(single, origin),
            |terms| format!("rev {}", stitch_name(Single, terms)),
            |_| "worked backwards".to_owned(),
        ),
        apart(
            symbol::loop_stitch(single, origin),
            |_| "loop st".to_owned(),
            |terms| format!("{} with a long loop", stitch_name(Single, terms)),
        ),
        apart(
            spike(),
            |terms| format!("spike {}", stitch_name(Single, terms)),
            |_| "into a round further down".to_owned(),
        ),
        apart(
            crossed(Double),
            |terms| format!("crossed {}", stitch_name(Double, terms)),
            |_| "the second goes back".to_owned(),
        ),
        apart(
            sample(form(Form::Bobble(5)), Into::Stitch, 1),
            |_| "bobble".to_owned(),
            |terms| format!("5 {} as one, in one st", stitch_name(Double, terms)),
        ),
        apart(
            sample(form(Form::Puff(3)), Into::Stitch, 1),
            |_| "puff".to_owned(),
            |_| "3 long loops as one".to_owned(),
        ),
        apart(
            sample(form(Form::Popcorn(5)), Into::Stitch, 1),
            |_| "popcorn, pc".to_owned(),
            |terms| format!("5 {}, drawn together", stitch_name(Double, terms)),
        ),
        apart(
            sample(Stitch::together(Double, 3), Into::Stitch, 1),
            |_| "cluster".to_owned(),
            |terms| format!("3 {} as one, over 3 sts", stitch_name(Double, terms)),
        ),
        apart(
            sample(Stitch::plain(Double), Into::Stitch, 5),
            |_| "shell".to_owned(),
            |terms| format!("5 {} in one st", stitch_name(Double, terms)),
        ),
        apart(
            v_stitch(Double),
            |_| "V-stitch".to_owned(),
            |terms| {
                let tall = stitch_name(Double, terms);
                format!("{tall}, ch 1, {tall} in one st")
            },
        ),
        apart(
            in_space(Double),
            |_| "in a space".to_owned(),
            |terms| format!("3 {} in ch-3 sp", stitch_name(Double, terms)),
        ),
        apart(
            symbol::picot_loop(origin, UP, 3),
            |_| "picot".to_owned(),
            |terms| format!("ch 3, {} in first", stitch_name(Slip, terms)),
        ),
        apart(
            symbol::magic_ring(origin, 1.5),
            |_| "MR".to_owned(),
            |_| "magic ring".to_owned(),
        ),
        apart(
            symbol::chain_ring(origin, 2.9, 6),
            |_| "chain ring".to_owned(),
            |terms| format!("ch 6, {} in first", stitch_name(Slip, terms)),
        ),
        apart(
            symbol::skip(origin, UP),
            |terms| match terms {
                Terms::Us => "skip, sk".to_owned(),
                Terms::Uk => "miss".to_owned(),
            },
            |_| "leave a st unworked".to_owned(),
        ),
        apart(
            symbol::turn(origin, UP, Vec2::new(1.0, 0.0)),
            |_| "turn".to_owned(),
            |_| "the other side faces you".to_owned(),
        ),
    ]
}

/// How cells stand beside one another.
struct Grid {
    columns: usize,
    column: f64,
    words_at: f64,
}

const STITCHES: Grid = Grid {
    columns: COLUMNS,
    column: COLUMN,
    words_at: WORDS_AT,
};

const MARKS: Grid = Grid {
    columns: MARK_COLUMNS,
    column: MARK_COLUMN,
    words_at: MARK_WORDS_AT,
};

/// Words in the customs that the sheet is in: the first as they are, and the second where it differs.
struct Names {
    first: String,
    second: Option<String>,
}

struct Sheet {
    hand: Hand,
    terms: Option<Terms>,
    look: Look,
    drawn: Group,
    /// How far down it is filled, in mm.
    bottom: f64,
    /// What its parts say in words.
    says: Vec<String>,
}

fn width() -> f64 {
    let columns = TABLE.iter().map(|column| column.width).sum::<f64>();
    2.0 * LEFT + NAMES + columns
}

impl Sheet {
    fn names(&self, words: impl Fn(Terms) -> String) -> Names {
        let first = words(self.terms.unwrap_or(Terms::Us));
        let second = match self.terms {
            Some(_) => None,
            None => Some(words(Terms::Uk)).filter(|uk| *uk != first),
        };
        Names { first, second }
    }

    fn title(&mut self) {
        let size = pt(theme::TITLE_PT);
        self.bottom += text::extents("A", size, Weight::Bold).cap_mm;
        let at = Point::new(LEFT, self.bottom);
        self.words("All symbols", at, size, Weight::Bold, theme::INK);
        self.bottom += 5.2;
        let at = Point::new(LEFT, self.bottom);
        let words = self.subtitle();
        let size = pt(theme::TEXT_PT);
        self.words(&words, at, size, Weight::Regular, theme::QUIET);
        self.bottom += 7.5;
    }

    fn subtitle(&self) -> String {
        let terms = match self.terms {
            Some(terms) => format!("{} terms", terms.name()),
            None => "US terms in black, UK terms in grey where they differ".to_owned(),
        };
        let hand = match self.hand {
            Hand::Right => "right-handed",
            Hand::Left => "left-handed",
        };
        format!("{terms}; {hand}; the right side is shown")
    }

    fn table(&mut self) {
        self.table_heading();
        for (place, height) in HEIGHTS.into_iter().enumerate() {
            self.table_row(height, place % 2 == 0);
        }
        self.rule();
    }

    fn table_heading(&mut self) {
        let size = pt(theme::LABEL_PT);
        let mut left = LEFT + NAMES;
        for column in &TABLE {
            let middle = left + column.width / 2.0;
            left += column.width;
            for (line, words) in column.heading.into_iter().enumerate() {
                let weight = match line {
                    0 => Weight::Bold,
                    _ => Weight::Regular,
                };
                let y = self.bottom + LINE * line as f64;
                self.centred(words, Point::new(middle, y), size, weight, theme::INK);
            }
        }
        self.bottom += LINE + 1.9;
        self.rule();
    }

    fn table_row(&mut self, height: Height, banded: bool) {
        let cells: Vec<(Picture, Names)> = TABLE
            .iter()
            .map(|column| self.cell((column.form)(height)))
            .collect();
        let tallest = cells.iter().map(|(picture, _)| picture.room.height());
        let tallest = tallest.fold(0.0, f64::max);
        let lines = if self.terms.is_some() { 1.0 } else { 2.0 };
        let row = tallest + 2.0 * AIR + lines * LINE + 0.9;
        if banded && self.look.has_beds() {
            let band = Rectangle::new()
                .set("x", number(LEFT))
                .set("y", number(self.bottom))
                .set("width", number(width() - 2.0 * LEFT))
                .set("height", number(row))
                .set("fill", theme::hex(theme::BAND));
            self.drawn.append(band);
        }
        self.height_names(height, self.bottom + row / 2.0);
        let floor = self.bottom + AIR + tallest;
        let mut left = LEFT + NAMES;
        let mut told = Vec::new();
        for (column, (picture, names)) in TABLE.iter().zip(cells) {
            let middle = left + column.width / 2.0;
            left += column.width;
            let standing = Point::new(middle, floor - picture.room.height() / 2.0);
            let mut group = Group::new().add(Title::new(names.told()));
            group.append(picture.placed(standing));
            self.drawn.append(group);
            let at = Point::new(middle, floor + AIR + LINE * 0.75);
            self.names_under(&names, at);
            told.push(names.told());
        }
        self.says.push(format!("{}.", told.join(", ")));
        self.bottom += row;
    }

    /// What a cell of the table shows, and its abbreviations.
    fn cell(&self, (kind, into, count): (Stitch, Into, u8)) -> (Picture, Names) {
        let drawn = for_hand(sample(kind, into, count), self.hand);
        let entry = KeyEntry::Stitch { kind, into, count };
        let short = |terms: Terms| match count {
            1 => entry.abbreviation(terms),
            2 if kind.height == Height::Single => "inc".to_owned(),
            _ => format!("{count} {}", kind.abbreviation(terms)),
        };
        let picture = Picture::of(drawn, theme::INK, self.look);
        (picture, self.names(short))
    }

    fn height_names(&mut self, height: Height, middle: f64) {
        let kind = Stitch::plain(height);
        let mut lines = Vec::new();
        let both = match self.terms {
            Some(terms) => vec![(terms, theme::INK)],
            None => vec![(Terms::Us, theme::INK), (Terms::Uk, theme::QUIET)],
        };
        for (terms, colour) in both {
            let size = pt(theme::TEXT_PT);
            lines.push((kind.abbreviation(terms), size, Weight::Bold, colour));
            let size = pt(theme::LABEL_PT);
            lines.push((kind.name(terms), size, Weight::Regular, colour));
        }
        // The two customs stand a little apart.
        let apart = |line: usize| line as f64 * LINE + (line / 2) as f64;
        let first = middle - apart(lines.len() - 1) / 2.0 + 1.0;
        for (line, (words, size, weight, colour)) in lines.into_iter().enumerate() {
            let at = Point::new(LEFT + 1.6, first + apart(line));
            self.words(&words, at, size, weight, colour);
        }
    }

    fn names_under(&mut self, names: &Names, at: Point) {
        let size = pt(theme::LABEL_PT);
        self.centred(&names.first, at, size, Weight::Regular, theme::INK);
        if let Some(second) = &names.second {
            let at = at + Vec2::new(0.0, LINE);
            self.centred(second, at, size, Weight::Regular, theme::QUIET);
        }
    }

    fn apart(&mut self, heading: &str, entries: &[Apart]) {
        let cells = entries.iter().map(|entry| {
            let drawn = for_hand(entry.drawn.clone(), self.hand);
            let picture = Picture::of(drawn, theme::INK, self.look);
            let lines = vec![self.names(entry.short), self.names(entry.long)];
            (picture, lines)
        });
        let cells = cells.collect();
        self.cells(heading, STITCHES, cells);
    }

    fn marks(&mut self) {
        let ahead = match self.hand {
            Hand::Right => -1.0,
            Hand::Left => 1.0,
        };
        let look = self.look;
        let of = |drawn, colour| Picture::of(drawn, colour, look);
        let arrow = symbol::start_arrow(Point::ORIGIN, Vec2::new(ahead, 0.0), 6.0);
        let marks = [
            (KeyMark::Start, of(arrow, theme::ACCENT)),
            (KeyMark::Number, picture::number_and_count(ahead)),
            (KeyMark::Eye, picture::eye(look)),
            (KeyMark::Join, picture::join(look)),
            (KeyMark::YarnChange, picture::yarn_change("B", ahead, look)),
            (
                KeyMark::JoinYarn,
                of(symbol::join_yarn(Point::ORIGIN, UP), theme::INK),
            ),
            (
                KeyMark::FastenOff,
                of(symbol::fasten_off(Point::ORIGIN, UP), theme::INK),
            ),
            (
                KeyMark::Marker,
                of(symbol::marker(Point::ORIGIN, UP), theme::ACCENT),
            ),
        ];
        let plain = |words: &str| Names {
            first: words.to_owned(),
            second: None,
        };
        let mut cells: Vec<(Picture, Vec<Names>)> = Vec::new();
        for (mark, picture) in marks {
            let (short, long) = match mark {
                // Its words on a pattern's key are too long here.
                KeyMark::Join => ("join a piece", "through its stitches too"),
                _ => mark.words(Terms::Us),
            };
            cells.push((picture, vec![plain(short), plain(long)]));
        }
        self.cells("Marks", MARKS, cells);
    }

    fn cells(&mut self, heading: &str, grid: Grid, cells: Vec<(Picture, Vec<Names>)>) {
        self.bottom += 7.0;
        let at = Point::new(LEFT, self.bottom);
        let size = pt(theme::HEADING_PT);
        self.words(heading, at, size, Weight::Bold, theme::INK);
        self.bottom += 1.8;
        self.rule();
        self.bottom += 1.2;
        let mut told = Vec::new();
        for row in cells.chunks(grid.columns) {
            let tall = row.iter().map(|(picture, lines)| {
                let words = lines.iter().map(Names::lines).sum::<usize>() as f64 * LINE;
                picture.room.height().max(words)
            });
            let height = tall.fold(0.0, f64::max) + ROW_AIR;
            for (column, (picture, lines)) in row.iter().enumerate() {
                let left = LEFT + column as f64 * (grid.column + GUTTER);
                let middle = Point::new(left, self.bottom + height / 2.0);
                told.push(self.cell_apart(&grid, picture, lines, middle));
            }
            self.bottom += height;
        }
        self.says.push(format!("{heading}: {}.", told.join("; ")));
    }

    /// A cell about the middle of its left side; what it says.
    fn cell_apart(
        &mut self,
        grid: &Grid,
        picture: &Picture,
        names: &[Names],
        middle: Point,
    ) -> String {
        let told: Vec<String> = names.iter().map(Names::told).collect();
        let told = told.into_iter().filter(|told| !told.is_empty());
        let told = told.collect::<Vec<_>>().join(", ");
        let mut group = Group::new().add(Title::new(told.as_str()));
        group.append(picture.placed(middle + Vec2::new(grid.words_at / 2.0 - 0.8, 0.0)));
        self.drawn.append(group);
        let mut lines = Vec::new();
        for (place, names) in names.iter().enumerate() {
            let weight = match place {
                0 => Weight::Bold,
                _ => Weight::Regular,
            };
            if !names.first.is_empty() {
                lines.push((names.first.as_str(), weight, theme::INK));
            }
            if let Some(second) = &names.second {
                lines.push((second.as_str(), weight, theme::QUIET));
            }
        }
        let size = pt(theme::LABEL_PT);
        let first = middle.y - (lines.len() as f64 - 1.0) / 2.0 * LINE + 0.95;
        for (line, (words, weight, colour)) in lines.into_iter().enumerate() {
            let at = Point::new(middle.x + grid.words_at, first + line as f64 * LINE);
            let words = text::fitted(words, size, weight, grid.column - grid.words_at);
            self.words(&words, at, size, weight, colour);
        }
        told
    }

    fn centred(&mut self, words: &str, at: Point, size: f64, weight: Weight, colour: Rgb) {
        let half = text::extents(words, size, weight).width_mm / 2.0;
        self.words(words, at - Vec2::new(half, 0.0), size, weight, colour);
    }

    fn words(&mut self, words: &str, at: Point, size: f64, weight: Weight, colour: Rgb) {
        if !words.is_empty() {
            self.drawn
                .append(ink::words(words, at, size, weight, colour));
        }
    }

    fn rule(&mut self) {
        let line = Line::new()
            .set("x1", number(LEFT))
            .set("x2", number(width() - LEFT))
            .set("y1", number(self.bottom))
            .set("y2", number(self.bottom))
            .set("stroke", theme::hex(theme::RULE))
            .set("stroke-width", number(theme::THIN_MM));
        self.drawn.append(line);
    }

    fn document(self) -> Document {
        let (width, height) = (width(), self.bottom + theme::MARGIN_MM);
        let paper = Rectangle::new()
            .set("width", number(width))
            .set("height", number(height))
            .set("fill", theme::hex(theme::PAPER));
        let view = format!("0 0 {} {}", number(width), number(height));
        Document::new()
            .set("width", self.look.side(width))
            .set("height", self.look.side(height))
            .set("viewBox", view)
            .set("role", "img")
            .set("lang", "en")
            .add(Title::new("All symbols"))
            .add(Description::new().add(svg::node::Text::new(self.says.join(" "))))
            .add(paper)
            .add(self.drawn)
    }
}

impl Names {
    fn lines(&self) -> usize {
        usize::from(!self.first.is_empty()) + usize::from(self.second.is_some())
    }

    fn told(&self) -> String {
        match &self.second {
            Some(second) => format!("{} (UK {second})", self.first),
            None => self.first.clone(),
        }
    }
}
