//! `roundwright place`: where attached parts and features sit, in words, for other programs, and as pictures.

use std::path::{Path, PathBuf};

use crate::draw::{self, Ground};
use crate::place::{self, Placement};

use super::arguments::{Format, Place, PlaceFormat};
use super::chart::CHARTS;
use super::console::{Console, clean_lines};
use super::files::{Failure, Folder};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;
use super::{Status, input, json, names};

/// The folder of the pictures, in that of the charts.
const PLACE: &str = "place";
/// Pixels to the inch of the pictures.
const DPI: u32 = 300;

/// Tells where things sit on one pattern.
pub fn run(arguments: &Place, console: &mut Console) -> Status {
    match tell(arguments, console) {
        Ok(status) => status,
        Err(Failure { path, reason }) => {
            console.complain(&path.to_string_lossy(), &reason);
            Status::CouldNotRun
        }
    }
}

fn tell(arguments: &Place, console: &mut Console) -> Result<Status, Failure> {
    let path = &arguments.pattern;
    let name = input::name(path);
    let worked = Worked::told(path, &[], console).map_err(|reason| Failure {
        path: name.clone().into(),
        reason,
    })?;
    let placement = place::place(&worked.source, &worked.pattern, &worked.fabric);
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
        pictures(arguments, path, &worked, &placement, console)?;
    }
    Ok(worked.status)
}

fn pictures(
    arguments: &Place,
    path: &Path,
    worked: &Worked,
    placement: &Placement,
    console: &mut Console,
) -> Result<(), Failure> {
    let folder = match &arguments.out {
        Some(out) => out.clone(),
        None => {
            let folders = names::folder_names(std::iter::once(path));
            let own: PathBuf = folders.into_iter().map(PathBuf::from).collect();
            Path::new(CHARTS).join(own).join(PLACE)
        }
    };
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
    let mut output = Output {
        formats: &formats,
        dpi: DPI,
        ground: Ground::White,
        folder: Folder::open(folder)?,
        console,
    };
    let planned: Vec<String> = drawings
        .iter()
        .map(|drawing| drawing.name.clone())
        .collect();
    output.plan(&planned, std::iter::empty())?;
    output.write_drawings(&drawings)?;
    output.finish(|_| true)
}
