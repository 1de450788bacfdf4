//! `roundwright shape`: the shapes of each pattern's pieces and of the whole toy, drawn or printed.

use std::path::{Path, PathBuf};

use crate::draw::{self, Ground, Plate};
use crate::place::{self, Placement};
use crate::shape::{self, Measures, Relaxed, Shapes};
use crate::toy::{self, Kit, Toy};

use super::arguments::{Format, Shape, ShapeFormat};
use super::chart::chosen;
use super::console::{Console, clean_lines};
use super::each::{Outcome, Patterns, about};
use super::files::{Failure, Folder};
use super::output::Output;
use super::pictures::Drawing;
use super::worked::Worked;
use super::{Status, json, maker, names, obj, problems, progress};

/// The folder of the drawings, in that of the charts.
const SHAPES: &str = "shape";
/// The name of the whole toy's drawing, which no piece's gets.
const WHOLE: &str = "whole";
/// Pixels to the inch of paper.
const DPI: u32 = 300;

/// Finds the shapes of every pattern.
pub fn run(arguments: &Shape, console: &mut Console) -> Status {
    let printed = [ShapeFormat::Text, ShapeFormat::Json, ShapeFormat::Obj];
    if arguments.format.len() > 1 && arguments.format.iter().any(|form| printed.contains(form)) {
        console.complain(
            "--format",
            "text, json and obj are printed, so each stands alone",
        );
        return Status::CouldNotRun;
    }
    let patterns = Patterns {
        paths: &arguments.patterns,
        out: arguments.out.as_deref(),
        inner: Some(SHAPES),
    };
    patterns.each(console, |path, folder, console| {
        shapes(arguments, path, folder, console)
    })
}

fn shapes(
    arguments: &Shape,
    path: &Path,
    folder: PathBuf,
    console: &mut Console,
) -> Result<Status, Failure> {
    let about = about(path);
    let mut worked = Worked::told(path, &[], console).map_err(&about)?;
    worked.fabric = maker::for_hand(worked.fabric, arguments.hand);
    let chosen = chosen(&worked.fabric, arguments.piece.as_deref()).map_err(&about)?;
    let shapes = progress::shapes(&worked);
    let placement = place::place(&worked.source, &worked.pattern, &worked.fabric);
    let found = Found::new(
        &worked,
        &shapes,
        &placement,
        chosen,
        arguments.piece.is_none(),
    );
    let outcome = Outcome {
        is_made: !found.chosen.is_empty(),
        nothing: "there is nothing to shape",
        partial: "the shapes show what could be worked",
    };
    if arguments.piece.is_none() {
        tell_size(&worked, &shapes, &found.kit, found.whole.as_ref(), console);
    }
    if outcome.is_made {
        match arguments.format[..] {
            [ShapeFormat::Text] => console.print(&clean_lines(&found.text())),
            [ShapeFormat::Json] => console.print(&found.json()),
            [ShapeFormat::Obj] => console.print(&found.obj()),
            _ => found.draw(arguments, folder, console)?,
        }
    }
    outcome.tell(path, &worked, console)
}

/// Points out a stated size that the shape contradicts.
pub fn tell_size(
    worked: &Worked,
    shapes: &Shapes,
    kit: &Kit<'_>,
    whole: Option<&Toy>,
    console: &mut Console,
) {
    let Worked {
        source,
        pattern,
        fabric,
        ..
    } = worked;
    if let Some(problem) = toy::size_problem(source, pattern, fabric, shapes, kit, whole) {
        console.warn(&problems::text(source, &[problem], console.colours_err()));
    }
}

/// What was found of a pattern.
struct Found<'a> {
    worked: &'a Worked,
    shapes: &'a Shapes,
    kit: Kit<'a>,
    /// The pieces that have a shape, of those that were asked for.
    chosen: Vec<usize>,
    whole: Option<Toy>,
}

impl<'a> Found<'a> {
    fn new(
        worked: &'a Worked,
        shapes: &'a Shapes,
        placement: &'a Placement,
        mut chosen: Vec<usize>,
        with_whole: bool,
    ) -> Found<'a> {
        let kit = Kit::new(
            &worked.source,
            &worked.pattern,
            &worked.fabric,
            shapes,
            placement,
        );
        chosen.retain(|&piece| !shapes.pieces[piece].points.is_empty());
        let whole = with_whole.then(|| kit.whole()).flatten();
        Found {
            worked,
            shapes,
            kit,
            chosen,
            whole,
        }
    }

    fn measured(&self, piece: usize) -> (&Relaxed, Measures) {
        let shape = &self.shapes.pieces[piece];
        let front = self.kit.front(piece);
        let worked = &self.worked.fabric.pieces[piece];
        (shape, shape::measure(shape, worked, front))
    }

    /// The whole toy, then each piece with its rounds.
    fn text(&self) -> String {
        let fabric = &self.worked.fabric;
        let mut text = String::new();
        if let Some(whole) = &self.whole {
            text += &format!("{}\n{}\n\n", self.title(whole), whole.says(self.shapes));
        }
        for &piece in &self.chosen {
            let (shape, measures) = self.measured(piece);
            let notes = shape::piece_notes(fabric, shape, &measures);
            let name = match fabric.pieces[piece].name.as_str() {
                "" => "Piece without a name",
                name => name,
            };
            text += &format!("{name}\n{}\n\n", notes.join("\n"));
            text += &shape::girths(&measures);
            text.push('\n');
        }
        text + &shape::making_notes(self.shapes).join("\n") + "\n"
    }

    /// The pattern's title, or else the name of the body.
    fn title(&self, whole: &Toy) -> &str {
        let fabric = &self.worked.fabric;
        match fabric.title.is_empty() {
            true => &fabric.pieces[whole.parts[0].piece].name,
            false => &fabric.title,
        }
    }

    fn json(&self) -> String {
        let pieces: Vec<_> = self
            .chosen
            .iter()
            .map(|&piece| self.measured(piece))
            .collect();
        json::shape_line(&self.worked.fabric, &pieces)
    }

    fn obj(&self) -> String {
        let is_part = |piece: &usize| {
            let whole = self.whole.iter().flat_map(|toy| &toy.parts);
            whole.into_iter().any(|part| part.piece == *piece)
        };
        let rest = self.chosen.iter().filter(|piece| !is_part(piece));
        let toys: Vec<Toy> = self
            .whole
            .iter()
            .cloned()
            .chain(rest.map(|&piece| self.kit.alone(piece)))
            .collect();
        obj::mesh(&toys, self.shapes, &self.names()[1..])
    }

    /// The names of the files without ending: that of the whole, then those of all pieces.
    fn names(&self) -> Vec<String> {
        let pieces = self
            .worked
            .fabric
            .pieces
            .iter()
            .map(|piece| piece.name.as_str());
        names::file_names(std::iter::once(WHOLE).chain(pieces))
    }

    fn drawings(&self) -> Vec<Drawing> {
        let fabric = &self.worked.fabric;
        let names = self.names();
        let mut drawings = Vec::new();
        if let Some(whole) = &self.whole {
            let mut notes = vec![whole.says(self.shapes)];
            notes.extend(shape::making_notes(self.shapes));
            let plate = Plate {
                title: self.title(whole),
                toy: whole,
                marks_joins: false,
                notes: &notes,
            };
            drawings.push(Drawing {
                name: names[0].clone(),
                svg: draw::plate_svg(fabric, self.shapes, &plate),
            });
        }
        for &piece in &self.chosen {
            let (shape, measures) = self.measured(piece);
            let mut notes = shape::piece_notes(fabric, shape, &measures);
            if self.whole.is_none() {
                notes.extend(shape::making_notes(self.shapes));
            }
            let plate = Plate {
                title: &fabric.pieces[piece].name,
                toy: &self.kit.alone(piece),
                marks_joins: true,
                notes: &notes,
            };
            drawings.push(Drawing {
                name: names[piece + 1].clone(),
                svg: draw::plate_svg(fabric, self.shapes, &plate),
            });
        }
        drawings
    }

    fn draw(
        &self,
        arguments: &Shape,
        folder: PathBuf,
        console: &mut Console,
    ) -> Result<(), Failure> {
        let formats: Vec<Format> = arguments
            .format
            .iter()
            .filter_map(|format| match format {
                ShapeFormat::Svg => Some(Format::Svg),
                ShapeFormat::Png => Some(Format::Png),
                ShapeFormat::Text | ShapeFormat::Json | ShapeFormat::Obj => None,
            })
            .collect();
        let output = Output {
            formats: &formats,
            dpi: DPI,
            ground: Ground::White,
            folder: Folder::open(folder)?,
            console,
        };
        let drawings = self.drawings();
        let is_narrowed = arguments.piece.is_some();
        let is_drawn = |file: &str| {
            let mut names = drawings.iter().map(|drawing| &drawing.name);
            names.any(|name| names::is_of_piece(file, name))
        };
        output.write_all(&drawings, |file| !is_narrowed || is_drawn(file))
    }
}
