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
    let otherwise = sentence.has(&["stitch", "crochet", "leave", "if", "marker", "between"]);
    let between_rounds = sentence.has(&["rnd", "rnds", "round", "rounds", "rd", "rds", "R"]);
    sentence.has(&["eyes", "eye"]) && puts && !soft && (!otherwise || between_rounds)
}

/// Diameter in mm of the eyes that a sentence names.
pub(super) fn eye_mm(sentence: &Sentence<'_>) -> Option<f64> {
    if !sentence.has(&["eyes", "eye"]) {
        return None;
    }
    let length =
        (0..sentence.words.len()).find_map(|at| lengths::length_at(&sentence.words, at))?;
    (length.mm <= 40.0).then_some(length.mm)
}
