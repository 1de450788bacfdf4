//! The relaxed form of each piece, and of the whole toy: `Source`, `Pattern` and `Fabric` in, points in space out.
//!
//! `web` says which stitches are points and how they hang together; `build` makes springs, cells and hinges of them, which `start` lays
//! on a surface of revolution; `energy` says how much a shape resists and `descent` goes downhill from there. `coefficients` has every number
//! that this depends on, with where it comes from. `said` and `gauge` read what the words say of lean, stuffing and size, `measure` tells the
//! finished size, `features` finds eyes and the front, and `toy` sets parts at their joins.

pub mod align;
pub mod build;
mod cholesky;
pub mod coefficients;
pub mod descent;
pub mod energy;
mod features;
mod gauge;
mod making;
mod measure;
pub mod mesh;
mod notes;
mod order;
mod patch;
mod relaxed;
mod said;
mod start;
mod stated;
pub mod toy;
mod vector;
mod web;
pub(crate) mod words;

pub use features::{Eye, eyes, front};
pub use gauge::{Gauge, GaugeFrom, gauge};
pub use making::Making;
pub use measure::{Measures, measure};
pub use notes::{making_notes, piece_notes, toy_note};
pub use patch::{Form, Patch, Side, patches};
pub use relaxed::{Relaxed, Shapes, TOLERANCE, relax};
pub use said::{Filling, stands_on_start};
pub use stated::size_problem;
pub use toy::{Part, Place, Toy};
pub use vector::{Vec3, centroid};
pub use web::{Knot, Node, Row, Web};
