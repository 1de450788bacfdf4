use crate::run::{BALL, Bench};

const TWO_PIECES: &str = "\
## Float
Rnd 1: 6 sc in a magic ring (6)
Rnd 2: inc x 6 (12)

## Loop
Rnd 1: 6 sc in a magic ring (6)
";

#[test]
fn charts_go_to_a_folder_of_the_patterns_name_and_are_listed() {
    let bench = Bench::new();
    let outcome = bench
        .file("net/float.md", BALL)
        .run(&["chart", "net/float.md"]);
    outcome.ended_with(0);
    let expected = [
        "float.png",
        "float.svg",
        "key.png",
        "key.svg",
        "roundwright-files.txt",
    ];
    assert_eq!(bench.files("charts-out/float"), expected);
    assert_eq!(
        bench.files(""),
        expected
            .map(|f| format!("charts-out/float/{f}"))
            .into_iter()
            .chain(["net/float.md".to_owned()])
            .collect::<Vec<_>>()
    );
    let mut listed: Vec<&str> = outcome.out.lines().collect();
    listed.sort();
    assert_eq!(
        listed,
        ["float.png", "float.svg", "key.png", "key.svg"].map(|f| format!("charts-out/float/{f}"))
    );
    let svg = String::from_utf8(bench.read("charts-out/float/float.svg")).expect("UTF-8");
    usvg::Tree::from_str(&svg, &usvg::Options::default()).expect("an SVG");
    crate::pixels::decode(&bench.read("charts-out/float/float.png"));
}

#[test]
fn out_is_the_folder_of_one_pattern_and_holds_those_of_several() {
    let bench = Bench::new();
    bench.file("a/float.md", BALL).file("b/float.md", BALL);
    bench
        .run(&["chart", "a/float.md", "--out", "x", "--format", "svg"])
        .ended_with(0);
    assert_eq!(
        bench.files("x"),
        ["float.svg", "key.svg", "roundwright-files.txt"]
    );
    bench
        .run(&[
            "chart",
            "a/float.md",
            "b/float.md",
            "--out",
            "y",
            "--format",
            "json",
        ])
        .ended_with(0);
    let expected = [
        "float-2/float.json",
        "float-2/roundwright-files.txt",
        "float/float.json",
        "float/roundwright-files.txt",
    ];
    assert_eq!(bench.files("y"), expected);
}

#[test]
fn the_same_pattern_gives_the_same_bytes() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    for out in ["x", "y"] {
        bench
            .run(&[
                "chart",
                "float.md",
                "--out",
                out,
                "--format",
                "svg,png,json",
            ])
            .ended_with(0);
    }
    let files = bench.files("x");
    assert_eq!(files, bench.files("y"));
    for file in files {
        assert!(
            bench.read(&format!("x/{file}")) == bench.read(&format!("y/{file}")),
            "{file}"
        );
    }
}

#[test]
fn files_that_are_no_longer_made_go_and_nobody_elses_do() {
    let bench = Bench::new();
    bench
        .file("p.md", TWO_PIECES)
        .file("out/mine.svg", "mine")
        .file("out/deep/loop.svg", "mine");
    let chart = |more: &[&str]| {
        let arguments = ["chart", "p.md", "--out", "out", "--format", "svg"];
        bench.run(&[&arguments[..], more].concat()).ended_with(0);
        bench.files("out")
    };
    let both = [
        "deep/loop.svg",
        "float.svg",
        "key.svg",
        "loop.svg",
        "mine.svg",
        "roundwright-files.txt",
    ];
    assert_eq!(chart(&[]), both);
    bench.file("p.md", BALL);
    let one = [
        "deep/loop.svg",
        "float.svg",
        "key.svg",
        "mine.svg",
        "roundwright-files.txt",
    ];
    assert_eq!(chart(&[]), one);
    assert_eq!(bench.read("out/mine.svg"), b"mine");
}

#[test]
fn a_list_that_somebody_wrote_leads_nowhere() {
    let bench = Bench::new();
    bench
        .file("p.md", BALL)
        .file("precious.svg", "mine")
        .file("out/notes.txt", "mine")
        .file("out/old.svg/x", "mine");
    let list = format!(
        "../precious.svg\n{}\nnotes.txt\nold.svg\n..\n.\n/\n\u{0}\n",
        bench.path("precious.svg").display()
    );
    bench.file("out/roundwright-files.txt", list);
    bench
        .run(&["chart", "p.md", "--out", "out", "--format", "svg"])
        .ended_with(0);
    for file in ["precious.svg", "out/notes.txt", "out/old.svg/x"] {
        assert_eq!(bench.read(file), b"mine", "{file}");
    }
}

#[test]
fn a_run_touches_only_the_pieces_and_formats_that_it_was_asked_for() {
    let bench = Bench::new();
    bench.file("p.md", TWO_PIECES);
    bench.run(&["chart", "p.md", "--out", "out"]).ended_with(0);
    let all = bench.files("out");
    let loop_svg = bench.read("out/loop.svg");
    let float_svg = bench.read("out/float.svg");
    let outcome = bench.run(&[
        "chart", "p.md", "--out", "out", "--format", "svg", "--piece", "float", "--rounds", "1",
    ]);
    outcome.ended_with(0).says("float.svg");
    assert!(!outcome.out.contains("loop"));
    assert_eq!(bench.files("out"), all);
    assert_eq!(bench.read("out/loop.svg"), loop_svg);
    assert_ne!(bench.read("out/float.svg"), float_svg);
    // Round 2 is in one piece alone; the other's charts stay.
    bench
        .run(&["chart", "p.md", "--out", "out", "--rounds", "2"])
        .ended_with(0);
    assert_eq!(bench.files("out"), all);
    bench
        .run(&["chart", "p.md", "--piece", "Sail"])
        .ended_with(2)
        .complains("no piece is called 'Sail'; there are: Float, Loop");
    bench
        .run(&["chart", "p.md", "--rounds", "7-9"])
        .ended_with(2)
        .complains("nothing to chart");
}

#[cfg(unix)]
#[test]
fn a_link_is_replaced_and_not_followed() {
    let bench = Bench::new();
    bench
        .file("p.md", BALL)
        .file("precious.txt", "mine")
        .file("out/note.txt", "");
    for link in ["float.svg", "roundwright-files.txt"] {
        std::os::unix::fs::symlink("../precious.txt", bench.path("out").join(link))
            .expect("a link");
    }
    bench
        .run(&["chart", "p.md", "--out", "out", "--format", "svg"])
        .ended_with(0);
    assert_eq!(bench.read("precious.txt"), b"mine");
    assert!(bench.read("out/float.svg").starts_with(b"<"));
}

#[test]
fn the_dots_to_the_inch_set_the_size_in_pixels() {
    let bench = Bench::new();
    bench.file("p.md", BALL);
    let size = |dpi: &str| {
        bench
            .run(&[
                "chart", "p.md", "--out", "out", "--format", "png", "--dpi", dpi,
            ])
            .ended_with(0);
        let picture = crate::pixels::decode(&bench.read("out/float.png"));
        (picture.width, picture.height)
    };
    let (coarse, fine) = (size("100"), size("300"));
    assert!(
        fine.0.abs_diff(3 * coarse.0) <= 3 && fine.1.abs_diff(3 * coarse.1) <= 3,
        "{coarse:?} {fine:?}"
    );
}

#[cfg(unix)]
#[test]
fn two_runs_do_not_write_to_one_folder_at_once() {
    let bench = Bench::new();
    bench.file("p.md", BALL).file("out/note.txt", "mine");
    let other = std::fs::File::open(bench.path("out")).expect("a folder");
    other.lock().expect("a lock");
    let chart = || bench.run(&["chart", "p.md", "--out", "out"]);
    chart().ended_with(2).complains("another run is writing");
    assert_eq!(bench.files("out"), ["note.txt"]);
    // Not by closing it: a child that another test has just started may hold it open for a moment.
    other.unlock().expect("no lock");
    chart().ended_with(0);
}
