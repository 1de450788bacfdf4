//! Pieces as the words name them, and the words by which one is fastened to another.

use std::collections::BTreeSet;

use super::draft::Draft;
pub(super) use crate::prose::Names;

/// Words that say that one piece is fastened to another.
pub(super) const FASTEN: &[&str] = &[
    "sew",
    "sewn",
    "sewing",
    "whipstitch",
    "attach",
    "attached",
    "attaching",
    "join",
    "joined",
    "joining",
    "tie",
    "tied",
    "fix",
    "glue",
    "hang",
    "slide",
    "thread",
    "pin",
    "tack",
    "crocheted",
    "insert",
    "slip",
    "tuck",
];

/// Words that say that one piece is sewn to another.
pub(super) const SEW: &[&str] = &["sew", "sewn", "sewing", "whipstitch"];

/// True if the pattern tells how its pieces come together.
pub(super) fn tells_assembly(draft: &Draft<'_>) -> bool {
    draft
        .fabric
        .pieces
        .iter()
        .any(|piece| !piece.joins.is_empty())
        || draft
            .below_the_header()
            .any(|sentence| !sentence.in_round && sentence.has(&["sew", "sewn", "attach"]))
}

/// How rounds join a piece into others.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Joined {
    /// Copies of it, over all copies of the pieces that it is joined into.
    pub copies: usize,
    /// The highest number of a copy that is named.
    pub highest: u32,
}

/// For each piece, how rounds join it into others.
pub(super) fn joined(draft: &Draft<'_>) -> Vec<Joined> {
    let pieces = &draft.fabric.pieces;
    let mut all = vec![Joined::default(); pieces.len()];
    for host in pieces {
        let copies: BTreeSet<(usize, u32)> = host
            .joins
            .iter()
            .map(|join| (join.part, join.copy))
            .collect();
        for (part, copy) in copies {
            if let Some(joined) = all.get_mut(part) {
                joined.copies += host.make as usize;
                joined.highest = joined.highest.max(copy);
            }
        }
    }
    all
}
