//! `roundwright steps`: a picture of each round, written to a folder of the pattern's own.

use std::path::{Path, PathBuf};

use crate::draw;
use crate::source::Source;
use crate::steps;

use super::arguments::{Format, Ground, Size, Steps};
use super::chart::{CHARTS, chosen};
use super::console::Console;
use super::files::{Failure, Folder};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;
use super::{Status, input, names};

/// The folder of the pictures, in that of the charts.
const STEPS: &str = "steps";

/// Draws the rounds of every pattern; one that can't be read or written does not keep the others from it.
pub fn run(arguments: &Steps, console: &mut Console) -> Status {
    let mut status = Status::Fine;
    for (path, folder) in arguments.patterns.iter().zip(folders(arguments)) {
        status = status.max(match draw_steps(arguments, path, folder, console) {
            Ok(status) => status,
            Err(Failure { path, reason }) => {
                console.complain(&path.to_string_lossy(), &reason);
                Status::CouldNotRun
            }
        });
    }
    status
}

/// The folder of each pattern: `--out` itself for one, a folder in it for each of several.
fn folders(arguments: &Steps) -> Vec<PathBuf> {
    let names = names::folder_names(arguments.patterns.iter().map(PathBuf::as_path));
    let single = names.len() == 1;
    let folder = |name: &std::ffi::OsString| match &arguments.out {
        Some(out) if single => out.clone(),
        Some(out) => out.join(name),
        None => Path::new(CHARTS).join(name).join(STEPS),
    };
    names.iter().map(folder).collect()
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
    let name = input::name(path);
    let about = |reason| Failure {
        path: name.clone().into(),
        reason,
    };
    let worked = Worked::told(path, &arguments.lengths.lengths, console).map_err(about)?;
    let tally = worked.tally();
    let pieces = pieces(arguments, &worked.source, worked.fabric).map_err(about)?;
    if pieces.is_empty() {
        let nothing = "there is nothing to draw".to_owned();
        if worked.status == Status::Errors {
            console.complain(&name, &format!("{tally}; {nothing}"));
            return Ok(Status::Errors);
        }
        return Err(about(nothing));
    }
    write(arguments, &pieces, folder, console)?;
    if worked.status == Status::Errors {
        console.complain(
            &name,
            &format!("{tally}; the pictures show what could be worked"),
        );
    }
    Ok(worked.status)
}

fn pieces(
    arguments: &Steps,
    source: &Source,
    fabric: crate::fabric::Fabric,
) -> Result<Vec<Drawn>, String> {
    let (hand, terms) = (fabric.hand, fabric.terms);
    let fabric = arguments.maker.fabric(fabric);
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
    };
    let names = names::file_names(fabric.pieces.iter().map(|piece| piece.name.as_str()));
    let chosen = chosen(&fabric, arguments.piece.as_deref())?;
    let drawn = chosen.into_iter().map(|piece| Drawn {
        name: names[piece].clone(),
        pictures: steps::pictures(source, &fabric, piece, options),
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
