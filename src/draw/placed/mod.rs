//! Where parts and features sit on a piece: a plan seen along its axis, and its rounds unrolled.

mod plan;
mod sheet;
mod unrolled;

use crate::fabric::Fabric;
use crate::place::Placement;

/// A plan of a piece seen along its axis from where it was begun, with everything on its ring, as an SVG document in mm;
/// `None` where nothing on the piece has a stitch.
pub fn plan_svg(placement: &Placement, fabric: &Fabric, piece: usize) -> Option<String> {
    plan::draw(placement, fabric, piece)
}

/// The rounds of a piece unrolled, its front in the middle, as the toy stands and seen from outside, as an SVG document in mm;
/// `None` where nothing on the piece has a bearing.
pub fn unrolled_svg(placement: &Placement, fabric: &Fabric, piece: usize) -> Option<String> {
    unrolled::draw(placement, fabric, piece)
}
