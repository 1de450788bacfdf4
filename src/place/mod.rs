//! Where attached parts and features sit, and how level: `Source`, `Pattern` and `Fabric` in, [`Placement`] out.
//!
//! A round is a circle of stitches of one width, turned so that its heads stand as nearly as can be over what they are worked
//! into ([`turn`]); the maker's lean turns it further. Angles on the work are degrees in the direction of work from the start
//! of the piece's first round; bearings on the toy are degrees from its front, positive to the toy's own left.

mod attached;
mod front;
mod height;
mod pairs;
mod report;
mod stands;
mod stretch;
mod told;
mod turn;

pub(crate) use front::to_the_left;
pub use front::{Front, KnownBy};
pub use report::COLUMNS;
pub use stands::Stands;
pub use stretch::Stretch;

use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::prose;
pub use crate::prose::Lean;
use crate::shape::Shapes;
use crate::source::{Source, Span};
use crate::terms::Hand;

/// Everything that sits somewhere on a piece, in the order of the work.
#[derive(Debug, Clone, Default)]
pub struct Placement {
    /// The parts and features. An attachment's id is its place here.
    pub attachments: Vec<Attachment>,
    /// For each piece of the fabric, how it stands and where its front is.
    pub hosts: Vec<Host>,
    /// How the rounds of each piece are turned.
    turns: Vec<turn::Turns>,
    /// How far plain stitches lean, as far as the pattern tells.
    pub lean: Lean,
    /// The hand that the toy is made by.
    hand: Hand,
}

/// How a piece stands in the finished toy.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Host {
    /// Which end of it is up.
    pub stands: Stands,
    /// True if no words tell which end is up, so that custom was taken.
    pub stands_by_custom: bool,
    /// Its front, if it is given or can be found from what is attached.
    pub front: Option<Front>,
}

/// A part or a feature at its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Attachment {
    /// The part's name, or what the feature is called: `eye`.
    pub part: String,
    /// Its piece, if it is one: a place in [`Fabric::pieces`].
    pub piece: Option<usize>,
    /// Which copy of it, from 1 in the order of work.
    pub copy: u32,
    /// How it is held.
    pub held: Held,
    /// The piece it is on: a place in [`Fabric::pieces`].
    pub into: usize,
    /// Number of its round, or of the first of its rounds.
    pub round: Option<u32>,
    /// Number of the last of its rounds.
    pub last_round: Option<u32>,
    /// It sits between its round and the next one.
    pub between: bool,
    /// Its stitches in the round.
    pub stitches: Option<Stretch>,
    /// Stitches that lie between it and its partner, where the words say no more.
    pub apart: Option<u32>,
    /// Degrees in the direction of work from the start of the piece's first round to its middle.
    pub turn_deg: Option<f64>,
    /// Degrees that a stitch of its round takes up.
    pub stitch_deg: Option<f64>,
    /// Degrees from the toy's front, positive to the toy's own left, from −180 (left out) to 180.
    pub bearing_deg: Option<f64>,
    /// Centimetres above the lowest point of the piece as the toy stands.
    pub height_cm: Option<f64>,
    /// Centimetres along the round.
    pub width_cm: Option<f64>,
    /// The other one of its pair: a place in [`Placement::attachments`].
    pub partner: Option<usize>,
    /// How far it is off from facing its partner.
    pub off: Option<Off>,
    /// Which of the toy's own sides the words give it.
    pub told_side: Option<Side>,
    /// The words.
    pub span: Span,
}

/// How a part or a feature is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    /// Worked in, through so many layers of the part.
    Joined {
        /// Layers of the part that each stitch goes through.
        layers: u32,
    },
    /// Sewn on.
    Sewn,
    /// Put in or embroidered: eyes, a nose.
    Feature,
}

/// How far an attachment sits from where it would face its partner, the partner staying where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Off {
    /// Degrees in the direction of work: positive when it sits too late in the round.
    Exactly(f64),
    /// The same, as far as the lean leaves it open: least and most.
    Between(f64, f64),
}

/// The toy's own sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Within 45° of the front.
    Front,
    /// Nearer to the toy's own left than to front or back.
    Left,
    /// Within 45° of the back.
    Back,
    /// Nearer to the toy's own right.
    Right,
}

impl Side {
    /// The side that a bearing points to.
    pub fn of(bearing_deg: f64) -> Side {
        match bearing_deg {
            b if b.abs() <= 45.0 => Side::Front,
            b if b.abs() >= 135.0 => Side::Back,
            b if b > 0.0 => Side::Left,
            _ => Side::Right,
        }
    }

    /// The side that it is in a mirror.
    fn mirrored(self) -> Side {
        match self {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
            other => other,
        }
    }

    /// Its name: `left`.
    pub fn name(self) -> &'static str {
        match self {
            Side::Front => "front",
            Side::Left => "left",
            Side::Back => "back",
            Side::Right => "right",
        }
    }
}

impl Attachment {
    /// The toy's own side that it points to.
    pub fn side(&self) -> Option<Side> {
        self.bearing_deg.map(Side::of)
    }

    /// Whole stitches that it is off, positive when it sits too late in the round; none where the lean leaves that open.
    pub fn off_by_stitches(&self) -> Option<i32> {
        match (self.off?, self.stitch_deg?) {
            (Off::Exactly(deg), stitch_deg) => Some(whole_stitches(deg, stitch_deg)),
            (Off::Between(..), _) => None,
        }
    }

    /// The stitch to start at, from 1, so that it faces its partner; its own where it does already.
    pub fn better_first_stitch(&self) -> Option<u32> {
        let first = self.stitches?.first;
        let better = i64::from(first) - i64::from(self.off_by_stitches()?);
        let count = (360.0 / self.stitch_deg?).round() as i64;
        let in_round = (better - 1).rem_euclid(count.max(1)) + 1;
        u32::try_from(in_round).ok()
    }
}

/// Degrees as whole stitches, halves towards nothing: a maker can only move by whole stitches, and half a one is not worth it.
fn whole_stitches(deg: f64, stitch_deg: f64) -> i32 {
    let stitches = (deg.abs() / stitch_deg - 0.5 - 1e-9).ceil().max(0.0);
    if deg < 0.0 {
        -(stitches as i32)
    } else {
        stitches as i32
    }
}

/// Degrees brought into −180 (left out) to 180.
fn wrapped(deg: f64) -> f64 {
    let turn = deg.rem_euclid(360.0);
    if turn > 180.0 { turn - 360.0 } else { turn }
}

/// Finds the places of all parts and features that the fabric joins or the words put somewhere.
///
/// Where the words leave a thing open (no stitch is named, no front can be told) its value is `None`; nothing is guessed.
pub fn place(source: &Source, pattern: &Pattern, fabric: &Fabric) -> Placement {
    let prose = prose::sentences(source, pattern);
    let lean = prose::lean(source, pattern);
    let turns: Vec<turn::Turns> = fabric.pieces.iter().map(turn::Turns::of).collect();
    let mut hosts: Vec<Host> = stands::of(&prose, fabric);
    let mut attachments = attached::joined(fabric);
    let mut told = told::features(&prose, pattern, fabric);
    if fabric.hand != prose::hand(pattern) {
        // Made by the other hand, the toy is its own mirror image, and the words' left is its right.
        for attachment in &mut told {
            attachment.told_side = attachment.told_side.map(Side::mirrored);
        }
    }
    attachments.extend(told);
    attached::in_order_of_work(&mut attachments, fabric);
    turn::aim(&mut attachments, &turns, lean);
    pairs::find(&mut attachments);
    front::find(&mut hosts, &mut attachments, source, pattern, &turns, lean);
    front::bear(&mut attachments, &hosts, fabric.hand);
    pairs::judge(&mut attachments, &hosts, lean);
    Placement {
        attachments,
        hosts,
        turns,
        lean,
        hand: fabric.hand,
    }
}

impl Placement {
    /// Gives every attachment with a round its height, and every joined one its width, from the relaxed form of the pieces.
    pub fn measure(&mut self, fabric: &Fabric, shapes: &Shapes) {
        height::measure(self, fabric, shapes);
    }

    /// The place of a turn on a round, given by its number: how many stitches of its edge lie before; none for a round that is not there.
    pub fn on_round(&self, piece: usize, round: u32, turn_deg: f64) -> Option<f64> {
        let step = self.turns[piece].step_deg(round)?;
        let from_start = turn_deg - self.round_start(piece, round);
        Some((from_start / step).rem_euclid(360.0 / step))
    }

    /// What so much more lean than the pattern tells, in stitches a round, turns a round against the front of its piece; in degrees.
    pub fn wound_deg(&self, piece: usize, round: u32, lean: f64) -> f64 {
        let front = self.hosts[piece].front;
        front.map_or(0.0, |front| {
            lean * self.turns[piece].wound_deg(front.round, round)
        })
    }

    /// The turn of an attachment; where the words name no stitch, by the side that they give it.
    pub fn turn_deg(&self, id: usize) -> Option<f64> {
        let attachment = &self.attachments[id];
        let by_side = || {
            let host = &self.hosts[attachment.into];
            let bearing = attachment.bearing_deg? * to_the_left(host.stands, self.hand);
            Some(host.front?.turn_deg + bearing)
        };
        attachment.turn_deg.or_else(by_side)
    }

    /// Degrees in the direction of work from the start of a piece's first round to the start of one of its rounds, by its number.
    pub fn round_start(&self, piece: usize, round: u32) -> f64 {
        self.turns[piece].start_deg(round, self.lean.counted())
    }
}
