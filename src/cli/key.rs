//! `roundwright key`: the key to a pattern's charts, or the sheet of all symbols.

use std::path::{Path, PathBuf};

use crate::draw::{self, Key};
use crate::terms::Hand;

use super::Status;
use super::arguments::{self, Format};
use super::console::Console;
use super::each::{self, CHARTS, Patterns, about};
use super::files::{Failure, Folder};
use super::names::{self, KEY};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;

/// Pixels to the inch of paper.
const DPI: u32 = 300;

/// Draws the key; one command draws one.
pub fn run(arguments: &arguments::Key, console: &mut Console) -> Status {
    let Some(pattern) = &arguments.pattern else {
        return each::told(of_all(arguments, console), console);
    };
    let patterns = Patterns {
        paths: std::slice::from_ref(pattern),
        out: arguments.out.as_deref(),
        inner: None,
    };
    patterns.each(console, |path, folder, console| {
        of_pattern(arguments, path, folder, console)
    })
}

fn of_all(arguments: &arguments::Key, console: &mut Console) -> Result<Status, Failure> {
    let maker = arguments.maker;
    let hand = maker.hand().unwrap_or(Hand::Right);
    let svg = draw::whole_key_svg(hand, maker.terms(), maker.look());
    let folder = arguments.out.clone();
    let folder = folder.unwrap_or_else(|| Path::new(CHARTS).join(KEY));
    write(svg, folder, console)?;
    Ok(Status::Fine)
}

fn of_pattern(
    arguments: &arguments::Key,
    path: &Path,
    folder: PathBuf,
    console: &mut Console,
) -> Result<Status, Failure> {
    let worked = Worked::told(path, &[], console).map_err(about(path))?;
    let fabric = arguments.maker.fabric(worked.fabric);
    let all: Vec<usize> = (0..fabric.pieces.len()).collect();
    let mut key = Key::of(&fabric, &all);
    key.look = arguments.maker.look();
    write(draw::key_svg(&key), folder, console)?;
    Ok(worked.status)
}

fn write(svg: String, folder: PathBuf, console: &mut Console) -> Result<(), Failure> {
    let output = Output {
        formats: &[Format::Svg, Format::Png],
        dpi: DPI,
        ground: draw::Ground::White,
        folder: Folder::open(folder)?,
        console,
    };
    let name = KEY.to_owned();
    output.write_all(&[Drawing { name, svg }], |file| {
        names::is_of_piece(file, KEY)
    })
}
