//! What both pictures are drawn with: a sheet with a title, a caption and words anywhere.

use kurbo::{BezPath, Point};
use svg::node::element::{Circle, Group, Path};

use crate::draw::number::{number, svg_path};
use crate::draw::theme::{self, Rgb};
use crate::draw::{self, ink};
use crate::fabric::{Fabric, Role};
use crate::place::{Attachment, Held, Placement, Stretch};
use crate::text::{self, Weight, pt};

/// From the title's baseline to the caption's, and from line to line, in mm.
pub const LINE_MM: f64 = 4.6;

/// Where words stand against their point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// A sheet being drawn, in mm from its top left.
pub struct Sheet {
    pub width: f64,
    pub body: Group,
    /// Where the drawing may begin.
    pub top: f64,
    title: String,
}

impl Sheet {
    /// A sheet with its title and the lines of its caption.
    pub fn new(width: f64, title: &str, caption: &[String]) -> Sheet {
        let mut sheet = Sheet {
            width,
            body: Group::new(),
            top: theme::MARGIN_MM + pt(theme::TITLE_PT),
            title: title.to_owned(),
        };
        let room = width - 2.0 * theme::MARGIN_MM;
        let title = text::fitted(title, pt(theme::TITLE_PT), Weight::Bold, room);
        sheet.words(
            &title,
            Point::new(theme::MARGIN_MM, sheet.top),
            theme::TITLE_PT,
            Weight::Bold,
            theme::INK,
            Anchor::Start,
        );
        for line in caption {
            sheet.top += LINE_MM;
            sheet.words(
                line,
                Point::new(theme::MARGIN_MM, sheet.top),
                theme::TEXT_PT,
                Weight::Regular,
                theme::QUIET,
                Anchor::Start,
            );
        }
        sheet.top += LINE_MM;
        sheet
    }

    /// Sets words with their baseline at a point.
    pub fn words(
        &mut self,
        words: &str,
        at: Point,
        size_pt: f64,
        weight: Weight,
        colour: Rgb,
        anchor: Anchor,
    ) {
        let width = text::extents(words, pt(size_pt), weight).width_mm;
        let shift = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        self.add(ink::words(
            words,
            Point::new(at.x - shift, at.y),
            pt(size_pt),
            weight,
            colour,
        ));
    }

    /// Draws a line.
    pub fn line(&mut self, path: &BezPath, colour: Rgb, width_mm: f64) {
        self.add(
            Path::new()
                .set("d", svg_path(path))
                .set("fill", "none")
                .set("stroke", theme::hex(colour))
                .set("stroke-width", number(width_mm))
                .set("stroke-linecap", "round")
                .set("stroke-linejoin", "round"),
        );
    }

    /// Draws a filled circle with a thin paper rim.
    pub fn dot(&mut self, at: Point, radius: f64, colour: Rgb) {
        self.add(
            Circle::new()
                .set("cx", number(at.x))
                .set("cy", number(at.y))
                .set("r", number(radius))
                .set("fill", theme::hex(colour))
                .set("stroke", theme::hex(theme::PAPER))
                .set("stroke-width", number(theme::THIN_MM)),
        );
    }

    pub fn add(&mut self, node: impl Into<Box<dyn svg::Node>>) {
        let body = std::mem::replace(&mut self.body, Group::new());
        self.body = body.add(node);
    }

    /// The document, with its description in words for those who listen.
    pub fn finish(self, height: f64, description: &str) -> String {
        let document = draw::sheet(self.width, height, &self.title, description).add(self.body);
        format!("{document}\n")
    }
}

/// The stitches that a maker counts in a round, by its number.
pub fn stitches(fabric: &Fabric, piece: usize, number: u32) -> Option<usize> {
    let piece = &fabric.pieces[piece];
    let round = piece.rounds.iter().find(|round| round.number == number)?;
    Some(
        round
            .edge
            .iter()
            .filter(|id| piece.stitch(**id).role != Role::Bridge)
            .count(),
    )
}

/// The colour that an attachment is drawn in: the accent for what is joined, ink for the rest.
pub fn colour(attachment: &Attachment) -> Rgb {
    match attachment.held {
        Held::Joined { .. } => theme::ACCENT,
        Held::Sewn | Held::Feature => theme::INK,
    }
}

/// An attachment's label: its name and the stitches to count to.
pub fn label(placement: &Placement, id: usize) -> [String; 2] {
    let attachment = &placement.attachments[id];
    let round = match (attachment.round, attachment.last_round) {
        (Some(first), Some(last)) if attachment.between => format!("Rnds {first}/{last}"),
        (Some(first), Some(last)) if last > first => format!("Rnds {first}–{last}"),
        (Some(first), _) => format!("Rnd {first}"),
        (None, _) => String::new(),
    };
    let stitches = match attachment.stitches {
        Some(Stretch { first, last, .. }) if last != first => {
            format!(", sts {first}–{last}")
        }
        Some(own) => format!(", st {}", own.first),
        None => String::new(),
    };
    [placement.name(id), format!("{round}{stitches}")]
}

/// What the picture shows, told one attachment after the other.
pub fn told(placement: &Placement, piece: usize) -> String {
    let ids =
        (0..placement.attachments.len()).filter(|&id| placement.attachments[id].into == piece);
    let mut said = placement.about(piece).join(" ");
    for id in ids {
        let row = placement.row(id);
        said += &match row[1].is_empty() {
            true => format!(" {}: no round is told", row[0]),
            false => format!(" {}: round {}", row[0], row[1]),
        };
        if !row[2].is_empty() {
            said += &format!(", stitches {}", row[2]);
        }
        if !row[3].is_empty() {
            said += &format!(", points to {}", row[3]);
        }
        said.push('.');
    }
    said
}
