use std::ops::Range;

use super::numbers::label;
use super::{centred, over};
use crate::chart::captions::in_rows;
use crate::chart::panel::{Ink, Layout, Mark, Tone};
use crate::chart::scene::Scene;
use crate::chart::sizes::LABEL_MM;
use crate::fabric::Piece;
use crate::symbol;
use crate::text::{self, Weight};

/// From the end of a row's band to its count, in mm.
const OFF_MM: f64 = 2.0;

/// How many stitches a round leaves, as its count stands in a chart: nothing for a chain before the first round.
pub(super) fn count(piece: &Piece, rounds: &Range<usize>) -> Option<String> {
    let is_numbered = !label(piece, rounds).is_empty();
    is_numbered.then(|| piece.rounds[rounds.start].count.to_string())
}

/// The counts of rows, each beyond the end of its row. (Those of rings stand with their numbers.)
pub(super) fn counts(scene: &Scene) -> Vec<Mark> {
    // Parts of rows have their neighbours beyond their ends.
    if scene.cut.layout == Layout::Rings || scene.part.is_some() {
        return Vec::new();
    }
    let to_and_fro = in_rows(scene);
    let slots = scene.courses().flat_map(|(_, course)| &course.slots.slots);
    let spots = slots.filter_map(|slot| scene.spots.get(slot.last()));
    let farthest = spots.map(|spot| spot.s).fold(f64::NEG_INFINITY, f64::max);
    let mut ink = Vec::new();
    for (k, course) in scene.courses() {
        let track = &scene.tracks[k];
        let ends = course.slots.slots.iter();
        let ends = ends.filter_map(|slot| scene.spots.get(slot.last()));
        let end = ends.map(|spot| spot.s).fold(f64::NEG_INFINITY, f64::max);
        // Rounds all end on one side: their counts stand in one column.
        let end = if end.is_finite() && !to_and_fro {
            f64::max(end, farthest)
        } else {
            end
        };
        let Some(count) = count(scene.piece, &course.rounds).filter(|_| end.is_finite()) else {
            continue;
        };
        let width = text::extents(&count, LABEL_MM, Weight::Regular).width_mm;
        let s = end + symbol::STITCH_WIDTH_MM / 2.0 + OFF_MM + width / 2.0;
        let at = track.at(s, -course.height_mm / 2.0);
        ink.push(Ink::Words(centred(count, at, Weight::Regular, Tone::Ink)));
    }
    vec![over("", ink)]
}
