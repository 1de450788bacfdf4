//! Words that point to rounds.

use super::draft::{Draft, Place, Sentence};
use super::parts::{is_goal, sews};
use crate::source::{Problem, Span};

/// A round number in prose that is higher than any piece has; for words on eyes in a piece, than that piece has. (Rounds that
/// point to others, `as Rnd 3`, are checked as they are worked: `round-unknown`.)
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let highest = |piece: usize| {
        let rounds = draft.fabric.pieces.get(piece).map(|piece| &piece.rounds);
        rounds.and_then(|rounds| rounds.iter().map(|round| round.number).max())
    };
    let of_all = (0..draft.fabric.pieces.len()).filter_map(highest).max();
    let Some(of_all) = of_all.filter(|_| rounds_are_known(draft)) else {
        return Vec::new();
    };
    let mut problems = Vec::new();
    for sentence in draft.below_the_header().filter(|s| !s.in_round) {
        let piece = match sentence.place {
            Place::Piece(piece) => highest(piece),
            _ => None,
        };
        // What goes between the eyes has its place on another piece.
        let eyes = sentence.eyes().filter(|&at| !is_goal(sentence, at));
        let of_eyes = eyes.is_some() && !sentence.has(&["of"]);
        // So has what is embroidered.
        let on_another = sews(sentence) || sentence.has(&["embroider", "embroidered"]);
        let of_piece = piece.filter(|_| of_eyes && !on_another);
        let last = of_piece.unwrap_or(of_all);
        if let Some((number, span)) = numbers(draft, sentence).find(|&(number, _)| number > last) {
            problems.push(
                Problem::error(
                    "round-not-there",
                    span,
                    match of_piece {
                        Some(_) => {
                            format!("there is no round {number}: this piece ends with round {last}")
                        }
                        None => format!(
                            "there is no round {number}: the longest piece ends with round {last}"
                        ),
                    },
                )
                .help("correct the number"),
            );
        }
    }
    problems
}

/// Rounds that repeat until something is so may be as many as the maker likes.
fn rounds_are_known(draft: &Draft<'_>) -> bool {
    !draft.prose.sentences.iter().any(|sentence| {
        let works = sentence.in_round || sentence.has(&["repeat", "continue"]);
        works && sentence.has(&["until", "desired"])
    })
}

/// Numbers after a word for rounds: `Rnds 9 and 10`, `Rounds 9-12`, `R9`.
fn numbers<'d>(
    draft: &'d Draft<'_>,
    sentence: &'d Sentence<'_>,
) -> impl Iterator<Item = (u32, Span)> {
    let words = &sentence.words;
    let mut after_label = false;
    let mut last_end = 0;
    words.iter().enumerate().filter_map(move |(at, word)| {
        let gap = &draft.source.text()[last_end.min(word.span.start)..word.span.start];
        last_end = word.span.end;
        let is_label = word.is_any(&["rnd", "rnds", "rd", "rds", "round", "rounds", "row", "rows"])
            || word.text == "R"
                && words
                    .get(at + 1)
                    .is_some_and(|next| next.span.start == word.span.end);
        if is_label {
            after_label = true;
            return None;
        }
        let Some(number) = word.whole_number().filter(|_| after_label) else {
            after_label &= word.is_any(&["and", "to", "or", "through"]);
            return None;
        };
        if gap.contains(['(', ',', ';', ':']) {
            after_label = false;
            return None;
        }
        // `over Rnds 9 to 12 of the body`, but not `Round 3 18 sts`.
        let is_count = words.get(at + 1).is_some_and(|next| {
            next.is_any(&[
                "st", "sts", "stitch", "stitches", "times", "cm", "mm", "more", "sc", "dc", "hdc",
                "htr", "tr",
            ])
        });
        (!is_count).then_some((number, word.span))
    })
}
