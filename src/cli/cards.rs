//! `roundwright cards`: pictures for screens and shops.

use std::mem;
use std::path::{Path, PathBuf};

use crate::cards::{self, DPI};
use crate::draw;
use crate::steps;

use super::arguments::{Cards, Format, Ground};
use super::console::Console;
use super::each::{Outcome, Patterns, about};
use super::files::{Failure, Folder};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;
use super::{Status, names};

/// The folder of the pictures, in that of the charts.
const CARDS: &str = "cards";

/// Draws the pictures of every pattern.
pub fn run(arguments: &Cards, console: &mut Console) -> Status {
    let patterns = Patterns {
        paths: &arguments.patterns,
        out: arguments.out.as_deref(),
        inner: Some(CARDS),
    };
    patterns.each(console, |path, folder, console| {
        draw_cards(arguments, path, folder, console)
    })
}

fn draw_cards(
    arguments: &Cards,
    path: &Path,
    folder: PathBuf,
    console: &mut Console,
) -> Result<Status, Failure> {
    let mut worked =
        Worked::told(path, &arguments.lengths.lengths, console).map_err(about(path))?;
    let (hand, terms) = (worked.fabric.hand, worked.fabric.terms);
    worked.fabric = arguments.maker.fabric(mem::take(&mut worked.fabric));
    let (source, pattern, fabric) = (&worked.source, &worked.pattern, &worked.fabric);
    let look = arguments.maker.look();
    let shop: Vec<Drawing> = cards::cards(source, pattern, fabric, look)
        .into_iter()
        .map(|card| Drawing {
            name: card.label,
            svg: card.svg,
        })
        .collect();
    if !shop.is_empty() {
        let ground = match arguments.ground {
            Ground::White => draw::Ground::White,
            Ground::Clear => draw::Ground::Clear,
        };
        let options = steps::Options {
            stitch_mm: Some(worked.stitch_mm()),
            size: steps::Size::Video,
            ground,
            look,
            other_hand: fabric.hand != hand,
            other_terms: fabric.terms != terms,
        };
        let names = names::file_names(fabric.pieces.iter().map(|piece| piece.name.as_str()));
        let of_piece = |piece: usize| {
            let pictures = steps::pictures(source, fabric, piece, options);
            let name = format!("step-{}", names[piece]);
            pictures.into_iter().map(move |picture| Drawing {
                name: format!("{name}-{}", picture.label),
                svg: picture.svg,
            })
        };
        let video: Vec<Drawing> = (0..fabric.pieces.len()).flat_map(of_piece).collect();
        let mut output = Output {
            formats: &[Format::Png],
            dpi: DPI,
            ground,
            folder: Folder::open(folder)?,
            console,
        };
        let files: Vec<String> = shop
            .iter()
            .chain(&video)
            .map(|drawing| drawing.name.clone())
            .collect();
        output.plan(&files, std::iter::empty())?;
        output.write_drawings(&shop)?;
        output.write_drawings(&video)?;
        output.finish(|_| true)?;
    }
    let outcome = Outcome {
        is_made: !shop.is_empty(),
        nothing: "there is nothing to draw",
        partial: "the pictures show what could be worked",
    };
    outcome.tell(path, &worked, console)
}
