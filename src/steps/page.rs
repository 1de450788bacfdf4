//! The cards: their sizes, and where drawing and words go on them. All in mm.

use kurbo::Rect;

use super::Size;
use crate::draw::{Look, SymbolSize};
use crate::text::pt;

/// Least scale of the drawing on a small card; wider rounds get the larger card.
pub(super) const LEAST_SCALE: f64 = 0.72;
/// Between the drawing and the words, in mm.
const GAP: f64 = 3.0;
/// How much larger words on a screen are where symbols are to be large.
const LARGE_WORDS: f64 = 1.13;

/// A card.
#[derive(Debug, Clone, Copy)]
pub(super) struct Page {
    pub width: f64,
    pub height: f64,
    pub margin: f64,
    /// Em of the round's name.
    pub title: f64,
    /// Em of its words.
    pub text: f64,
    /// Em of the least words.
    pub label: f64,
    /// Whether the words stand beside the drawing rather than under it.
    pub beside: bool,
    /// Width of the document in widths of the card.
    pub enlarged: f64,
}

/// The cards that a round may have, the best first.
pub(super) fn pages(size: Size, look: Look) -> Vec<Page> {
    let words = match look.symbols {
        SymbolSize::Usual => 1.0,
        SymbolSize::Large => LARGE_WORDS,
    };
    // ISO 216 gives A6 as 105 by 148 mm and A5 as 148 by 210 mm.
    let a6 = Page {
        width: 105.0,
        height: 148.0,
        margin: 8.0,
        title: pt(15.0),
        text: pt(9.0),
        label: pt(7.5),
        beside: false,
        enlarged: look.enlarged(),
    };
    let a5 = Page {
        width: 148.0,
        height: 210.0,
        margin: 9.0,
        title: pt(17.0),
        text: pt(10.0),
        ..a6
    };
    // A hundredth of a mm under the whole pixel, so that rounding up gives just that pixel.
    let phone = Page {
        width: 76.19,
        height: 135.46,
        margin: 5.5,
        title: pt(15.0 * words),
        text: pt(9.5 * words),
        label: pt(7.5 * words),
        beside: false,
        enlarged: 1.0,
    };
    let video = Page {
        width: 169.33,
        height: 95.24,
        margin: 7.0,
        title: pt(17.0 * words),
        text: pt(10.0 * words),
        label: pt(7.5 * words),
        beside: true,
        enlarged: 1.0,
    };
    match size {
        Size::Page => vec![a6, a5],
        Size::Phone => vec![phone],
        Size::Video => vec![video],
    }
}

impl Page {
    /// Width of the room for words.
    pub fn words_width(&self) -> f64 {
        match self.beside {
            true => self.width * 0.4 - self.margin,
            false => self.width - 2.0 * self.margin,
        }
    }

    /// Where the words start from the left.
    pub fn words_left(&self) -> f64 {
        match self.beside {
            true => self.width * 0.6,
            false => self.margin,
        }
    }

    /// The room for the drawing between a heading and words of these heights.
    pub fn drawing(&self, heading: f64, words: f64) -> Rect {
        match self.beside {
            true => Rect::new(
                self.margin,
                self.margin,
                self.width * 0.6 - GAP * 2.0,
                self.height - self.margin,
            ),
            false => Rect::new(
                self.margin,
                self.margin + heading + GAP,
                self.width - self.margin,
                self.height - self.margin - words - GAP,
            ),
        }
    }

    /// From baseline to baseline of its words.
    pub fn line(&self) -> f64 {
        self.text * 1.4
    }

    /// Most lines of words, so that about half of the card stays for the drawing.
    pub fn most_lines(&self) -> usize {
        let share = if self.beside { 0.55 } else { 0.4 };
        (self.height * share / self.line()) as usize
    }
}
