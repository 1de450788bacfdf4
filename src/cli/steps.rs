//! `roundwright steps`: a picture of each round, written to a folder of the pattern's own.

use std::mem;
use std::path::{Path, PathBuf};

use crate::draw;
use crate::steps;

use super::arguments::{Format, Ground, Size, Steps};
use super::chart::chosen;
use super::console::Console;
use super::each::{Outcome, Patterns, about};
use super::files::{Failure, Folder};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;
use super::{Status, names};

/// The folder of the pictures, in that of the charts.
const STEPS: &str = "steps";

/// Draws the rounds of every pattern.
pub fn run(arguments: &Steps, console: &mut Console) -> Status {
    let patterns = Patterns {
        paths: &arguments.patterns,
        out: arguments.out.as_deref(),
        inner: Some(STEPS),
    };
    patterns.each(console, |path, folder, console| {
        draw_steps(arguments, path, folder, console)
    })
}

/// The pictures of a piece.
struct Drawn {
    /// The name of its files, without ending.
    name: String,
    pictures: Vec<steps::Picture>,
}

impl Drawn {
    fn file_name(&self, picture: &steps::Picture) -> String {
        format!("{}-{}", self.name, picture.label)
    }
}

fn draw_steps(
    arguments: &Steps,
    path: &Path,
    folder: PathBuf,
    console: &mut Console,
) -> Result<Status, Failure> {
    let about = about(path);
    let mut worked = Worked::told(path, &arguments.lengths.lengths, console).map_err(&about)?;
    let pieces = pieces(arguments, &mut worked).map_err(&about)?;
    if !pieces.is_empty() {
        write(arguments, &pieces, folder, console)?;
    }
    let outcome = Outcome {
        is_made: !pieces.is_empty(),
        nothing: "there is nothing to draw",
        partial: "the pictures show what could be worked",
    };
    outcome.tell(path, &worked, console)
}

/// The pictures of the pieces that were asked for, made for this maker.
fn pieces(arguments: &Steps, worked: &mut Worked) -> Result<Vec<Drawn>, String> {
    let (hand, terms) = (worked.fabric.hand, worked.fabric.terms);
    worked.fabric = arguments.maker.fabric(mem::take(&mut worked.fabric));
    let fabric = &worked.fabric;
    let options = steps::Options {
        size: match arguments.size {
            Size::Page => steps::Size::Page,
            Size::Phone => steps::Size::Phone,
            Size::Video => steps::Size::Video,
        },
        ground: ground(arguments),
        look: arguments.maker.look(),
        other_hand: fabric.hand != hand,
        other_terms: fabric.terms != terms,
        stitch_mm: Some(worked.stitch_mm()),
    };
    let names = names::file_names(fabric.pieces.iter().map(|piece| piece.name.as_str()));
    let chosen = chosen(fabric, arguments.piece.as_deref())?;
    let drawn = chosen.into_iter().map(|piece| Drawn {
        name: names[piece].clone(),
        pictures: steps::pictures(&worked.source, fabric, piece, options),
    });
    Ok(drawn.filter(|drawn| !drawn.pictures.is_empty()).collect())
}

fn ground(arguments: &Steps) -> draw::Ground {
    match arguments.ground {
        Ground::White => draw::Ground::White,
        Ground::Clear => draw::Ground::Clear,
    }
}

fn write(
    arguments: &Steps,
    pieces: &[Drawn],
    folder: PathBuf,
    console: &mut Console,
) -> Result<(), Failure> {
    let dpi = match arguments.size {
        Size::Page => steps::Size::Page,
        Size::Phone => steps::Size::Phone,
        Size::Video => steps::Size::Video,
    }
    .dpi();
    let mut output = Output {
        formats: &[Format::Svg, Format::Png],
        dpi,
        ground: ground(arguments),
        folder: Folder::open(folder)?,
        console,
    };
    let mut files = Vec::new();
    for drawn in pieces {
        files.extend(
            drawn
                .pictures
                .iter()
                .map(|picture| drawn.file_name(picture)),
        );
    }
    output.plan(&files, std::iter::empty())?;
    for drawn in pieces {
        let drawings: Vec<Drawing> = drawn
            .pictures
            .iter()
            .map(|picture| Drawing {
                name: drawn.file_name(picture),
                svg: picture.svg.clone(),
            })
            .collect();
        output.write_drawings(&drawings)?;
    }
    let is_narrowed = arguments.piece.is_some();
    let is_drawn = |file: &str| {
        pieces
            .iter()
            .any(|drawn| names::is_step_of(file, &drawn.name))
    };
    output.finish(|file| !is_narrowed || is_drawn(file))
}
