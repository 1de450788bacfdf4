use crate::run::Bench;

#[test]
fn a_code_is_explained_and_without_one_all_are_listed() {
    let bench = Bench::new();
    bench
        .run(&["explain", "count"])
        .ended_with(0)
        .says("# count\n")
        .says("## Mend");
    let all = bench.run(&["explain"]);
    all.ended_with(0);
    let pages = roundwright::review::pages::PAGES;
    assert_eq!(all.out.lines().count(), pages.len());
    for page in pages {
        assert!(all.out.contains(page.code) && all.out.contains(page.summary()));
    }
}

#[test]
fn a_code_that_is_none_is_refused() {
    let bench = Bench::new();
    for arguments in [
        &["explain", "gannet"][..],
        &["check", "--allow", "gannet", "-"],
        &["check", "--also", "count", "-"],
    ] {
        bench.run(arguments).ended_with(2);
    }
}

#[test]
fn an_allowed_code_is_silent_and_no_error_any_more() {
    let bench = Bench::new();
    let outcome = bench.run_with(&["check", "--allow", "count", "-"], crate::run::WRONG_BALL);
    outcome.ended_with(0).says("<stdin>: no problems");
    bench
        .run_with(
            &["check", "--allow", "unread", "--allow", "nesting", "-"],
            crate::run::WRONG_BALL,
        )
        .ended_with(1)
        .says("error[count]");
}

/// A disc becomes hexagonal when increases are stacked (kristitullus.com, "Crocheting a round piece").
#[test]
fn stacked_increases_are_told_only_if_asked_for() {
    let disc = |fourth: &str| {
        format!(
            "Terms: US\n\n## Disc\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\n\
             Rnd 4: {fourth} (24)\nRnd 5: (3 sc, inc) x 6 (30)\nRnd 6: (4 sc, inc) x 6 (36)\n"
        )
    };
    let stacked = disc("(2 sc, inc) x 6");
    let shifted = disc("sc, inc, (2 sc, inc) x 5, sc");
    let asked = &["check", "--also", "increases-stacked", "-"];
    let bench = Bench::new();
    bench
        .run_with(asked, &stacked)
        .ended_with(0)
        .says("note[increases-stacked]");
    bench.run_with(asked, &shifted).says("no problems");
    bench
        .run_with(&["check", "-"], &stacked)
        .says("no problems");
}
