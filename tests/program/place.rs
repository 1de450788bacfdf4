//! `roundwright place`: in words, for other programs, and as pictures.

use serde_json::Value;

use crate::json::hold_to;
use crate::run::{BALL, Bench};

const PLACE: &str = include_str!("../../src/cli/schema/place.schema.json");

/// A body with fins of which the second begins a stitch late.
const BODY: &str = "\
# Dinghy
Sc: yarn under

## Fin (make 2)
Rnd 1: 6 sc in magic ring (6)
Rnds 2-4: sc in each st around (6)
Fasten off. Press flat.

## Hull
From the top down.
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: (2 sc, inc) x 6 (24)
Rnds 5-8: sc in each st around (24)
Insert eyes between Rnds 7 and 8, through the 11th and the 14th st.
Rnd 9: 5 sc, 3 sc through both layers of the first fin, 9 sc, 3 sc through both layers of the second fin, 4 sc (24)
";

#[test]
fn it_speaks_in_stitches_first() {
    let bench = Bench::new();
    bench.file("dinghy.md", BODY);
    let outcome = bench.run(&["place", "dinghy.md"]);
    outcome.ended_with(0);
    for words in [
        "Worked from the top down.",
        "The front lies between the eyes.",
        "The left eye faces the right eye: level, as near as a stitch allows.",
        "The second fin would face the first fin one stitch earlier: start it at stitch 17, not 18.",
    ] {
        assert!(outcome.out.contains(words), "{words}\n{}", outcome.out);
    }
}

#[test]
fn it_reports_for_other_programs() {
    let bench = Bench::new();
    bench.file("dinghy.md", BODY);
    let outcome = bench.run(&["place", "--format", "json", "dinghy.md"]);
    let report = hold_to(PLACE, &outcome.out);
    let [right_eye, _, first, second] = report["attachments"]
        .as_array()
        .map(Vec::as_slice)
        .expect("a list")
    else {
        panic!("four attachments: {report}");
    };
    assert_eq!(right_eye["between"], true);
    assert_eq!(right_eye["off_by_stitches"], 0);
    let expected = serde_json::json!({
        "id": 3, "part": "Fin", "copy": 2, "into": "Hull", "round": 9, "first_stitch": 18, "last_stitch": 20,
        "bearing_deg": 97.5, "side": "left", "height_cm": second["height_cm"], "width_cm": second["width_cm"], "partner": 2,
        "off_by_stitches": 1, "off_by_deg": 15.0, "better_first_stitch": 17
    });
    assert_eq!(*second, expected);
    assert_eq!(first["side"], "right");
    // 3 stitches at 22 to 10 cm, the gauge where none is given (common practice, no source), as the yarn gives.
    let width = first["width_cm"].as_f64().expect("a width");
    assert!((1.25..1.5).contains(&width), "{width}");
    // By the other hand the same places are the mirror image.
    let other = bench.run(&["place", "--format", "json", "--hand", "left", "dinghy.md"]);
    let other = hold_to(PLACE, &other.out);
    assert_eq!(other["attachments"][3]["bearing_deg"], -97.5);
    assert_eq!(other["attachments"][3]["off_by_stitches"], 1);
    let nothing = Value::Array(Vec::new());
    bench.file("float.md", BALL);
    let outcome = bench.run(&["place", "--format", "json", "float.md"]);
    assert_eq!(hold_to(PLACE, &outcome.out)["attachments"], nothing);
}

#[test]
fn it_draws_a_plan_and_the_rounds_unrolled() {
    let bench = Bench::new();
    bench.file("dinghy.md", BODY);
    bench
        .run(&["place", "--format", "svg", "dinghy.md", "--out", "x"])
        .ended_with(0);
    assert_eq!(
        bench.files("x"),
        [
            "hull-plan.svg",
            "hull-unrolled.svg",
            "roundwright-files.txt"
        ]
    );
    for name in ["x/hull-plan.svg", "x/hull-unrolled.svg"] {
        let svg = String::from_utf8(bench.read(name)).expect("UTF-8");
        usvg::Tree::from_str(&svg, &usvg::Options::default()).expect("an SVG");
        assert!(
            svg.contains("second fin: round 9, stitches 18–20, points to left, 98°"),
            "{svg}"
        );
    }
}

/// Parts whose place the side alone tells are on the plan as well; those of which nothing tells the place are told below it.
#[test]
fn a_plan_has_all_that_sits_on_a_piece() {
    let part = |name: &str, words: &str| {
        format!(
            "\n## {name}\nRnd 1: 6 sc in magic ring (6)\nFasten off, leaving a tail.\n\n## Making up\nSew the {name} to {words}.\n"
        )
    };
    let bench = Bench::new();
    let plan = |more: &str| {
        bench.file("dinghy.md", format!("{BODY}{more}"));
        bench
            .run(&["place", "--format", "svg", "dinghy.md", "--out", "x"])
            .ended_with(0);
        String::from_utf8(bench.read("x/hull-plan.svg")).expect("UTF-8")
    };
    let marks = |svg: &str| svg.matches("stroke-width=\"1.4\"").count();
    let high = |svg: &str| {
        let options = usvg::Options::default();
        usvg::Tree::from_str(svg, &options)
            .expect("an SVG")
            .size()
            .height()
    };
    let (bare, back, open) = (
        plan(""),
        plan(&part("tiller", "Rnd 6, at the back")),
        plan(&part("lamp", "Rnd 5")),
    );
    assert_eq!((marks(&bare), marks(&back), marks(&open)), (2, 3, 2));
    assert!((high(&bare) - high(&back)).abs() < 0.01);
    assert!(high(&open) > high(&bare) + 20.0, "two more lines");
}

#[test]
fn a_pattern_with_nothing_on_it_says_so() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    let outcome = bench.run(&["place", "float.md"]);
    outcome.ended_with(0);
    assert!(
        outcome.out.contains("Nothing is attached"),
        "{}",
        outcome.out
    );
}
