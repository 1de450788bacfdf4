//! What stands between the rounds, as sentences of words: the text for everything that is no notation.

mod gauge;
mod lean;
pub(crate) mod materials;
mod names;
mod sentences;
pub(crate) mod tokens;

pub(crate) use crate::source::words;
pub(crate) use crate::terms::lengths;
pub(crate) use gauge::{GaugeTold, gauge};
pub use lean::Lean;
pub(crate) use lean::{hand, lean};
pub(crate) use names::{Names, is_tail_of_yarn};
pub(crate) use sentences::{Place, Prose, Sentence, sentences};
pub(crate) use words::Word;
