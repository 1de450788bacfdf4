//! How much yarn goes into one stitch.

use crate::terms::{Form, Height, Stitch};

/// Yarn in one chain, in its own widths. Measured: a chain of 5 inches takes 25.5 (windchilde.com, "Crochet yarn estimating").
const CHAIN: f64 = 25.5 / 5.0;
/// Yarn in stitches of a row, in their widths: strips 5 inches long took 53 inches of sc, 78.5 of hdc, 102 of dc (the same).
const SINGLE: f64 = 53.0 / 5.0;
const HALF_DOUBLE: f64 = 78.5 / 5.0;
const DOUBLE: f64 = 102.0 / 5.0;
/// What a stitch takes more than the next lower one that has a bar less: as dc more than sc. No source.
const BAR: f64 = DOUBLE - SINGLE;

/// The yarn that a stitch takes, in stitch widths.
///
/// Chain, sc, hdc and dc are measured. Taller stitches grow on as dc does from sc; a slip stitch is taken as a chain; of stitches that share
/// a head each leg takes its own yarn but for the head, which is a chain; an extended stitch takes a chain more, the long loop of a loop stitch and the
/// drawn-up yarn of a spike a bar more. All of these have no source.
pub fn stitch_widths(stitch: Stitch) -> f64 {
    let plain = match stitch.height {
        Height::Chain | Height::Slip => CHAIN,
        Height::Single => SINGLE,
        Height::HalfDouble => HALF_DOUBLE,
        Height::Double => DOUBLE,
        Height::Treble => DOUBLE + BAR,
        Height::DoubleTreble => DOUBLE + 2.0 * BAR,
    };
    match stitch.form {
        Form::Plain | Form::Reverse => plain,
        Form::Extended => plain + CHAIN,
        Form::Together(legs) | Form::Bobble(legs) | Form::Popcorn(legs) | Form::Puff(legs) => {
            let legs = f64::from(legs.max(1));
            legs * plain - (legs - 1.0) * CHAIN
        }
        Form::Loop | Form::Spike => plain + BAR,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Per row hdc : sc = 1.48 and dc : sc = 1.92 (windchilde.com, "Crochet yarn estimating").
    #[test]
    fn rows_of_taller_stitches_take_what_was_measured() {
        let of = |height| stitch_widths(Stitch::plain(height));
        assert!((of(Height::HalfDouble) / of(Height::Single) - 1.48).abs() < 0.005);
        assert!((of(Height::Double) / of(Height::Single) - 1.92).abs() < 0.006);
        assert!((of(Height::Chain) * 5.0 - 25.5).abs() < 1e-9);
    }

    #[test]
    fn taller_stitches_and_clusters_take_more() {
        let heights = Height::ALL.map(|height| stitch_widths(Stitch::plain(height)));
        assert!(heights.windows(2).all(|pair| pair[0] <= pair[1]));
        let sc = stitch_widths(Stitch::plain(Height::Single));
        let two = stitch_widths(Stitch::together(Height::Single, 2));
        assert!(sc < two && two < 2.0 * sc);
    }
}
