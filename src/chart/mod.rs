//! Where each symbol and label of a chart goes, in millimetres on paper.
//!
//! A piece becomes a few [`Panel`]s. `cut` decides which rounds share a panel and which equal rounds share a ring; `place` gives every
//! stitch its head, round by round; the engravers of `marks` add what else a maker must see; `sheet` puts all of it on paper. A ring
//! begins at the bottom: there stand the numbers of the rounds, in a lane that is kept free for them.

mod across;
mod captions;
mod column;
mod columns;
mod corners;
mod cut;
mod drawn;
mod figures;
pub(crate) mod fit;
mod glyph;
mod ground;
mod lines;
mod marks;
mod oval;
mod pages;
mod panel;
mod parts;
mod place;
pub mod quality;
mod scene;
mod sheet;
pub mod sizes;
mod slots;
pub mod spacing;
mod spur;
mod table;
mod track;
mod travel;
mod tubes;
mod wishes;
mod words;

pub use drawn::{drawn, drawn_feet};
pub use marks::{is_turned_before, left_out, marked_within};
pub use panel::{
    Direction, Glyph, Ink, Layout, Line, Mark, PagePart, Panel, Placed, Ring, Row, Tone, Words,
};

use std::ops::RangeInclusive;

use crate::fabric::Fabric;

/// What is asked of a chart.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Only rounds with these numbers; all of them if unsaid.
    pub rounds: Option<RangeInclusive<u32>>,
    /// Rings or rows for what is worked round; rings where they suit if unsaid. What is worked to and fro is always in rows.
    pub layout: Option<Layout>,
    /// True if rounds too wide for a page stay in one piece: for pictures that are not printed at their own size.
    pub whole: bool,
    /// True if sheets come out larger than their own measure, by [`sizes::LARGE`], and are to fit the page then.
    pub large: bool,
}

/// The panels of a piece (a place in [`Fabric::pieces`]), in the order of work. Empty for a piece without stitches, or if no
/// round is asked for.
pub fn lay_out(fabric: &Fabric, piece: usize, options: &Options) -> Vec<Panel> {
    let Some(worked) = fabric.pieces.get(piece) else {
        return Vec::new();
    };
    if worked.stitches.is_empty() {
        return Vec::new();
    }
    let mut panels = Vec::new();
    for cut in cut::cut(fabric, worked, options) {
        if options.whole {
            let scene = place::place(fabric, worked, fabric.hand, cut);
            panels.push(sheet::sheet(&scene, piece));
        } else {
            pages::lay_out(fabric, piece, cut, &mut panels);
        }
    }
    panels
}
