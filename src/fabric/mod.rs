//! Working: [`Pattern`](crate::pattern::Pattern) → [`Fabric`], the model in which every stitch knows what it is worked into.
//!
//! `work` goes through pieces and rounds and weighs the readings that the words allow; `hook` carries out one round's
//! instructions stitch by stitch (`along` those that go into other pieces); `below` is the edge it works into; `parts` joins other pieces;
//! `rivals` are the numbers of stitches that may be meant after a round that is wrong.

mod along;
mod below;
mod edging;
mod hook;
mod model;
mod parts;
mod reading;
mod rivals;
mod work;

pub use model::*;
pub use reading::Reading;
pub use work::work;
