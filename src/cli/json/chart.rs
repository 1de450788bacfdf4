use serde::{Serialize, Serializer};

use super::lengths::{Length, lengths};
use super::{FORMAT, hundredths, rounded, safe};
use crate::chart;
use crate::fabric::{Fabric, Piece};
use crate::terms::Terms;

/// The panels of a piece with every stitch's place, as one line of JSON.
pub fn chart_file(fabric: &Fabric, piece: usize, panels: &[chart::Panel]) -> String {
    let worked = &fabric.pieces[piece];
    safe::line(&Chart {
        format: FORMAT,
        piece: &worked.name,
        panels: panels
            .iter()
            .map(|panel| Panel::new(fabric, worked, panel))
            .collect(),
        lengths: lengths(worked),
    })
}

#[derive(Serialize)]
struct Chart<'a> {
    format: u32,
    piece: &'a str,
    panels: Vec<Panel<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    lengths: Vec<Length>,
}

#[derive(Serialize)]
struct Panel<'a> {
    layout: &'static str,
    direction: &'static str,
    part: Option<Part>,
    first: u32,
    last: u32,
    #[serde(serialize_with = "hundredths")]
    width_mm: f64,
    #[serde(serialize_with = "hundredths")]
    height_mm: f64,
    stitches: Vec<Stitch<'a>>,
}

impl<'a> Panel<'a> {
    fn new(fabric: &'a Fabric, piece: &'a Piece, panel: &'a chart::Panel) -> Panel<'a> {
        let stitches = panel.stitches.iter();
        Panel {
            layout: panel.layout.name(),
            direction: panel.direction.name(),
            part: panel.part.map(|part| Part {
                number: part.number,
                of: part.of,
            }),
            first: panel.first,
            last: panel.last,
            width_mm: panel.width_mm,
            height_mm: panel.height_mm,
            stitches: stitches
                .map(|placed| Stitch::new(fabric, piece, panel, placed))
                .collect(),
        }
    }
}

/// Which part of its rounds a panel shows.
#[derive(Serialize)]
struct Part {
    number: usize,
    of: usize,
}

#[derive(Serialize)]
struct Stitch<'a> {
    id: u32,
    round: u32,
    index: u32,
    stitch: String,
    yarn: Option<&'a str>,
    #[serde(serialize_with = "hundredths")]
    x_mm: f64,
    #[serde(serialize_with = "hundredths")]
    y_mm: f64,
    #[serde(serialize_with = "points")]
    foot_mm: &'a [kurbo::Point],
    worked_into: Vec<u32>,
    into: &'static str,
    joins: Option<Joins<'a>>,
}

impl<'a> Stitch<'a> {
    fn new(
        fabric: &'a Fabric,
        piece: &'a Piece,
        panel: &'a chart::Panel,
        placed: &'a chart::Placed,
    ) -> Stitch<'a> {
        let stitch = piece.stitch(placed.id);
        let join = stitch.join.map(|place| &piece.joins[place as usize]);
        Stitch {
            id: placed.id.0,
            round: piece.rounds[stitch.round as usize].number,
            index: stitch.index + 1,
            stitch: stitch.kind.abbreviation(Terms::Us),
            yarn: stitch
                .yarn
                .map(|yarn| fabric.yarns[usize::from(yarn.0)].letter.as_str()),
            x_mm: placed.head.x,
            y_mm: placed.head.y,
            foot_mm: panel.feet(placed),
            worked_into: piece.feet(placed.id).iter().map(|foot| foot.0).collect(),
            into: stitch.into.name(),
            joins: join.map(|join| Joins {
                part: &fabric.pieces[join.part].name,
                copy: join.copy,
                layers: join.layers,
            }),
        }
    }
}

/// The other piece that a stitch goes through as well.
#[derive(Serialize)]
struct Joins<'a> {
    part: &'a str,
    copy: u32,
    layers: u32,
}

fn points<S: Serializer>(points: &[kurbo::Point], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(
        points
            .iter()
            .map(|point| [rounded(point.x), rounded(point.y)]),
    )
}
