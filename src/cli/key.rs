//! `roundwright key`: the key to a pattern's charts, or the sheet of all symbols.

use std::path::{Path, PathBuf};

use crate::draw::{self, Key};
use crate::terms::Hand;

use super::arguments::{self, Format};
use super::chart::CHARTS;
use super::console::Console;
use super::files::{Failure, Folder};
use super::names::{self, KEY};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;
use super::{Status, input, problems};

/// Pixels to the inch of paper.
const DPI: u32 = 300;

/// Draws the key; one command draws one.
pub fn run(arguments: &arguments::Key, console: &mut Console) -> Status {
    let done = match &arguments.pattern {
        Some(pattern) => of_pattern(arguments, pattern, console),
        None => of_all(arguments, console).map(|()| Status::Fine),
    };
    done.unwrap_or_else(|Failure { path, reason }| {
        console.complain(&path.to_string_lossy(), &reason);
        Status::CouldNotRun
    })
}

fn of_all(arguments: &arguments::Key, console: &mut Console) -> Result<(), Failure> {
    let maker = arguments.maker;
    let hand = maker.hand().unwrap_or(Hand::Right);
    let svg = draw::whole_key_svg(hand, maker.terms(), maker.look());
    let folder = arguments.out.clone();
    let folder = folder.unwrap_or_else(|| Path::new(CHARTS).join(KEY));
    write(svg, folder, console)
}

fn of_pattern(
    arguments: &arguments::Key,
    path: &Path,
    console: &mut Console,
) -> Result<Status, Failure> {
    let read = input::read(path).map_err(|reason| Failure {
        path: input::name(path).into(),
        reason,
    })?;
    let worked = Worked::new(read);
    console.warn(&problems::text(
        &worked.source,
        &worked.problems,
        console.colours_err(),
    ));
    let fabric = arguments.maker.fabric(worked.fabric);
    let all: Vec<usize> = (0..fabric.pieces.len()).collect();
    let mut key = Key::of(&fabric, &all);
    key.look = arguments.maker.look();
    let folder = arguments.out.clone().unwrap_or_else(|| {
        let names = names::folder_names([path]);
        names
            .iter()
            .fold(PathBuf::from(CHARTS), |folder, name| folder.join(name))
    });
    write(draw::key_svg(&key), folder, console)?;
    Ok(worked.status)
}

fn write(svg: String, folder: PathBuf, console: &mut Console) -> Result<(), Failure> {
    let mut output = Output {
        formats: &[Format::Svg, Format::Png],
        dpi: DPI,
        ground: draw::Ground::White,
        folder: Folder::open(folder)?,
        console,
    };
    let name = KEY.to_owned();
    output.plan(std::slice::from_ref(&name), std::iter::empty())?;
    output.write_drawings(&[Drawing { name, svg }])?;
    output.finish(|file| names::is_of_piece(file, KEY))
}
