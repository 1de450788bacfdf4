use serde::Serialize;

use super::{FORMAT, hundredths, safe};
use crate::fabric::{Fabric, StitchId};
use crate::shape::{Measures, Relaxed};

/// The shapes of some pieces, each with its measures, as one line of JSON.
pub fn shape_line(fabric: &Fabric, pieces: &[(&Relaxed, Measures)]) -> String {
    safe::line(&Report {
        format: FORMAT,
        pieces: pieces
            .iter()
            .map(|(shape, measures)| Piece::new(fabric, shape, measures))
            .collect(),
    })
}

#[derive(Serialize)]
struct Report<'a> {
    format: u32,
    pieces: Vec<Piece<'a>>,
}

#[derive(Serialize)]
struct Piece<'a> {
    name: &'a str,
    #[serde(serialize_with = "hundredths")]
    height_cm: f64,
    #[serde(serialize_with = "hundredths")]
    width_cm: f64,
    #[serde(serialize_with = "hundredths")]
    depth_cm: f64,
    #[serde(serialize_with = "hundredths")]
    stuffing_cm3: f64,
    rounds: Vec<Round>,
    stitches: Vec<Stitch>,
}

impl<'a> Piece<'a> {
    fn new(fabric: &'a Fabric, shape: &Relaxed, measures: &Measures) -> Piece<'a> {
        let piece = &fabric.pieces[shape.piece];
        let strains = shape.strains();
        let stitches = piece.stitches.iter().enumerate().map(|(place, stitch)| {
            let id = StitchId(place as u32);
            let at = shape.head(piece, id);
            let point = shape.web.of_stitch[place];
            Stitch {
                id: id.0,
                round: piece.rounds[stitch.round as usize].number,
                index: stitch.index + 1,
                x_cm: at.x,
                y_cm: at.y,
                z_cm: at.z,
                strain: point.map_or(0.0, |point| strains[point as usize]),
            }
        });
        Piece {
            name: &piece.name,
            height_cm: measures.height_cm,
            width_cm: measures.width_cm,
            depth_cm: measures.depth_cm,
            stuffing_cm3: measures.stuffing_cm3,
            rounds: measures
                .rounds
                .iter()
                .map(|&(round, around_cm)| Round { round, around_cm })
                .collect(),
            stitches: stitches.collect(),
        }
    }
}

#[derive(Serialize)]
struct Round {
    round: u32,
    #[serde(serialize_with = "hundredths")]
    around_cm: f64,
}

#[derive(Serialize)]
struct Stitch {
    id: u32,
    round: u32,
    index: u32,
    #[serde(serialize_with = "thousandths")]
    x_cm: f64,
    #[serde(serialize_with = "thousandths")]
    y_cm: f64,
    #[serde(serialize_with = "thousandths")]
    z_cm: f64,
    #[serde(serialize_with = "thousandths")]
    strain: f64,
}

/// Centimetres to a hundredth of a millimetre, strains to a thousandth: the same digits everywhere.
fn thousandths<S: serde::Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    // Adding zero turns -0.0 into 0.0.
    serializer.serialize_f64((value * 1000.0).round() / 1000.0 + 0.0)
}
