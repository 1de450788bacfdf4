//! How near to custom a round is: designers make rounds even and alike from both ends. Where several changes come out, the
//! one that makes the round most customary is the likeliest. Common practice, no source.

use std::collections::BTreeMap;

use crate::fabric::{Fabric, Piece, Role, Round, Stitch, StitchId, YarnId};
use crate::source::Span;
use crate::terms;

/// What stitches of a run have in common.
#[derive(PartialEq, Eq, Clone, Copy)]
struct Tag {
    kind: terms::Stitch,
    yarn: Option<YarnId>,
    joins: bool,
    /// One of several in one stitch.
    shares: bool,
}

/// How uneven the rounds are whose words stand in a stretch of the text; 0 is as even as can be.
pub(super) fn unevenness(fabric: &Fabric, within: Span) -> u32 {
    let mut lines: BTreeMap<usize, u32> = BTreeMap::new();
    for piece in &fabric.pieces {
        for round in &piece.rounds {
            if round.span.start < within.end && within.start < round.span.end {
                let line = lines.entry(round.span.start).or_default();
                *line = (*line).max(of_round(piece, round));
            }
        }
    }
    lines.values().sum()
}

fn of_round(piece: &Piece, round: &Round) -> u32 {
    let heads: Vec<(StitchId, &Stitch)> = piece
        .round_stitches(round)
        .filter(|(_, stitch)| stitch.role == Role::Head)
        .collect();
    let mut tags: Vec<Tag> = Vec::with_capacity(heads.len());
    for asked in heads.chunk_by(|(_, one), (_, next)| one.span == next.span) {
        let mut feet: Vec<&[StitchId]> = asked.iter().map(|&(id, _)| piece.feet(id)).collect();
        feet.dedup();
        // Below a round that is wrong a stitch may stand twice, so that two next to each other do not tell.
        let shares = asked.len() >= 2 * feet.len();
        tags.extend(asked.iter().map(|(_, stitch)| Tag {
            kind: stitch.kind,
            yarn: stitch.yarn,
            joins: stitch.join.is_some(),
            shares,
        }));
    }
    let fine = runs(&tags);
    let yarns: Vec<Tag> = tags
        .iter()
        .map(|tag| Tag {
            yarn: tag.yarn,
            ..tags[0]
        })
        .collect();
    let yarns = runs(&yarns);
    let plain = around(&fine)
        .into_iter()
        .filter(|(tag, _)| !tag.shares && tag.kind.feet() == 1 && !tag.joins);
    lengths(plain)
        + lengths(yarns.iter().copied())
        + u32::from(!is_even(&fine))
        + u32::from(!is_even(&yarns))
}

/// Equal neighbours put together, with their number.
fn runs(tags: &[Tag]) -> Vec<(Tag, u32)> {
    let mut runs: Vec<(Tag, u32)> = Vec::new();
    for &tag in tags {
        match runs.last_mut() {
            Some((last, length)) if *last == tag => *length += 1,
            _ => runs.push((tag, 1)),
        }
    }
    runs
}

/// The runs of a round that goes on where it began.
fn around(runs: &[(Tag, u32)]) -> Vec<(Tag, u32)> {
    let mut runs = runs.to_vec();
    if let [first, .., last] = &mut runs[..]
        && first.0 == last.0
    {
        first.1 += last.1;
        runs.pop();
    }
    runs
}

/// True if it is the same from both ends.
fn is_even(runs: &[(Tag, u32)]) -> bool {
    runs.iter().eq(runs.iter().rev())
}

/// How many lengths of runs there are.
fn lengths(runs: impl Iterator<Item = (Tag, u32)>) -> u32 {
    let mut lengths: Vec<u32> = runs.map(|(_, length)| length).collect();
    lengths.sort();
    lengths.dedup();
    lengths.len() as u32
}
