//! What the toy is worked with.

use super::draft::{Draft, Sentence};
use crate::source::Problem;

/// A whole pattern with no word on its hook. `2nd ch from hook` is none.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let speaks = |sentence: &Sentence<'_>| {
        let words = &sentence.words;
        words.iter().enumerate().any(|(at, word)| {
            let mut before = words[at.saturating_sub(2)..at].iter();
            word.is_any(&["hook", "hooks"]) && !before.any(|word| word.is("from"))
        })
    };
    if !draft.is_whole() || draft.prose.sentences.iter().any(speaks) {
        return Vec::new();
    }
    vec![
        Problem::note("hook-missing", draft.front(), "no hook size is given")
            .help("add a line such as `Hook: 3.5 mm`"),
    ]
}
