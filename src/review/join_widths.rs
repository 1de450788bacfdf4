//! Two copies of a part that a piece joins in two ways.

use std::collections::BTreeMap;

use super::draft::Draft;
use crate::fabric::{Join, Piece};
use crate::source::{Problem, quoted};

/// A part of which one copy is joined as a flattened one, over half its edge, and another over more stitches, which a flattened one does not
/// have. (Each join on its own is held to the part's edge as it is worked.)
pub(super) fn check(draft: &Draft<'_>) -> Vec<Problem> {
    let pieces = draft.fabric.pieces.iter();
    pieces.flat_map(|piece| in_piece(draft, piece)).collect()
}

fn in_piece(draft: &Draft<'_>, piece: &Piece) -> Vec<Problem> {
    let mut of_part: BTreeMap<usize, Vec<&Join>> = BTreeMap::new();
    for join in piece.joins.iter().filter(|join| !join.loops) {
        of_part.entry(join.part).or_default().push(join);
    }
    let problems = of_part.into_iter().filter_map(|(part, joins)| {
        let [one, other] = joins[..] else {
            return None;
        };
        let name = &draft.fabric.pieces.get(part)?.name;
        let (flat, wide) = match (one.layers, other.layers) {
            (2, 1) => (one, other),
            (1, 2) => (other, one),
            _ => return None,
        };
        let (wanted, found) = (flat.stitches.len(), wide.stitches.len());
        (flat.copy != wide.copy && found > wanted).then(|| {
            Problem::warning(
                "part-width",
                wide.span,
                format!(
                    "one {} is joined over {found} stitches here, the other over {wanted}, which are all that a flattened one has",
                    quoted(name),
                ),
            )
            .help(format!("join both over {wanted} stitches"))
        })
    });
    problems.collect()
}
