use std::ops::Range;

use kurbo::{BezPath, Point, Vec2};

use super::track::Track;
use crate::fabric::{StitchId, YarnId};
use crate::symbol::Symbol;
use crate::terms::{Into, Stitch};
use crate::text::Weight;

/// One drawing: some rounds of a piece, laid out. All lengths are mm on paper; points are from the panel's top left, y down.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// The piece: a place in [`Fabric::pieces`](crate::fabric::Fabric::pieces).
    pub piece: usize,
    /// Rings about a middle, or rows above one another.
    pub layout: Layout,
    /// Which way the rings are read; rows are always outward, from the lowest up.
    pub direction: Direction,
    /// Which part of its rounds it shows, where they are too wide for a page.
    pub part: Option<PagePart>,
    /// Number of the first round in work.
    pub first: u32,
    /// Number of the last round in work.
    pub last: u32,
    /// Width of the sheet.
    pub width_mm: f64,
    /// Height of the sheet.
    pub height_mm: f64,
    /// Its title in words: the pattern's, the piece's and the rounds'.
    pub title: String,
    /// What it shows in words, every round told.
    pub description: String,
    /// Every stitch of the panel's rounds, in the order of work.
    pub stitches: Vec<Placed>,
    /// Stitches of an earlier round that the first ring stands on, and neighbours on other parts of the rounds, drawn faint.
    pub anchors: Vec<Placed>,
    /// The feet of all stitches; each stitch names its range.
    pub(super) feet: Vec<Point>,
    /// The rings or rows in the order of work.
    pub rings: Vec<Ring>,
    /// Everything else that is drawn, in the order of drawing.
    pub marks: Vec<Mark>,
    /// The rounds in figures.
    pub table: Vec<Row>,
}

impl Panel {
    /// Where a stitch of this panel stands on what it is worked into: one point for each place that it is worked into.
    pub fn feet(&self, placed: &Placed) -> &[Point] {
        &self.feet[placed.feet.start as usize..placed.feet.end as usize]
    }

    /// The stitches of a ring, those of all rounds that it stands for.
    pub fn ring_stitches(&self, ring: &Ring) -> &[Placed] {
        &self.stitches[ring.stitches.clone()]
    }
}

/// A panel's share of its rounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PagePart {
    /// Its number in the order of work, from 1.
    pub number: usize,
    /// How many parts there are.
    pub of: usize,
}

/// How a panel's rounds lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// Rings about a middle.
    Rings,
    /// Straight rows above one another.
    Strip,
}

impl Layout {
    /// The word for it in the JSON reports.
    pub fn name(self) -> &'static str {
        match self {
            Layout::Rings => "rings",
            Layout::Strip => "strip",
        }
    }
}

/// Which way rings are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// From the middle.
    Outward,
    /// Towards the middle.
    Inward,
}

impl Direction {
    /// The word for it in the JSON reports.
    pub fn name(self) -> &'static str {
        match self {
            Direction::Outward => "outward",
            Direction::Inward => "inward",
        }
    }
}

/// A stitch with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Which stitch of the piece.
    pub id: StitchId,
    /// Its head.
    pub head: Point,
    /// What is drawn for it.
    pub glyph: Glyph,
    pub(super) feet: Range<u32>,
}

/// What is drawn for a stitch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Glyph {
    /// The symbol from the feet to the head.
    Stitch {
        /// Which symbol.
        kind: Stitch,
        /// What it is worked into, as it looks from the side that is drawn.
        into: Into,
        /// How far the symbol keeps clear of its feet, in mm, where something is drawn there.
        clear_mm: f64,
    },
    /// A slip stitch: a dot just under its head, wherever it is worked into.
    Dot {
        /// From the line below to the head.
        up: Vec2,
    },
    /// An oval.
    Chain {
        /// Its middle.
        centre: Point,
        /// Along it.
        direction: Vec2,
        /// The length of the place it has, in mm.
        length_mm: f64,
    },
    /// A whole picot, drawn with its first chain.
    Picot {
        /// The dot that it stands on.
        at: Point,
        /// Where it stands to.
        up: Vec2,
        /// How many chains it has.
        chains: u32,
    },
    /// Nothing: another stitch's symbol stands for it.
    None,
}

/// One ring or row of a panel, for one round or for a run of equal rounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Ring {
    /// Number of the first round.
    pub first: u32,
    /// Number of the last round.
    pub last: u32,
    /// What stands at its start: `7` or `7–12`.
    pub label: String,
    /// The round or rounds in words.
    pub says: String,
    /// Its band, from feet to heads.
    pub band: BezPath,
    /// The middle that it goes round; for a row, any point.
    pub middle: Point,
    /// The line of its heads, about the origin.
    pub(super) line: Track,
    /// Its stitches: a range of [`Panel::stitches`].
    pub stitches: Range<usize>,
}

/// Something on a chart that is not a stitch.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What it says, for those who hear the chart; empty where its words say it all.
    pub says: String,
    /// Whether it lies under the stitches.
    pub under: bool,
    /// What is drawn.
    pub ink: Vec<Ink>,
}

/// A part of a mark.
#[derive(Debug, Clone, PartialEq)]
pub enum Ink {
    /// A line.
    Line {
        /// Its course.
        path: BezPath,
        /// How strong it is.
        line: Line,
    },
    /// A soft bed in a yarn's colour.
    Bed {
        /// Its outline.
        path: BezPath,
        /// The yarn.
        yarn: YarnId,
    },
    /// A symbol.
    Symbol(Symbol, Tone),
    /// Words.
    Words(Words),
}

/// What a line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// A rule of the table.
    Rule,
    /// From a mark to its label, as loud as that is.
    Leader(Tone),
    /// What the maker must not miss.
    Strong,
}

/// How loud something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// The work.
    Ink,
    /// Read second.
    Quiet,
    /// Hardly there.
    Faint,
    /// Not to be missed.
    Accent,
}

/// A line of words.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// The words.
    pub text: String,
    /// Where its baseline starts.
    pub at: Point,
    /// Size of the font's em, in mm.
    pub size_mm: f64,
    /// How bold.
    pub weight: Weight,
    /// How loud.
    pub tone: Tone,
}

/// One line of a panel's table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Row {
    /// A round, or a run of equal ones.
    Round {
        /// `7` or `7–12`.
        label: String,
        /// Stitches it leaves, by the custom that its stated total follows.
        stitches: u32,
        /// How many more or fewer than the round before; `None` for a first round.
        change: Option<i64>,
        /// Letters of its yarns in the order of work.
        yarns: String,
        /// The first and the last stitch that is shown, from 1, where the panel is a part of its rounds.
        here: Option<(u32, u32)>,
    },
    /// Something to be done after the round above.
    Note(&'static str),
}
