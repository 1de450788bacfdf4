//! The pictures of the pages: charts, step pictures, shapes and plans, each with what it says.

use std::collections::BTreeMap;

use super::Photo;
use super::document::Figure;
use super::made::Made;
use crate::chart::{self, Panel};
use crate::draw::{self, InkUse, Key, Look, Plate};
use crate::steps;

/// Room for the picture beside the title, in mm.
const PORTRAIT_MM: (f64, f64) = (66.0, 74.0);
/// Step pictures of one piece at most.
const MOST_STEPS: usize = 6;
/// How much smaller step pictures are than their cards.
const STEP_SCALE: f64 = 0.88;

/// The files of a document's pictures, by name.
#[derive(Debug, Default)]
pub struct Figures {
    files: BTreeMap<String, Vec<u8>>,
    look: Look,
}

impl Figures {
    pub fn new(low_ink: bool) -> Figures {
        Figures {
            files: BTreeMap::new(),
            look: Look {
                ink: match low_ink {
                    true => InkUse::Low,
                    false => InkUse::Full,
                },
                ..Look::default()
            },
        }
    }

    /// The files.
    pub fn into_files(self) -> BTreeMap<String, Vec<u8>> {
        self.files
    }

    fn add(&mut self, svg: String, alt: String) -> Figure {
        let (width_mm, height_mm) = size_mm(&svg);
        let file = format!("figure-{}.svg", self.files.len() + 1);
        self.files.insert(file.clone(), svg.into_bytes());
        Figure {
            file,
            alt,
            width_mm,
            height_mm,
        }
    }

    /// The designer's own picture.
    pub fn photo(&mut self, photo: &Photo, title: &str) -> Figure {
        let file = format!("photo.{}", photo.ending);
        self.files.insert(file.clone(), photo.bytes.clone());
        Figure {
            file,
            alt: format!("Photograph: {title}"),
            width_mm: 0.0,
            height_mm: 0.0,
        }
    }

    /// The finished toy, or the first piece, seen from the front.
    pub fn portrait(&mut self, made: &Made<'_>, title: &str) -> Option<Figure> {
        let first = made
            .shapes
            .pieces
            .iter()
            .position(|piece| !piece.points.is_empty())?;
        let alone;
        let (seen, size) = match &made.whole {
            Some(whole) => (whole, whole.says(&made.shapes)),
            None => {
                alone = made.kit().alone(first);
                (&alone, made.size_of(first).unwrap_or_default())
            }
        };
        let svg = draw::portrait_svg(made.fabric, &made.shapes, seen, PORTRAIT_MM);
        let mut figure = self.add(
            svg,
            format!("Drawing of the finished work, {title}, stitch by stitch. {size}"),
        );
        (figure.width_mm, figure.height_mm) = (0.0, 0.0);
        Some(figure)
    }

    /// The whole toy from three sides.
    pub fn whole(&mut self, made: &Made<'_>) -> Option<Figure> {
        let whole = made.whole.as_ref()?;
        let notes = [whole.says(&made.shapes)];
        let plate = Plate {
            title: "The shape",
            toy: whole,
            marks_joins: false,
            notes: &notes,
        };
        let svg = draw::plate_svg(made.fabric, &made.shapes, &plate);
        Some(self.add(svg, format!("Drawings of the finished toy from the front, from its own left and from above, with a scale. {}", notes[0])))
    }

    /// The key to the charts.
    pub fn key(&mut self, made: &Made<'_>) -> Option<Figure> {
        let all: Vec<usize> = (0..made.fabric.pieces.len()).collect();
        let mut key = Key::of(made.fabric, &all);
        if key.entries.is_empty() {
            return None;
        }
        key.look = self.look;
        let terms = made.fabric.terms;
        let named: Vec<String> = key
            .entries
            .iter()
            .map(|entry| format!("{}, {}", entry.abbreviation(terms), entry.name(terms)))
            .collect();
        let alt = format!("Key to the symbols of the charts: {}.", named.join("; "));
        Some(self.add(draw::key_svg(&key), alt))
    }

    /// The charts of a piece, and pictures of the rounds in which parts are joined.
    pub fn of_piece(&mut self, made: &Made<'_>, piece: usize) -> Vec<Figure> {
        let panels = chart::lay_out(made.fabric, piece, &chart::Options::default());
        let mut figures: Vec<Figure> = panels.iter().map(|panel| self.chart(made, panel)).collect();
        figures.extend(self.joins(made, piece));
        figures
    }

    fn chart(&mut self, made: &Made<'_>, panel: &Panel) -> Figure {
        let svg = draw::panel_svg_in(panel, made.fabric, self.look);
        self.add(
            svg,
            format!("Chart. {}. {}", panel.title, panel.description),
        )
    }

    fn joins(&mut self, made: &Made<'_>, piece: usize) -> Vec<Figure> {
        let worked = &made.fabric.pieces[piece];
        let mut numbers: Vec<u32> = worked
            .joins
            .iter()
            .filter_map(|join| {
                worked
                    .rounds
                    .get(join.round as usize)
                    .map(|round| round.number)
            })
            .collect();
        numbers.dedup();
        if numbers.is_empty() {
            return Vec::new();
        }
        let options = steps::Options {
            stitch_mm: Some(made.shapes.gauge.width_mm),
            look: self.look,
            other_hand: made.hand_differs,
            ..steps::Options::default()
        };
        let pictures = steps::pictures(made.source, made.fabric, piece, options);
        let wanted = |label: &str| numbers.iter().any(|number| number.to_string() == label);
        pictures
            .into_iter()
            .filter(|picture| wanted(&picture.label))
            .take(MOST_STEPS)
            .map(|picture| {
                let alt = format!("Step picture of round {}: the stitches to work into, and the parts to hold. Its words are in the table of rounds.", picture.label);
                let mut figure = self.add(picture.svg, alt);
                // Two cards stand side by side on a page.
                figure.width_mm *= STEP_SCALE;
                figure.height_mm *= STEP_SCALE;
                figure
            })
            .collect()
    }

    /// A plan of a piece seen along its axis, with what sits on it.
    pub fn plan(&mut self, made: &Made<'_>, piece: usize) -> Option<Figure> {
        let svg = draw::plan_svg(&made.placement, made.fabric, piece)?;
        let name = made.fabric.pieces[piece].name.trim();
        Some(self.add(svg, format!("Plan of {name} seen along its axis, with each part and feature on its round. The table has the same in words.")))
    }
}

/// Width and height that an SVG of ours states, in mm.
fn size_mm(svg: &str) -> (f64, f64) {
    let side = |name: &str| {
        let at = svg.find(&format!(" {name}=\""))? + name.len() + 3;
        let value = svg[at..].split("mm\"").next()?;
        value.parse::<f64>().ok()
    };
    let root = &svg[..svg.find('>').unwrap_or(svg.len())];
    match (side("width"), side("height")) {
        (Some(width), Some(height)) if root.contains("mm\"") => (width, height),
        _ => (0.0, 0.0),
    }
}
