//! A worked fabric against the model.

use std::collections::BTreeMap;

use crate::model::{Piece, Round, Start, Toy};
use crate::spell::Text;
use roundwright::fabric::{self, Fabric, Role, StitchId};
use roundwright::terms::Terms;

/// Where they differ; empty if they do not.
pub fn faults(toy: &Toy, text: &Text, fabric: &Fabric) -> Vec<String> {
    if toy.pieces.len() != fabric.pieces.len() {
        return vec![format!("{} pieces were read", fabric.pieces.len())];
    }
    let pairs = toy.pieces.iter().zip(&text.lines).zip(&fabric.pieces);
    pairs
        .flat_map(|((model, lines), piece)| piece_faults(toy, model, lines, fabric, piece))
        .collect()
}

fn piece_faults(
    toy: &Toy,
    model: &Piece,
    lines: &[(usize, bool)],
    fabric: &Fabric,
    piece: &fabric::Piece,
) -> Vec<String> {
    let name = model.name;
    if (name, model.make) != (&piece.name, piece.make) {
        return vec![format!(
            "{name} was read as {}, make {}",
            piece.name, piece.make
        )];
    }
    let expected: Vec<(&Round, bool)> = model
        .rounds
        .iter()
        .zip(lines)
        .flat_map(|(round, &(_, stated))| {
            std::iter::repeat_n((round, stated), round.times as usize)
        })
        .collect();
    let found: Vec<&fabric::Round> = piece
        .rounds
        .iter()
        .filter(|round| round.number > 0)
        .collect();
    if expected.len() != found.len() {
        return vec![format!("{name}: {} rounds were read", found.len())];
    }
    let mut faults = Vec::new();
    let mut below: BTreeMap<StitchId, usize> = BTreeMap::new();
    for (place, (&(expected, stated), found)) in expected.iter().zip(&found).enumerate() {
        let edge = edge(piece, found);
        let mut fault = |what: String| faults.push(format!("{name} round {}: {what}", place + 1));
        if found.count != expected.count() || found.spaces != expected.spaces() {
            fault(format!(
                "expected {} + {} sp, found {} + {} sp",
                expected.count(),
                expected.spaces(),
                found.count,
                found.spaces
            ));
        }
        let read = found
            .stated
            .is_some_and(|stated| stated.stitches == Some(found.count));
        if read != stated {
            fault(format!(
                "its total was {}read",
                if stated { "not " } else { "" }
            ));
        }
        if found.number as usize != place + 1 {
            fault(format!("its number is {}", found.number));
        }
        if edge.len() != expected.made.len() {
            fault(format!(
                "leaves {} places for {}",
                edge.len(),
                expected.made.len()
            ));
            return faults;
        }
        for (index, (&id, made)) in edge.iter().zip(&expected.made).enumerate() {
            let stitch = piece.stitch(id);
            let kind = stitch.kind.abbreviation(Terms::Us);
            let mut differs = |what: &str, expected: &str, found: &str| {
                if expected != found {
                    fault(format!(
                        "stitch {}: {what}: expected {expected}, found {found}",
                        index + 1
                    ));
                }
            };
            differs("kind", &made.kind, &kind);
            differs(
                "bridge",
                &made.bridge.to_string(),
                &(stitch.role == Role::Bridge).to_string(),
            );
            if let Some(into) = made.into {
                differs("into", into, stitch.into.name());
            }
            if let Some(feet) = &made.feet {
                let on: Vec<Option<usize>> = piece
                    .feet(id)
                    .iter()
                    .map(|foot| below.get(foot).copied())
                    .collect();
                let expected: Vec<Option<usize>> = feet.iter().map(|&foot| Some(foot)).collect();
                // Back along the starting chain of a row, places are not counted.
                let on_chain = place == 0 && model.start == Start::Row;
                if !on_chain {
                    differs("feet", &format!("{expected:?}"), &format!("{on:?}"));
                }
            }
            if toy.yarns > 0 {
                let letter = stitch
                    .yarn
                    .map(|yarn| fabric.yarns[usize::from(yarn.0)].letter.clone());
                differs(
                    "yarn",
                    &made.yarn.to_string(),
                    letter.as_deref().unwrap_or("none"),
                );
            }
            let joins = stitch.join.map(|join| {
                let join = &piece.joins[join as usize];
                (join.copy, join.layers)
            });
            let expected = made.joins.map(|copy| (copy, 2));
            differs("joins", &format!("{expected:?}"), &format!("{joins:?}"));
        }
        below = edge
            .iter()
            .enumerate()
            .map(|(place, &id)| (id, place))
            .collect();
    }
    faults
}

/// What a round leaves, in the order in which it was made; a round of nothing but a starting chain leaves that.
fn edge(piece: &fabric::Piece, round: &fabric::Round) -> Vec<StitchId> {
    let of = |roles: &[Role]| -> Vec<StitchId> {
        piece
            .round_stitches(round)
            .filter(|(_, stitch)| roles.contains(&stitch.role))
            .map(|(id, _)| id)
            .collect()
    };
    let worked = of(&[Role::Head, Role::Bridge]);
    if worked.is_empty() {
        return of(&[Role::Foundation]);
    }
    worked
}
