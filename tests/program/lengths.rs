//! Lengths that the maker chooses on the command line, and where they are said.

use crate::run::Bench;

const ROPE: &str = "\
Gauge: 20 sts and 25 rnds = 10 cm

## Rope
Rnd 1: 6 sc in magic ring (6)
Rnd 2: sc in each st around (6)
Repeat Rnd 2 until the rope is as long as you like.
Next rnd: (sc, dec) x 2 (4)
";

#[test]
fn a_length_is_chosen_by_number_or_by_the_gauge_and_said() {
    let bench = Bench::new();
    bench.file("rope.md", ROPE);
    let last = |arguments: &[&str]| {
        let outcome =
            bench.run(&[&["check", "--format", "json"], arguments, &["rope.md"]].concat());
        outcome.ended_with(0);
        outcome.out
    };
    let once = last(&[]);
    assert!(
        once.contains(r#""lengths":[{"first":3,"last":3,"times":1,"by":"custom"}]"#),
        "{once}"
    );
    // 5 cm are 12.5 rounds of 4 mm, and two are there.
    let chosen = last(&["--length", "rope=5cm"]);
    assert!(
        chosen.contains(r#""lengths":[{"first":3,"last":13,"times":11,"by":"maker"}]"#),
        "{chosen}"
    );
    assert!(chosen.contains("11 times, as chosen"), "{chosen}");
    assert!(chosen.contains(r#""first":14,"last":14"#), "{chosen}");
}

#[test]
fn a_length_in_the_words_is_reached_by_the_gauge() {
    let bench = Bench::new();
    let words = ROPE.replace("is as long as you like", "measures 4 cm");
    bench.file("rope.md", words);
    let outcome = bench.run(&["check", "--format", "json", "rope.md"]);
    assert!(
        outcome
            .out
            .contains(r#""lengths":[{"first":3,"last":10,"times":8,"by":"gauge"}]"#),
        "{}",
        outcome.out
    );
}

#[test]
fn charts_and_steps_say_what_was_chosen() {
    let bench = Bench::new();
    bench.file("rope.md", ROPE);
    let length = ["--length", "Rnd 2=3"];
    let chart = [
        &["chart", "--format", "svg,json", "--out", "out"],
        &length[..],
        &["rope.md"],
    ]
    .concat();
    bench.run(&chart).ended_with(0);
    let read = |file: &str| String::from_utf8(bench.read(file)).unwrap();
    let charts = bench
        .files("out")
        .into_iter()
        .filter(|file| file.ends_with(".svg"));
    let charts: Vec<String> = charts.map(|file| read(&format!("out/{file}"))).collect();
    let says = "As often as you like: here 3 times, as chosen.";
    assert!(charts.iter().any(|chart| chart.contains(says)));
    assert!(read("out/rope.json").contains(r#""times":3,"by":"maker""#));
    let steps = [&["steps", "--out", "steps"], &length[..], &["rope.md"]].concat();
    bench.run(&steps).ended_with(0);
    let cards: Vec<String> = bench
        .files("steps")
        .into_iter()
        .filter(|file| file.ends_with(".svg"))
        .map(|file| read(&format!("steps/{file}")))
        .collect();
    assert!(
        cards
            .iter()
            .any(|card| card.contains("As often as you like: here 3 times, as chosen"))
    );
}

#[test]
fn what_can_t_be_chosen_is_an_error_that_says_what_can() {
    let bench = Bench::new();
    bench.file("rope.md", ROPE);
    for (typed, says) in [
        (
            "wing=8",
            "no length is named 'wing'; to choose there is 'Rope, Rnd 2'",
        ),
        ("rope=1mm", "Rope, Rnd 2 is longer already"),
        ("rope=0", "0 is no number of times"),
        ("rope", "write it as"),
    ] {
        for command in ["check", "chart", "steps", "write"] {
            let outcome = bench.run(&[command, "--length", typed, "rope.md"]);
            outcome.ended_with(2).complains(says);
        }
    }
}
