//! Parts that are worked in.

use super::{Attachment, Held, Stretch};
use crate::fabric::{Fabric, Join, Piece, Role, RoundKind};
use crate::source::limits;

/// Every join of the fabric, in the order of the text. Joins of one copy in one round that stand side by side are one.
pub(super) fn joined(fabric: &Fabric) -> Vec<Attachment> {
    let mut all: Vec<Attachment> = Vec::new();
    for (into, piece) in fabric.pieces.iter().enumerate() {
        let first = all.len();
        for join in &piece.joins {
            let from = first.max(all.len().saturating_sub(limits::JOINS_LOOKED_BACK));
            let Some(found) = attachment(fabric, into, piece, join) else {
                continue;
            };
            let number = |place: u32| piece.rounds.get(place as usize).map(|round| round.number);
            // A part may be joined over several rounds, one after the other.
            let before = join.round.checked_sub(1).and_then(number);
            let of_copy = all[from..]
                .iter_mut()
                .rfind(|old| (&old.part, old.copy) == (&found.part, found.copy));
            if let Some(old) = of_copy
                && old.last_round == before
                && old.round.is_some()
            {
                old.last_round = found.round;
                continue;
            }
            let same = all[from..].iter_mut().find(|old| {
                (&old.part, old.copy, old.round) == (&found.part, found.copy, found.round)
            });
            match same.and_then(|old| old.stitches.as_mut().zip(found.stitches)) {
                Some((old, new)) => *old = old.with(new),
                None => all.push(found),
            }
        }
    }
    all
}

fn attachment(fabric: &Fabric, into: usize, piece: &Piece, join: &Join) -> Option<Attachment> {
    let round = piece.rounds.get(join.round as usize)?;
    let counted = || {
        round
            .edge
            .iter()
            .filter(|id| piece.stitch(**id).role != Role::Bridge)
    };
    let number = |id| {
        counted()
            .position(|&other| other == id)
            .map(|place| place as u32 + 1)
    };
    let mut numbers = join.stitches.iter().filter_map(|(id, _)| number(*id));
    let mut first = numbers.next()?;
    let mut last = numbers.fold(first, |_, number| number);
    // A row that is turned after counts from its end; a round may go over its start.
    if round.kind == RoundKind::Row && last < first {
        std::mem::swap(&mut first, &mut last);
    }
    Some(Attachment {
        part: fabric.pieces.get(join.part)?.name.clone(),
        piece: Some(join.part),
        copy: join.copy,
        held: Held::Joined {
            layers: join.layers,
        },
        into,
        round: Some(round.number),
        last_round: Some(round.number),
        between: false,
        stitches: Some(Stretch {
            first,
            last,
            of: counted().count() as u32,
        }),
        apart: None,
        turn_deg: None,
        stitch_deg: None,
        bearing_deg: None,
        height_cm: None,
        width_cm: None,
        partner: None,
        off: None,
        told_side: None,
        span: join.span,
    })
}

/// By piece, round and stitch; what has no round comes last.
pub(super) fn in_order_of_work(attachments: &mut [Attachment], fabric: &Fabric) {
    let place = |attachment: &Attachment| {
        let rounds = &fabric.pieces[attachment.into].rounds;
        let at = |number| rounds.iter().position(|round| Some(round.number) == number);
        (
            attachment.into,
            at(attachment.round).unwrap_or(usize::MAX),
            attachment.stitches.map_or(u32::MAX, |own| own.first),
            attachment.span.start,
            attachment.copy,
        )
    };
    attachments.sort_by_key(place);
}
