//! How high attachments sit, and how wide they are.

use super::{Attachment, Held, Placement, Stands};
use crate::fabric::{Fabric, Piece};
use crate::shape::{Relaxed, Shapes};

/// Gives every attachment with a round its height, and every joined one its width.
pub(super) fn measure(placement: &mut Placement, fabric: &Fabric, shapes: &Shapes) {
    let ends: Vec<(f64, f64)> = shapes.pieces.iter().map(ends).collect();
    for id in 0..placement.attachments.len() {
        let attachment = &placement.attachments[id];
        let into = attachment.into;
        let on = On {
            piece: &fabric.pieces[into],
            shape: &shapes.pieces[into],
            placement,
        };
        let stands = placement.hosts[into].stands;
        let height_cm = on
            .depth_cm(attachment, placement.turn_deg(id))
            .map(|z| match stands {
                Stands::FromTheTop => z - ends[into].0,
                Stands::FromTheBottom => ends[into].1 - z,
            });
        let width_cm = on.width_cm(attachment);
        let attachment = &mut placement.attachments[id];
        (attachment.height_cm, attachment.width_cm) = (height_cm, width_cm);
    }
}

/// Least and greatest z of a piece.
fn ends(shape: &Relaxed) -> (f64, f64) {
    let all = shape.points.iter();
    all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), point| {
        (low.min(point.z), high.max(point.z))
    })
}

/// The piece that something is on.
struct On<'a> {
    piece: &'a Piece,
    shape: &'a Relaxed,
    placement: &'a Placement,
}

impl On<'_> {
    /// The z of an attachment: of its place on its rounds, or the mean of their stitches' where that is not known.
    fn depth_cm(&self, attachment: &Attachment, turn_deg: Option<f64>) -> Option<f64> {
        let depth = |number: u32| {
            let round = self.round(number)?;
            let at = turn_deg.and_then(|turn| {
                let place = self.placement.on_round(attachment.into, number, turn)?;
                let spot = self.shape.on_round(self.piece, round, place)?;
                Some(spot.of(&self.shape.points).z)
            });
            at.or_else(|| mean_depth(self.shape, round))
        };
        let first = depth(attachment.round?)?;
        let last = attachment.last_round.and_then(depth).unwrap_or(first);
        Some((first + last) / 2.0)
    }

    /// Centimetres along the stitches that join a part, with half of the way to the next one at each end.
    fn width_cm(&self, attachment: &Attachment) -> Option<f64> {
        let stitches = attachment
            .stitches
            .filter(|_| matches!(attachment.held, Held::Joined { .. }))?;
        let number = attachment.round?;
        let round = self.round(number)?;
        let middle = self
            .placement
            .on_round(attachment.into, number, attachment.turn_deg?)?;
        let start = middle - f64::from(stitches.count()) / 2.0;
        // From halfway between two heads to a head and so on, as the yarn runs.
        let at = |step: u32| {
            let place = start + f64::from(step) / 2.0;
            let spot = self.shape.on_round(self.piece, round, place)?;
            Some(spot.of(&self.shape.points))
        };
        let mut along = 0.0;
        for step in 0..2 * stitches.count() {
            along += (at(step + 1)? - at(step)?).length();
        }
        Some(along)
    }

    /// The place of a round in the piece, by its number.
    fn round(&self, number: u32) -> Option<usize> {
        let mut rounds = self.piece.rounds.iter();
        rounds.position(|round| round.number == number)
    }
}

fn mean_depth(shape: &Relaxed, round: usize) -> Option<f64> {
    let rows = shape.web.rows.iter().filter(|row| row.round == round);
    let row = rows.max_by_key(|row| row.points.len())?;
    let depths = row
        .points
        .iter()
        .map(|&point| shape.points[point as usize].z);
    Some(depths.sum::<f64>() / row.points.len().max(1) as f64)
}
