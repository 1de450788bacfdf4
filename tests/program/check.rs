use std::process::Stdio;

use crate::json::hold_to;
use crate::run::{BALL, Bench, WRONG_BALL};

const CHECK: &str = include_str!("../../src/cli/schema/check.schema.json");

#[test]
fn a_pattern_that_comes_out_ends_with_0_and_a_table() {
    let bench = Bench::new();
    let outcome = bench.file("float.md", BALL).run(&["check", "float.md"]);
    outcome.ended_with(0);
    let expected = "\
Float, make 1: 48 stitches
  round  stitches  change  stated
      1         6               6
      2        12      +6      12
    3–4        12       0      12
      5         6      −6       6

float.md: no problems
";
    assert_eq!(outcome.out, expected);
    assert_eq!(outcome.err, "");
}

#[test]
fn a_count_that_does_not_come_out_is_shown_under_its_words() {
    let bench = Bench::new();
    let outcome = bench
        .file("float.md", WRONG_BALL)
        .run(&["check", "float.md"]);
    outcome.ended_with(1);
    outcome
        .says("float.md:5:")
        .says("5 | Rnd 2: inc x 6 (13)")
        .says("^")
        .says("1 error");
    assert!(!outcome.out.contains('\u{1b}'), "colours are for terminals");
}

#[test]
fn the_readme_shows_what_is_printed() {
    let bench = Bench::new();
    let outcome = bench
        .file("float.md", WRONG_BALL)
        .run(&["check", "float.md"]);
    let readme = include_str!("../../README.md");
    assert!(readme.contains(&outcome.out), "{}", outcome.out);
}

/// The text in the first block of code after a mark in the README.
pub fn readme_example(mark: &str) -> &'static str {
    let readme = include_str!("../../README.md");
    let (_, after) = readme.split_once(mark).expect("the README has the mark");
    let (_, block) = after
        .split_once("```text\n")
        .expect("a block follows the mark");
    block.split_once("```").expect("the block ends").0
}

#[test]
fn the_readme_s_notation_reads_without_a_problem() {
    let bench = Bench::new();
    bench
        .file("float.md", readme_example("<!-- notation example -->"))
        .run(&["check", "float.md"])
        .ended_with(0)
        .says("float.md: no problems");
}

#[test]
fn standard_input_is_a_pattern_too() {
    let bench = Bench::new();
    bench
        .run_with(&["check", "-"], BALL)
        .ended_with(0)
        .says("<stdin>: no problems");
    bench
        .run_with(&["check", "-"], WRONG_BALL)
        .ended_with(1)
        .says("<stdin>:5:");
}

#[test]
fn a_file_that_cannot_be_read_does_not_keep_the_others_from_being_checked() {
    let bench = Bench::new();
    bench.file("a.md", BALL).file("b.md", WRONG_BALL);
    let outcome = bench.run(&["check", "a.md", "none.md", "b.md"]);
    outcome
        .ended_with(2)
        .complains("roundwright: none.md: there is no such file\n");
    outcome.says("a.md: no problems").says("b.md: 1 error");
    bench.run(&["check", "a.md", "b.md"]).ended_with(1);
}

#[test]
fn arguments_that_make_no_sense_end_with_2() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    for arguments in [
        &[][..],
        &["knit", "float.md"],
        &["check"],
        &["check", "--format", "yaml", "float.md"],
        &["chart", "--rounds", "8-1", "float.md"],
        &["chart", "--rounds", "x", "float.md"],
        &["chart", "--dpi", "0", "float.md"],
        &["chart", "--dpi", "1000000", "float.md"],
        &["chart", "--format", "gif", "float.md"],
        &["chart", "--piece", "Sail", "float.md"],
    ] {
        let outcome = bench.run(arguments);
        assert_eq!(outcome.status, Some(2), "{arguments:?}");
        assert!(!outcome.err.is_empty(), "{arguments:?}");
    }
    assert_eq!(bench.files(""), ["float.md"]);
}

#[test]
fn help_and_version_end_with_0() {
    let bench = Bench::new();
    for arguments in [
        &["--help"][..],
        &["check", "--help"],
        &["chart", "--help"],
        &["--version"],
    ] {
        bench.run(arguments).ended_with(0).says("roundwright");
    }
}

#[test]
fn a_reader_who_leaves_early_hears_no_complaint() {
    let bench = Bench::new();
    bench.file("float.md", BALL.repeat(200));
    let mut child = bench.command(&["check", "float.md"]);
    let mut child = child
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program runs");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the program ends");
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    assert!(output.status.code().is_some_and(|code| code < 2));
}

/// A body with a part, eyes, stuffing and a hole to close.
const GULL: &str = "\
# Gull
Gauge: 20 sts = 10 cm

## Wing (make 2)
Rnd 1: 4 sc in magic ring (4)
Rnds 2-3: sc in each st around (4)
Fasten off. Press flat.

## Body
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: sc in each st around (18)
Insert eyes between Rnds 3 and 4, 4 sts apart.
Rnd 5: 3 sc, 2 sc through both layers of the first wing, 8 sc, 2 sc through both layers of the second wing, 3 sc (18)
Rnd 6: (sc, dec) x 6 (12)
Stuff firmly.
Rnd 7: dec x 6 (6)
Fasten off. Close the hole.
";

/// A part joined through one layer takes one stitch a stitch (common practice, no source): 8 less 3.
#[test]
fn what_a_join_leaves_of_an_edge_is_said() {
    let bench = Bench::new();
    let text = "# Fish\nTerms: US\n\n## Fin (make 2)\nRnd 1: 8 sc in magic ring (8)\nRnd 2: sc in each st around (8)\nFasten off.\n\n\
        ## Body\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n\
        Rnd 3: 3 sc, 3 sc through one layer of the first fin, 3 sc, 3 sc through one layer of the second fin (12)\n";
    bench.file("fish.md", text);
    let outcome = bench.run(&["check", "fish.md"]);
    let expected =
        "  Before round 3: have Fin 1 and 2 finished; 5 stitches of each edge stay free.\n";
    assert!(outcome.out.contains(expected), "{}", outcome.out);
}

#[test]
fn a_part_joined_over_two_rounds_is_made_once() {
    let bench = Bench::new();
    let text = "# Fish\nTerms: US\n\n## Fin (make 2)\nRnd 1: 6 sc in magic ring (6)\nRnd 2: sc in each st around (6)\nFasten off. Press flat.\n\n\
        ## Body\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n\
        Rnd 3: 3 sc, 2 sc through both layers of the first fin, 7 sc (12)\n\
        Rnd 4: 4 sc, sc through both layers of the first fin, 3 sc, 3 sc through both layers of the second fin, sc (12)\n";
    bench.file("fish.md", text);
    let outcome = bench.run(&["check", "fish.md"]);
    let expected =
        "  Before round 3: have Fin 1 finished.\n  Before round 4: have Fin 2 finished.\n";
    assert!(outcome.out.contains(expected), "{}", outcome.out);
}

/// A round of n stitches of 5 mm is 5n/π mm across (geometry): 28.6 mm for 18, 19.1 for 12, 9.5 for 6.
#[test]
fn the_order_of_work_stands_under_the_rounds() {
    let bench = Bench::new();
    bench.file("gull.md", GULL);
    let outcome = bench.run(&["check", "gull.md"]);
    let expected = "\
  After round 4: put in the eyes; the opening is 2.9 cm across.
  Before round 5: have Wing 1 and 2 finished.
  After round 6: stuff; the opening is 1.9 cm across.
  After round 7: close the hole; the opening is 10 mm across.
";
    assert!(outcome.out.contains(expected), "{}", outcome.out);
    let outcome = bench.run(&["check", "--format", "json", "gull.md"]);
    let report = hold_to(CHECK, &outcome.out);
    let expected = serde_json::json!([
        { "when": "after", "round": 4, "what": "eyes", "part": null, "opening_mm": 28.65 },
        { "when": "before", "round": 5, "what": "finish", "part": 0, "copies": [1, 2], "opening_mm": null },
        { "when": "after", "round": 6, "what": "stuff", "part": null, "opening_mm": 19.1 },
        { "when": "after", "round": 7, "what": "close", "part": null, "opening_mm": 9.55 }
    ]);
    assert_eq!(report["pieces"][1]["order"], expected);
}
