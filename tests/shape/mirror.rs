//! Mirror images, and starts disturbed in other ways.

use roundwright::shape::{Making, Vec3, align};

use crate::made::{SQUARE, STUFFED, Shape, rounds, tube, usual_ball};

/// With lean 0 and joined rounds, a mirror-image pattern gives the mirror-image shape (geometry).
#[test]
fn a_mirrored_pattern_gives_the_mirrored_shape() {
    let piece = |words: [&str; 4]| {
        let [third, fourth, fifth, sixth] = words;
        let join = "join with sl st to first sc";
        format!(
            "## Fin\nRnd 1: 6 sc in magic ring, {join} (6)\nRnd 2: ch 1, inc x 6, {join} (12)\n\
             Rnd 3: ch 1, {third}, {join} (15)\nRnd 4: ch 1, {fourth}, {join} (17)\n\
             Rnd 5: ch 1, {fifth}, {join} (16)\nRnd 6: ch 1, {sixth}, {join} (16)\n"
        )
    };
    let one = piece([
        "inc x 3, 9 sc",
        "3 sc, inc, 4 sc, inc, 6 sc",
        "9 sc, dec, 6 sc",
        "5 sc, 3 hdc, 8 sc",
    ]);
    let other = piece([
        "9 sc, inc x 3",
        "6 sc, inc, 4 sc, inc, 3 sc",
        "6 sc, dec, 9 sc",
        "8 sc, 3 hdc, 5 sc",
    ]);
    let (one, other) = (Shape::new(&one, &SQUARE), Shape::new(&other, &SQUARE));
    let (mut points, mut mirrored) = (Vec::new(), Vec::new());
    for round in 1..=6 {
        points.extend(one.round(round));
        let back = other.round(round).into_iter().rev();
        mirrored.extend(back.map(|at| Vec3::new(at.x, -at.y, at.z)));
    }
    let apart = align::distance(&points, &mirrored);
    assert!(apart < 0.02, "{apart} widths apart");
    let itself: Vec<Vec3> = points
        .iter()
        .map(|at| Vec3::new(at.x, -at.y, at.z))
        .collect();
    assert!(
        align::distance(&points, &itself) > 0.1,
        "it has two different sides"
    );
}

/// How far the answer depends on the disturbance of the start: little against a stitch.
#[test]
fn another_disturbance_gives_the_same_shape() {
    let mut bent = rounds(&tube(18, 6));
    for round in 9..=16 {
        bent += &format!("Rnd {round}: inc, 7 sc, dec, 8 sc (18)\n");
    }
    let open = Making {
        drawn_shut: false,
        ..STUFFED
    };
    let disc: Vec<u32> = (1..=8).map(|step| 6 * step).collect();
    let cases = [
        ("ball", rounds(&usual_ball(5)), STUFFED),
        ("tube", rounds(&tube(18, 20)), open),
        ("bent tube", bent, open),
        ("disc", rounds(&disc), Making::default()),
        ("bag", rounds(&[4, 6, 8, 10, 10, 10, 8]), SQUARE),
    ];
    for (name, text, making) in cases {
        let first = Shape::new(&text, &making);
        for seed in 1..=3 {
            let other = Shape::new(&text, &Making { seed, ..making });
            let apart = align::distance(first.points(), other.points());
            assert!(
                apart < 0.05,
                "{name}: {apart} widths apart with start {seed}"
            );
        }
    }
}
