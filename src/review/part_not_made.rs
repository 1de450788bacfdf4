//! What is sewn to, and never made.

use super::draft::Draft;
use super::parts::{Names, SEW};
use crate::source::{Problem, quoted};

/// The main pieces of a toy. One that is named for the animal holds both.
const MAIN: [&str; 2] = ["head", "body"];

/// `Sew the ears to the head` in a pattern with a body and no head.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let names = Names::new(draft.pattern);
    let pieces = 0..draft.pattern.pieces.len();
    let is_made = |name: &str| {
        pieces
            .clone()
            .any(|at| names.of(at).iter().any(|stem| stem == name))
    };
    let missing: Vec<&str> = MAIN.into_iter().filter(|name| !is_made(name)).collect();
    let [missing] = missing[..] else {
        return Vec::new();
    };
    let mut sewing = draft
        .below_the_header()
        .filter(|sentence| !sentence.in_round && sentence.has(SEW));
    let found = sewing.find_map(|sentence| sentence.word(&[missing]).map(|word| word.span));
    let problem = found.map(|span| {
        Problem::note(
            "part-not-made",
            span,
            format!("no piece is named {}", quoted(missing)),
        )
        .help("if another piece is meant, call it by its name")
    });
    problem.into_iter().collect()
}
