use serde::Serialize;

use super::{FORMAT, rounded, safe};
use crate::fabric::Fabric;
use crate::place::{Off, Placement};

/// Where everything sits, as one line of JSON.
pub fn place_line(fabric: &Fabric, placement: &Placement) -> String {
    safe::line(&Place {
        format: FORMAT,
        attachments: (0..placement.attachments.len())
            .map(|id| Attachment::new(fabric, placement, id))
            .collect(),
    })
}

#[derive(Serialize)]
struct Place<'a> {
    format: u32,
    attachments: Vec<Attachment<'a>>,
}

#[derive(Serialize)]
struct Attachment<'a> {
    id: usize,
    part: &'a str,
    copy: u32,
    into: &'a str,
    round: Option<u32>,
    #[serde(skip_serializing_if = "is_false")]
    between: bool,
    first_stitch: Option<u32>,
    last_stitch: Option<u32>,
    bearing_deg: Option<f64>,
    side: Option<&'static str>,
    height_cm: Option<f64>,
    width_cm: Option<f64>,
    partner: Option<usize>,
    off_by_stitches: Option<i32>,
    off_by_deg: Option<f64>,
    better_first_stitch: Option<u32>,
}

impl<'a> Attachment<'a> {
    fn new(fabric: &'a Fabric, placement: &'a Placement, id: usize) -> Attachment<'a> {
        let attachment = &placement.attachments[id];
        Attachment {
            id,
            part: &attachment.part,
            copy: attachment.copy,
            into: &fabric.pieces[attachment.into].name,
            round: attachment.round,
            between: attachment.between,
            first_stitch: attachment.stitches.map(|own| own.first),
            last_stitch: attachment.stitches.map(|own| own.last),
            bearing_deg: attachment.bearing_deg.map(rounded),
            side: attachment.side().map(|side| side.name()),
            height_cm: attachment.height_cm.map(rounded),
            width_cm: attachment.width_cm.map(rounded),
            partner: attachment.partner,
            off_by_stitches: attachment.off_by_stitches(),
            off_by_deg: match attachment.off {
                Some(Off::Exactly(deg)) => Some(rounded(deg)),
                _ => None,
            },
            better_first_stitch: attachment.better_first_stitch(),
        }
    }
}

fn is_false(value: &bool) -> bool {
    !value
}
