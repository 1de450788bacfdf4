//! The chain that a piece starts from: in the middle of the rings that go round it, or as the lowest row.

use kurbo::{Point, Vec2};

use super::across::Across;
use super::cut::{Course, Cut, is_open_chain};
use super::glyph::DOT_DROP_MM;
use super::lines::stretch_of_chain;
use super::panel::{Glyph, Layout};
use super::scene::{Scene, Spot};
use super::sizes::CHAIN_MM;
use super::slots::{Slot, SlotKind, Slots};
use super::track::{Ring, Track};
use crate::fabric::{Piece, Role, StitchId};
use crate::symbol;
use crate::terms::{Height, Into};

/// The stitches of a starting chain that a first round is worked round: those that something is worked into, in the order in which
/// that happens.
fn worked_chains(piece: &Piece, cut: &Cut) -> Vec<StitchId> {
    let mut worked: Vec<StitchId> = Vec::new();
    let Some(first) = cut.courses.first() else {
        return worked;
    };
    let opens = is_open_chain(piece, first);
    let Some(over) = cut.courses.get(usize::from(opens)) else {
        return worked;
    };
    let chains = if opens {
        piece.rounds[first.rounds.start].stitches.clone()
    } else {
        match (first.slots.start.first(), first.slots.start.last()) {
            (Some(first), Some(last)) => first.0..last.0 + 1,
            _ => return worked,
        }
    };
    if is_chain_ring(piece, first) {
        return worked;
    }
    let mut seen = vec![false; chains.len()];
    for (id, stitch) in piece.round_stitches(&piece.rounds[over.rounds.start]) {
        if stitch.kind.height == Height::Chain || stitch.into == Into::Ring {
            continue;
        }
        for &foot in piece.feet(id) {
            if chains.contains(&foot.0)
                && !std::mem::replace(&mut seen[(foot.0 - chains.start) as usize], true)
            {
                worked.push(foot);
            }
        }
    }
    worked
}

/// True if a course is worked round a chain that it closes into a ring first.
pub(super) fn is_chain_ring(piece: &Piece, course: &Course) -> bool {
    let start = &course.slots.start;
    start.iter().any(|&id| piece.stitch(id).role == Role::Close)
}

/// Half of the length of the level line that an oval goes round, in mm.
pub(super) fn oval_half_mm(piece: &Piece, cut: &Cut) -> f64 {
    let first = cut.courses.first();
    if let Some(across) = first.and_then(|first| Across::of(piece, cut, first)) {
        return across.half_mm;
    }
    if cut.anchor.is_some() || cut.layout == Layout::Strip {
        return 0.0;
    }
    let worked = worked_chains(piece, cut).len();
    worked.saturating_sub(1) as f64 * symbol::STITCH_WIDTH_MM / 2.0
}

/// Chains that a first round is worked into: on the middle line of the rings, or as the lowest row.
pub(super) fn place_start(scene: &mut Scene, k: usize) {
    if k > 0 {
        return;
    }
    let piece = scene.piece;
    let course = &scene.cut.courses[0];
    let chains: Vec<StitchId> = if is_open_chain(piece, course) {
        if scene.cut.layout == Layout::Strip {
            return;
        }
        piece
            .round_stitches(&piece.rounds[course.rounds.start])
            .map(|(id, _)| id)
            .collect()
    } else {
        course.slots.start.clone()
    };
    let glyph = |centre: Point, direction: Vec2| Glyph::Chain {
        centre,
        direction,
        length_mm: CHAIN_MM,
    };
    let ground = scene.ground;
    if scene.cut.layout == Layout::Strip {
        let step = symbol::STITCH_WIDTH_MM * stretch_of_chain(piece, &scene.cut, chains.len());
        for (i, &id) in chains.iter().enumerate() {
            let s = i as f64 * step;
            let head = ground.at(s, 0.0);
            let spot = Spot {
                head,
                track: ground,
                s,
                glyph: glyph(head, ground.along(s)),
            };
            scene.spots.set(id, spot);
        }
        return;
    }
    let half = oval_half_mm(piece, &scene.cut);
    let across = Across::of(piece, &scene.cut, course);
    // Each with its place along the level line and how far that is from the middle.
    let worked: Vec<(StitchId, f64, f64)> = match &across {
        Some(across) => {
            let chains = across.chains.iter();
            chains
                .map(|&(id, off_mm)| (id, across.on_level(off_mm), off_mm))
                .collect()
        }
        None => {
            let chains = worked_chains(piece, &scene.cut).into_iter().enumerate();
            let along = chains.map(|(i, id)| (id, i as f64 * symbol::STITCH_WIDTH_MM));
            along.map(|(id, s)| (id, s, s - half)).collect()
        }
    };
    let level = Track::Ring(Ring::round(
        half,
        0.0,
        matches!(ground, Track::Ring(Ring { mirrored: true, .. })),
    ));
    for &(id, s, off_mm) in &worked {
        let head = Point::new(off_mm * level.along(0.0).x, 0.0);
        let spot = Spot {
            head,
            track: level,
            s,
            glyph: glyph(head, Vec2::new(1.0, 0.0)),
        };
        scene.spots.set(id, spot);
    }
    // Chains that only lift the hook stand at the start; a chain ring lies round the middle.
    let rest: Vec<StitchId> = chains
        .into_iter()
        .filter(|id| worked.iter().all(|(other, ..)| other != id))
        .collect();
    let ring = worked.is_empty();
    let seam = match ground {
        Track::Ring(ring) if half > 0.0 => {
            let opening = match scene.cut.courses.get(1) {
                Some(over) if is_open_chain(piece, course) => &over.slots,
                _ => &course.slots,
            };
            Oval::of(scene, opening).seam(&ring)
        }
        _ => 0.0,
    };
    // Beyond the side of the single chain in the middle, or the end of an oval's.
    let beside_mm = if half > 0.0 { 1.6 } else { 0.9 };
    let ground_mm = match ground {
        Track::Ring(ring) => ring.radius_mm,
        Track::Row(_) => 0.0,
    };
    let length = ground.length().unwrap_or_default();
    // The slip stitch that closes the ring lies at its start.
    let from = match is_chain_ring(piece, course) {
        true => 1.0,
        false => 0.5,
    };
    for (i, &id) in rest.iter().enumerate() {
        let (head, s, direction) = if ring {
            let share = (i as f64 + from) / rest.len() as f64;
            let s = length * share.fract();
            (ground.at(s, 0.0), s, ground.along(s))
        } else {
            let lift = beside_mm + CHAIN_MM * (i as f64 + 0.5) - ground_mm;
            (ground.at(seam, lift), seam, ground.up(seam))
        };
        let is_chain = piece.stitch(id).kind.height == Height::Chain;
        let (head, glyph) = match (is_chain, ring) {
            (true, _) => (head, glyph(head, direction)),
            (false, true) => {
                let up = ground.up(s);
                (head + up * DOT_DROP_MM, Glyph::Dot { up })
            }
            (false, false) => (head, Glyph::None),
        };
        let spot = Spot {
            head,
            track: ground,
            s,
            glyph,
        };
        scene.spots.set(id, spot);
    }
}

/// Follows a round round the chain that it is worked into: along one side, about the end, and back.
#[derive(Default)]
pub(super) struct Oval {
    turned: bool,
    returned: bool,
    /// Stitches in the chain at the start, when the round begins and when it comes back.
    first: usize,
    last: usize,
}

impl Oval {
    pub fn of(scene: &Scene, slots: &Slots) -> Oval {
        let is_at_start = |slot: &&Slot| {
            let SlotKind::Stitch(id) = slot.kind else {
                return true;
            };
            let feet = scene.piece.feet(id).iter();
            feet.filter_map(|&foot| scene.spots.get(foot))
                .all(|spot| spot.s < symbol::STITCH_WIDTH_MM / 2.0)
        };
        let slots = &slots.slots;
        Oval {
            first: slots.iter().take_while(is_at_start).count(),
            last: slots.iter().rev().take_while(is_at_start).count(),
            ..Oval::default()
        }
    }

    /// Where a round's last stitch and its first are parted, in mm along its line.
    pub fn seam(&self, ring: &Ring) -> f64 {
        let share = self.first as f64 / (self.first + self.last).max(1) as f64;
        -std::f64::consts::PI * ring.radius_mm * share
    }

    /// Where a stitch in the chain at `s` of the level line wants to be; `None` round a single chain, where all stitches spread evenly.
    pub fn place(&mut self, s: f64, level: &Ring, ring: &Ring) -> Option<f64> {
        let line = 2.0 * level.half_mm;
        if line <= 0.0 {
            return None;
        }
        let half_circle = std::f64::consts::PI * ring.radius_mm;
        let at_end = s > line - symbol::STITCH_WIDTH_MM / 2.0;
        let at_start = s < symbol::STITCH_WIDTH_MM / 2.0;
        self.returned |= self.turned && at_start;
        // Those round the start share its half circle evenly.
        let share = half_circle / (self.first + self.last).max(1) as f64;
        Some(if at_end {
            self.turned = true;
            line + half_circle / 2.0
        } else if self.returned {
            2.0 * line + half_circle + share * self.last as f64 / 2.0
        } else if self.turned {
            line + half_circle + (line - s)
        } else if at_start {
            -share * self.first as f64 / 2.0
        } else {
            s
        })
    }
}
