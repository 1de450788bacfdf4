//! The placement in words.

use super::front::KnownBy;
use super::{Attachment, Held, Host, Lean, Off, Placement, Stands, Stretch, whole_stitches};
use crate::fabric::Fabric;

/// What a maker is told of one attachment, in columns.
pub const COLUMNS: [&str; 6] = ["what", "round", "stitches", "points to", "height", "width"];

impl Placement {
    /// What an attachment is called: `first wing`, `left eye` where its side is known of a pair of features, `beak`.
    pub fn name(&self, id: usize) -> String {
        let attachment = &self.attachments[id];
        let name = lower_first(&attachment.part);
        let copies = self
            .attachments
            .iter()
            .filter(|a| a.part == attachment.part && a.into == attachment.into);
        if copies.count() < 2 {
            return name;
        }
        let side = attachment
            .side()
            .filter(|side| matches!(side.name(), "left" | "right"));
        match (attachment.held, side) {
            (Held::Feature, _) if attachment.bearing_deg.is_some_and(|b| b != 0.0) => {
                let side = if attachment.bearing_deg > Some(0.0) {
                    "left"
                } else {
                    "right"
                };
                format!("{side} {name}")
            }
            _ => format!("{} {name}", ordinal(attachment.copy)),
        }
    }

    /// The row of an attachment, one cell for each of [`COLUMNS`].
    pub fn row(&self, id: usize) -> [String; 6] {
        let attachment = &self.attachments[id];
        [
            self.name(id),
            rounds(attachment),
            stitches(attachment),
            points_to(attachment),
            length(attachment.height_cm),
            length(attachment.width_cm),
        ]
    }

    /// How a piece stands and where its front is, as sentences.
    pub fn about(&self, piece: usize) -> Vec<String> {
        let Host {
            stands,
            stands_by_custom,
            front,
        } = &self.hosts[piece];
        let mut said = vec![match (stands, stands_by_custom) {
            (Stands::FromTheTop, false) => "Worked from the top down.".to_owned(),
            (Stands::FromTheBottom, false) => "Worked from the bottom up.".to_owned(),
            (_, true) => {
                "Taken as worked from the top down: say `From the top down.` or `From the bottom up.` under its heading.".to_owned()
            }
        }];
        said.push(match front.map(|front| front.by) {
            Some(KnownBy::Header) => "The front is given.".to_owned(),
            Some(KnownBy::Eyes) => "The front lies between the eyes.".to_owned(),
            Some(KnownBy::Feature) => "The front is told by what is attached there.".to_owned(),
            Some(KnownBy::Pair) => "The front lies midway between the parts of a pair.".to_owned(),
            None => "Nothing tells the front: add a line such as `Front: Rnd 12, stitch 9` above the first piece.".to_owned(),
        });
        said
    }

    /// The verdict on an attachment that is one of a pair, said of the later one: whether it sits level, and where it would.
    pub fn verdict(&self, id: usize) -> Option<String> {
        let attachment = &self.attachments[id];
        let partner = attachment.partner.filter(|partner| *partner < id)?;
        let (name, other) = (self.name(id), self.name(partner));
        let stitch_deg = attachment.stitch_deg?;
        Some(match attachment.off? {
            Off::Exactly(_) => match (attachment.off_by_stitches()?, attachment.stitches) {
                (0, _) => {
                    format!("The {name} faces the {other}: level, as near as a stitch allows.")
                }
                (off, Some(stitches)) => format!(
                    "The {name} would face the {other} {} {}: start it at stitch {}, not {}.",
                    count(off.unsigned_abs()),
                    if off > 0 { "earlier" } else { "later" },
                    attachment.better_first_stitch()?,
                    stitches.first,
                ),
                (off, None) => format!(
                    "The {name} is {} off from facing the {other}.",
                    count(off.unsigned_abs())
                ),
            },
            Off::Between(least, most) => {
                let (least, most) = (
                    whole_stitches(least, stitch_deg),
                    whole_stitches(most, stitch_deg),
                );
                if least == 0 && most == 0 {
                    format!("The {name} faces the {other}, however much the stitches lean.")
                } else {
                    format!(
                        "The {name} may sit {} of where it would face the {other}, by how much your stitches lean: work 20 rounds of 20 sc, count how many stitches the start has moved, and say so above the first piece, as in `Lean: 5 sts right in 20 rnds`.",
                        span_words(least, most)
                    )
                }
            }
        })
    }

    /// The whole report: for each piece that something is attached to, how it stands, a table, and the verdicts.
    pub fn text(&self, fabric: &Fabric) -> String {
        let mut text = String::new();
        for (piece, worked) in fabric.pieces.iter().enumerate() {
            let ids: Vec<usize> = (0..self.attachments.len())
                .filter(|&id| self.attachments[id].into == piece)
                .collect();
            if ids.is_empty() {
                continue;
            }
            let name = if worked.name.is_empty() {
                "Piece without a name"
            } else {
                &worked.name
            };
            text += &format!("{name}\n");
            for said in self.about(piece) {
                text += &format!("{said}\n");
            }
            text += "\n";
            let rows: Vec<[String; 6]> = ids.iter().map(|&id| self.row(id)).collect();
            text += &table(&rows);
            let verdicts: Vec<String> = ids.iter().filter_map(|&id| self.verdict(id)).collect();
            if !verdicts.is_empty() {
                text += "\n";
                for verdict in verdicts {
                    text += &format!("{verdict}\n");
                }
            }
            text += "\n";
        }
        if let (Lean::Open(..), false) = (self.lean, text.is_empty()) {
            text += "Bearings are counted as if stitches stood straight: no `Lean:` is given.\n";
        }
        text
    }
}

fn table(rows: &[[String; 6]]) -> String {
    let widths: Vec<usize> = (0..COLUMNS.len())
        .map(|column| {
            let cells = rows.iter().map(|row| row[column].chars().count());
            match cells.max() {
                None | Some(0) => 0,
                Some(widest) => widest.max(COLUMNS[column].len()),
            }
        })
        .collect();
    let line = |cells: [&str; 6]| {
        let mut line = String::new();
        for (cell, width) in cells.iter().zip(&widths).filter(|(_, width)| **width > 0) {
            line += &format!("  {cell:<width$}");
        }
        line.trim_end().to_owned() + "\n"
    };
    let body: String = rows
        .iter()
        .map(|row| line(row.each_ref().map(String::as_str)))
        .collect();
    line(COLUMNS) + &body
}

fn rounds(a: &Attachment) -> String {
    match (a.round, a.last_round) {
        (Some(first), Some(last)) if a.between => format!("{first}/{last}"),
        (Some(first), Some(last)) if last > first => format!("{first}–{last}"),
        (Some(first), _) => first.to_string(),
        (None, _) => String::new(),
    }
}

fn stitches(a: &Attachment) -> String {
    match a.stitches {
        Some(Stretch { first, last, .. }) if last != first => format!("{first}–{last}"),
        Some(own) => own.first.to_string(),
        None => String::new(),
    }
}

fn points_to(a: &Attachment) -> String {
    match (a.bearing_deg, a.side()) {
        (Some(bearing), Some(side)) => match bearing.abs().round() {
            0.0 => "front".to_owned(),
            180.0 => "back".to_owned(),
            deg => {
                let hand = if bearing > 0.0 { "left" } else { "right" };
                match side.name() {
                    name if name == hand => format!("{name}, {deg}°"),
                    name => format!("{name}, {deg}° to the {hand}"),
                }
            }
        },
        _ => String::new(),
    }
}

fn length(cm: Option<f64>) -> String {
    cm.map_or(String::new(), |cm| format!("{:.1} cm", cm + 0.0))
}

fn count(stitches: u32) -> String {
    match stitches {
        1 => "one stitch".to_owned(),
        n => format!("{n} stitches"),
    }
}

fn span_words(least: i32, most: i32) -> String {
    let side = |n: i32| match n {
        0 => "at the place".to_owned(),
        n if n > 0 => format!("{} late", count(n.unsigned_abs())),
        n => format!("{} early", count(n.unsigned_abs())),
    };
    match (least, most) {
        (a, b) if a == b => side(a),
        (a, b) => format!("from {} to {}", side(a), side(b)),
    }
}

fn ordinal(copy: u32) -> String {
    const NAMES: [&str; 6] = ["first", "second", "third", "fourth", "fifth", "sixth"];
    match NAMES.get((copy as usize).wrapping_sub(1)) {
        Some(name) => (*name).to_owned(),
        None => format!("{copy}th"),
    }
}

/// A name within a sentence: `Wing` is a wing, `LEG` stays.
fn lower_first(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), name.chars().nth(1)) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().collect::<String>() + letters.as_str()
        }
        _ => name.to_owned(),
    }
}
