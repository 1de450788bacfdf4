//! How large the toy becomes.

use super::draft::{Draft, Place, Sentence};
use crate::prose::lengths;
use crate::source::Problem;

/// A whole pattern that gives no finished size: neither a header line nor a sentence with a length and a word of size.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    if !draft.is_whole()
        || draft
            .entry(&[
                "size",
                "measurements",
                "height",
                "length",
                "width",
                "dimensions",
            ])
            .is_some()
    {
        return Vec::new();
    }
    let says_so = draft
        .prose
        .sentences
        .iter()
        .filter(|sentence| sentence.place != Place::Materials || is_of_the_toy(sentence))
        .any(|sentence| {
            let speaks = sentence.has(&[
                "tall",
                "high",
                "across",
                "wide",
                "long",
                "size",
                "measures",
                "measuring",
                "height",
                "big",
                "diameter",
                "length",
                "finished",
            ]);
            speaks && lengths::has_length(&sentence.words)
        });
    if says_so {
        return Vec::new();
    }
    vec![
        Problem::note(
            "size-missing",
            draft.front(),
            "the finished size is not given",
        )
        .help("add a line such as `Size: 9 cm tall`"),
    ]
}

/// `**Size** about 6 cm high` or `the height of the toy is 6 cm` under the list of materials; not `size E (3.5 mm) hook`.
fn is_of_the_toy(sentence: &Sentence<'_>) -> bool {
    let opens = sentence.words[0].is_any(&["size", "sizes", "finished", "measurements"]);
    // `Your fish will be about 15 cm long`
    (opens || sentence.has(&["height", "tall", "high", "measures", "will"]))
        && !sentence.has(&["hook", "eyes", "needle", "needles", "beads"])
}
