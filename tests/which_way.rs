//! On which side of the toy a part comes out: one example worked by hand.
//!
//! A body is worked from the top of the head down, its rounds start at the middle of the back, and two wings are
//! joined into round 4 of 24 stitches: the first over stitches 5 to 8, the second over 17 to 20.
//!
//! Seen from outside at its start, which is from above the head. The toy faces down the page, its back is at the top. A
//! right-handed maker works from right to left, so seen from outside at the start the rounds run counter-clockwise:
//! from the top of the page to its left side.
//!
//! ```text
//!                        back
//!                   1 ┄┄ start ┄┄ 24
//!              3  ↙                  22
//!            4                         21
//!           ┏5                         20┓
//!   first   ┃6                         19┃   second
//!   wing    ┃7      (from above)       18┃   wing
//!           ┗8                         17┛
//!            9                         16
//!             10                     15
//!                 11 12       13 14
//!                       front
//!                         ↓ the toy looks this way
//! ```
//!
//! Stand behind the toy and look the way it looks, down the page: the left hand is then on the RIGHT side of the page
//! (whoever faces south on a map has east on the left). So the first wing is the toy's own right wing, and the second
//! is its own left wing. A left-handed maker's work is the mirror image: there the first wing is the left one.

mod support;

use roundwright::fabric::{Fabric, Piece};
use roundwright::source::{Level, Source};

const TOY: &str = "\
# Gull
Terms: US

## Wing (make 2)
Rnd 1: 4 sc in magic ring (4)
Rnd 2: inc x 4 (8)
Rnds 3-5: sc in each st around (8)
Fasten off. Press flat.

## Body
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnd 3: inc x 12 (24)
Rnd 4: 4 sc, 4 sc through both layers of the first wing, 8 sc, 4 sc through both layers of the second wing, 4 sc (24)
Rnds 5-6: sc in each st around (24)
";

fn worked(text: &str) -> Fabric {
    let (fabric, problems) = support::check(&Source::new("toy", text));
    assert!(problems.iter().all(|problem| problem.level == Level::Note));
    fabric
}

/// The places in the round, from 1, of the stitches that join a copy of the part.
fn places(body: &Piece, copy: u32) -> Vec<u32> {
    body.joins
        .iter()
        .filter(|join| join.copy == copy)
        .flat_map(|join| &join.stitches)
        .map(|&(stitch, _)| body.stitch(stitch).index + 1)
        .collect()
}

#[test]
fn the_wings_are_joined_where_the_words_say() {
    let fabric = worked(TOY);
    let body = &fabric.pieces[1];
    assert_eq!(places(body, 1), [5, 6, 7, 8]);
    assert_eq!(places(body, 2), [17, 18, 19, 20]);
    // Level: as far from the front, between 12 and 13, on one side as on the other.
    let (first, second) = (places(body, 1), places(body, 2));
    assert_eq!(first[0] + second[3], 12 + 13);
}
