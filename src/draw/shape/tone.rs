//! Colours of yarn in the light.

use crate::draw::theme::{INK, Rgb};
use crate::fabric::{Fabric, YarnId};
use crate::shape::Vec3;

/// Undyed wool, for a yarn of no known colour.
const PLAIN: Rgb = [0xe6, 0xdf, 0xcf];
/// Share of light that comes from everywhere, in hundredths.
const AMBIENT: f64 = 58.0;
/// How much darker the ground is than the strands that lie on it, in hundredths.
const GROUND: f64 = 66.0;
/// How dark the inside is, in hundredths.
const INSIDE: f64 = 55.0;

/// The colour of a yarn.
pub fn yarn(fabric: &Fabric, yarn: Option<YarnId>) -> Rgb {
    let yarn = yarn.and_then(|yarn| fabric.yarns.get(usize::from(yarn.0)));
    yarn.and_then(|yarn| yarn.colour).unwrap_or(PLAIN)
}

/// How bright a surface is that faces this way (x to the right, y up, z to the viewer), in hundredths.
pub fn brightness(normal: Vec3) -> f64 {
    let light = Vec3::new(-0.45, 0.62, 0.64);
    AMBIENT + (100.0 - AMBIENT) * normal.dot(light).max(0.0)
}

/// A strand in the light. Dark yarns are lifted a little, so that their stitches can be told apart.
pub fn strand(yarn: Rgb, brightness: f64) -> Rgb {
    let lifted = mixed([0xff; 3], yarn, 8.0);
    mixed(lifted, INK, brightness)
}

/// What lies between the strands.
pub fn ground(yarn: Rgb, brightness: f64) -> Rgb {
    mixed(yarn, INK, brightness * GROUND / 100.0)
}

/// The inside, seen through an opening.
pub fn inside(yarn: Rgb) -> Rgb {
    mixed(yarn, INK, INSIDE)
}

/// So many hundredths of one colour, the rest of another.
fn mixed(one: Rgb, other: Rgb, hundredths: f64) -> Rgb {
    let mut colour = [0; 3];
    for (channel, (one, other)) in colour.iter_mut().zip(one.into_iter().zip(other)) {
        let value = f64::from(one) * hundredths + f64::from(other) * (100.0 - hundredths);
        *channel = (value / 100.0).round().clamp(0.0, 255.0) as u8;
    }
    colour
}
