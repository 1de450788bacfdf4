//! A change to the yarn that is already in use.

use super::draft::{Draft, Place, Sentence};
use crate::source::{Problem, Span, quoted};
use crate::terms::colours;

/// Words that change yarns.
const CHANGES: &[&str] = &["change", "changing", "switch", "switching"];

/// Words before a change that is told of, not made.
const TOLD: &[&str] = &[
    "when", "before", "after", "if", "until", "as", "each", "every", "time",
];

/// A change to the yarn that the words changed to last, with no other yarn named between the two. Repeated rounds may go through several.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    for piece in 0..draft.pattern.pieces.len() {
        let mut in_use: Option<String> = None;
        for sentence in draft.in_place(Place::Piece(piece)) {
            if sentence.has(&["repeat", "rep", "repeating", "as", "like"]) {
                in_use = None;
                continue;
            }
            let mut at = 0;
            while at < sentence.words.len() {
                let Some((name, end)) = yarn_at(draft, sentence, at) else {
                    at += 1;
                    continue;
                };
                let change = change_before(sentence, at);
                let is_same = in_use.as_ref() == Some(&name);
                let span = change.map(|change| {
                    let words = &sentence.words;
                    words[change].span.to(words[end - 1].span)
                });
                match span {
                    Some(span) if is_same => problems.push(problem(&name, span)),
                    Some(_) => in_use = Some(name),
                    None if is_same => {}
                    None => in_use = None,
                }
                at = end;
            }
        }
    }
    problems
}

fn problem(name: &str, span: Span) -> Problem {
    let message = format!("{} is in use already", quoted(name));
    Problem::note("yarn-in-use", span, message).help("say once where the yarn changes")
}

/// The yarn that is named at a place, for comparing, and the place behind its name.
fn yarn_at(draft: &Draft<'_>, sentence: &Sentence<'_>, at: usize) -> Option<(String, usize)> {
    let words = &sentence.words;
    let is_letter = |letter: &str| letter == words[at].text;
    let mut yarns = draft.fabric.yarns.iter();
    if yarns.any(|yarn| yarn.letter.chars().count() <= 2 && is_letter(&yarn.letter)) {
        return Some((words[at].text.to_owned(), at + 1));
    }
    // A colour is at most a shade and two words.
    let next = &words[at..words.len().min(at + 3)];
    let lower: Vec<String> = next.iter().map(|word| colours::plain(word.text)).collect();
    let taken = colours::words_of(|ahead| lower.get(ahead).map(String::as_str))?;
    Some((lower[..taken].join(" "), at + taken))
}

/// The word that changes to the yarn named at a place: `change to white`, `changing to the white yarn`.
fn change_before(sentence: &Sentence<'_>, at: usize) -> Option<usize> {
    const PASSED: &[&str] = &["the", "yarn", "colour", "color"];
    let words = &sentence.words;
    let before = (0..at).rev().find(|&at| !words[at].is_any(PASSED))?;
    let change = before.checked_sub(1).filter(|_| words[before].is("to"))?;
    let change = (change.saturating_sub(1)..=change)
        .rev()
        .find(|&at| words[at].is_any(CHANGES))?;
    let is_told = words[change.saturating_sub(2)..change]
        .iter()
        .any(|word| word.is_any(TOLD));
    (!is_told).then_some(change)
}
