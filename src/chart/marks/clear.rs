//! What is free of ink.

use kurbo::{Line, Point, Rect};

use crate::chart::glyph::DOT_DROP_MM;
use crate::chart::panel::{Direction, Glyph};
use crate::chart::quality::crossing;
use crate::chart::scene::Scene;
use crate::chart::sizes::ANCHOR_MM;
use crate::fabric::StitchId;

/// How near to a leg words may come, and how near to a head, where bars are, in mm.
const LEG_MM: f64 = 0.4;
const HEAD_MM: f64 = 1.3;
/// The same from the line along a chain, in mm.
const OVAL_MM: f64 = 1.2;

/// True if a line meets a box.
pub(super) fn meets(line: (Point, Point), room: Rect) -> bool {
    let corners = [
        Point::new(room.x0, room.y0),
        Point::new(room.x1, room.y0),
        Point::new(room.x1, room.y1),
        Point::new(room.x0, room.y1),
    ];
    room.contains(line.0)
        || room.contains(line.1)
        || (0..4).any(|i| crossing(line, (corners[i], corners[(i + 1) % 4])).is_some())
}

/// From a box to a point outside it, in mm; 0 within it.
pub(super) fn gap_mm(room: Rect, point: Point) -> f64 {
    let nearest = Point::new(
        point.x.clamp(room.x0, room.x1),
        point.y.clamp(room.y0, room.y1),
    );
    nearest.distance(point)
}

/// True if words at the start of a round would touch the stitches there: its own first and last ones, and those of the rounds below and above.
pub(super) fn crowds(scene: &Scene, k: usize, words: Rect) -> bool {
    let by_start = match scene.part {
        Some(_) => at_ends(scene, k),
        None => neighbours(scene, k),
    };
    by_start.into_iter().any(|id| {
        let Some(head) = scene.spots.get(id).map(|spot| spot.head) else {
            return false;
        };
        let feet = scene.piece.feet(id).iter();
        let mut legs = feet
            .filter_map(|&foot| scene.spots.get(foot))
            .map(|foot| Line::new(foot.head, head))
            .chain(ground_leg(scene, id));
        scene.has_ends() && near_chain(scene, id, words)
            || gap_mm(words, head) < HEAD_MM
            || legs.any(|leg| meets((leg.p0, leg.p1), words.inset(LEG_MM)))
    })
}

/// True if words at the start of a round would touch a chain there, or a dot.
pub(super) fn meets_chains(scene: &Scene, k: usize, words: Rect) -> bool {
    neighbours(scene, k).into_iter().any(|id| {
        let spot = scene.spots.get(id);
        let dot = match spot.map(|spot| (spot.head, spot.glyph)) {
            Some((head, Glyph::Dot { up })) => gap_mm(words, head - up * DOT_DROP_MM) < HEAD_MM,
            _ => false,
        };
        dot || near_chain(scene, id, words)
    })
}

/// True if words would touch a chain's oval.
fn near_chain(scene: &Scene, id: StitchId, words: Rect) -> bool {
    let Some(Glyph::Chain {
        centre,
        direction,
        length_mm,
    }) = scene.spots.get(id).map(|spot| spot.glyph)
    else {
        return false;
    };
    let half = direction.normalize() * (length_mm / 2.0);
    meets((centre - half, centre + half), words.inset(OVAL_MM))
}

/// Stitches near the start of a course: the first and last few of it, of the one above and of what is below.
fn neighbours(scene: &Scene, k: usize) -> Vec<StitchId> {
    const FEW: usize = 3;
    let piece = scene.piece;
    let rounds = [k.checked_sub(1), Some(k), Some(k + 1)];
    let rounds = rounds.into_iter().flatten().filter_map(|k| {
        let course = scene.cut.courses.get(k)?;
        Some(course.rounds.start)
    });
    let anchor = scene.cut.anchor.filter(|_| k == 0);
    let mut ids = Vec::new();
    for round in rounds.chain(anchor) {
        let stitches = piece.rounds[round].stitches.clone();
        let few = stitches.clone().take(FEW);
        ids.extend(few.chain(stitches.rev().take(FEW)).map(StitchId));
    }
    ids
}

/// The same on a part of the rounds: what is drawn faint, and the first and last few of its own stitches.
fn at_ends(scene: &Scene, k: usize) -> Vec<StitchId> {
    const FEW: usize = 3;
    let part = scene.part.iter();
    let faint = part.flat_map(|part| {
        part.faint
            .iter()
            .map(|&(id, _)| id)
            .chain(part.ground.iter().copied())
    });
    let near = k.saturating_sub(1)..(k + 2).min(scene.cut.courses.len());
    let own = scene.cut.courses[near].iter().flat_map(|course| {
        let slots = &course.slots.slots;
        let ids = slots.iter().take(FEW).chain(slots.iter().rev().take(FEW));
        ids.map(|slot| slot.last())
    });
    faint.chain(own).collect()
}

/// The leg of a stitch of the round that the panel stands on, away from the panel's rounds.
fn ground_leg(scene: &Scene, id: StitchId) -> Option<Line> {
    let anchor = scene.cut.anchor?;
    let spot = scene.spots.get(id)?;
    let lift = match scene.cut.direction {
        Direction::Inward => ANCHOR_MM,
        Direction::Outward => -ANCHOR_MM,
    };
    let on_ground = scene.piece.stitch(id).round as usize == anchor;
    on_ground.then(|| Line::new(spot.track.at(spot.s, lift), spot.head))
}
