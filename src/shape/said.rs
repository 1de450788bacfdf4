//! What the words say about how a piece is made: stuffing, pressing and closing.

use crate::fabric::{Piece, Role, RoundKind, StepKind};
use crate::prose::{Place, Prose, Sentence};
use crate::terms::Into;

use super::coefficients::{LIGHT, STUFFING};
use super::gauge::Gauge;
use super::making::Making;

/// How full a piece is, the emptiest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Filling {
    /// Nothing in it.
    Empty,
    /// A pinch, or stuffed lightly.
    Light,
    /// Stuffed.
    Firm,
    /// It is closed all round and nothing is said: taken as stuffed.
    Assumed,
}

/// What the words of a piece say, sentence by sentence.
#[derive(Default)]
pub struct Telling<'p> {
    sentences: Vec<&'p Sentence<'p>>,
}

impl<'p> Telling<'p> {
    /// The sentences of each of so many pieces.
    pub fn all(prose: &'p Prose<'p>, pieces: usize) -> Vec<Telling<'p>> {
        let mut all: Vec<Telling<'p>> = Vec::new();
        all.resize_with(pieces, Telling::default);
        for sentence in &prose.sentences {
            if let Place::Piece(piece) = sentence.place
                && let Some(telling) = all.get_mut(piece)
            {
                telling.sentences.push(sentence);
            }
        }
        all
    }

    /// How full the piece is, if the words say so.
    fn filling(&self) -> Option<Filling> {
        let about = ["stuff", "stuffing", "stuffed", "fill", "filling"];
        let found = self.sentences.iter().filter(|s| s.has(&about)).map(|s| {
            // `don't` is one word.
            let refuses = [
                "not",
                "don't",
                "don’t",
                "no",
                "without",
                "unstuffed",
                "never",
                "empty",
            ];
            if s.has(&refuses) {
                Filling::Empty
            } else if s.has(&["lightly", "light", "pinch", "little", "loosely"]) {
                Filling::Light
            } else {
                Filling::Firm
            }
        });
        // Of several, the fullest: the neck too.
        found.max()
    }

    /// Whether the piece is pressed flat.
    fn presses(&self) -> bool {
        self.sentences.iter().any(|s| {
            s.has(&["flatten", "flattened"])
                || s.has(&["press", "fold", "pinch", "lay"]) && s.has(&["flat"])
        })
    }
}

/// How full a piece is. What opens into another one, which is as full as `host`, is filled with it unless its words say otherwise.
pub fn filling(telling: &Telling<'_>, piece: &Piece, host: Option<Filling>) -> Filling {
    let stuffed = has(piece, StepKind::Stuff).then_some(Filling::Firm);
    let is_pressed = pressed(telling, piece);
    let assumed = || (is_closed(piece) && !is_pressed).then_some(Filling::Assumed);
    telling
        .filling()
        .or(stuffed)
        .or_else(assumed)
        .or(host.filter(|_| !is_pressed))
        .unwrap_or(Filling::Empty)
}

fn pressed(telling: &Telling<'_>, piece: &Piece) -> bool {
    has(piece, StepKind::Flatten) || telling.presses()
}

fn has(piece: &Piece, kind: StepKind) -> bool {
    piece.steps.iter().any(|step| step.kind == kind)
}

/// True if a piece begins at one point or on another piece, grows wider, and ends in a hole that can be drawn shut.
fn is_closed(piece: &Piece) -> bool {
    const SMALL_HOLE: usize = 8;
    let starts_shut = piece.stitches.first().is_some_and(|stitch| {
        matches!(stitch.into, Into::Ring | Into::Part) || stitch.role == Role::Foundation
    });
    let widest = piece.rounds.iter().map(|round| round.edge.len()).max();
    let last = piece.rounds.last().map(|round| round.edge.len());
    let in_rounds = piece
        .rounds
        .iter()
        .all(|round| round.kind == RoundKind::Round);
    starts_shut
        && in_rounds
        && last.is_some_and(|last| last <= SMALL_HOLE && widest.is_some_and(|w| w > last))
}

/// How a piece is made, by all that the pattern says.
pub fn making(
    telling: &Telling<'_>,
    gauge: &Gauge,
    lean: f64,
    filling: Filling,
    piece: &Piece,
) -> Making {
    let shut = has(piece, StepKind::CloseHole) || filling == Filling::Assumed;
    Making {
        sc_height: gauge.sc_height,
        lean,
        stuffing: match filling {
            Filling::Empty => 0.0,
            Filling::Light => STUFFING * LIGHT,
            Filling::Firm | Filling::Assumed => STUFFING,
        },
        pressed: pressed(telling, piece) && filling == Filling::Empty && is_hollow(piece),
        drawn_shut: shut
            && piece
                .rounds
                .last()
                .is_some_and(|round| round.edge.len() <= 24),
        ..Making::default()
    }
}

/// True for a tube or bag, which has two layers when it is pressed; a disc that grows to its end has one.
fn is_hollow(piece: &Piece) -> bool {
    let counts: Vec<usize> = piece.rounds.iter().map(|round| round.edge.len()).collect();
    let in_rounds = piece
        .rounds
        .iter()
        .all(|round| round.kind == RoundKind::Round);
    in_rounds && counts.windows(2).any(|pair| pair[1] <= pair[0])
}
