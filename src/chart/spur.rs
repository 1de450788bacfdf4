//! Spurs: a chain in the middle of a round that is worked back along before the round goes on, such as a horn or a strand of a fringe. It
//! stands straight out from the heads, and its stitches lie on its far side, the one at the tip first.

use std::ops::Range;

use super::panel::Glyph;
use super::scene::{Scene, Spot};
use super::track::Track;
use crate::fabric::{Piece, Role, Round, StitchId};
use crate::symbol;
use crate::terms::Height;

/// From the heads of the round to the first chain, in mm.
const OFF_HEADS_MM: f64 = 0.4;
/// From the edge of the slot to the middle line of the chains, in mm.
const CHAINS_IN_MM: f64 = 1.0;
/// How far a spur leans back for each mm of its length, so that heads at the tip come before those at its foot.
const LEAN: f64 = 0.06;
/// How far out from its chain a slip stitch's head lies, in mm.
const SLIP_MM: f64 = 2.6;

/// The chains of a spur and the stitches back along them.
pub(super) struct Spur {
    /// Those that are worked into, from the work outward.
    worked: Range<u32>,
    /// Those that lift the hook at the tip.
    lift: Range<u32>,
    /// The stitches, from the tip back.
    stitches: Range<u32>,
}

impl Spur {
    /// The spur that begins with a chain of a round, if one does.
    pub fn at(piece: &Piece, round: &Round, first: StitchId) -> Option<Spur> {
        let chains = |from: u32, role: Role| {
            let is_such = |id: &u32| {
                let stitch = piece.stitch(StitchId(*id));
                stitch.role == role && stitch.kind.height == Height::Chain
            };
            let rest = from..round.stitches.end;
            from..from + rest.take_while(is_such).count() as u32
        };
        if piece.stitch(first).role != Role::Foundation {
            return None;
        }
        let before = first.0.checked_sub(1)?;
        let opens_round = !round.stitches.contains(&before);
        if !opens_round && piece.stitch(StitchId(before)).kind.height == Height::Chain {
            return None;
        }
        let worked = chains(first.0, Role::Foundation);
        let lift = chains(worked.end, Role::Lift);
        let on_it = |id: &u32| {
            let feet = piece.feet(StitchId(*id));
            let is_head = piece.stitch(StitchId(*id)).role == Role::Head;
            is_head && matches!(feet.first(), Some(foot) if worked.contains(&foot.0))
        };
        let rest = lift.end..round.stitches.end;
        let stitches = lift.end..lift.end + rest.take_while(on_it).count() as u32;
        let is_spur = !worked.is_empty() && !lift.is_empty() && !stitches.is_empty();
        is_spur.then_some(Spur {
            worked,
            lift,
            stitches,
        })
    }

    /// One past its last stitch.
    pub fn end(&self) -> u32 {
        self.stitches.end
    }

    /// Room for each chain, in mm: as much as the stitches on it need.
    fn step_mm(&self) -> f64 {
        let crowd = self.stitches.len() as f64 / self.worked.len() as f64;
        symbol::STITCH_WIDTH_MM * crowd.max(1.0)
    }

    /// How far it stands out from the heads, in mm.
    pub fn length_mm(&self) -> f64 {
        let chains = (self.worked.len() + self.lift.len()) as f64;
        OFF_HEADS_MM + self.step_mm() * chains
    }

    /// Room along the round's line, in mm: for its stitches beside its chains, and for what is worked into these later.
    pub fn width_mm(&self, piece: &Piece) -> f64 {
        let round = piece.stitch(StitchId(self.stitches.start)).round as usize;
        let later = match round + 1 == piece.rounds.len() {
            true => 0.0,
            false => symbol::STITCH_WIDTH_MM * (self.stitches.len() - 1) as f64,
        };
        CHAINS_IN_MM + self.out_mm(piece) + 0.3 + later
    }

    /// From the middle line of the chains to the farthest head, in mm.
    fn out_mm(&self, piece: &Piece) -> f64 {
        let out = self.stitches.clone();
        out.map(|id| out_mm(piece, StitchId(id)))
            .fold(0.0, f64::max)
    }
}

/// From the middle line of the chains to the head of a stitch on them, in mm.
fn out_mm(piece: &Piece, id: StitchId) -> f64 {
    match piece.stitch(id).kind {
        kind if kind.height == Height::Slip => SLIP_MM,
        kind => symbol::height_mm(kind) + 0.6,
    }
}

/// Sets a spur on its place along a round's line.
pub(super) fn set_spur(scene: &mut Scene, first: StitchId, track: &Track, s: f64) {
    let piece = scene.piece;
    let round = &piece.rounds[piece.stitch(first).round as usize];
    let Some(spur) = Spur::at(piece, round, first) else {
        return;
    };
    let width_mm = spur.width_mm(piece);
    let from = s - width_mm / 2.0;
    let along = track.along(from);
    let up = (track.up(from) - along * LEAN).normalize();
    let side = (along + track.up(from) * LEAN).normalize();
    let base = track.at(from + CHAINS_IN_MM, OFF_HEADS_MM);
    let step = spur.step_mm();
    let on_line = |scene: &mut Scene, id: u32, head, s, glyph| {
        let track = *track;
        let spot = Spot {
            head,
            track,
            s,
            glyph,
        };
        scene.spots.set(StitchId(id), spot);
    };
    for (i, id) in (spur.worked.start..spur.lift.end).enumerate() {
        let centre = base + up * (step * (i as f64 + 0.5));
        let glyph = Glyph::Chain {
            centre,
            direction: up,
            length_mm: step,
        };
        on_line(scene, id, centre, from, glyph);
    }
    let count = spur.stitches.len() as f64;
    let reach = step * spur.worked.len() as f64;
    for (j, id) in spur.stitches.clone().enumerate() {
        let share = (j as f64 + 0.5) / count;
        let out = out_mm(piece, StitchId(id));
        let head = base + up * (reach * (1.0 - share)) + side * out;
        let kind = piece.stitch(StitchId(id)).kind;
        let glyph = match kind.height {
            Height::Slip => Glyph::Dot { up: side },
            _ => Glyph::Stitch {
                kind,
                into: piece.stitch(StitchId(id)).into,
                clear_mm: super::glyph::OFF_CHAIN_MM,
            },
        };
        // What is worked into it later stands beyond the one nearer to the tip.
        let place = from + CHAINS_IN_MM + spur.out_mm(piece) + symbol::STITCH_WIDTH_MM * j as f64;
        on_line(scene, id, head, place, glyph);
    }
}
