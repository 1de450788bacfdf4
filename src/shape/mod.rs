//! The relaxed form of each piece: `Source`, `Pattern` and `Fabric` in, points in space out.
//!
//! `web` says which stitches are points and how they hang together; `build` makes springs, cells and hinges of them, which `start` lays
//! on a surface of revolution; `together` joins a piece to those that it goes on from, which start side by side on their `base`; `energy` says how much a shape resists and `descent` goes downhill from there. `coefficients` has every number
//! that this depends on, with where it comes from. `said` and `gauge` take from the words what they say of stuffing and size, and `measure` tells the
//! finished size.

pub mod align;
mod base;
pub mod build;
mod cholesky;
pub mod coefficients;
pub mod descent;
pub mod energy;
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
mod together;
mod vector;
mod web;

pub(crate) use gauge::gauge_told;
pub use gauge::{Gauge, GaugeFrom, gauge};
pub use making::Making;
pub use measure::{Measures, measure};
pub use notes::{girths, making_notes, piece_notes, sides};
pub use patch::{Form, Patch, Side, patches};
pub use relaxed::{Limb, Relaxed, Shapes, Spot, TOLERANCE, relax, relax_watched};
pub use said::Filling;
pub use vector::{Vec3, centroid};
pub use web::{Knot, Node, Row, Web};
