//! Where the front of a piece is.

use super::turn::Turns;
use super::{Attachment, Held, Host, Lean, Side, Stands, wrapped};
use crate::pattern::Pattern;
use crate::prose::words;
use crate::source::Source;
use crate::terms::Hand;

/// Two fronts that lie so near each other are the same, in degrees.
const SAME_DEG: f64 = 3.0;

/// The front of a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Front {
    /// Degrees in the direction of work from the start of the piece's first round.
    pub turn_deg: f64,
    /// Number of the round that it was found on: lean turns other rounds against it.
    pub round: u32,
    /// How it is known.
    pub by: KnownBy,
}

/// How a front is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KnownBy {
    /// `Front: Rnd 12, stitch 9`.
    Header,
    /// It lies between the eyes.
    Eyes,
    /// A single feature of a face, or a part that the words put at the front, or opposite one at the back.
    Feature,
    /// It lies midway between the two parts of a pair.
    Pair,
}

/// Finds the front of each piece, and gives eyes whose stitches are not named their places about it.
pub(super) fn find(
    hosts: &mut [Host],
    attachments: &mut [Attachment],
    source: &Source,
    pattern: &Pattern,
    turns: &[Turns],
    lean: Lean,
) {
    let header = header(source, pattern);
    for (piece, host) in hosts.iter_mut().enumerate() {
        let own: Vec<&Attachment> = attachments.iter().filter(|a| a.into == piece).collect();
        let given =
            header.filter(|given| given.piece.unwrap_or_else(|| busiest(attachments)) == piece);
        let given = given.and_then(|given| {
            let (turn_deg, _) = turns[piece].stitch(given.round, given.stitch, lean.counted())?;
            Some(Front {
                turn_deg,
                round: given.round,
                by: KnownBy::Header,
            })
        });
        host.front = given
            .or_else(|| between_the_eyes(&own, attachments))
            .or_else(|| by_a_feature(&own))
            .or_else(|| by_pairs(&own, attachments));
    }
    for a in attachments {
        let (Some(apart), Some(front), Some(round), None) =
            (a.apart, hosts[a.into].front, a.round, a.turn_deg)
        else {
            continue;
        };
        if let Some(step) = turns[a.into].step_deg(round) {
            let half = f64::from(apart + 1) / 2.0 * step;
            a.stitch_deg = Some(step);
            a.turn_deg = Some(front.turn_deg + if a.copy == 1 { -half } else { half });
        }
    }
}

#[derive(Clone, Copy)]
struct Given {
    piece: Option<usize>,
    round: u32,
    stitch: u32,
}

/// `Front: Rnd 12, stitch 9`, with the piece's name before it where it is not the one that most is attached to.
fn header(source: &Source, pattern: &Pattern) -> Option<Given> {
    let entry = pattern
        .header
        .entries
        .iter()
        .find(|entry| entry.key == "front")?;
    let text = source.slice(entry.value);
    let told: Vec<_> = words::split(text, entry.value.start).collect();
    let mut numbers = told.iter().filter_map(words::Word::whole_number);
    let (round, stitch) = (numbers.next()?, numbers.next()?);
    let lower = text.to_lowercase();
    let named = |piece: &crate::pattern::Piece| {
        !piece.name.is_empty() && lower.contains(&piece.name.to_lowercase())
    };
    Some(Given {
        piece: pattern.pieces.iter().position(named),
        round,
        stitch,
    })
}

/// The piece that most is attached to.
fn busiest(attachments: &[Attachment]) -> usize {
    let count = |piece: usize| attachments.iter().filter(|a| a.into == piece).count();
    let pieces = attachments.iter().map(|a| a.into);
    pieces.rev().max_by_key(|&piece| count(piece)).unwrap_or(0)
}

/// The middle of the narrower arc between two eyes.
fn between_the_eyes(own: &[&Attachment], all: &[Attachment]) -> Option<Front> {
    let eye = own
        .iter()
        .find(|a| a.part == "eye" && a.turn_deg.is_some())?;
    let partner = &all[eye.partner?];
    let (turn_deg, _) = middle(eye, partner)?;
    Some(Front {
        turn_deg,
        round: eye.round?,
        by: KnownBy::Eyes,
    })
}

/// A nose, a beak, or anything that the words put at the front or the back.
fn by_a_feature(own: &[&Attachment]) -> Option<Front> {
    own.iter().find_map(|a| {
        let at_front = match a.told_side {
            Some(Side::Front) => true,
            Some(Side::Back) => false,
            None if a.partner.is_none() && is_of_the_face(a) => true,
            _ => return None,
        };
        Some(Front {
            turn_deg: a.turn_deg? + if at_front { 0.0 } else { 180.0 },
            round: a.round?,
            by: KnownBy::Feature,
        })
    })
}

fn is_of_the_face(a: &Attachment) -> bool {
    const FACE: &[&str] = &["nose", "beak", "snout", "muzzle", "mouth", "bill"];
    let lower = a.part.to_lowercase();
    a.held != Held::Feature && FACE.iter().any(|name| lower.contains(name))
        || FACE.contains(&&*lower)
}

/// Midway between pairs: what most pairs agree on; among those, what lies furthest from the start of the rounds, which is at the
/// back (common practice, no source).
fn by_pairs(own: &[&Attachment], all: &[Attachment]) -> Option<Front> {
    let mut candidates: Vec<(f64, u32)> = Vec::new();
    for a in own {
        let Some(partner) = a.partner.map(|id| &all[id]) else {
            continue;
        };
        if let (Some((near, far)), Some(round)) = (middle(a, partner), a.round) {
            candidates.push((near, round));
            candidates.push((far, round));
        }
    }
    let agree = |turn: f64| {
        candidates
            .iter()
            .filter(|(other, _)| wrapped(other - turn).abs() < SAME_DEG)
            .count()
    };
    let from_start = |turn: f64| wrapped(turn).abs();
    let best = candidates.iter().max_by(|(a, _), (b, _)| {
        (agree(*a), from_start(*a))
            .partial_cmp(&(agree(*b), from_start(*b)))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    best.map(|&(turn_deg, round)| Front {
        turn_deg,
        round,
        by: KnownBy::Pair,
    })
}

/// The middle of the narrower arc between two, and of the wider one.
fn middle(a: &Attachment, b: &Attachment) -> Option<(f64, f64)> {
    let (a, b) = (a.turn_deg?, b.turn_deg?);
    let near = a + wrapped(b - a) / 2.0;
    Some((near, near + 180.0))
}

/// Turns places on the work into bearings on the toy.
pub(super) fn bear(attachments: &mut [Attachment], hosts: &[Host], hand: Hand) {
    for attachment in attachments {
        let host = &hosts[attachment.into];
        if let (Some(front), Some(turn)) = (host.front, attachment.turn_deg) {
            attachment.bearing_deg = Some(wrapped(
                (turn - front.turn_deg) * to_the_left(host.stands, hand),
            ));
        } else if attachment.turn_deg.is_none() {
            attachment.bearing_deg = attachment.told_side.map(|side| match side {
                Side::Front => 0.0,
                Side::Left => 90.0,
                Side::Back => 180.0,
                Side::Right => -90.0,
            });
        }
    }
}

/// 1 where the direction of work runs from the front to the toy's own left, else −1.
///
/// Seen from its start, a right-hander's round runs counter-clockwise. A toy that was begun at its top is seen from above there, and its own
/// left follows its front counter-clockwise; begun at its bottom it is seen from below.
pub(crate) fn to_the_left(stands: Stands, hand: Hand) -> f64 {
    match (stands, hand) {
        (Stands::FromTheTop, Hand::Right) | (Stands::FromTheBottom, Hand::Left) => 1.0,
        (Stands::FromTheBottom, Hand::Right) | (Stands::FromTheTop, Hand::Left) => -1.0,
    }
}
