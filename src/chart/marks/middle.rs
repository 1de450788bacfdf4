use kurbo::Point;

use super::over;
use crate::chart::panel::{Ink, Layout, Mark, Tone};
use crate::chart::scene::Scene;
use crate::chart::sizes::MAGIC_RING_MM;
use crate::chart::track::Track;
use crate::symbol;
use crate::terms::Into;

/// The magic ring, where the panel starts from one.
pub(super) fn middle(scene: &Scene) -> Vec<Mark> {
    let Some(first) = scene.cut.courses.first() else {
        return Vec::new();
    };
    let is_whole = scene.cut.layout == Layout::Rings && scene.cut.anchor.is_none();
    if !is_whole || scene.part.is_some() {
        return Vec::new();
    }
    let in_ring = first.slots.start.is_empty()
        && scene
            .piece
            .round_stitches(&scene.piece.rounds[first.rounds.start])
            .any(|(_, stitch)| stitch.into == Into::Ring);
    let radius_mm = match scene.ground {
        Track::Ring(ring) => ring.radius_mm,
        Track::Row(_) => MAGIC_RING_MM,
    };
    if in_ring {
        let ring = symbol::magic_ring(Point::ORIGIN, radius_mm);
        vec![over("Magic ring", vec![Ink::Symbol(ring, Tone::Ink)])]
    } else {
        Vec::new()
    }
}
