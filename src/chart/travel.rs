//! Slip stitches that move the hook along.

use kurbo::{Line, ParamCurveNearest, Point};

use super::glyph::{DOT_DROP_MM, HALF_CHAIN_MM};
use super::panel::{Direction, Glyph};
use super::scene::{Scene, Spot};
use super::sheet::under_space;
use super::slots::Slots;
use crate::fabric::StitchId;
use crate::symbol::PEN_MM;
use crate::terms::Into;

/// Where the dot of a slip stitch that moves the hook may stand, from a head that it is worked into: before it, in mm.
const TRAVEL_BACK_MM: [f64; 15] = [
    1.1, 1.4, 1.75, 0.7, -1.1, -1.4, -1.75, -0.7, 0.0, 2.2, 2.8, 3.4, -2.2, -2.8, -3.4,
];

/// See [`TRAVEL_BACK_MM`]: above it, in mm.
const TRAVEL_ABOVE_MM: [f64; 4] = [0.85, 1.2, 1.6, 0.6];

/// Radius of a slip stitch's dot, in mm.
const DOT_MM: f64 = 0.62;

/// From the middle of a slip stitch's dot, more room than this is no better, in mm.
const ENOUGH_MM: f64 = 1.1;

/// Half of an oval's width with its line, and half of the bar at a head, in mm.
const HALF_OVAL_MM: f64 = 0.86;

/// See [`HALF_OVAL_MM`].
const HALF_BAR_MM: f64 = 1.3;

/// Slip stitches that move the hook along, each on what it is worked into: of the places about it, where most paper is free.
pub(super) fn place_travels(scene: &mut Scene, slots: &Slots) {
    let mut dots: Vec<Point> = Vec::new();
    for &id in &slots.travels {
        let feet = scene.piece.feet(id);
        let under: Vec<Spot> = feet
            .iter()
            .filter_map(|&foot| scene.spots.get(foot))
            .copied()
            .collect();
        let Some(first) = under.first().copied() else {
            continue;
        };
        let up = match scene.cut.direction {
            Direction::Outward => first.track.up(first.s),
            Direction::Inward => -first.track.up(first.s),
        };
        let ink = ink_near(scene, slots, &first);
        let mut best = (first.head, f64::NEG_INFINITY);
        for spot in &under {
            for back in TRAVEL_BACK_MM {
                for above in TRAVEL_ABOVE_MM {
                    let at = spot.head - spot.track.along(spot.s) * back + up * above;
                    let lines = ink
                        .iter()
                        .map(|(line, half_mm)| line.nearest(at, 1e-3).distance_sq.sqrt() - half_mm);
                    let others = dots.iter().map(|dot| dot.distance(at) - DOT_MM);
                    let clear = lines.chain(others).fold(ENOUGH_MM, f64::min);
                    if clear > best.1 + 0.01 {
                        best = (at, clear);
                    }
                }
            }
        }
        dots.push(best.0);
        scene.spots.set(
            id,
            Spot {
                head: best.0 + up * DOT_DROP_MM,
                glyph: Glyph::Dot { up },
                ..first
            },
        );
    }
}

/// The ink about a place between a round and the one below, roughly: lines, each with half of its width in mm.
fn ink_near(scene: &Scene, slots: &Slots, about: &Spot) -> Vec<(Line, f64)> {
    const NEAR_MM: f64 = 16.0;
    let mut ink = Vec::new();
    let mut add = |spot: &Spot, feet: &[Point]| {
        if spot.head.distance(about.head) > NEAR_MM {
            return;
        }
        match spot.glyph {
            Glyph::Chain {
                centre, direction, ..
            } => {
                let half = direction.normalize() * (HALF_CHAIN_MM - HALF_OVAL_MM);
                ink.push((Line::new(centre - half, centre + half), HALF_OVAL_MM));
            }
            Glyph::Stitch { .. } => {
                let along = spot.track.along(spot.s) * HALF_BAR_MM;
                let bar = spot.head - spot.track.up(spot.s) * 0.5;
                ink.push((Line::new(bar - along, bar + along), PEN_MM / 2.0));
                let legs = feet.iter().map(|&foot| Line::new(foot, spot.head));
                ink.extend(legs.map(|leg| (leg, PEN_MM / 2.0)));
            }
            Glyph::Dot { up } => {
                let dot = spot.head - up * DOT_DROP_MM;
                ink.push((Line::new(dot, dot), DOT_MM));
            }
            Glyph::Picot { .. } | Glyph::None => {}
        }
    };
    let below = &scene.piece.rounds[about_round(scene, slots)];
    for (id, _) in scene.piece.round_stitches(below) {
        if let Some(spot) = scene.spots.get(id) {
            add(spot, &[]);
        }
    }
    for slot in &slots.slots {
        for id in slot.first().0..=slot.last().0 {
            if let Some(spot) = scene.spots.get(StitchId(id)) {
                add(spot, &standing(scene, StitchId(id)));
            }
        }
    }
    ink
}

/// Where a stitch stands: on the heads that it is worked into, or under its space.
fn standing(scene: &Scene, id: StitchId) -> Vec<Point> {
    let feet = scene.piece.feet(id);
    if scene.piece.stitch(id).into == Into::Space {
        return under_space(scene, id, feet).into_iter().collect();
    }
    let spots = feet.iter().filter_map(|&foot| scene.spots.get(foot));
    spots.map(|spot| spot.head).collect()
}

/// The round that the first of a round's travelling slip stitches is worked into.
fn about_round(scene: &Scene, slots: &Slots) -> usize {
    let foot = slots
        .travels
        .first()
        .and_then(|&id| scene.piece.feet(id).first());
    foot.map_or(0, |&foot| scene.piece.stitch(foot).round as usize)
}
