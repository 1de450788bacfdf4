//! How high attachments sit, and how wide they are.

use super::{Attachment, Host, Stands};
use crate::fabric::{Fabric, Piece, Role, Round};
use crate::prose::{Prose, lengths};

/// Millimetres in a centimetre.
const CM_MM: f64 = 10.0;

/// Gives every attachment with a round its height, and every joined one its width.
pub(super) fn measure(
    attachments: &mut [Attachment],
    hosts: &[Host],
    prose: &Prose<'_>,
    fabric: &Fabric,
) {
    let stitch_mm = lengths::stitch_width_mm(&prose.sentences);
    let profiles: Vec<Vec<f64>> = fabric
        .pieces
        .iter()
        .map(|piece| profile(piece, stitch_mm))
        .collect();
    for attachment in attachments {
        if let Some(stitches) = attachment.stitches
            && matches!(attachment.held, super::Held::Joined { .. })
        {
            attachment.width_cm = Some(f64::from(stitches.count()) * stitch_mm / CM_MM);
        }
        let rounds = &fabric.pieces[attachment.into].rounds;
        let place =
            |number: Option<u32>| rounds.iter().position(|round| Some(round.number) == number);
        let profile = &profiles[attachment.into];
        let depth = |round: usize| profile.get(round).copied();
        let (Some(first), Some(whole_mm)) = (place(attachment.round), profile.last()) else {
            continue;
        };
        let last = if attachment.between {
            (first + 1).min(profile.len() - 1)
        } else {
            place(attachment.last_round).unwrap_or(first)
        };
        if let (Some(a), Some(b)) = (depth(first), depth(last)) {
            let depth_mm = (a + b) / 2.0;
            let height_mm = match hosts[attachment.into].stands {
                Stands::FromTheTop => whole_mm - depth_mm,
                Stands::FromTheBottom => depth_mm,
            };
            attachment.height_cm = Some(height_mm / CM_MM);
        }
    }
}

/// How far each round lies from the start along the axis, in mm: a surface of revolution over rounds of so many stitches.
fn profile(piece: &Piece, stitch_mm: f64) -> Vec<f64> {
    let (mut depth, mut radius) = (0.0, 0.0);
    let mut depths = Vec::with_capacity(piece.rounds.len());
    for round in &piece.rounds {
        let next = round.edge.len() as f64 * stitch_mm / std::f64::consts::TAU;
        let height = row_height(piece, round) * stitch_mm;
        let across: f64 = next - radius;
        depth += (height * height - across * across).max(0.0).sqrt();
        radius = next;
        depths.push(depth);
    }
    depths
}

/// The mean height of a round's stitches in stitch widths.
fn row_height(piece: &Piece, round: &Round) -> f64 {
    let heads = || {
        round
            .edge
            .iter()
            .map(|&id| piece.stitch(id))
            .filter(|s| s.role == Role::Head)
    };
    let count = heads().count();
    if count == 0 {
        return 1.0;
    }
    heads().map(|stitch| stitch.kind.in_widths()).sum::<f64>() / count as f64
}
