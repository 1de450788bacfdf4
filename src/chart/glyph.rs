//! Each stitch's head with what is drawn for it.

use kurbo::Point;

use super::panel::{Direction, Glyph};
use super::scene::{Scene, Spot};
use super::sizes::{CHAIN_MM, PICOT_HEIGHT_MM};
use super::slots::{HIGHEST_ARCH_MM, Slot, SlotKind, Slots, makes_own_chain};
use super::track::Track;
use crate::fabric::StitchId;
use crate::symbol;
use crate::terms::{Height, Into};

/// From the middle of a slip stitch's dot to its head, in mm.
pub(super) const DOT_DROP_MM: f64 = 0.9;

/// How far legs keep off a chain that they stand on.
pub(super) const OFF_CHAIN_MM: f64 = 0.75;

/// The same beside its ends.
pub(super) const HALF_CHAIN_MM: f64 = 1.4;

/// For each slot, how far a bridging chain is lifted off its line, in mm, and how steeply it rises there: a run of them is an arch.
pub(super) fn arches(slots: &Slots, places: &[f64]) -> Vec<(f64, f64)> {
    use std::f64::consts::PI;
    let mut lifts = vec![(0.0, 0.0); places.len()];
    let is_chain = |slot: &Slot| matches!(slot.kind, SlotKind::Chain(_));
    let mut first = 0;
    for run in slots.slots.chunk_by(|a, b| is_chain(a) == is_chain(b)) {
        let last = first + run.len() - 1;
        let whole = run.len() + usize::from(slots.closed()) >= places.len();
        if is_chain(&run[0]) && run.len() > 1 && !whole {
            let from = places[first] - CHAIN_MM / 2.0;
            let span = places[last] + CHAIN_MM / 2.0 - from;
            let height = (0.35 * (last - first) as f64).min(HIGHEST_ARCH_MM);
            for i in first..=last {
                let turn = PI * (places[i] - from) / span;
                lifts[i] = (
                    height * libm::sin(turn),
                    height * PI / span * libm::cos(turn),
                );
            }
        }
        first = last + 1;
    }
    lifts
}

pub(super) fn set_stitch(scene: &mut Scene, id: StitchId, track: &Track, s: f64) {
    let stitch = scene.piece.stitch(id);
    let wrong_side = scene.piece.rounds[stitch.round as usize].wrong_side;
    let into = symbol::seen_from_right_side(stitch.into, wrong_side);
    let head = track.at(s, 0.0);
    let feet = scene.piece.feet(id).iter();
    let off_feet = feet.map(|&foot| off_chain(scene, stitch.into, foot, head));
    let off_feet = off_feet.fold(0.0, f64::max);
    let clear_mm = match stitch.into {
        Into::Ring if !scene.piece.feet(id).is_empty() => OFF_CHAIN_MM,
        Into::Ring | Into::Part => 0.0,
        Into::Chain if makes_own_chain(scene.piece, id) => OFF_CHAIN_MM,
        _ => off_feet,
    };
    let glyph = if stitch.kind.height == Height::Slip {
        let up = match scene.cut.direction {
            Direction::Outward => track.up(s),
            Direction::Inward => -track.up(s),
        };
        Glyph::Dot { up }
    } else {
        Glyph::Stitch {
            kind: stitch.kind,
            into,
            clear_mm,
        }
    };
    scene.spots.set(
        id,
        Spot {
            head: track.at(s, 0.0),
            track: *track,
            s,
            glyph,
        },
    );
}

/// How far a stitch's symbol keeps off a foot, in mm: beyond the edge of a chain's oval on the side of the head.
fn off_chain(scene: &Scene, into: Into, foot: StitchId, head: Point) -> f64 {
    let Some(spot) = scene.spots.get(foot) else {
        return 0.0;
    };
    match spot.glyph {
        Glyph::Chain {
            centre, direction, ..
        } if centre == spot.head => {
            if into == Into::Space {
                return OFF_CHAIN_MM;
            }
            let way = (head - centre).normalize();
            let along = way.dot(direction.normalize()) / HALF_CHAIN_MM;
            let across = way.cross(direction.normalize()) / OFF_CHAIN_MM;
            1.0 / libm::sqrt(along * along + across * across)
        }
        _ => 0.0,
    }
}

/// True if a stitch is drawn as an oval about its head.
pub(super) fn lies_along(scene: &Scene, id: StitchId) -> bool {
    scene.spots.get(id).is_some_and(
        |spot| matches!(spot.glyph, Glyph::Chain { centre, .. } if centre == spot.head),
    )
}

/// A picot on its own place: the chains run up one side of the loop and down the other.
pub(super) fn set_picot(scene: &mut Scene, first: StitchId, count: u32, track: &Track, s: f64) {
    let up = track.up(s);
    let along = track.along(s);
    let at = track.at(s, 0.6);
    let is_chain = |id: u32| scene.piece.stitch(StitchId(id)).kind.height == Height::Chain;
    let stitches = first.0..first.0 + count;
    let chains = stitches.clone().filter(|&id| is_chain(id)).count() as u32;
    let radius = (PICOT_HEIGHT_MM - 1.2) / 2.0;
    let mut made = 0;
    for id in stitches {
        let head = if is_chain(id) {
            made += 1;
            let turn = std::f64::consts::TAU * f64::from(made) / f64::from(chains + 1);
            at + up * (radius * (1.0 - libm::cos(turn))) - along * (radius * libm::sin(turn))
        } else {
            at
        };
        let glyph = if id == first.0 {
            Glyph::Picot { at, up, chains }
        } else {
            Glyph::None
        };
        let track = *track;
        scene.spots.set(
            StitchId(id),
            Spot {
                head,
                track,
                s,
                glyph,
            },
        );
    }
}
