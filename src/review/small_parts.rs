//! Eyes and other small parts can come off: who must not be given them.

use super::draft::Draft;
use crate::fabric::StepKind;
use crate::source::{Problem, Source, Span};

/// Says once, at the first mention of eyes, for whom the toy is not, unless the pattern says so itself.
///
/// Small parts are a choking hazard for children under 3 (16 CFR 1501 in the United States; toys that are sold fall
/// under local toy-safety law: EN 71, ASTM F963; from memory).
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let listed = draft
        .pattern
        .header
        .entries
        .iter()
        .find(|entry| entry.key.contains("eyes"))
        .map(|entry| entry.value);
    let worked = draft
        .fabric
        .pieces
        .iter()
        .flat_map(|piece| &piece.steps)
        .find(|step| matches!(step.kind, StepKind::Eyes(_)))
        .map(|step| step.span);
    let Some(span) = listed.or(worked) else {
        return Vec::new();
    };
    if says_so(draft.source) {
        return Vec::new();
    }
    vec![caution(span)]
}

fn caution(span: Span) -> Problem {
    Problem::note("small-parts", span, "eyes are small parts and can come off: not for children under 3").help(
        "say so in the pattern and offer embroidered eyes instead; toys that are sold fall under local toy-safety rules",
    )
}

/// True if the text warns of small children in any usual words.
fn says_so(source: &Source) -> bool {
    let text = source.text().to_lowercase();
    [
        "under 3",
        "under three",
        "small part",
        "choking",
        "embroider",
    ]
    .iter()
    .any(|words| text.contains(words))
}
