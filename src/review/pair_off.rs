//! Pairs that do not face each other.

use super::draft::Draft;
use crate::place::Off;
use crate::source::Problem;

/// Parts and features that sit more than a stitch from where they would face their partners, said of the later one.
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let placement = draft.placement();
    let mut problems = Vec::new();
    for (id, attachment) in draft.attachments() {
        let (Some(partner), Some(Off::Exactly(deg)), Some(stitch_deg)) = (
            attachment.partner.filter(|&partner| partner < id),
            attachment.off,
            attachment.stitch_deg,
        ) else {
            continue;
        };
        if deg.abs() <= stitch_deg * 1.01 {
            continue;
        }
        let Some(verdict) = placement.verdict(id) else {
            continue;
        };
        let message = format!(
            "the {} does not face the {}: it sits {:.1} stitches too {} in the round",
            placement.name(id),
            placement.name(partner),
            (deg / stitch_deg).abs(),
            if deg > 0.0 { "late" } else { "early" },
        );
        problems.push(Problem::warning("pair-off", attachment.span, message).help(verdict));
    }
    problems
}
