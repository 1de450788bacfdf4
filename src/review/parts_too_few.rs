//! More of a part than is made.

use std::collections::BTreeSet;

use super::draft::Draft;
use super::parts::{Names, joined, sews, times_told};
use crate::prose::{Word, words};
use crate::source::{Problem, Span, quoted};

/// Words that sew more copies of a part than are made, and copies of a piece that together join more of a part than are made.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let mut problems = sewn(draft);
    let joined = joined(draft);
    for (place, piece) in draft.fabric.pieces.iter().enumerate() {
        let joined = joined[place];
        // Where one copy of the host joins too many already, `part-copies` says so.
        if joined.copies > piece.make as usize && joined.highest <= piece.make {
            problems.push(too_few(draft, place, joined.copies, piece.span));
        }
    }
    problems
}

/// `Sew the four legs to the body`.
fn sewn(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    let mut problems = Vec::new();
    for sentence in draft.below_the_header() {
        if sentence.in_round || !sews(sentence) {
            continue;
        }
        // One slip of a sentence is one problem.
        let mut reported: BTreeSet<usize> = BTreeSet::new();
        for (at, stem) in names.in_sentence(sentence) {
            let (Some(place), Some(before)) = (names.only(stem), at.checked_sub(1)) else {
                continue;
            };
            if reported.contains(&place) {
                continue;
            }
            // `4 skirt sts apart`
            let counts_stitches = sentence
                .words
                .get(at + 1)
                .is_some_and(|word| word.is_any(&["st", "sts", "stitch", "stitches"]));
            // `Ears over rnds 12-14, arms at rnd 17`
            let words = &sentence.words;
            let gap = Span::new(words[before].span.end, words[at].span.start);
            let is_apart = draft.source.slice(gap).contains([',', ';', '.', ':', ')']);
            if counts_stitches || is_apart {
                continue;
            }
            let number = sentence.words[before].number().unwrap_or(0.0) as usize;
            // `four legs to each side`
            if number == 0 {
                continue;
            }
            let number = number * times_told(draft, &names, sentence, at).unwrap_or(1);
            if number > draft.pattern.pieces[place].make as usize {
                reported.insert(place);
                let sewn = sentence.words[before].span.to(sentence.words[at].span);
                // Two numbers that agree leave the third as the slip.
                let span = Some(place)
                    .filter(|_| is_told_again(words, before, number))
                    .and_then(|place| words_of_make(draft, place))
                    .unwrap_or(sewn);
                problems.push(too_few(draft, place, number, span));
            }
        }
    }
    problems
}

fn too_few(draft: &Draft<'_>, place: usize, wanted: usize, span: Span) -> Problem {
    let piece = &draft.pattern.pieces[place];
    let are = if piece.make == 1 { "is" } else { "are" };
    Problem::error(
        "parts-too-few",
        span,
        format!(
            "{wanted} of {} are needed, but {} {are} made",
            quoted(&piece.name),
            piece.make
        ),
    )
    .help(format!("write `(make {wanted})` in its heading"))
}

/// True if the other numbers of the words that sew come to as many: `sew the four legs around Rnd 9, two on each side`.
fn is_told_again(words: &[Word<'_>], told: usize, wanted: usize) -> bool {
    const PLACES: &[&str] = &["on", "to", "at", "in"];
    let places = (0..words.len()).filter(|&at| at != told);
    let numbers = places.filter_map(|at| {
        let [goal, which] = words.get(at + 1..at + 3)? else {
            return None;
        };
        let number = words[at].number().filter(|_| goal.is_any(PLACES))? as usize;
        let is_both = which.is_any(&["each", "either"]);
        Some(number * if is_both { 2 } else { 1 })
    });
    numbers.sum::<usize>() == wanted
}

/// The words of a heading that say how many to make: `make 2`.
fn words_of_make(draft: &Draft<'_>, place: usize) -> Option<Span> {
    let piece = &draft.pattern.pieces[place];
    let line = draft.source.line_of(piece.span.start) - 1;
    let line = draft.source.line_span(line);
    let words: Vec<Word<'_>> = words::split(draft.source.slice(line), line.start).collect();
    let mut pairs = words.windows(2);
    let make = pairs.find(|pair| {
        pair[0].is_any(&["make", "work", "x", "crochet"])
            && pair[1].number() == Some(f64::from(piece.make))
    })?;
    Some(make[0].span.to(make[1].span))
}
