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
    outcome
        .complains("note[terms-left]")
        .complains("in UK terms it is `dc`");
}

#[test]
fn a_round_that_was_not_read_keeps_its_words() {
    let bench = Bench::new();
    bench.file("float.md", format!("{BALL}Rnd 9: (sc, glimp) x 3\n"));
    bench
        .run(&["write", "float.md"])
        .ended_with(1)
        .says("Rnd 9: (sc, glimp) x 3")
        .complains("note[kept-words]");
    bench
        .run(&["write", "--terms", "uk", "float.md"])
        .says("Rnd 9: (sc, glimp) x 3")
        .complains("warning[kept-words]");
}

#[test]
fn a_text_that_would_read_otherwise_is_left_as_it_stands() {
    let text = "1. Sew the wings on, rep Rnd 5.\n";
    let bench = Bench::new();
    let outcome = bench.file("wings.md", text).run(&["write", "wings.md"]);
    outcome.ended_with(1).complains("warning[not-rewritten]");
    assert_eq!(outcome.out, text);
}

#[test]
fn a_yarn_that_is_not_listed_gets_a_line() {
    let bench = Bench::new();
    bench
        .file(
            "float.md",
            "Terms: US\nYarn A: charcoal\n\n## Float\nRnd 1: with A, 6 sc in magic ring (6)\nRnd 2: with B, inc x 6 (12)\n",
        )
        .run(&["write", "float.md"])
        .says("Yarn A: charcoal\nYarn B: colour and weight\n")
        .complains("note[yarn-added]");
}

#[test]
fn a_text_without_headings_gets_its_list_above_the_first_round() {
    let bench = Bench::new();
    bench
        .file("float.md", "Rnd 1: 6 sc in magic ring (6)\n")
        .run(&["write", "float.md"])
        .ended_with(0)
        .says("Terms: US\n\nAbbreviations: rnd = round; ")
        .says("\n\nRnd 1: 6 sc in magic ring (6)\n");
}
