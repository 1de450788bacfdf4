//! The trade's vocabulary. The model speaks one language; US and UK terms are two ways of reading and
//! writing it.

pub(crate) mod colours;
pub(crate) mod gauge;
pub(crate) mod hooks;
mod into;
pub(crate) mod lengths;
pub mod near;
pub mod sides;
mod stitch;
pub(crate) mod weights;
pub mod words;

pub use into::Into;
pub use stitch::{Form, Height, Stitch};
pub use words::Word;

/// Which of the two customs of naming stitches a text follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Terms {
    /// `sc` is the short stitch.
    #[default]
    Us,
    /// `dc` is the short stitch.
    Uk,
}

impl Terms {
    /// `US` or `UK`.
    pub fn name(self) -> &'static str {
        match self {
            Terms::Us => "US",
            Terms::Uk => "UK",
        }
    }
}

/// Which hand holds the hook. A left-handed piece is the mirror image in everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hand {
    /// Works from right to left; rounds run counter-clockwise seen from outside.
    #[default]
    Right,
    /// Works from left to right; rounds run clockwise seen from outside.
    Left,
}
