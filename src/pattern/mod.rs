//! Reading: text → [`Pattern`].
//!
//! Lines are told apart first (`lines`, `label`, `header`), then each round's body is read by a descent over its tokens
//! (`body` for lists and repeats, `clause` for what stands between two commas, `place`, `parts`, `total`).
//! Reading never fails: what can't be read is a problem, and the rest goes on.

mod assemble;
mod body;
mod clause;
mod compound;
mod header;
mod heading;
mod label;
mod lex;
mod lines;
mod numbering;
mod parts;
mod place;
mod total;
mod tree;

pub use assemble::read;
pub use tree::*;
