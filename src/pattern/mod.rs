//! Reading: text → [`Pattern`].
//!
//! Lines are told apart first (`lines`, `label`, `header`) and put together (`blocks`); `whole` looks what the pattern tells of
//! itself; `assemble` makes pieces (`rounds`, `between` and `further` their lines). Each round's body is read by a descent over its tokens
//! (`body` for lists and repeats; `clause` for what stands between two commas, with `numbers`, `stitches`, `place`, `parts`,
//! `total` and `elsewhere` for its phrases; `settle` makes its slots into instructions).
//! Reading never fails: what can't be read is a problem, and the rest goes on.

mod assemble;
mod between;
mod blocks;
mod body;
mod clause;
mod compound;
mod elsewhere;
mod eyes;
mod further;
mod header;
mod heading;
mod label;
mod lex;
mod lines;
mod numbering;
mod numbers;
mod own;
mod parts;
mod place;
mod rounds;
mod settle;
mod stem;
mod stitches;
mod total;
mod tree;
mod whole;

pub use assemble::read;
pub use body::place_all_at;
pub use stem::stem;
pub use tree::*;
