//! Yarns that the rounds name and no list has.

use std::collections::BTreeSet;

use super::draft::{Draft, Place, Sentence};
use crate::prose::Word;
use crate::source::{Problem, quoted};
use crate::terms::colours;

/// Says once which yarns are named, where the pattern says what it needs but lists no yarn by that name. Where a
/// header lists yarns, a yarn that is not among them is found as it is worked (`yarn-unknown`).
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    if !draft.is_whole() || !draft.pattern.header.yarns.is_empty() {
        return Vec::new();
    }
    let mut named: Vec<&Word<'_>> = Vec::new();
    for sentence in draft.prose.sentences.iter().filter(|s| s.in_round) {
        for pair in sentence.words.windows(2) {
            let is_letter = pair[1].text.len() == 1 && pair[1].text.starts_with(char::is_uppercase);
            // `R7 to R10`
            let is_label =
                draft.source.text()[pair[1].span.end..].starts_with(|c: char| c.is_ascii_digit());
            let is_new = named.iter().all(|word| word.text != pair[1].text);
            if is_letter && is_new && !is_label && pair[0].is_any(&["with", "using", "to"]) {
                named.push(&pair[1]);
            }
        }
    }
    named.retain(|word| !is_listed(draft, word.text));
    named.extend(by_colour(draft));
    let Some(first) = named.first() else {
        return Vec::new();
    };
    let names: Vec<String> = named.iter().map(|word| quoted(word.text)).collect();
    vec![
        Problem::note(
            "yarn-unlisted",
            first.span,
            format!("the materials do not say what yarn {} is", names.join(", ")),
        )
        .help("list each yarn above the first piece: `Yarn A: navy, DK, 50 g = 125 m`"),
    ]
}

/// Words of a list that leaves colours to the maker.
const OPEN: &[&str] = &[
    "any",
    "scraps",
    "oddments",
    "various",
    "assorted",
    "other",
    "leftover",
    "leftovers",
];

/// Colours that yarns are called by in words: `change to grey yarn`, where the list goes by colours and has no such one.
pub(super) fn by_colour<'d>(draft: &'d Draft<'_>) -> Option<&'d Word<'d>> {
    let above = draft.prose.sentences.iter();
    let listed: BTreeSet<String> = above
        .filter(|sentence| matches!(sentence.place, Place::Front | Place::Materials))
        .flat_map(|sentence| &sentence.words)
        .map(|word| colours::plain(&word.stem()))
        .collect();
    let is_in_list = |word: &Word<'_>| listed.contains(&colours::plain(&word.stem()));
    let materials = || draft.in_place(Place::Materials);
    let goes_by_colours = materials().any(|sentence| sentence.has(colours::COLOURS));
    // `Scraps in any colour`
    let is_open = materials().any(|sentence| sentence.has(OPEN));
    if !goes_by_colours || is_open {
        return None;
    }
    let mut named = draft
        .below_the_header()
        .flat_map(|sentence| (0..sentence.words.len()).map(move |at| (sentence, at)))
        .filter(|&(sentence, at)| sentence.words[at].is_any(colours::COLOURS));
    let unlisted = named.find(|&(sentence, at)| {
        calls_a_yarn(draft, sentence, at) && !is_in_list(&sentence.words[at])
    });
    unlisted.map(|(sentence, at)| &sentence.words[at])
}

/// True for a colour that is all that a yarn is called: `change to grey yarn`, `using sand, …`, `Underside (white)`.
fn calls_a_yarn(draft: &Draft<'_>, sentence: &Sentence<'_>, at: usize) -> bool {
    let word = &sentence.words[at];
    let text = draft.source.text();
    let after = text[word.span.end..].trim_start_matches(['*', '_']);
    let before = text[..word.span.start].trim_end_matches(['*', '_']);
    let in_brackets = before.ends_with('(') && after.starts_with(')');
    let is_told = at > 0 && sentence.words[at - 1].is_any(&["to", "with", "using", "in"]);
    let ends = after.is_empty() || after.starts_with([',', '.', ':', ';', '\n', '\r']);
    let says_yarn = || {
        sentence
            .words
            .get(at + 1)
            .is_some_and(|next| next.is("yarn"))
    };
    in_brackets || is_told && (ends || says_yarn())
}

/// True if the materials or the header name a yarn's letter. It may be an article: it counts after a word for yarn, or
/// before a sign.
fn is_listed(draft: &Draft<'_>, letter: &str) -> bool {
    draft
        .prose
        .sentences
        .iter()
        .filter(|sentence| matches!(sentence.place, Place::Front | Place::Materials))
        .any(|sentence| {
            sentence.words.iter().enumerate().any(|(at, word)| {
                let after = draft.source.text()[word.span.end..].trim_start();
                let before = at.checked_sub(1).map(|before| &sentence.words[before]);
                let means_yarn = after.starts_with([':', '=', '(', ')', '-', '–', ','])
                    || before.is_some_and(|word| {
                        word.is_any(&["yarn", "colour", "color", "of", "in", "and"])
                    });
                word.text == letter && means_yarn
            })
        })
}
