//! Tubes that go off to a side or tilt.

use std::f64::consts::PI;

use roundwright::shape::{Making, Vec3, centroid};

use crate::made::{STUFFED, Shape, rounds, tube};

const OPEN: Making = Making {
    drawn_shut: false,
    ..STUFFED
};

/// A tube of 24 with these words for some rounds after 8 even ones, and 8 even rounds after that; 3 rounds are its bottom.
fn bent(words: &str, times: u32) -> String {
    let mut text = rounds(&tube(24, 8));
    let mut push = |number: u32, words: &str| text += &format!("Rnd {number}: {words} (24)\n");
    for time in 0..times {
        push(12 + time, words);
    }
    for time in 0..8 {
        push(12 + times + time, "sc in each st around");
    }
    text
}

/// An increase on one side and a decrease on the other, in the same round, carry the tube off towards the increases (common practice; prototypes of
/// design.md say by 0.3–0.6 of a width a round, by stiffness: the sign and wide bounds are tested).
#[test]
fn an_increase_and_a_decrease_opposite_carry_a_tube_towards_the_increase() {
    for times in [1, 4, 8] {
        let shape = Shape::new(&bent("inc, 11 sc, dec, 10 sc", times), &OPEN);
        let axis = (shape.middle(11) - shape.middle(5)).unit_or(Vec3::ZERO);
        let aside = |way: Vec3| way - axis * way.dot(axis);
        let increase = shape.round(12)[0];
        let towards = aside(increase - shape.middle(12)).unit_or(Vec3::ZERO);
        let last = 11 + times as usize;
        let carried = aside(shape.middle(last) - shape.middle(11)).dot(towards);
        let a_round = carried / f64::from(times);
        assert!(
            (0.05..1.0).contains(&a_round),
            "{a_round} a round over {times}"
        );
    }
}

/// A round that is taller on one side by Δh than on the other tilts the next by about Δh/d radians on a tube of diameter d (geometry). Half of it
/// taller by Δh, all at once, tilts it by 4/π of that, which is the slope of the plane nearest to a step.
#[test]
fn a_round_taller_on_one_side_tilts_the_next() {
    let times = 3;
    let shape = Shape::new(&bent("12 sc, 12 hdc", times), &OPEN);
    let way = |from: usize, to: usize| (shape.middle(to) - shape.middle(from)).unit_or(Vec3::ZERO);
    let (before, after) = (way(5, 10), way(16, 21));
    let tilt = libm::acos(before.dot(after).clamp(-1.0, 1.0));
    let heights = (1.27 - 0.95) / 0.95;
    let expected = f64::from(times) * heights / (24.0 / PI);
    assert!(
        (0.7 * expected..1.6 * expected).contains(&tilt),
        "{tilt} where about {expected} is expected"
    );
    // Away from the taller side.
    let taller = shape.round(13).into_iter().skip(12);
    let tall_side = centroid(taller) - shape.middle(13);
    assert!(after.dot(tall_side) < before.dot(tall_side));
}

/// Front post stitches round part of a round draw the fabric in on that side (common practice, no source).
#[test]
fn post_stitches_on_one_side_draw_the_fabric_in_there() {
    let shape = Shape::new(&bent("12 sc, 12 FPsc", 3), &OPEN);
    let way = |from: usize, to: usize| (shape.middle(to) - shape.middle(from)).unit_or(Vec3::ZERO);
    let posts = shape.round(13).into_iter().skip(12);
    let post_side = centroid(posts) - shape.middle(13);
    let (before, after) = (way(5, 10), way(16, 21));
    assert!(after.dot(post_side) > before.dot(post_side) + 0.1);
}

/// A right-hander's heads sit to the right of their feet, against the direction of work (blog.irarott.com): a column of stitches winds that way.
#[test]
fn lean_winds_a_tube_against_the_direction_of_work() {
    let text = rounds(&tube(24, 16));
    let turned = |lean: f64| {
        let shape = Shape::new(&text, &Making { lean, ..OPEN });
        // Seen from the start, rounds run counter-clockwise.
        let (upper, lower) = (shape.round(6), shape.round(16));
        let angle = |round: &[Vec3], middle: Vec3| {
            let out = round[5] - middle;
            libm::atan2(out.y, out.x)
        };
        let turn = angle(&lower, shape.middle(16)) - angle(&upper, shape.middle(6));
        libm::atan2(libm::sin(turn), libm::cos(turn)) / (2.0 * PI) * 24.0
    };
    let wound = turned(0.2) - turned(0.0);
    assert!(
        (-2.6..-1.2).contains(&wound),
        "{wound} stitches over 10 rounds"
    );
}
