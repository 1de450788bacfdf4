//! `roundwright chart`: the charts of each pattern, written to its folder.

use std::path::{Path, PathBuf};

use crate::chart::{self, Panel};
use crate::draw;
use crate::draw::Ground;
use crate::fabric::Fabric;

use super::arguments::{Chart, Format};
use super::console::Console;
use super::files::{Failure, Folder};
use super::names::{self, KEY};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;
use super::{Status, input, json};

/// Where charts go when nobody says otherwise.
pub const CHARTS: &str = "charts-out";

/// Charts every pattern; one that can't be read or written does not keep the others from it.
pub fn run(arguments: &Chart, console: &mut Console) -> Status {
    let mut status = Status::Fine;
    let folders = folders(arguments);
    for (path, folder) in arguments.patterns.iter().zip(folders) {
        status = status.max(match chart(arguments, path, folder, console) {
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
fn folders(arguments: &Chart) -> Vec<PathBuf> {
    let names = names::folder_names(arguments.patterns.iter().map(PathBuf::as_path));
    match &arguments.out {
        Some(out) if names.len() == 1 => vec![out.clone()],
        Some(out) => names.iter().map(|name| out.join(name)).collect(),
        None => names
            .iter()
            .map(|name| Path::new(CHARTS).join(name))
            .collect(),
    }
}

fn chart(
    arguments: &Chart,
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
    let fabric = arguments.maker.fabric(worked.fabric);
    let chosen = chosen(&fabric, arguments.piece.as_deref()).map_err(about)?;
    let written = write(arguments, &fabric, &chosen, folder, console)?;
    if worked.status == Status::Errors {
        let what = match written {
            true => "the charts show what could be worked",
            false => "there is nothing to chart",
        };
        console.complain(&name, &format!("{tally}; {what}"));
    } else if !written {
        return Err(about("there is nothing to chart".to_owned()));
    }
    Ok(worked.status)
}

/// The pieces to chart: those of the name that was asked for, letter case aside, or all.
pub fn chosen(fabric: &Fabric, name: Option<&str>) -> Result<Vec<usize>, String> {
    let Some(name) = name else {
        return Ok((0..fabric.pieces.len()).collect());
    };
    let wanted = name.trim().to_lowercase();
    let is_wanted = |place: &usize| fabric.pieces[*place].name.to_lowercase() == wanted;
    let chosen: Vec<usize> = (0..fabric.pieces.len()).filter(is_wanted).collect();
    if chosen.is_empty() {
        let names: Vec<_> = fabric
            .pieces
            .iter()
            .map(|piece| piece.name.as_str())
            .collect();
        return Err(format!(
            "no piece is called '{name}'; there are: {}",
            names.join(", ")
        ));
    }
    Ok(chosen)
}

/// A piece on its way to paper.
struct LaidOut {
    /// Its place in the fabric.
    piece: usize,
    /// The name of its files, without ending.
    name: String,
    panels: Vec<Panel>,
}

impl LaidOut {
    /// The names of its panels' files, without ending.
    fn panel_names(&self) -> impl Iterator<Item = String> {
        let count = self.panels.len();
        (0..count).map(move |place| names::panel_name(&self.name, place, count))
    }
}

/// The chosen pieces, laid out; those of which nothing is to be charted left out.
fn lay_out(arguments: &Chart, fabric: &Fabric, chosen: &[usize]) -> Vec<LaidOut> {
    let options = chart::Options {
        rounds: arguments.rounds.clone(),
        layout: arguments.layout.map(|layout| match layout {
            super::arguments::Layout::Rings => chart::Layout::Rings,
            super::arguments::Layout::Strip => chart::Layout::Strip,
        }),
        whole: false,
        large: arguments.maker.look().symbols == draw::SymbolSize::Large,
    };
    let names = names::file_names(fabric.pieces.iter().map(|piece| piece.name.as_str()));
    let pieces = chosen.iter().map(|&piece| LaidOut {
        piece,
        name: names[piece].clone(),
        panels: chart::lay_out(fabric, piece, &options),
    });
    pieces.filter(|piece| !piece.panels.is_empty()).collect()
}

/// Writes the files of the chosen pieces, and the key. False, with nothing touched, if there is nothing to chart.
fn write(
    arguments: &Chart,
    fabric: &Fabric,
    chosen: &[usize],
    folder: PathBuf,
    console: &mut Console,
) -> Result<bool, Failure> {
    let pieces = lay_out(arguments, fabric, chosen);
    if pieces.is_empty() {
        return Ok(false);
    }
    let look = arguments.maker.look();
    let mut key = draw::Key::of(fabric, &(0..fabric.pieces.len()).collect::<Vec<_>>());
    key.look = look;
    let mut output = Output {
        formats: &arguments.format,
        dpi: arguments.dpi,
        ground: Ground::White,
        folder: Folder::open(folder)?,
        console,
    };
    let drawings = pieces.iter().flat_map(LaidOut::panel_names);
    let drawings: Vec<String> = drawings.chain([KEY.to_owned()]).collect();
    output.plan(&drawings, pieces.iter().map(|piece| piece.name.as_str()))?;

    for piece in &pieces {
        let drawing = |(name, panel)| Drawing {
            name,
            svg: draw::panel_svg_in(panel, fabric, look),
        };
        let drawings = piece.panel_names().zip(&piece.panels).map(drawing);
        output.write_drawings(&drawings.collect::<Vec<_>>())?;
        if output.makes(Format::Json) {
            let json = json::chart_file(fabric, piece.piece, &piece.panels);
            output.write(&piece.name, Format::Json, json.as_bytes())?;
        }
    }
    // One key serves all charts of the folder, also those that this run leaves alone.
    output.write_drawings(&[Drawing {
        name: KEY.to_owned(),
        svg: draw::key_svg(&key),
    }])?;

    let is_narrowed = arguments.piece.is_some() || arguments.rounds.is_some();
    let is_charted = |file: &str| pieces.iter().any(|p| names::is_of_piece(file, &p.name));
    output.finish(|file| !is_narrowed || is_charted(file))?;
    Ok(true)
}
