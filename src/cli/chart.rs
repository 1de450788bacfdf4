//! `roundwright chart`: the charts of each pattern, written to its folder.

use std::path::{Path, PathBuf};

use crate::chart::{self, Panel};
use crate::draw;
use crate::draw::Ground;
use crate::fabric::Fabric;

use super::arguments::{Chart, Format};
use super::console::Console;
use super::each::{Outcome, Patterns, about};
use super::files::{Failure, Folder};
use super::names::{self, KEY};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;
use super::{Status, json};

/// Charts every pattern.
pub fn run(arguments: &Chart, console: &mut Console) -> Status {
    let patterns = Patterns {
        paths: &arguments.patterns,
        out: arguments.out.as_deref(),
        inner: None,
    };
    patterns.each(console, |path, folder, console| {
        chart(arguments, path, folder, console)
    })
}

fn chart(
    arguments: &Chart,
    path: &Path,
    folder: PathBuf,
    console: &mut Console,
) -> Result<Status, Failure> {
    let about = about(path);
    let mut worked = Worked::told(path, &arguments.lengths.lengths, console).map_err(&about)?;
    worked.fabric = arguments.maker.fabric(worked.fabric);
    let chosen = chosen(&worked.fabric, arguments.piece.as_deref()).map_err(&about)?;
    let outcome = Outcome {
        is_made: write(arguments, &worked.fabric, &chosen, folder, console)?,
        nothing: "there is nothing to chart",
        partial: "the charts show what could be worked",
    };
    outcome.tell(path, &worked, console)
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
