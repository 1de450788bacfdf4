//! Yarns that the rounds name and no list has.

use super::draft::{Draft, Place};
use crate::prose::Word;
use crate::source::{Problem, quoted};

/// Says once which yarns are named, where the pattern says what it needs but lists no yarn by that name. Where a
/// header lists yarns, a yarn that is not among them is found as it is worked (`yarn-unknown`).
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    if !draft.is_whole() || !draft.pattern.header.yarns.is_empty() {
        return Vec::new();
    }
    let mut named: Vec<&Word<'_>> = Vec::new();
    for sentence in draft.sentences.iter().filter(|s| s.in_round) {
        for pair in sentence.words.windows(2) {
            let is_letter = pair[1].text.len() == 1 && pair[1].text.starts_with(char::is_uppercase);
            let is_new = named.iter().all(|word| word.text != pair[1].text);
            if is_letter && is_new && pair[0].is_any(&["with", "using", "to"]) {
                named.push(&pair[1]);
            }
        }
    }
    named.retain(|word| !is_listed(draft, word.text));
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

/// True if the materials or the header name a yarn's letter. It may be an article: it counts after a word for yarn, or
/// before a sign.
fn is_listed(draft: &Draft<'_>, letter: &str) -> bool {
    draft
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
