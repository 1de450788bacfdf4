use std::ops::Range;

use super::numbers::label;
use super::{centred, over};
use crate::chart::panel::{Ink, Mark, Tone};
use crate::chart::scene::Scene;
use crate::chart::sizes::LABEL_MM;
use crate::chart::track::Track;
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

/// The counts of rows and of parts of rings, each beyond the end of its line. (Those of whole rings stand with their numbers.)
pub(super) fn counts(scene: &Scene) -> Vec<Mark> {
    let is_last_part = scene
        .part
        .as_ref()
        .is_none_or(|part| part.number == part.of);
    if !scene.has_ends() || !is_last_part {
        return Vec::new();
    }
    let mut ink = Vec::new();
    for (k, course) in scene.courses() {
        let track = &scene.tracks[k];
        let ends = course.slots.slots.iter();
        let ends = ends.filter_map(|slot| scene.spots.get(slot.last()));
        let end = ends.map(|spot| spot.s).fold(f64::NEG_INFINITY, f64::max);
        let Some(count) = count(scene.piece, &course.rounds).filter(|_| end.is_finite()) else {
            continue;
        };
        let width = text::extents(&count, LABEL_MM, Weight::Regular).width_mm;
        let s = end + symbol::STITCH_WIDTH_MM / 2.0 + OFF_MM + width / 2.0;
        let below = scene.below(k);
        let at = match track {
            Track::Ring(_) => track
                .at(s, 0.0)
                .midpoint(below.at(track.carry(s, below), 0.0)),
            Track::Row(_) => track.at(s, -course.height_mm / 2.0),
        };
        ink.push(Ink::Words(centred(count, at, Weight::Regular, Tone::Ink)));
    }
    vec![over("", ink)]
}
