use crate::pixels::decode;
use crate::run::{BALL, Bench};

/// A pattern with two yarns, two copies of a part joined through both layers, and something to do in between.
const BUOY: &str = "\
# Net buoy

Yarn A: cork, #b98b5e
Yarn B: white, #f4f2ec

## Left tab (make 2)
Rnd 1: with A, 4 sc in MR (4)

## Buoy
Rnd 1: with A, 6 sc in magic ring (6)
Rnd 2: inc x 6, change to B in the last st (12)
Rnd 3: 2 sc, 2 sc through both layers of the first left tab, 4 sc, 2 sc through both layers of the second left tab, 2 sc (12)
Stuff firmly, to the right.
Rnd 4: dec x 6 (6)
Fasten off.
";

fn svg(bench: &Bench, name: &str) -> String {
    String::from_utf8(bench.read(name)).expect("UTF-8")
}

#[test]
fn each_round_or_run_of_equal_rounds_has_a_picture() {
    let bench = Bench::new();
    let outcome = bench.file("p/float.md", BALL).run(&["steps", "p/float.md"]);
    outcome.ended_with(0);
    let expected = [
        "float-1.png",
        "float-1.svg",
        "float-2.png",
        "float-2.svg",
        "float-3-4.png",
        "float-3-4.svg",
        "float-5.png",
        "float-5.svg",
        "roundwright-files.txt",
    ];
    assert_eq!(bench.files("charts-out/float/steps"), expected);
    assert_eq!(outcome.out.lines().count(), 8);
    let run = svg(&bench, "charts-out/float/steps/float-3-4.svg");
    usvg::Tree::from_str(&run, &usvg::Options::default()).expect("an SVG");
    assert!(run.contains("Net float – Float: Rounds 3–4"));
    assert!(run.contains("aria-label"));
}

#[test]
fn a_step_says_which_parts_to_have_ready_and_what_comes_next() {
    let bench = Bench::new();
    bench
        .file("p.md", BUOY)
        .run(&["steps", "p.md", "--out", "x"])
        .ended_with(0);
    let third = svg(&bench, "x/buoy-3.svg");
    for words in [
        "Have ready: Left tab 1; 2 sts, both layers.",
        "Have ready: Left tab 2; 2 sts, both layers.",
        "Then: Stuff firmly, to the right.",
        "Stitches to work into",
        "Just worked",
    ] {
        assert!(third.contains(words), "{words}");
    }
    assert!(!svg(&bench, "x/buoy-2.svg").contains("Have ready"));
    assert!(svg(&bench, "x/buoy-4.svg").contains("Then: Fasten off."));
}

#[test]
fn screens_have_their_pixels_and_a_clear_ground_is_clear() {
    let bench = Bench::new();
    bench.file("p.md", BALL);
    let size = |more: &[&str]| {
        let run = [&["steps", "p.md", "--out", "x"], more].concat();
        bench.run(&run).ended_with(0);
        let picture = decode(&bench.read("x/float-2.png"));
        (picture.width, picture.height)
    };
    assert_eq!(size(&["--size", "phone"]), (1080, 1920));
    assert_eq!(size(&["--size", "video"]), (1920, 1080));
    // ISO 216: A6 is 105 by 148 mm; 300 dots to the inch of 25.4 mm.
    assert_eq!(size(&[]), (1241, 1749));
    assert_eq!(size(&["--symbols", "large"]), (1861, 2623));
    let kind = |file: &str| {
        let bytes = bench.read(file);
        let reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info();
        reader.expect("a PNG").info().color_type
    };
    assert_eq!(kind("x/float-2.png"), png::ColorType::Rgb);
    bench
        .run(&["steps", "p.md", "--out", "y", "--ground", "clear"])
        .ended_with(0);
    assert_eq!(kind("y/float-2.png"), png::ColorType::Rgba);
    assert!(!svg(&bench, "y/float-2.svg").contains("<rect"));
    assert!(svg(&bench, "x/float-2.svg").contains("<rect"));
}

#[test]
fn steps_follow_the_makers_hand_terms_and_printer() {
    let bench = Bench::new();
    bench.file("p.md", BUOY);
    let steps = |out: &str, more: &[&str]| {
        let run = [&["steps", "p.md", "--out", out], more].concat();
        bench.run(&run).ended_with(0);
    };
    steps("as-is", &[]);
    steps("left", &["--hand", "left"]);
    let left = svg(&bench, "left/buoy-3.svg");
    assert!(left.contains("Have ready: Right tab 1; 2 sts, both layers."));
    assert!(left.contains("Then: Stuff firmly, to the left."));
    assert!(bench.path("left/right-tab-1.svg").exists());
    steps("uk", &["--terms", "uk"]);
    assert!(svg(&bench, "as-is/buoy-4.svg").contains("sc2tog"));
    assert!(svg(&bench, "uk/buoy-4.svg").contains("dc2tog"));
    steps("low", &["--ink", "low"]);
    let fills = |out: &str| {
        svg(&bench, &format!("{out}/buoy-3.svg"))
            .matches("evenodd")
            .count()
    };
    assert!(fills("as-is") > 0 && fills("low") == 0);
}

#[test]
fn the_same_pattern_gives_the_same_pictures_and_old_ones_go() {
    let bench = Bench::new();
    bench.file("p.md", BUOY).file("x/mine.svg", "mine");
    for out in ["x", "y"] {
        bench.run(&["steps", "p.md", "--out", out]).ended_with(0);
    }
    for file in bench.files("y") {
        let (one, other) = (format!("x/{file}"), format!("y/{file}"));
        assert!(bench.read(&one) == bench.read(&other), "{file}");
    }
    bench
        .run(&["steps", "p.md", "--out", "y", "--piece", "buoy"])
        .ended_with(0);
    assert!(bench.path("y/left-tab-1.svg").exists(), "another piece");
    bench.file("p.md", BALL);
    bench.run(&["steps", "p.md", "--out", "x"]).ended_with(0);
    let kept = bench.files("x");
    assert!(kept.contains(&"mine.svg".to_owned()));
    assert!(
        !kept.iter().any(|file| file.starts_with("buoy")),
        "{kept:?}"
    );
}

#[test]
fn what_cannot_be_drawn_is_said() {
    let bench = Bench::new();
    bench.file("empty.md", "# Nothing yet\n").file("p.md", BALL);
    bench
        .run(&["steps", "empty.md"])
        .ended_with(1)
        .complains("nothing to draw");
    bench
        .run(&["steps", "p.md", "--piece", "Sail"])
        .ended_with(2)
        .complains("no piece is called 'Sail'");
    bench
        .run(&["steps", "p.md", "--size", "poster"])
        .ended_with(2);
    assert!(bench.files("charts-out").is_empty());
}
