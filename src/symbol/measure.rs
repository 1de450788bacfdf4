use super::{bobble, popcorn, puff};
use crate::terms::{Form, Height, Stitch};

/// Least distance between the heads of neighbours of one round, in mm, for a stitch of common width.
pub const STITCH_WIDTH_MM: f64 = 3.6;

/// Clear paper between the heads of wide neighbours, in mm.
const CLEAR_MM: f64 = 0.9;

/// Distance from foot to head at which a stitch's symbol looks best, in mm.
pub fn height_mm(kind: Stitch) -> f64 {
    let plain = match kind.height {
        Height::Chain => 3.3,
        Height::Slip => 2.2,
        Height::Single => 4.2,
        Height::HalfDouble => 5.2,
        Height::Double => 7.0,
        Height::Treble => 8.8,
        Height::DoubleTreble => 10.6,
    };
    match kind.form {
        Form::Plain | Form::Together(_) | Form::Loop | Form::Reverse | Form::Spike => plain,
        Form::Extended => plain + 1.4,
        // The gathered ones need room for their belly.
        Form::Bobble(_) | Form::Popcorn(_) | Form::Puff(_) => plain.max(6.4),
    }
}

/// Least distance between heads of neighbours of this kind, in mm; half of each is what two kinds need beside each other.
pub fn width_mm(kind: Stitch) -> f64 {
    let ink = match kind.form {
        Form::Plain | Form::Extended | Form::Together(_) | Form::Reverse | Form::Spike => 0.0,
        Form::Loop => STITCH_WIDTH_MM,
        Form::Bobble(stems) => bobble::width(stems),
        Form::Popcorn(stems) => popcorn::width(stems),
        Form::Puff(stems) => puff::width(stems),
    };
    (ink + CLEAR_MM).max(STITCH_WIDTH_MM)
}
