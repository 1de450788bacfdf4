//! What is worked, apart from how it is worded: rounds that can be held against each other.

use std::collections::BTreeMap;

use crate::fabric::{Fabric, Piece, Role, Round, RoundKind, StitchId};
use crate::pattern::Border;
use crate::terms::{Into, Stitch as Kind};

/// What a round is made of. Equal for rounds that are worked alike, whatever their words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Worked {
    is_row: bool,
    closed: bool,
    wrong_side: bool,
    stitches: Vec<Stitch>,
    joins: Vec<(String, u32, u32, Option<Border>, usize)>,
    /// A total that the work does not have; a right one says nothing more than the stitches.
    wrong_total: Option<u32>,
}

impl Worked {
    /// True if the same stitches are made, wherever they are worked into: a change in the round below moves those places, and
    /// a maker who follows the words need not hear of it.
    pub fn makes_as(&self, other: &Worked) -> bool {
        let stitch = |stitch: &Stitch| Stitch {
            feet: Vec::new(),
            ..stitch.clone()
        };
        let plain = |worked: &Worked| Worked {
            stitches: worked.stitches.iter().map(stitch).collect(),
            ..worked.clone()
        };
        self.stitches.len() == other.stitches.len() && plain(self) == plain(other)
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Stitch {
    kind: Kind,
    into: Into,
    role: Role,
    yarn: Option<String>,
    feet: Vec<Foot>,
}

/// Where a stitch is worked into, seen from the stitch before it.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Foot {
    /// So many places further along the edge below; the first of a round is counted from the edge's start.
    Along(i64),
    /// So many rounds further down, at this stitch.
    Deeper(u32, u32),
}

/// The names that pieces go by when rounds are compared, one a piece.
pub(super) fn names(fabric: &Fabric) -> Vec<String> {
    fabric
        .pieces
        .iter()
        .map(|piece| piece.name.to_lowercase())
        .collect()
}

/// Every round of a piece, in the order of work. Parts that it joins go by these names.
pub(super) fn rounds(piece: &Piece, yarns: &Yarns, names: &[String]) -> Vec<Worked> {
    let mut rounds = Vec::with_capacity(piece.rounds.len());
    for (place, round) in piece.rounds.iter().enumerate() {
        let below = place.checked_sub(1).map(|place| &piece.rounds[place]);
        rounds.push(worked(piece, round, below, yarns));
    }
    let mut joined = vec![Vec::new(); rounds.len()];
    for join in &piece.joins {
        let name = names.get(join.part).cloned().unwrap_or_default();
        if let Some(joined) = joined.get_mut(join.round as usize) {
            joined.push((
                name,
                join.copy,
                join.layers,
                join.border,
                join.stitches.len(),
            ));
        }
    }
    for (round, joins) in rounds.iter_mut().zip(joined) {
        round.joins = joins;
    }
    rounds
}

fn worked(piece: &Piece, round: &Round, below: Option<&Round>, yarns: &Yarns) -> Worked {
    let edge: BTreeMap<StitchId, i64> = below
        .into_iter()
        .flat_map(|below| &below.edge)
        .enumerate()
        .map(|(place, &id)| (id, place as i64))
        .collect();
    let mut at = 0;
    let mut stitches = Vec::with_capacity(round.len());
    for (id, stitch) in piece.round_stitches(round) {
        let mut feet = Vec::new();
        for &foot in piece.feet(id) {
            let below = piece.stitch(foot);
            feet.push(match edge.get(&foot) {
                Some(&place) => {
                    let step = place - at;
                    at = place;
                    Foot::Along(step)
                }
                None => Foot::Deeper(stitch.round.saturating_sub(below.round), below.index),
            });
        }
        stitches.push(Stitch {
            kind: stitch.kind,
            into: stitch.into,
            role: stitch.role,
            yarn: stitch.yarn.and_then(|yarn| yarns.get(&yarn.0).cloned()),
            feet,
        });
    }
    Worked {
        is_row: round.kind == RoundKind::Row,
        closed: round.closed,
        wrong_side: round.wrong_side,
        stitches,
        joins: Vec::new(),
        wrong_total: round
            .stated
            .and_then(|stated| stated.stitches)
            .filter(|&stitches| stitches != round.count),
    }
}

/// Names for the yarns of a version, by which they answer to those of the other.
pub(super) type Yarns = BTreeMap<u16, String>;

/// Yarns go by their letters; where the letters are all others, but there are as many, by their order. Where either version
/// needs but one, it goes without a name.
pub(super) fn yarns(old: &Fabric, new: &Fabric) -> (Yarns, Yarns) {
    let (old, new) = (used(old), used(new));
    if old.len() <= 1 && new.len() <= 1 {
        return (Yarns::new(), Yarns::new());
    }
    let by_order = old.len() == new.len() && disjoint(&old, &new);
    let named = |used: BTreeMap<u16, &str>| {
        let name = |(place, (id, letter)): (usize, (u16, &str))| match by_order {
            true => (id, place.to_string()),
            false => (id, letter.to_owned()),
        };
        used.into_iter().enumerate().map(name).collect()
    };
    (named(old), named(new))
}

/// The letters of the yarns in use, by their place.
fn used(fabric: &Fabric) -> BTreeMap<u16, &str> {
    let stitches = fabric.pieces.iter().flat_map(|piece| &piece.stitches);
    stitches
        .filter_map(|stitch| {
            let id = stitch.yarn?.0;
            Some((id, fabric.yarns.get(usize::from(id))?.letter.as_str()))
        })
        .collect()
}

fn disjoint(a: &BTreeMap<u16, &str>, b: &BTreeMap<u16, &str>) -> bool {
    a.values()
        .all(|letter| !b.values().any(|other| other == letter))
}

/// A stretch of the rounds (or pieces) of two versions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pair {
    /// The same in both.
    Same(usize, usize),
    /// One in the place of the other.
    Changed(usize, usize),
    /// In the old version alone.
    Gone(usize),
    /// In the new version alone.
    New(usize),
}

/// Most comparisons for the longest list in common, and of what is said; longer stretches are held against each other one by one.
pub(super) const COMPARISONS: usize = 1_000_000;

/// Lines two versions up: what is equal stays together, and what lies between is paired in order.
pub(super) fn line_up<T: PartialEq>(old: &[T], new: &[T]) -> Vec<Pair> {
    let head = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let tail = old[head..].iter().rev().zip(new[head..].iter().rev());
    let tail = tail.take_while(|(a, b)| a == b).count();
    let middle = (&old[head..old.len() - tail], &new[head..new.len() - tail]);
    let mut pairs: Vec<Pair> = (0..head).map(|at| Pair::Same(at, at)).collect();
    let (mut i, mut j) = (head, head);
    for (a, b) in in_common(middle.0, middle.1) {
        between(&mut pairs, i..head + a, j..head + b);
        pairs.push(Pair::Same(head + a, head + b));
        (i, j) = (head + a + 1, head + b + 1);
    }
    between(&mut pairs, i..old.len() - tail, j..new.len() - tail);
    pairs.extend(
        (0..tail)
            .rev()
            .map(|back| Pair::Same(old.len() - 1 - back, new.len() - 1 - back)),
    );
    pairs
}

fn between(pairs: &mut Vec<Pair>, old: std::ops::Range<usize>, new: std::ops::Range<usize>) {
    let both = old.len().min(new.len());
    pairs.extend((0..both).map(|at| Pair::Changed(old.start + at, new.start + at)));
    pairs.extend((old.start + both..old.end).map(Pair::Gone));
    pairs.extend((new.start + both..new.end).map(Pair::New));
}

/// The longest list that stands in both in this order.
fn in_common<T: PartialEq>(old: &[T], new: &[T]) -> Vec<(usize, usize)> {
    if old.len().saturating_mul(new.len()) > COMPARISONS || old.len() == new.len() {
        // As many rounds in both: they answer to each other one by one.
        return old
            .iter()
            .zip(new)
            .enumerate()
            .filter(|(_, (a, b))| a == b)
            .map(|(at, _)| (at, at))
            .collect();
    }
    let width = new.len() + 1;
    let mut longest = vec![0u32; (old.len() + 1) * width];
    for i in (0..old.len()).rev() {
        for j in (0..new.len()).rev() {
            longest[i * width + j] = if old[i] == new[j] {
                longest[(i + 1) * width + j + 1] + 1
            } else {
                longest[(i + 1) * width + j].max(longest[i * width + j + 1])
            };
        }
    }
    let (mut i, mut j) = (0, 0);
    let mut common = Vec::new();
    while i < old.len() && j < new.len() {
        if old[i] == new[j] {
            common.push((i, j));
            (i, j) = (i + 1, j + 1);
        } else if longest[(i + 1) * width + j] >= longest[i * width + j + 1] {
            i += 1;
        } else {
            j += 1;
        }
    }
    common
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_rounds_stay_together_and_what_lies_between_is_paired() {
        use Pair::*;
        let cases = [
            (
                "abcd",
                "abxd",
                vec![Same(0, 0), Same(1, 1), Changed(2, 2), Same(3, 3)],
            ),
            (
                "abd",
                "abcd",
                vec![Same(0, 0), Same(1, 1), New(2), Same(2, 3)],
            ),
            ("abcd", "ad", vec![Same(0, 0), Gone(1), Gone(2), Same(3, 1)]),
            (
                "acd",
                "xcyyd",
                vec![Changed(0, 0), Same(1, 1), New(2), New(3), Same(2, 4)],
            ),
            ("", "", vec![]),
        ];
        for (old, new, pairs) in cases {
            assert_eq!(
                line_up(old.as_bytes(), new.as_bytes()),
                pairs,
                "{old} {new}"
            );
        }
    }
}
