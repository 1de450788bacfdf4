//! Pages through the typesetting library: a template of ours and a document as data in, PDF and pictures out. Nothing else can be read
//! from there: no other file, no system font, no clock, no network.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde_json::{Value, json};
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};
use typst_render::RenderOptions;

use super::Pages;
use crate::draw::theme::{self, hex};
use crate::raster::{self, RasterError};
use crate::text;

const TEMPLATE: &str = include_str!("template.typ");
/// The names by which the library asks for the template and for the document.
const MAIN: &str = "main.typ";
const DOCUMENT: &str = "document.json";

/// Pages that were typeset.
pub struct Typeset {
    document: PagedDocument,
}

/// Why pages could not be typeset, in the library's words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypesetError(pub String);

impl std::fmt::Display for TypesetError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the pages could not be set: {}", self.0)
    }
}

impl std::error::Error for TypesetError {}

/// Typesets pages. A character that our fonts lack has [`text::STAND_IN`] in its place where it is seen.
///
/// # Errors
/// If a picture can't be read.
pub fn typeset(pages: &Pages) -> Result<Typeset, TypesetError> {
    let mut document =
        serde_json::to_value(&pages.document).map_err(|error| TypesetError(error.to_string()))?;
    make_printable(&mut document);
    document["colours"] = json!({
        "ink": hex(theme::INK),
        "quiet": hex(theme::QUIET),
        "rule": hex(theme::RULE),
        "accent": hex(theme::ACCENT),
    });
    let desk = Desk::new(document.to_string(), &pages.files);
    let compiled = typst::compile::<PagedDocument>(&desk);
    let document = compiled.output.map_err(|errors| told(&errors))?;
    Ok(Typeset { document })
}

/// Forgets what the library remembers of earlier pages: for who sets many patterns, or measures.
pub fn forget() {
    typst::comemo::evict(0);
}

impl Typeset {
    /// How many pages there are.
    pub fn len(&self) -> usize {
        self.document.pages().len()
    }

    /// True if there is no page.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// A tagged PDF, by the standard PDF/UA-1: the same bytes for the same pages.
    ///
    /// # Errors
    /// If the document breaks a rule of the standard.
    pub fn pdf(&self) -> Result<Vec<u8>, TypesetError> {
        let standards = PdfStandards::new(&[PdfStandard::Ua_1])
            .map_err(|error| TypesetError(error.message().to_string()))?;
        let options = PdfOptions {
            creator: Smart::Custom(Some("Roundwright".to_owned())),
            standards,
            ..PdfOptions::default()
        };
        typst_pdf::pdf(&self.document, &options).map_err(|errors| told(&errors))
    }

    /// A page as a PNG picture of so many pixels to the inch; `page` counts from 0. `None` if there is no such page.
    ///
    /// # Errors
    /// If it could not be encoded.
    pub fn png(&self, page: usize, dpi: u32) -> Option<Result<Vec<u8>, RasterError>> {
        let options = RenderOptions {
            pixel_per_pt: (f64::from(dpi) / 72.0).into(),
            ..RenderOptions::default()
        };
        let picture = typst_render::render(self.document.pages().get(page)?, &options);
        Some(raster::opaque_png(picture, dpi))
    }
}

fn told(errors: &[SourceDiagnostic]) -> TypesetError {
    let mut said: Vec<String> = errors
        .iter()
        .map(|error| error.message.to_string())
        .collect();
    said.dedup();
    said.truncate(4);
    TypesetError(said.join("; "))
}

/// What is only heard, or found: any character will do.
const UNSEEN: [&str; 2] = ["alt", "full_title"];

/// Puts a stand-in for what our fonts can't show into every word of the document that is seen.
fn make_printable(value: &mut Value) {
    match value {
        Value::String(words) => *words = text::in_our_letters(words),
        Value::Array(all) => all.iter_mut().for_each(make_printable),
        Value::Object(all) => {
            for (key, value) in all {
                match (UNSEEN.contains(&key.as_str()), value) {
                    (true, Value::String(words)) => *words = text::printable(words),
                    (_, value) => make_printable(value),
                }
            }
        }
        _ => {}
    }
}

/// What the library may ask for.
struct Desk {
    main: FileId,
    source: Source,
    files: BTreeMap<String, Bytes>,
}

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));
static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    let fonts = text::font_files().into_iter();
    fonts
        .filter_map(|file| Font::new(Bytes::new(file), 0))
        .collect()
});
static BOOK: LazyLock<LazyHash<FontBook>> =
    LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));

impl Desk {
    fn new(document: String, files: &BTreeMap<String, Vec<u8>>) -> Desk {
        let path = VirtualPath::new(MAIN).expect("a name of our own");
        let main = RootedPath::new(VirtualRoot::Project, path).intern();
        let pictures = files
            .iter()
            .map(|(name, bytes)| (name.clone(), Bytes::new(bytes.clone())));
        Desk {
            main,
            source: Source::new(main, TEMPLATE.to_owned()),
            files: pictures
                .chain([(DOCUMENT.to_owned(), Bytes::from_string(document))])
                .collect(),
        }
    }
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        match id == self.main {
            true => Ok(self.source.clone()),
            false => Err(FileError::AccessDenied),
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let name = id.vpath().get_without_slash();
        self.files.get(name).cloned().ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
