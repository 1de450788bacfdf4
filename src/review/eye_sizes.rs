//! The size of the eyes, in the list and in the words.

use super::draft::{Draft, Place, Sentence};
use super::opening::eye_mm;
use crate::prose::lengths::{Length, length_at};
use crate::source::{Problem, quoted};

/// Eyes of a size that is put in, where eyes of other sizes only are listed.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let is_list = |place| matches!(place, Place::Front | Place::Materials);
    let listed: Vec<Length> = draft
        .prose
        .sentences
        .iter()
        .filter(|sentence| is_list(sentence.place) && eye_mm(sentence).is_some())
        .flat_map(|sentence| on_the_eyes_line(draft, sentence))
        .collect();
    let Some(first) = listed.first() else {
        return Vec::new();
    };
    let used = draft.below_the_header().filter_map(of_eyes);
    used.filter(|size| {
        listed
            .iter()
            .all(|listed| (listed.mm - size.mm).abs() > 0.5)
    })
    .map(|size| {
        let says = |length: &Length| draft.source.slice(length.span);
        Problem::warning(
            "eye-sizes",
            size.span,
            format!(
                "these eyes are {}, but {} eyes are listed",
                says(&size),
                says(first)
            ),
        )
        .help(format!(
            "if the list is right, write {}",
            quoted(says(first))
        ))
    })
    .collect()
}

fn lengths(sentence: &Sentence<'_>) -> impl Iterator<Item = Length> {
    (0..sentence.words.len()).filter_map(|at| length_at(&sentence.words, at))
}

/// The lengths of a list that stand on one line with eyes: a list without full stops is one sentence, and has a hook as well.
fn on_the_eyes_line(draft: &Draft<'_>, sentence: &Sentence<'_>) -> Vec<Length> {
    let line = |at: usize| draft.source.line_of(at);
    let words = sentence.words.iter();
    let eyes: Vec<usize> = words
        .filter(|word| word.is_any(&["eye", "eyes"]))
        .map(|word| line(word.span.start))
        .collect();
    lengths(sentence)
        .filter(|length| eyes.contains(&line(length.span.start)))
        .collect()
}

/// `the 8 mm eyes`, `8 mm black safety eyes`: not `the eyes 8 mm apart`.
fn of_eyes(sentence: &Sentence<'_>) -> Option<Length> {
    let mut found = lengths(sentence);
    found.find(|length| {
        let after = sentence.words[length.end..].iter().take(3);
        let mut named = after.take_while(|word| !word.is_any(&["from", "of", "between", "apart"]));
        named.any(|word| word.is_any(&["eye", "eyes"]))
    })
}
