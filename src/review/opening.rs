//! What the words put through the last opening of a piece.

use super::draft::Sentence;
use crate::prose::lengths;

/// True for words that put eyes in, rather than sew or draw them on.
pub(super) fn puts_eyes_in(sentence: &Sentence<'_>) -> bool {
    let puts = sentence.has(&[
        "insert", "place", "attach", "put", "add", "push", "fix", "fit", "secure", "set",
    ]);
    let soft = sentence.has(&["embroider", "embroidered", "sew", "glue", "felt"]);
    // What else has to do with eyes: markers between them, other noses, what to do if there are none.
    let otherwise = sentence.has(&[
        "stitch",
        "crochet",
        "leave",
        "if",
        "marker",
        "between",
        "wish",
        "optional",
        "optionally",
    ]);
    let between_rounds = sentence.has(&["rnd", "rnds", "round", "rounds", "rd", "rds", "R"]);
    sentence.eyes().is_some() && puts && !soft && (!otherwise || between_rounds)
}

/// True if one of these words stands before the number of a round: `between 13 and 14`, `after Rnd 12`.
pub(super) fn names_rounds_after(sentence: &Sentence<'_>, before: &[&str]) -> bool {
    let words = &sentence.words;
    let is_number = |at: usize| {
        words
            .get(at)
            .is_some_and(|word| word.whole_number().is_some())
    };
    (0..words.len()).any(|at| {
        let named = words.get(at + 1).is_some_and(|word| {
            word.is_any(&["rnd", "rnds", "round", "rounds", "r", "rd", "row", "rows"])
        });
        words[at].is_any(before) && is_number(at + 1 + usize::from(named))
    })
}

/// Diameter in mm of the eyes that a sentence names.
pub(super) fn eye_mm(sentence: &Sentence<'_>) -> Option<f64> {
    if !sentence.has(&["eyes", "eye"]) {
        return None;
    }
    // `3.75 mm hook, two 10 mm safety eyes`: the length that stands nearest before them, or the first behind.
    let eyes = sentence.eyes().unwrap_or(0);
    let length = |at| lengths::length_at(&sentence.words, at);
    let before = (0..eyes).rev().find_map(length);
    let length = before.or_else(|| (eyes..sentence.words.len()).find_map(length))?;
    (length.mm <= 40.0).then_some(length.mm)
}
