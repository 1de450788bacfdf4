//! Eyes that are listed and forgotten.

use super::draft::{Draft, Place};
use crate::source::{Problem, Span};

/// Eyes in the header or the list of materials that no words from the first piece on put anywhere.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let Some(span) = listed(draft) else {
        return Vec::new();
    };
    let eyes = &["eye", "eyes"];
    if draft.pattern.pieces.is_empty() || draft.below_the_header().any(|s| s.has(eyes)) {
        return Vec::new();
    }
    vec![
        Problem::warning(
            "eyes-never",
            span,
            "these eyes are listed, but no words say when and where they are put in",
        )
        .help(
            "say so before the opening closes: `Insert eyes between Rnds 9 and 10, 6 sts apart.`",
        ),
    ]
}

fn listed(draft: &Draft<'_>) -> Option<Span> {
    let in_materials = || {
        draft.in_place(Place::Materials).find_map(|sentence| {
            let at = sentence.eyes()?;
            // `Beads or black thread for eyes`: what they are made from may be called by its own name. `Use embroidered eyes for small children`
            let made_for = sentence.words[at.saturating_sub(2)..at]
                .iter()
                .any(|word| word.is_any(&["for", "embroidered"]));
            (!made_for).then_some(sentence.words[at].span)
        })
    };
    draft.entry(&["eyes", "eye"]).or_else(in_materials)
}
