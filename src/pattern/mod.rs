//! Reading: text → [`Pattern`].
//!
//! Lines are told apart first (`lines`, `label`, `heading` with `make`, `header` with `yarns`) and put together (`run_in`, `undotted`, `plain_numbers`, `blocks`, `wrapped`, `unlabelled`); `whole` looks what the pattern tells of
//! itself; `assemble` makes pieces (`rounds`, `between`, `further` and `closing_row` their lines, `rows` what no label says of them, `pairs` legs that are told in the piece that joins them, `from_before` pieces that go on from the last). Each round's body is read by a descent over its tokens
//! (`body` for lists, `often` for how often, `offered` for what may be worked one way or another; `clause` for what stands between two commas, with `numbers`, `stitches`, `place`, `parts`,
//! `total` and `elsewhere` for its phrases; `settle` and `spread` make its slots into instructions; `unknown` tells what is left).
//! Reading never fails: what can't be read is a problem, and the rest goes on.

mod also;
mod assemble;
mod between;
mod blocks;
mod body;
mod border;
mod brackets;
mod clause;
mod closing;
mod closing_row;
mod compound;
mod elsewhere;
mod eyes;
mod from_before;
mod further;
mod going_on;
mod header;
mod heading;
mod held;
mod label;
mod length;
mod lex;
mod like;
mod lines;
mod lists;
mod loops;
mod make;
mod misspelt;
mod numbering;
mod numbers;
mod offered;
mod often;
mod own;
mod pairs;
mod paragraphs;
mod parts;
mod place;
mod plain_numbers;
mod remarks;
mod rounds;
mod rows;
mod run_in;
mod settle;
mod sharing;
mod sizes;
mod spread;
mod stem;
mod stitches;
mod surface;
mod table;
mod total;
mod tree;
mod undotted;
mod unknown;
mod unlabelled;
mod unsaid;
pub(crate) mod whereabouts;
mod whole;
mod wrapped;
mod yarn_words;
mod yarns;

pub use assemble::read;
pub use body::{list_around, place_all_at, start_of_repeat};
pub use length::{length_mm, rounds_in};
pub use stem::{last_word, short_names, stem};
pub use tree::*;
