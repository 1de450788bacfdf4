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
//!                      back
//!                   1  |  24
//!               2      |      23
//!            3       start       22
//!          4                       21
//!    ┏   5                           20   ┓
//!  first  6                          19  second
//!  wing   7       seen from above    18  wing
//!    ┗   8                           17   ┛
//!          9                       16
//!           10                   15
//!               11            14
//!                   12  |  13
//!                     front
//!            (the toy looks down the page)
//! ```
//!
//! Stand behind the toy and look the way it looks, down the page: the left hand is then on the RIGHT side of the page
//! (whoever faces south on a map has east on the left). So the first wing is the toy's own right wing, and the second
//! is its own left wing. A left-handed maker's work is the mirror image: there the first wing is the left one.

mod support;

use roundwright::chart::{self, Direction, Layout};
use roundwright::fabric::{Fabric, Piece, StitchId};
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

/// The stitches that join a copy of the part.
fn joined(body: &Piece, copy: u32) -> Vec<StitchId> {
    body.joins
        .iter()
        .filter(|join| join.copy == copy)
        .flat_map(|join| &join.stitches)
        .map(|&(stitch, _)| stitch)
        .collect()
}

/// The places in the round, from 1, of the stitches that join a copy of the part.
fn places(body: &Piece, copy: u32) -> Vec<u32> {
    joined(body, copy)
        .iter()
        .map(|&stitch| body.stitch(stitch).index + 1)
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

/// How far a wing lies to the toy's own left of its middle on the drawn chart, in mm; negative to its right.
fn to_the_left_mm(fabric: &Fabric, copy: u32) -> f64 {
    let body = &fabric.pieces[1];
    let options = chart::Options {
        layout: Some(chart::Layout::Rings),
        ..chart::Options::default()
    };
    let panels = chart::lay_out(fabric, 1, &options);
    let panel = panels
        .iter()
        .find(|panel| panel.first <= 4 && 4 <= panel.last)
        .expect("round 4 is drawn");
    assert_eq!(
        (panel.layout, panel.direction),
        (Layout::Rings, Direction::Outward)
    );

    // The middle of some stitches' heads on the page, y down.
    let middle = |stitches: &[StitchId]| {
        let heads = panel
            .stitches
            .iter()
            .filter(|placed| stitches.contains(&placed.id));
        let (count, x, y) = heads.fold((0.0, 0.0, 0.0), |(count, x, y), placed| {
            (count + 1.0, x + placed.head.x, y + placed.head.y)
        });
        assert!(
            count as usize == stitches.len(),
            "each stitch is drawn once"
        );
        (x / count, y / count)
    };
    let edge = &body.rounds[3].edge;
    let (middle_x, middle_y) = middle(edge);
    let (front_x, front_y) = middle(&edge[11..13]);
    let (wing_x, wing_y) = middle(&joined(body, copy));

    // Seen from above with y down the page, left of the way (x, y) is (y, -x): who looks down the page has it to the right.
    let (ahead_x, ahead_y) = (front_x - middle_x, front_y - middle_y);
    let length = (ahead_x * ahead_x + ahead_y * ahead_y).sqrt();
    ((wing_x - middle_x) * ahead_y - (wing_y - middle_y) * ahead_x) / length
}

#[test]
fn a_right_hander_s_first_wing_is_the_toy_s_own_right_wing() {
    let fabric = worked(TOY);
    let (first, second) = (to_the_left_mm(&fabric, 1), to_the_left_mm(&fabric, 2));
    assert!(first < -1.0, "the first wing lies {first} mm to the left");
    assert!(second > 1.0, "the second wing lies {second} mm to the left");
}

#[test]
fn a_left_hander_s_first_wing_is_the_toy_s_own_left_wing() {
    let fabric = worked(&TOY.replace("Terms: US", "Terms: US\nHand: left"));
    let (first, second) = (to_the_left_mm(&fabric, 1), to_the_left_mm(&fabric, 2));
    assert!(first > 1.0, "the first wing lies {first} mm to the left");
    assert!(
        second < -1.0,
        "the second wing lies {second} mm to the left"
    );
}

/// The puffin's rounds begin at the middle of its back too: of 36 stitches the front lies between 18 and 19.
#[test]
fn the_puffin_is_level_about_its_front() {
    let fabric = worked(include_str!("../patterns/pocket-puffin.md"));
    let body = fabric
        .pieces
        .iter()
        .find(|piece| piece.name == "Head and body")
        .expect("the puffin has a body");
    let parts = |name: &str| -> Vec<Vec<u32>> {
        let joins = body.joins.iter();
        joins
            .filter(|join| fabric.pieces[join.part].name == name)
            .map(|join| {
                let stitches = join.stitches.iter();
                stitches
                    .map(|&(stitch, _)| body.stitch(stitch).index + 1)
                    .collect()
            })
            .collect()
    };
    // In both, the first is on the puffin's own right, as the pattern says, and the second mirrors it.
    assert_eq!(parts("Wing"), [[8, 9, 10, 11], [26, 27, 28, 29]]);
    assert_eq!(parts("Foot"), [[14, 15, 16], [21, 22, 23]]);
    // The white of its face and belly mirrors itself as well.
    for round in &body.rounds[6..26] {
        let white = |stitch: StitchId| body.stitch(stitch).yarn.map(|yarn| yarn.0 == 1);
        let yarns: Vec<_> = round.edge.iter().map(|&stitch| white(stitch)).collect();
        assert!(yarns.iter().all(Option::is_some));
        assert!(
            yarns.iter().eq(yarns.iter().rev()),
            "round {}",
            round.number
        );
    }
}
