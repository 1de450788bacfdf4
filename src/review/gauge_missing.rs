//! How tightly the toy is worked.

use super::draft::Draft;
use crate::source::Problem;

/// A whole pattern with no word on gauge (or tension), not even that it does not matter.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let speaks = |word: &crate::prose::Word<'_>| word.is_any(&["gauge", "tension"]);
    let says_so = draft
        .prose
        .sentences
        .iter()
        .any(|sentence| sentence.words.iter().any(speaks));
    if !draft.is_whole() || says_so {
        return Vec::new();
    }
    vec![
        Problem::note("gauge-missing", draft.front(), "no gauge is given").help(
            "add a line such as `Gauge: 22 sts and 24 rnds = 10 cm`, or `Gauge: not critical`",
        ),
    ]
}
