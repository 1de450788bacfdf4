//! What the words say about how a piece is made: lean, stuffing, pressing, closing, and which way up it stands.

use crate::fabric::{Fabric, Piece, Role, RoundKind, StepKind};
use crate::pattern::{Line, Pattern};
use crate::source::{Source, Span};
use crate::terms::Into;

use super::coefficients::{LEAN, LIGHT, STUFFING};
use super::gauge::Gauge;
use super::making::Making;
use super::words::{Token, tokens};

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

/// The lean of plain stitches, and whether the pattern gives it.
pub fn lean(source: &Source, pattern: &Pattern) -> (f64, bool) {
    let value = |key: &str| {
        let entry = pattern
            .header
            .entries
            .iter()
            .find(|entry| entry.key == key)?;
        Some(tokens(source.slice(entry.value)))
    };
    if let Some(lean) = value("lean").and_then(|words| lean_of(&words)) {
        return (lean, true);
    }
    let under = |words: Vec<Token>| words.iter().any(|word| word.is_any(&["under"]));
    if value("sc").is_some_and(under) {
        return (0.0, true);
    }
    (LEAN, false)
}

/// `0.2 st per rnd`, `5 sts right in 20 rnds`: to the right is positive.
fn lean_of(words: &[Token]) -> Option<f64> {
    let mut numbers = words.iter().filter_map(Token::number);
    let stitches = numbers.next()?;
    let rounds = numbers.next().filter(|&rounds| rounds > 0.0).unwrap_or(1.0);
    let left = words.iter().any(|word| word.is_any(&["left"]));
    let lean = stitches / rounds * if left { -1.0 } else { 1.0 };
    (lean.abs() <= 1.0).then_some(lean)
}

/// What the words of a piece say, sentence by sentence.
pub struct Telling {
    sentences: Vec<Vec<Token>>,
}

impl Telling {
    /// The sentences of a piece's lines, up to the next heading.
    pub fn new(source: &Source, pattern: &Pattern, piece: &Piece) -> Telling {
        let told = pattern.pieces.iter().find(|told| told.span == piece.span);
        let lines = told.map_or(&[][..], |told| &told.lines);
        let words = lines.iter().map(|line| match line {
            Line::Round(round) => source.slice(round.span),
            Line::RepeatRounds(again) => source.slice(again.span),
            Line::LikePiece(like) => source.slice(like.span),
            Line::Between(between) => source.slice(between.span),
            Line::Prose(span) => source.slice(*span),
        });
        let words = words.take_while(|words| !words.trim_start().starts_with('#'));
        let sentences = words.flat_map(|words| words.split(". ")).map(tokens);
        Telling {
            sentences: sentences.collect(),
        }
    }

    /// How full the piece is, if the words say so.
    fn filling(&self) -> Option<Filling> {
        let is_about = |words: &&Vec<Token>| {
            words
                .iter()
                .any(|w| w.is_any(&["stuff", "stuffing", "stuffed", "fill", "filling"]))
        };
        let found = self.sentences.iter().filter(is_about).map(|words| {
            let has = |any: &[&str]| words.iter().any(|word| word.is_any(any));
            if has(&["not", "don", "no", "without", "unstuffed", "never", "empty"]) {
                Filling::Empty
            } else if has(&["lightly", "light", "pinch", "little", "loosely"]) {
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
        self.sentences.iter().any(|words| {
            let has = |any: &[&str]| words.iter().any(|word| word.is_any(any));
            has(&["flatten", "flattened"])
                || has(&["press", "fold", "pinch", "lay"]) && has(&["flat"])
        })
    }
}

/// How full a piece is.
pub fn filling(telling: &Telling, piece: &Piece) -> Filling {
    let stuffed = has(piece, StepKind::Stuff).then_some(Filling::Firm);
    let assumed = || (is_closed(piece) && !pressed(telling, piece)).then_some(Filling::Assumed);
    telling
        .filling()
        .or(stuffed)
        .or_else(assumed)
        .unwrap_or(Filling::Empty)
}

fn pressed(telling: &Telling, piece: &Piece) -> bool {
    has(piece, StepKind::Flatten) || telling.presses()
}

fn has(piece: &Piece, kind: StepKind) -> bool {
    piece.steps.iter().any(|step| step.kind == kind)
}

/// True if a piece begins at one point, grows wider, and ends in a hole that can be drawn shut.
fn is_closed(piece: &Piece) -> bool {
    const SMALL_HOLE: usize = 8;
    let starts_shut = piece
        .stitches
        .first()
        .is_some_and(|stitch| stitch.into == Into::Ring || stitch.role == Role::Foundation);
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
    telling: &Telling,
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

/// True if the piece stands on its start: it is worked from the base up.
pub fn stands_on_start(source: &Source, fabric: &Fabric, piece: usize) -> bool {
    let piece = &fabric.pieces[piece];
    let first = piece
        .rounds
        .first()
        .map_or(piece.span.end, |round| round.span.start);
    let words = tokens(source.slice(Span::new(piece.span.start, first.max(piece.span.start))));
    const LOW: &[&str] = &[
        "bottom", "base", "feet", "foot", "toes", "toe", "ground", "tail", "bum",
    ];
    let from_low = words.windows(4).any(|w| {
        w[0].is_any(&["from"])
            && w[1..].iter().any(|word| word.is_any(LOW))
            && !w[1..]
                .iter()
                .any(|word| word.is_any(&["to", "top", "head"]))
    });
    let bottom_up = words
        .windows(2)
        .any(|pair| pair[0].is_any(LOW) && pair[1].is_any(&["up", "upwards"]));
    from_low || bottom_up
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lean_is_read_in_both_ways_of_giving_it() {
        let read = |text: &str| lean_of(&tokens(text));
        assert_eq!(read("0.2 st per rnd"), Some(0.2));
        assert_eq!(read("5 sts right in 20 rnds"), Some(0.25));
        assert_eq!(read("5 sts to the left in 20 rnds"), Some(-0.25));
        assert_eq!(read("none"), None);
        assert_eq!(read("40 sts"), None);
    }
}
