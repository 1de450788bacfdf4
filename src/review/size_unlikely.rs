//! A finished size that the gauge can't make.

use super::draft::{Draft, Place, Sentence};
use crate::fabric::{Piece, Round, RoundKind};
use crate::order::Opening;
use crate::pattern::Line;
use crate::prose::Word;
use crate::prose::lengths::length_at;
use crate::shape::{self, Gauge, GaugeFrom};
use crate::source::{Problem, Span};
use crate::terms::Height;

/// How many times larger or smaller than what can be made a size has to be. (`size-contradicted` looks closer, at the shapes themselves.)
const OFF: f64 = 2.0;

/// Most stitches by which the rounds of a smooth ball grow; a frill is wider than its stitches tell.
const SMOOTH: usize = 8;

/// Rounds of the longest piece from which on a text is more than some rounds that somebody jotted down.
const ENOUGH: usize = 8;

/// A stated length that is more than twice as long as all pieces laid end to end, or less than half as wide as the widest ball among them.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let gauge = shape::gauge_told(&draft.prose, draft.fabric);
    if gauge.from != GaugeFrom::Stitches || !is_read(draft) {
        return Vec::new();
    }
    let pieces = &draft.fabric.pieces;
    let reach: f64 = pieces
        .iter()
        .map(|piece| reach_mm(piece, &gauge) * f64::from(piece.make))
        .sum();
    let least = pieces
        .iter()
        .filter_map(|piece| width_mm(piece, &gauge))
        .fold(0.0, f64::max);
    let stated: Vec<(f64, Span)> = draft
        .prose
        .sentences
        .iter()
        .filter(|sentence| matches!(sentence.place, Place::Front | Place::Materials))
        .flat_map(stated)
        .collect();
    let too_long = stated.iter().find(|(mm, _)| *mm > OFF * reach);
    let all_small = || stated.iter().all(|(mm, _)| *mm * OFF < least);
    let found = too_long.or_else(|| stated.first().filter(|_| all_small()));
    let problem = found.map(|&(_, span)| {
        let message = match too_long {
            Some(_) => format!(
                "by the gauge, all pieces end to end are no longer than {:.0} cm",
                reach / 10.0
            ),
            None => format!(
                "by the gauge, the widest piece alone is {:.1} cm across",
                least / 10.0
            ),
        };
        Problem::warning("size-unlikely", span, message).help("correct the size, or the gauge")
    });
    problem.into_iter().collect()
}

/// True if every round was read, and no piece is as long as the maker likes.
fn is_read(draft: &Draft<'_>) -> bool {
    let mut lines = draft.pattern.pieces.iter().flat_map(|piece| &piece.lines);
    let flawed = lines.any(|line| match line {
        Line::Round(round) => round.flawed,
        _ => false,
    });
    let mut pieces = draft.fabric.pieces.iter();
    let longest = draft.fabric.pieces.iter().map(|piece| piece.rounds.len());
    !flawed
        && longest.max() >= Some(ENOUGH)
        && pieces.all(|piece| piece.lengths.is_empty() && !piece.stitches.is_empty())
}

/// No part of a piece is longer than this.
fn reach_mm(piece: &Piece, gauge: &Gauge) -> f64 {
    let sc = Height::Single.in_widths();
    let height = |round: &Round| {
        let stitches = piece.round_stitches(round);
        let heights = stitches.map(|(_, stitch)| stitch.kind.in_widths());
        heights.fold(0.0, f64::max) * gauge.sc_height / sc
    };
    let up: f64 = piece.rounds.iter().map(height).sum();
    let widest = piece.rounds.iter().map(|round| round.stitches.len()).max();
    let around = widest.unwrap_or(0) as f64;
    // A tube pressed flat is half as wide as its rounds are long; a flat disc twice as wide as they are high.
    let across = match Opening::of(piece) {
        Some(_) => around / 2.0,
        None => around,
    };
    up.max(across) * gauge.width_mm
}

/// How wide a smooth ball or tube is.
fn width_mm(piece: &Piece, gauge: &Gauge) -> Option<f64> {
    Opening::of(piece)?;
    let counts: Vec<usize> = piece.rounds.iter().map(|round| round.edge.len()).collect();
    let is_smooth = counts.windows(2).all(|pair| pair[1] <= pair[0] + SMOOTH);
    let widest = counts.iter().max().filter(|_| is_smooth)?;
    let all_round = piece.rounds.iter().all(|r| r.kind == RoundKind::Round);
    all_round.then(|| *widest as f64 * gauge.width_mm / std::f64::consts::PI)
}

/// The lengths that a sentence gives as the size of the toy, in mm: `Size: 18 cm (7 in) across`, `about 9 cm tall`. Of a length in two units it
/// is the one.
fn stated(sentence: &Sentence<'_>) -> Vec<(f64, Span)> {
    const SIZES: &[&str] = &[
        "size",
        "sizes",
        "height",
        "length",
        "width",
        "measures",
        "measurements",
    ];
    const SIDES: &[&str] = &["tall", "high", "across", "wide", "long", "diameter"];
    const OTHERS: &[&str] = &[
        "gauge", "tension", "hook", "eyes", "eye", "tail", "yarn", "sts", "st", "sc", "dc",
        "stitches", "rnds", "rounds", "needle", "wire", "cleaner", "felt", "ribbon", "cord",
        "button", "buttons", "bead", "beads", "ring", "dowel",
    ];
    /// Words between a length and what says that it is a size.
    const NEAR: usize = 3;
    let words = &sentence.words;
    let mut found: Vec<(f64, Span)> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let Some(length) = length_at(words, at) else {
            at += 1;
            continue;
        };
        let before = &words[at.saturating_sub(NEAR)..at];
        // The same in the other unit says nothing new.
        at = length_at(words, length.end).map_or(length.end, |same| same.end);
        let after = &words[at..words.len().min(at + NEAR)];
        let has = |words: &[Word<'_>], any: &[&str]| words.iter().any(|word| word.is_any(any));
        let is_size = has(before, SIZES) || has(after, SIDES);
        if is_size && !has(before, OTHERS) && !has(after, OTHERS) {
            found.push((length.mm, length.span));
        }
    }
    found
}
