use crate::json::hold_to;
use crate::run::{BALL, Bench};

const SHAPE: &str = include_str!("../../src/cli/schema/shape.schema.json");

/// A body with a part joined through both layers.
const BUOY: &str = "\
# Net buoy

Terms: US
Gauge: 20 sts and 20 rnds = 10 cm
Yarn A: cork, #b98b5e

## Tab (make 2)
Rnd 1: with A, 4 sc in MR (4)
Rnds 2-4: sc around (4)
Press flat.

## Buoy
Rnd 1: with A, 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnd 3: 2 sc, 2 sc through both layers of the first tab, 4 sc, 2 sc through both layers of the second tab, 2 sc (12)
Rnd 4: sc in each st around (12)
Stuff firmly.
Rnd 5: dec x 6 (6)
Fasten off. Close the hole.
";

#[test]
fn every_piece_and_the_whole_have_a_drawing() {
    let bench = Bench::new();
    bench.file("buoy.md", BUOY);
    bench.run(&["shape", "buoy.md"]).ended_with(0);
    let expected = [
        "buoy.png",
        "buoy.svg",
        "roundwright-files.txt",
        "tab.png",
        "tab.svg",
        "whole.png",
        "whole.svg",
    ];
    assert_eq!(bench.files("charts-out/buoy/shape"), expected);
    let whole = bench.read("charts-out/buoy/shape/whole.svg");
    let whole = String::from_utf8(whole).expect("UTF-8");
    usvg::Tree::from_str(&whole, &usvg::Options::default()).expect("an SVG");
    for name in ["front", "its own left side", "from above"] {
        assert!(whole.contains(&format!("aria-label=\"{name}\"")), "{name}");
    }
}

#[test]
fn shapes_are_told_as_their_schema_says_and_the_same_each_time() {
    let bench = Bench::new();
    bench.file("buoy.md", BUOY).file("float.md", BALL);
    let outcome = bench.run(&["shape", "buoy.md", "float.md", "--format", "json"]);
    outcome.ended_with(0);
    let lines: Vec<&str> = outcome.out.lines().collect();
    assert_eq!(lines.len(), 2);
    let report = hold_to(SHAPE, lines[0]);
    let buoy = &report["pieces"][1];
    assert_eq!(buoy["name"], "Buoy");
    let stitches = buoy["stitches"].as_array().expect("stitches");
    let ids: Vec<u64> = stitches.iter().filter_map(|s| s["id"].as_u64()).collect();
    assert_eq!(ids, (0..48).collect::<Vec<_>>());
    // 12 stitches of 5 mm are 6 cm round, 6/π = 1.9 cm across (geometry).
    let width = buoy["width_cm"].as_f64().expect("a width");
    assert!((1.7..2.4).contains(&width), "{width}");
    let again = bench.run(&["shape", "buoy.md", "float.md", "--format", "json"]);
    assert!(outcome.out == again.out);
}

#[test]
fn a_mesh_has_a_face_for_each_cell_and_only_numbers() {
    let bench = Bench::new();
    bench.file("buoy.md", BUOY);
    let outcome = bench.run(&["shape", "buoy.md", "--format", "obj"]);
    outcome.ended_with(0);
    let lines = |start: &'static str| {
        let lines = outcome.out.lines();
        lines.filter(move |line| line.starts_with(start))
    };
    assert_eq!(lines("o ").count(), 3);
    let points = lines("v ").count();
    for face in lines("f ") {
        let corners: Vec<usize> = face[2..]
            .split(' ')
            .map(|n| n.parse().expect("a number"))
            .collect();
        assert!(corners.len() > 2 && corners.iter().all(|corner| (1..=points).contains(corner)));
    }
    assert!(!outcome.out.contains("NaN") && !outcome.out.contains("inf"));
}

#[test]
fn sizes_are_told_in_cm_and_inches_round_by_round() {
    let bench = Bench::new();
    bench.file("buoy.md", BUOY);
    let outcome = bench.run(&["shape", "buoy.md", "--format", "text"]);
    outcome.ended_with(0);
    let rounds = outcome.out.split("Buoy\n").last().expect("the buoy");
    let line = rounds
        .lines()
        .find(|line| line.trim_start().starts_with("4 "))
        .expect("its fourth round");
    let numbers: Vec<f64> = line
        .split_whitespace()
        .filter_map(|number| number.parse().ok())
        .collect();
    // 12 stitches at 20 to 10 cm are 6 cm round, less what the narrow rounds beside it draw in; an inch is 2.54 cm by definition.
    assert!((4.5..6.5).contains(&numbers[1]), "{line}");
    assert!((numbers[1] / 2.54 - numbers[2]).abs() < 0.06, "{line}");
}

#[test]
fn what_is_printed_stands_alone() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    bench
        .run(&["shape", "float.md", "--format", "svg,json"])
        .ended_with(2);
}

/// What can't be made, or hardly: an answer or a clear problem, and nothing but numbers in it.
#[test]
fn what_can_not_be_is_answered_or_told() {
    let doubling: String = (2..=10)
        .map(|round| format!("Rnd {round}: inc in each st around ({})\n", 3 << round))
        .collect();
    let doubling = format!("## Frill\nRnd 1: 6 sc in magic ring (6)\n{doubling}");
    let cases = [
        (
            "a join with nothing to join to",
            "## Hull\nRnd 1: 6 sc in magic ring (6)\nRnd 2: 3 sc, 3 sc through both layers of the first fin (6)\n",
            Some("no piece of this pattern is named `fin`"),
        ),
        (
            "a part joined to itself",
            "## Hull\nRnd 1: 6 sc in magic ring (6)\nRnd 2: 3 sc, 3 sc through both layers of the hull (6)\n",
            Some("`hull` is this piece, which can't be joined to itself"),
        ),
        (
            "pieces that need each other",
            "## Hull\nRnd 1: 4 sc in magic ring (4)\nRnd 2: 2 sc through both layers of the mast, 2 sc (4)\n\n\
             ## Mast\nRnd 1: 4 sc in magic ring (4)\nRnd 2: 2 sc through both layers of the hull, 2 sc (4)\n",
            Some("mast is made later than this round joins it"),
        ),
        (
            "a piece of two rounds",
            "## Float\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\nStuff. Close the hole.\n",
            None,
        ),
        (
            "rounds of one stitch",
            "## Line\nRnd 1: 1 sc in magic ring (1)\nRnds 2-9: sc (1)\nStuff.\n",
            None,
        ),
        ("a shape that can't be", &doubling, None),
    ];
    for (name, text, problem) in cases {
        let bench = Bench::new();
        bench.file("case.md", text);
        for (command, format) in [
            ("shape", "json"),
            ("shape", "obj"),
            ("shape", "text"),
            ("place", "json"),
            ("place", "text"),
        ] {
            let outcome = bench.run(&[command, "case.md", "--format", format]);
            outcome.ended_with(i32::from(problem.is_some()));
            let is_number = |word: &str| !matches!(word, "NaN" | "nan" | "inf" | "-inf" | "-0.0");
            let mut words = outcome
                .out
                .split(|c: char| !c.is_alphanumeric() && !matches!(c, '.' | '-'));
            assert!(
                words.all(is_number),
                "{name}: {command} {format}\n{}",
                outcome.out
            );
            if let Some(problem) = problem {
                assert!(outcome.err.contains(problem), "{name}: {}", outcome.err);
            }
        }
    }
}
