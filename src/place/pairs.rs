//! Which attachments are a pair, and whether they face each other.

use std::collections::BTreeMap;

use super::{Attachment, Held, Host, Lean, Off, wrapped};

/// Finds pairs: the two copies of a part on one piece; of four or more on one round, the first and the last, and so inward; a part
/// whose name says left, and the one whose name says right.
pub(super) fn find(attachments: &mut [Attachment]) {
    let mut groups: BTreeMap<(usize, String), Vec<usize>> = BTreeMap::new();
    for (id, attachment) in attachments.iter().enumerate() {
        let name = without_side(&attachment.part);
        groups.entry((attachment.into, name)).or_default().push(id);
    }
    for ids in groups.values() {
        let is_whole = ids.len().is_multiple_of(2);
        let same_round = ids
            .iter()
            .all(|&id| attachments[id].round == attachments[ids[0]].round);
        if !is_whole || !(same_round || ids.len() == 2) {
            continue;
        }
        // Two legs that a body goes on from lie side by side in one round and are a pair as well.
        for at in 0..ids.len() / 2 {
            let (a, b) = (ids[at], ids[ids.len() - 1 - at]);
            attachments[a].partner = Some(b);
            attachments[b].partner = Some(a);
        }
    }
}

/// A part's name without left, right, first or second.
fn without_side(name: &str) -> String {
    let lower = name.to_lowercase();
    let words = lower
        .split_whitespace()
        .filter(|word| !matches!(*word, "left" | "right" | "first" | "second" | "1" | "2"));
    words.collect::<Vec<_>>().join(" ")
}

/// Says how far each one of a pair is off from facing the other across the front.
///
/// On one round that is exact. On different rounds the lean turns them against each other.
pub(super) fn judge(attachments: &mut [Attachment], hosts: &[Host], lean: Lean) {
    let offs: Vec<Option<Off>> = attachments
        .iter()
        .map(|a| off(a, attachments, hosts, lean))
        .collect();
    for (attachment, off) in attachments.iter_mut().zip(offs) {
        attachment.off = off;
    }
}

fn off(a: &Attachment, all: &[Attachment], hosts: &[Host], lean: Lean) -> Option<Off> {
    let b = &all[a.partner?];
    let front = hosts[a.into].front?;
    let own = a.turn_deg? - front.turn_deg;
    let other = b.turn_deg? - front.turn_deg;
    // Facing each other, the two turns add up to nothing.
    let misfit = wrapped(own + other);
    let is_exact = lean.is_told() || a.round == b.round && a.round == Some(front.round);
    if is_exact || a.held == Held::Feature && a.round == b.round {
        return Some(Off::Exactly(misfit));
    }
    // Each round of lean turns a place back by so many degrees; the front turns with its own round, twice in the sum.
    let Lean::Open(least, most) = lean else {
        return Some(Off::Exactly(misfit));
    };
    let rounds =
        |x: &Attachment| f64::from(x.round.unwrap_or(front.round)) - f64::from(front.round);
    let turned = |stitches: f64| -(rounds(a) + rounds(b)) * stitches * a.stitch_deg.unwrap_or(0.0);
    let (x, y) = (misfit + turned(least), misfit + turned(most));
    Some(Off::Between(x.min(y), x.max(y)))
}
