//! The model of the fabric: every stitch with what it is worked into.

mod model;

pub use model::*;
