//! How a piece ends.

use super::draft::{Draft, Place, Sentence};
use super::parts::{Names, fastens, is_goal, joined};
use crate::fabric::Round;
use crate::order::{Opening, closes};
use crate::source::{Problem, Span};

/// Words on what becomes of the last opening.
const SPEAKS: &[&str] = &[
    "close",
    "closed",
    "closing",
    "hole",
    "gather",
    "gathered",
    "cinch",
    "draw",
    "drawn",
    "drawing",
    "pull",
    "pulling",
    "opening",
    "open",
    "sew",
    "sewn",
    "sewing",
    "tighten",
    "loops",
    "flat",
    "flatten",
    "fold",
    "folded",
    "join",
    "attach",
    "remaining",
];

/// A piece that narrows to a few stitches, in a whole pattern, with no word on closing them.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let told = draft
        .below_the_header()
        .any(|s| !matches!(s.place, Place::Piece(_)) && s.has(&["close", "hole", "opening"]));
    if !draft.is_whole() || told {
        return Vec::new();
    }
    let joined = joined(draft);
    let mut problems = Vec::new();
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let Some(round) = piece.rounds.last() else {
            continue;
        };
        let last = match closes(piece) {
            Some((_, last)) => last,
            None if is_left(draft, place) => round.edge.len(),
            None => continue,
        };
        let speaks = draft
            .in_place(Place::Piece(place))
            .filter(|sentence| sentence.span().end > round.span.start)
            .any(|sentence| sentence.has(SPEAKS) && !only_fastens_off(sentence));
        if !speaks && joined[place].copies == 0 {
            problems.push(
                Problem::note(
                    "last-round-open",
                    cuts(draft, place, round).unwrap_or(round.span),
                    format!("the last {last} stitches stay open: no words say how to close them"),
                )
                .help("end with `Fasten off and close the hole through the front loops.`"),
            );
        }
    }
    problems
}

/// The words below the last round that end the work: there a word on closing is missing.
fn cuts(draft: &Draft<'_>, place: usize, round: &Round) -> Option<Span> {
    const CUTS: &[&str] = &["fasten", "fo", "cut", "break"];
    let mut below = draft
        .in_place(Place::Piece(place))
        .filter(|sentence| sentence.span().start >= round.span.end);
    below
        .find(|sentence| sentence.has(CUTS))
        .map(Sentence::span)
}

/// `Cut the yarn and pull it through the last loop.`
fn only_fastens_off(sentence: &Sentence<'_>) -> bool {
    let mut spoken = sentence.words.iter().filter(|word| word.is_any(SPEAKS));
    sentence.has(&["loop"]) && spoken.all(|word| word.is_any(&["pull", "draw"]))
}

/// True if a stuffed tube narrows to a few stitches, and the words leave it there: it is not even fastened off, or sewn on.
fn is_left(draft: &Draft<'_>, place: usize) -> bool {
    const FEW: usize = 12;
    const ENDS: &[&str] = &["fasten", "fo", "finish", "cut", "tail", "end", "f"];
    let piece = &draft.fabric.pieces[place];
    let (Some(round), Some(_)) = (piece.rounds.last(), Opening::of(piece)) else {
        return false;
    };
    let widest = piece.rounds.iter().map(|round| round.edge.len()).max();
    let narrows = round.edge.len() <= FEW && widest.is_some_and(|widest| widest > round.edge.len());
    let names = Names::new(draft.pattern);
    let goes_on = draft
        .in_place(Place::Piece(place))
        .filter(|sentence| sentence.span().end > round.span.start)
        .any(|sentence| sentence.has(ENDS) && !sentence.has(&["stuffing"]));
    let is_used = draft.below_the_header().any(|sentence| {
        fastens(sentence)
            && names
                .in_sentence(sentence)
                .any(|(at, stem)| names.only(stem) == Some(place) && !is_goal(sentence, at))
    });
    let stuffed = draft
        .in_place(Place::Piece(place))
        .any(|sentence| sentence.has(&["stuff", "stuffing", "fill"]));
    narrows && stuffed && !goes_on && !is_used
}
