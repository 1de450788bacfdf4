use crate::run::{BALL, Bench};

fn svg(bench: &Bench, name: &str) -> String {
    let svg = String::from_utf8(bench.read(name)).expect("UTF-8");
    usvg::Tree::from_str(&svg, &usvg::Options::default()).expect("an SVG");
    svg
}

/// The trade's set, as it must be found on the sheet of all symbols. US and UK names: okeydokeys.com, "How to read crochet
/// abbreviations"; those of groups and of special stitches from memory.
#[test]
fn without_a_pattern_the_key_is_the_sheet_of_all_symbols() {
    let bench = Bench::new();
    bench.run(&["key", "--out", "x"]).ended_with(0);
    assert_eq!(
        bench.files("x"),
        ["key.png", "key.svg", "roundwright-files.txt"]
    );
    let sheet = svg(&bench, "x/key.svg");
    for height in [
        "sc (UK dc)",
        "hdc (UK htr)",
        "dc (UK tr)",
        "tr (UK dtr)",
        "dtr (UK trtr)",
    ] {
        let (us, uk) = height.split_once(" (UK ").expect("both customs");
        let uk = uk.trim_end_matches(')');
        let both = |us: String, uk: String| format!("<title>{us} (UK {uk})</title>");
        for (before, after) in [
            ("", ""),
            ("e", ""),
            ("FLO ", ""),
            ("BLO ", ""),
            ("FP", ""),
            ("BP", ""),
            ("", "2tog"),
            ("", "3tog"),
            ("", "4tog"),
            ("", "5tog"),
            ("3 ", ""),
            ("4 ", ""),
            ("5 ", ""),
        ] {
            let words = both(
                format!("{before}{us}{after}"),
                format!("{before}{uk}{after}"),
            );
            assert!(sheet.contains(&words), "{words}");
        }
    }
    for words in [
        "ch, chain",
        "sl st (UK ss), slip stitch",
        "surface sl st (UK surface ss)",
        "rev sc (UK rev dc)",
        "loop st",
        "spike sc",
        "crossed dc (UK crossed tr)",
        "bobble",
        "puff",
        "popcorn",
        "cluster",
        "shell",
        "V-stitch",
        "in a space",
        "picot",
        "magic ring",
        "chain ring",
        "skip, sk (UK miss)",
        "turn",
        "start",
        "join a piece",
        "change yarn",
        "join yarn",
        "fasten off",
        "marker",
    ] {
        assert!(sheet.contains(words), "{words}");
    }
}

#[test]
fn a_patterns_key_lists_what_it_uses_and_leaves_its_charts_alone() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    bench.run(&["chart", "float.md"]).ended_with(0);
    let before = bench.files("charts-out/float");
    let chart = bench.read("charts-out/float/float.svg");
    bench
        .run(&["key", "float.md", "--terms", "uk"])
        .ended_with(0);
    assert_eq!(bench.files("charts-out/float"), before);
    assert_eq!(bench.read("charts-out/float/float.svg"), chart);
    let key = svg(&bench, "charts-out/float/key.svg");
    assert!(key.contains("dc2tog, double crochet 2 together"));
    assert!(!key.contains("popcorn"));
    bench
        .run(&["key", "none.md"])
        .ended_with(2)
        .complains("none.md");
}

#[test]
fn charts_and_keys_follow_the_makers_hand_and_printer() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    let chart = |out: &str, more: &[&str]| {
        let run = [
            &["chart", "float.md", "--format", "svg", "--out", out],
            more,
        ]
        .concat();
        bench.run(&run).ended_with(0);
        svg(&bench, &format!("{out}/float.svg"))
    };
    let (right, left) = (chart("r", &[]), chart("l", &["--hand", "left"]));
    assert!(right.contains("counter-clockwise") && !left.contains("counter-clockwise"));
    assert!(left.contains("for left-handed makers"));
    let uk = chart("u", &["--terms", "uk"]);
    assert!(uk.contains("6 dc in the ring") || uk.contains("dc in the ring"));
    let low = chart("w", &["--ink", "low"]);
    assert!(right.contains("evenodd") && !low.contains("evenodd"));
    assert!(low.contains("stroke-width=\"0.25\"") && !low.contains("stroke-width=\"0.35\""));
    let width = |svg: &str| {
        let tree = usvg::Tree::from_str(svg, &usvg::Options::default()).expect("an SVG");
        f64::from(tree.size().width())
    };
    let large = chart("b", &["--symbols", "large"]);
    assert!((width(&large) / width(&right) - 1.5).abs() < 0.001);
}
