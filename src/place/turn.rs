//! How each round of a piece is turned against the first.
//!
//! Every round is a circle of its stitches, all of one width. It is turned so that its heads stand, on the mean, straight over
//! what they are worked into; so increases that all come late in their groups carry the rounds along, as they do in the hand.

use super::{Attachment, Lean, Stretch};
use crate::fabric::{Piece, Role, StitchId};

/// The turn of every round of a piece.
#[derive(Debug, Clone, Default)]
pub(super) struct Turns {
    rounds: Vec<Ring>,
}

/// One round as a circle.
#[derive(Debug, Clone, Default)]
struct Ring {
    number: u32,
    /// Degrees from the start of the first round to the start of this one, with no lean.
    start_deg: f64,
    /// Stitches and bridging chains.
    places: usize,
    /// For each stitch that is counted, its place among them all.
    counted: Vec<usize>,
    /// Degrees that one stitch a round of lean turns this round against the first.
    lean_deg: f64,
}

impl Turns {
    pub fn of(piece: &Piece) -> Turns {
        let mut at: Vec<f64> = vec![f64::NAN; piece.stitches.len()];
        let mut rounds: Vec<Ring> = Vec::with_capacity(piece.rounds.len());
        let (mut start_deg, mut lean_deg) = (0.0, 0.0);
        for round in &piece.rounds {
            let places = round.edge.len();
            let step = 360.0 / places.max(1) as f64;
            let own = |place: usize| (place as f64 + 0.5) * step;
            let (mut sin, mut cos) = (0.0, 0.0);
            for (place, &id) in round.edge.iter().enumerate() {
                let Some(foot) = foot_deg(piece, id, &at) else {
                    continue;
                };
                let turn = (foot - own(place)).to_radians();
                sin += libm::sin(turn);
                cos += libm::cos(turn);
            }
            if points_somewhere(sin, cos) {
                let turn = libm::atan2(sin, cos).to_degrees();
                start_deg += super::wrapped(turn - start_deg);
            }
            if !rounds.is_empty() {
                lean_deg += step;
            }
            for (place, &id) in round.edge.iter().enumerate() {
                at[id.index()] = start_deg + own(place);
            }
            rounds.push(Ring {
                number: round.number,
                start_deg,
                places,
                counted: counted(piece, &round.edge),
                lean_deg,
            });
        }
        Turns { rounds }
    }

    /// The turn in degrees of the middle of some stitches of a round, and the width of one.
    pub fn middle(&self, round: u32, stitches: Stretch, lean: f64) -> Option<(f64, f64)> {
        let ring = self.ring(round)?;
        let place = |number: u32| ring.counted.get((number as usize).checked_sub(1)?);
        let (first, last) = (*place(stitches.first)?, *place(stitches.last)?);
        let over_the_start = if last < first { ring.places } else { 0 };
        let step = 360.0 / ring.places as f64;
        let middle = (first + last + over_the_start) as f64 / 2.0 + 0.5;
        Some((ring.start_deg + middle * step - lean * ring.lean_deg, step))
    }

    /// The turn in degrees of the middle of a stitch of a round, by its number from 1, and its width.
    pub fn stitch(&self, round: u32, number: u32, lean: f64) -> Option<(f64, f64)> {
        let only = Stretch {
            first: number,
            last: number,
            of: number,
        };
        self.middle(round, only, lean)
    }

    /// The turn in degrees of the start of a round; none for a round that is not there.
    pub fn start_deg(&self, round: u32, lean: f64) -> f64 {
        self.ring(round)
            .map_or(0.0, |ring| ring.start_deg - lean * ring.lean_deg)
    }

    /// Degrees by which one stitch a round of lean turns a round against another, both given by their numbers.
    pub fn wound_deg(&self, from: u32, to: u32) -> f64 {
        let lean_deg = |number| self.ring(number).map_or(0.0, |ring| ring.lean_deg);
        lean_deg(from) - lean_deg(to)
    }

    /// Degrees that a stitch of a round takes up.
    pub fn step_deg(&self, round: u32) -> Option<f64> {
        let places = self.ring(round)?.places;
        (places > 0).then(|| 360.0 / places as f64)
    }

    fn ring(&self, number: u32) -> Option<&Ring> {
        self.rounds.iter().find(|ring| ring.number == number)
    }
}

/// True if a sum of directions points somewhere.
fn points_somewhere(sin: f64, cos: f64) -> bool {
    sin * sin + cos * cos > 1e-12
}

/// The mean place of what a stitch is worked into.
fn foot_deg(piece: &Piece, id: StitchId, at: &[f64]) -> Option<f64> {
    let (mut sin, mut cos) = (0.0, 0.0);
    for foot in piece.feet(id) {
        let deg = at[foot.index()];
        if deg.is_finite() {
            sin += libm::sin(deg.to_radians());
            cos += libm::cos(deg.to_radians());
        }
    }
    points_somewhere(sin, cos).then(|| libm::atan2(sin, cos).to_degrees())
}

/// Places of the stitches that a maker counts: those of the edge that are no bridging chains.
fn counted(piece: &Piece, edge: &[StitchId]) -> Vec<usize> {
    (0..edge.len())
        .filter(|&place| piece.stitch(edge[place]).role != Role::Bridge)
        .collect()
}

/// Gives every attachment whose stitches are known its turn.
pub(super) fn aim(attachments: &mut [Attachment], turns: &[Turns], lean: Lean) {
    for attachment in attachments {
        let Some((round, stitches)) = attachment.round.zip(attachment.stitches) else {
            continue;
        };
        let found = turns[attachment.into].middle(round, stitches, lean.counted());
        if let Some((turn, step)) = found {
            attachment.turn_deg = Some(turn);
            attachment.stitch_deg = Some(step);
        }
    }
}
