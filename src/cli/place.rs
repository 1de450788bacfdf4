//! `roundwright place`: where attached parts and features sit, in words, for other programs, and as pictures.

use std::path::{Path, PathBuf};

use crate::draw::{self, Ground};
use crate::place::{self, Placement};

use super::arguments::{Format, Place, PlaceFormat};
use super::console::{Console, clean_lines};
use super::each::{Patterns, about};
use super::files::{Failure, Folder};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;
use super::{Status, json, maker, names, progress};

/// The folder of the pictures, in that of the charts.
const PLACE: &str = "place";
/// Pixels to the inch of the pictures.
const DPI: u32 = 300;

/// Tells where things sit on one pattern.
pub fn run(arguments: &Place, console: &mut Console) -> Status {
    let patterns = Patterns {
        paths: std::slice::from_ref(&arguments.pattern),
        out: arguments.out.as_deref(),
        inner: Some(PLACE),
    };
    patterns.each(console, |path, folder, console| {
        tell(arguments, path, folder, console)
    })
}

fn tell(
    arguments: &Place,
    path: &Path,
    folder: PathBuf,
    console: &mut Console,
) -> Result<Status, Failure> {
    let mut worked = Worked::told(path, &[], console).map_err(about(path))?;
    worked.fabric = maker::for_hand(worked.fabric, arguments.hand);
    let mut placement = place::place(&worked.source, &worked.pattern, &worked.fabric);
    if !placement.attachments.is_empty() {
        let shapes = progress::shapes(&worked);
        placement.measure(&worked.fabric, &shapes);
    }
    let asks = |format| arguments.format.contains(&format);
    if asks(PlaceFormat::Json) {
        console.print(&json::place_line(&worked.fabric, &placement));
    }
    if asks(PlaceFormat::Text) {
        let text = match placement.attachments.is_empty() {
            true => "Nothing is attached to anything, as far as the words tell.\n".to_owned(),
            false => placement.text(&worked.fabric),
        };
        console.print(&clean_lines(&text));
    }
    if asks(PlaceFormat::Svg) || asks(PlaceFormat::Png) {
        pictures(arguments, folder, &worked, &placement, console)?;
    }
    Ok(worked.status)
}

fn pictures(
    arguments: &Place,
    folder: PathBuf,
    worked: &Worked,
    placement: &Placement,
    console: &mut Console,
) -> Result<(), Failure> {
    let formats: Vec<Format> = [
        (PlaceFormat::Svg, Format::Svg),
        (PlaceFormat::Png, Format::Png),
    ]
    .into_iter()
    .filter(|(asked, _)| arguments.format.contains(asked))
    .map(|(_, format)| format)
    .collect();
    let pieces = &worked.fabric.pieces;
    let files = names::file_names(pieces.iter().map(|piece| piece.name.as_str()));
    let mut drawings = Vec::new();
    for (piece, name) in files.iter().enumerate() {
        let plan = draw::plan_svg(placement, &worked.fabric, piece);
        let unrolled = draw::unrolled_svg(placement, &worked.fabric, piece);
        for (svg, kind) in [(plan, "plan"), (unrolled, "unrolled")] {
            drawings.extend(svg.map(|svg| Drawing {
                name: format!("{name}-{kind}"),
                svg,
            }));
        }
    }
    let output = Output {
        formats: &formats,
        dpi: DPI,
        ground: Ground::White,
        folder: Folder::open(folder)?,
        console,
    };
    output.write_all(&drawings, |_| true)
}
