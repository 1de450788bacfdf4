//! What a piece's shape depends on besides its stitches.

use super::coefficients;

/// How a piece is made, as far as its shape is concerned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Making {
    /// Height of single crochet in stitch widths.
    pub sc_height: f64,
    /// How far each head sits from its foot against the direction of work, in widths a round.
    pub lean: f64,
    /// Pressure of the stuffing for each stitch; 0 for none.
    pub stuffing: f64,
    /// Whether it is pressed flat.
    pub pressed: bool,
    /// Whether its last hole is drawn shut.
    pub drawn_shut: bool,
    /// Size of the fixed disturbance of the start, in widths.
    pub disturbance: f64,
    /// Which disturbance of that size.
    pub seed: u64,
}

impl Default for Making {
    /// Single crochet that stands straight, not stuffed.
    fn default() -> Making {
        Making {
            sc_height: crate::terms::Height::Single.in_widths(),
            lean: 0.0,
            stuffing: 0.0,
            pressed: false,
            drawn_shut: false,
            disturbance: coefficients::DISTURBANCE,
            seed: 0,
        }
    }
}
