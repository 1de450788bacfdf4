//! Finished pattern pages: `Source`, `Pattern` and `Fabric` in, a document as plain data, and from it PDF and pictures out.
//!
//! `text` takes the pattern's words apart, `made` knows what was worked out of it, and `compose` sets both in the order of a booklet with
//! `facts`, `figures`, `level` and `cautions`. `typeset` hands the document to the typesetting library, with a template of our own. Words
//! reach it as data and never as markup.

mod cautions;
mod compose;
mod document;
mod facts;
mod figures;
mod hook;
mod level;
mod made;
mod spelled;
mod text;
mod typeset;

pub use document::{Block, Document, Fact, Figure, Round, Run, Section};
pub use level::{Level, level};
pub use spelled::spelled;
pub use typeset::{Typeset, TypesetError, forget, typeset};

use std::collections::BTreeMap;

use crate::fabric::{self, Fabric};
use crate::pattern::{self, Pattern};
use crate::rewrite::{self, Style};
use crate::source::Source;
use crate::terms::{Hand, Terms};

use figures::Figures;
use made::Made;

/// For whom pages are made.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Edition {
    /// Large type, every round in full words, nothing in a picture alone.
    pub large: bool,
    /// The hand that holds the hook; the pattern's if unsaid.
    pub hand: Option<Hand>,
    /// The custom of naming stitches; the pattern's if unsaid.
    pub terms: Option<Terms>,
    /// No tints, thinner lines.
    pub low_ink: bool,
}

/// The size of the sheets.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8½ × 11 inches.
    Letter,
}

/// The designer's own picture: a PNG or JPEG file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// The file.
    pub bytes: Vec<u8>,
    /// What its name ends in: `png` or `jpg`.
    pub ending: &'static str,
}

/// What is asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct Request<'a> {
    pub edition: Edition,
    pub paper: Paper,
    pub photo: Option<&'a Photo>,
}

/// Pages on their way to the typesetter.
#[derive(Debug, Clone, PartialEq)]
pub struct Pages {
    /// What they hold.
    pub document: Document,
    /// The files of their pictures, by name.
    pub files: BTreeMap<String, Vec<u8>>,
}

/// Sets a pattern as pages. Large type and other terms need its rounds written again in one notation, which is proven to be the same fabric.
pub fn pages(source: &Source, pattern: &Pattern, fabric: &Fabric, request: &Request<'_>) -> Pages {
    let edition = request.edition;
    let terms = edition.terms.unwrap_or(fabric.terms);
    if !edition.large && terms == fabric.terms {
        return set(source, pattern, fabric.clone(), false, request);
    }
    let written = rewrite::write(source, pattern, fabric, &Style::default(), terms);
    let again = Source::new(source.name.clone(), written.text);
    let (read, _) = pattern::read(&again);
    let (worked, _) = fabric::work(&read);
    set(&again, &read, worked, terms != fabric.terms, request)
}

fn set(
    source: &Source,
    pattern: &Pattern,
    fabric: Fabric,
    terms_differ: bool,
    request: &Request<'_>,
) -> Pages {
    let written_for = fabric.hand;
    let fabric = fabric.made_by(request.edition.hand.unwrap_or(written_for));
    let made = Made::new(
        source,
        pattern,
        &fabric,
        fabric.hand != written_for,
        terms_differ,
    );
    let mut figures = Figures::new(request.edition.low_ink);
    let document = compose::compose(&made, request, &mut figures);
    Pages {
        document,
        files: figures.into_files(),
    }
}
