//! Pictures to follow with a hook in hand: one for each round, or run of equal rounds, that shows what was worked faintly, the
//! round in full ink, the stitches to work into, and the round's words.
//!
//! `round` gathers what is said of a round; `course` is the line that its heads lie on; `work` draws the stitches and the marks; `card` sets
//! drawing and words on a card of the size that was asked for.

mod card;
mod course;
mod page;
mod round;
mod work;

use std::ops::Range;

use crate::chart::{self, Panel};
use crate::draw::{Ground, Look};
use crate::fabric::Fabric;
use crate::order::{self, Task};
use crate::source::Source;

/// Where pictures will be seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Size {
    /// On paper: a card of A6, or of A5 for a wide round.
    #[default]
    Page,
    /// On a phone held upright: 1080 × 1920 pixels.
    Phone,
    /// In a video of 16:9: 1920 × 1080 pixels.
    Video,
}

impl Size {
    /// Pixels to the inch at which its pictures have their size in pixels.
    pub fn dpi(self) -> u32 {
        match self {
            Size::Page => 300,
            Size::Phone => 360,
            Size::Video => 288,
        }
    }
}

/// What is asked of step pictures.
#[derive(Debug, Clone, Copy, Default)]
pub struct Options {
    /// Where they will be seen.
    pub size: Size,
    /// What is under the drawing.
    pub ground: Ground,
    /// How much ink, and how large.
    pub look: Look,
    /// Whether the fabric is for the other hand than the words: left and right in them are swapped.
    pub other_hand: bool,
    /// Whether the fabric is in other terms than the words: rounds are then told in its terms instead.
    pub other_terms: bool,
    /// Width of a stitch in mm, to say how wide openings are.
    pub stitch_mm: Option<f64>,
}

/// One finished picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// The round's number, `7`, or `7-12` for a run; `start` for a chain before the first round. Unique within the piece.
    pub label: String,
    /// The document.
    pub svg: String,
}

/// The pictures of a piece (a place in [`Fabric::pieces`]), in the order of work. The source is the one that the fabric was read
/// from; only its words are looked up. Empty for a piece without stitches.
pub fn pictures(source: &Source, fabric: &Fabric, piece: usize, options: Options) -> Vec<Picture> {
    let panels = chart::lay_out(
        fabric,
        piece,
        &chart::Options {
            whole: true,
            ..chart::Options::default()
        },
    );
    let tasks = match options.stitch_mm {
        Some(stitch_mm) if piece < fabric.pieces.len() => order::tasks(fabric, piece, stitch_mm),
        _ => Vec::new(),
    };
    let mut pictures: Vec<Picture> = Vec::new();
    for panel in &panels {
        for rings in round::runs(fabric, panel) {
            if let Some(mut picture) = picture(source, fabric, panel, rings, &tasks, options) {
                let own = picture.label.clone();
                let mut copy = 1;
                while pictures.iter().any(|other| other.label == picture.label) {
                    copy += 1;
                    picture.label = format!("{own}-again-{copy}");
                }
                pictures.push(picture);
            }
        }
    }
    pictures
}

fn picture(
    source: &Source,
    fabric: &Fabric,
    panel: &Panel,
    rings: Range<usize>,
    tasks: &[Task],
    options: Options,
) -> Option<Picture> {
    let told = round::told(source, fabric, panel, rings.clone(), tasks, options)?;
    Some(Picture {
        label: told.label.clone(),
        svg: card::card(fabric, panel, rings.start, &told, options),
    })
}
