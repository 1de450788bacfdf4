use crate::check::readme_example;
use crate::run::{BALL, Bench, WRONG_BALL};

#[test]
fn the_readme_s_example_is_what_is_written() {
    let bench = Bench::new();
    let outcome = bench
        .file("float.md", readme_example("<!-- write before -->"))
        .run(&["write", "float.md"]);
    outcome.ended_with(0);
    assert_eq!(outcome.out, readme_example("<!-- write after -->"));
}

#[test]
fn a_file_changes_only_when_asked() {
    let bench = Bench::new();
    let outcome = bench.file("float.md", BALL).run(&["write", "float.md"]);
    assert_eq!(bench.read("float.md"), BALL.as_bytes());
    let in_place = bench.run(&["write", "--in-place", "float.md"]);
    in_place.ended_with(0);
    assert_eq!((in_place.out.as_str(), in_place.err.as_str()), ("", ""));
    assert_eq!(bench.read("float.md"), outcome.out.as_bytes());
    assert_eq!(bench.files("."), ["float.md"]);
    bench
        .run_with(&["write", "--in-place", "-"], BALL)
        .ended_with(2);
}

#[test]
fn a_wrong_total_is_left_for_the_designer() {
    let bench = Bench::new();
    let outcome = bench
        .file("float.md", WRONG_BALL)
        .run(&["write", "float.md"]);
    outcome.ended_with(1).says("Rnd 2: inc x 6 (13)");
    assert!(outcome.err.contains("error[count]"), "{}", outcome.err);
}

#[test]
fn the_style_is_the_pattern_s_own_else_that_of_the_house() {
    let bench = Bench::new();
    bench
        .file("float.md", BALL)
        .file("house-style.md", "Style: R, [18], sc 6, loudly\n");
    let house = bench.run(&["write", "float.md"]);
    house.says("R1: sc 6 in magic ring [6]");
    assert!(house.err.contains("warning[bad-style]"), "{}", house.err);
    bench.file("own.md", format!("Style: Round, = 18\n\n{BALL}"));
    let own = bench.run(&["write", "own.md"]);
    own.says("Round 1: 6 sc in magic ring = 6");
    assert_eq!(own.err, "");
}

#[test]
fn other_terms_are_written_and_those_in_prose_pointed_out() {
    let bench = Bench::new();
    let outcome = bench
        .file(
            "float.md",
            format!("{BALL}\nSew it on with 3 sc of tail.\n"),
        )
        .run(&["write", "--terms", "uk", "float.md"]);
    outcome
        .ended_with(0)
        .says("Terms: UK")
        .says("Rnd 1: 6 dc in magic ring (6)")
        .says("- dc: double crochet")
        .says("with 3 sc of tail");
    assert!(
        outcome.err.contains("in UK terms it is `dc`"),
        "{}",
        outcome.err
    );
}
