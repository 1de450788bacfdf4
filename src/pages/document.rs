//! What finished pages hold, as plain data: nothing in it is markup, whatever its characters are.

use serde::Serialize;

/// A document, ready to be typeset.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Document {
    /// The pattern's title; never empty.
    pub title: String,
    /// The same for lists of documents, with every character that it has.
    pub full_title: String,
    /// The title as the head of each page has it: cut where it is long.
    pub head: String,
    /// What sets this edition apart, such as `left-handed`, in a few words; empty for the plain one.
    pub edition: String,
    /// The name of the paper, as the typesetter knows it.
    pub paper: &'static str,
    /// Whether it is set for people who see little: one column of large type.
    pub large: bool,
    /// Whether it keeps from using much ink.
    pub low_ink: bool,
    /// The picture beside the title.
    pub picture: Option<Figure>,
    /// What stands under the title.
    pub lead: Vec<Block>,
    /// The sections, in the order of reading.
    pub sections: Vec<Section>,
}

/// A section with its heading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Section {
    /// Its heading.
    pub title: String,
    /// Beside the heading, and quieter: `make 2`.
    pub aside: String,
    /// What it holds.
    pub blocks: Vec<Block>,
}

/// Something that stands by itself on a page.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Block {
    /// A heading within a section.
    Heading { text: String },
    /// A paragraph.
    Text { runs: Vec<Run> },
    /// A list, with numbers or without.
    List { ordered: bool, items: Vec<Vec<Run>> },
    /// Names with what there is to say of them.
    Facts { rows: Vec<Fact> },
    /// A table in words, with a heading for each column.
    Table {
        header: Vec<String>,
        rows: Vec<Vec<String>>,
    },
    /// Rounds to work, in their order.
    Rounds { has_yarns: bool, rows: Vec<Round> },
    /// Pictures, side by side where there is room.
    Figures { figures: Vec<Figure> },
    /// What must not be missed.
    Caution { title: String, texts: Vec<String> },
}

/// Some words in one hand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Run {
    /// The words.
    pub text: String,
    /// Whether they are bold.
    pub bold: bool,
}

/// A name and what there is to say of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fact {
    /// The name.
    pub name: String,
    /// What there is to say.
    pub text: String,
    /// What is less important.
    pub note: String,
    /// A colour to show, such as `#3a3f47`; empty for none.
    pub swatch: String,
}

/// A round, or several worked alike.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Round {
    /// `7`, `8–12`; empty for what has no number.
    pub label: String,
    /// `Rnd 7`, `Rounds 8 to 12`.
    pub name: String,
    /// What to work.
    pub words: String,
    /// What to have ready, and what to know, a line each.
    pub notes: Vec<String>,
    /// The stitches that it leaves.
    pub count: String,
    /// The letters of its yarns.
    pub yarns: String,
    /// Boxes to tick: so many for each copy of the piece.
    pub boxes: Vec<u32>,
}

/// A picture with what it says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    /// The name of its file, as the typesetter asks for it.
    pub file: String,
    /// What it shows, in words.
    pub alt: String,
    /// Its own width in mm; 0 for one that takes the room there is.
    pub width_mm: f64,
    /// Its own height in mm; 0 for one that takes the room there is.
    pub height_mm: f64,
}

impl Block {
    /// A picture by itself.
    pub fn figure(figure: Figure) -> Block {
        Block::Figures {
            figures: vec![figure],
        }
    }

    /// A paragraph of plain words.
    pub fn text(words: impl Into<String>) -> Block {
        Block::Text {
            runs: vec![Run::plain(words)],
        }
    }
}

impl Run {
    /// Words that are not bold.
    pub fn plain(words: impl Into<String>) -> Run {
        Run {
            text: words.into(),
            bold: false,
        }
    }
}

impl Fact {
    /// A name with its words alone.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Fact {
        Fact {
            name: name.into(),
            text: text.into(),
            note: String::new(),
            swatch: String::new(),
        }
    }

    /// The same with what is less important.
    pub fn note(self, note: impl Into<String>) -> Fact {
        Fact {
            note: note.into(),
            ..self
        }
    }
}
