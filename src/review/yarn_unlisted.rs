//! Yarns that the rounds name and no list has.

use super::draft::{Draft, Place};
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
            let is_new = named.iter().all(|word| word.text != pair[1].text);
            if is_letter && is_new && pair[0].is_any(&["with", "using", "to"]) {
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

/// Colours that yarns are called by in words: `change to grey yarn`, where the list goes by colours and has no such one.
fn by_colour<'d>(draft: &'d Draft<'_>) -> Option<&'d Word<'d>> {
    let is_in_list = |word: &Word<'_>| {
        let mut listed = draft
            .prose
            .sentences
            .iter()
            .filter(|sentence| matches!(sentence.place, Place::Front | Place::Materials));
        listed.any(|sentence| {
            sentence
                .words
                .iter()
                .any(|other| other.stem() == word.stem())
        })
    };
    // `Using sand, make a magic ring`
    let is_alone = |word: &Word<'_>| draft.source.text()[word.span.end..].starts_with(',');
    let goes_by_colours = draft
        .in_place(Place::Materials)
        .any(|sentence| sentence.has(colours::COLOURS));
    let mut pairs = draft
        .below_the_header()
        .flat_map(|sentence| sentence.words.windows(3));
    let named = pairs.find(|three| {
        three[0].is_any(&["to", "with", "using", "in"])
            && three[1].is_any(colours::COLOURS)
            && (three[2].is_any(&["yarn"]) || is_alone(&three[1]))
            && !is_in_list(&three[1])
    });
    named.map(|three| &three[1]).filter(|_| goes_by_colours)
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
