//! `roundwright pages`, judged by general tools for PDF where they are installed (packages poppler-utils and qpdf).

use std::process::Command;

use crate::run::{BALL, Bench, WRONG_BALL};

/// What a tool prints about a file; `None`, said loudly, where it is not installed. With `CI=true` that fails.
fn told(bench: &Bench, tool: &str, arguments: &[&str]) -> Option<String> {
    let run = Command::new(tool)
        .args(arguments)
        .current_dir(bench.path(""))
        .output();
    match run {
        Ok(output) => {
            let said = String::from_utf8_lossy(&output.stdout).into_owned();
            assert!(
                output.status.success(),
                "{tool}: {said}{}",
                String::from_utf8_lossy(&output.stderr)
            );
            Some(said)
        }
        Err(_) => {
            assert!(std::env::var_os("CI").is_none(), "{tool} is not installed");
            eprintln!("SKIPPED: {tool} is not installed, and nothing is compared with it");
            None
        }
    }
}

fn text(bench: &Bench, file: &str) -> Option<String> {
    told(bench, "pdftotext", &["-layout", file, "-"])
}

fn puffin() -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/patterns/pocket-puffin.md");
    std::fs::read_to_string(path).expect("the demo pattern")
}

#[test]
fn pages_are_a_sound_tagged_document() {
    let bench = Bench::new();
    bench.file("puffin.md", puffin());
    bench
        .run(&["pages", "puffin.md", "--out", "x"])
        .ended_with(0)
        .says("puffin.pdf");
    assert_eq!(bench.files("x"), ["puffin.pdf", "roundwright-files.txt"]);
    told(&bench, "qpdf", &["--check", "x/puffin.pdf"]);
    if let Some(info) = told(&bench, "pdfinfo", &["x/puffin.pdf"]) {
        assert!(info.contains("Title:           Pocket puffin"), "{info}");
        assert!(
            info.contains("Tagged:          yes") && info.contains("(A4)"),
            "{info}"
        );
    }
    let pdf = bench.read("x/puffin.pdf");
    let has = |words: &[u8]| pdf.windows(words.len()).any(|window| window == words);
    assert!(has(b"/Lang") && has(b"/Outlines") && has(b"pdfuaid:part"));
    if let Some(fonts) = told(&bench, "pdffonts", &["x/puffin.pdf"]) {
        let rows: Vec<&str> = fonts.lines().skip(2).collect();
        assert!(!rows.is_empty());
        for row in rows {
            // The three columns after name, type and encoding: embedded, subset, with its Unicode map.
            assert!(row.contains(" yes yes yes "), "{fonts}");
        }
    }
}

/// The rounds of a table of text: number, and the count at the end of its first line or of the lines that it goes on in.
fn rounds_in_order(text: &str, wanted: &[(String, String)]) {
    let mut lines = text.lines();
    for (label, count) in wanted {
        let found = lines.any(|line| {
            let words: Vec<&str> = line.split_whitespace().collect();
            words.first() == Some(&label.as_str()) && words.last() == Some(&count.as_str())
        });
        assert!(found, "round {label} with its {count} stitches in:\n{text}");
    }
}

#[test]
fn every_round_is_found_in_order_with_its_count() {
    let bench = Bench::new();
    bench.file("puffin.md", puffin());
    bench
        .run(&["pages", "puffin.md", "--out", "x"])
        .ended_with(0);
    let Some(text) = text(&bench, "x/puffin.pdf") else {
        return;
    };
    let wanted: Vec<(String, String)> = puffin()
        .lines()
        .filter_map(|line| {
            let (label, words) = line.strip_prefix("- Rnd")?.split_once(':')?;
            let label = label.trim_start_matches('s').trim().replace('-', "–");
            let count = words.trim_end().strip_suffix(')')?.rsplit_once('(')?.1;
            Some((label, count.to_owned()))
        })
        .collect();
    assert!(wanted.len() > 40, "{wanted:?}");
    rounds_in_order(&text, &wanted);
}

#[test]
fn the_designers_words_stand_in_their_place() {
    let bench = Bench::new();
    bench.file("puffin.md", puffin());
    bench
        .run(&["pages", "puffin.md", "--out", "x"])
        .ended_with(0);
    let Some(text) = text(&bench, "x/puffin.pdf") else {
        return;
    };
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut from = 0;
    for said in [
        "A puffin for the harbour wall",
        "What you need",
        "Safety eyes are small parts",
        "Finished size",
        "picot: ch 3, sl st in the first of these 3 ch",
        "Every part is worked in a spiral",
        "Wing make 2",
        "Press flat with the first and the last st of Rnd 9",
        "The face, in white, lies at the middle of the front",
        "Close the hole through the front loops",
        "Sew the beak between the eyes",
        "Where things sit",
        "Not for children under 3",
        "Terms used",
    ] {
        let at = words[from..].find(said);
        from += at.unwrap_or_else(|| panic!("'{said}' after {from} in:\n{words}"));
    }
}

/// Guidelines of makers' groups (accessiblepatternsindex.com, "Accessibility tips"; "Low vision pattern checklist", 2020): 22–24 pt, one column, no
/// italics, every direction written out, a statement of what was done.
#[test]
fn the_large_edition_is_written_out() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    bench
        .run(&["pages", "float.md", "--edition", "low-vision", "--out", "x"])
        .ended_with(0);
    assert!(
        bench
            .files("x")
            .contains(&"float-low-vision.pdf".to_owned())
    );
    let Some(text) = text(&bench, "x/float-low-vision.pdf") else {
        return;
    };
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "About this edition",
        "Contents",
        "Round 1. 6 single crochet in magic ring. 6 stitches.",
        "Round 2. increase 6 times. 12 stitches.",
        "Rounds 3 to 4. single crochet in each stitch around. 12 stitches in each.",
    ] {
        assert!(words.contains(said), "'{said}' in:\n{words}");
    }
    if let Some(fonts) = told(&bench, "pdffonts", &["x/float-low-vision.pdf"]) {
        assert!(
            !fonts.contains("Italic") && !fonts.contains("Oblique"),
            "{fonts}"
        );
    }
    // Every size of type in the document is 22 points or more.
    if let Some(boxes) = told(
        &bench,
        "pdftotext",
        &["-bbox-layout", "x/float-low-vision.pdf", "-"],
    ) {
        let sizes = boxes.match_indices("<line ").map(|(at, _)| {
            let side = |name: &str| -> f64 {
                let rest = &boxes[at + boxes[at..].find(name).expect("a side") + name.len() + 2..];
                rest.split('"')
                    .next()
                    .expect("a number")
                    .parse()
                    .expect("a number")
            };
            side("yMax") - side("yMin")
        });
        let least = sizes.fold(f64::INFINITY, f64::min);
        assert!(least >= 22.0, "a line of {least} points");
    }
}

#[test]
fn editions_swap_sides_and_terms() {
    let bench = Bench::new();
    bench.file(
        "float.md",
        format!("{BALL}\nSew a ring on, towards the float's own left.\n"),
    );
    bench
        .run(&[
            "pages",
            "float.md",
            "--edition",
            "left-handed,uk,low-ink+left-handed+uk",
            "--out",
            "x",
        ])
        .ended_with(0);
    assert_eq!(
        bench.files("x"),
        [
            "float-left-handed-uk-low-ink.pdf",
            "float-left-handed.pdf",
            "float-uk.pdf",
            "roundwright-files.txt",
        ]
    );
    let Some(left) = text(&bench, "x/float-left-handed.pdf") else {
        return;
    };
    assert!(
        left.contains("Left-handed edition") && left.contains("the float's own right"),
        "{left}"
    );
    assert!(left.contains("6 sc in a magic ring"), "{left}");
    let uk = text(&bench, "x/float-uk.pdf").unwrap_or_default();
    assert!(
        uk.contains("UK terms edition")
            && uk.contains("6 dc in magic ring")
            && uk.contains("own left"),
        "{uk}"
    );
    let all = text(&bench, "x/float-left-handed-uk-low-ink.pdf").unwrap_or_default();
    assert!(
        all.contains("6 dc in magic ring") && all.contains("own right"),
        "{all}"
    );
}

#[test]
fn flags_hold_for_every_edition_of_a_run() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    bench
        .run(&[
            "pages", "float.md", "--hand", "left", "--terms", "uk", "--ink", "low", "--paper",
            "letter", "--out", "x",
        ])
        .ended_with(0);
    assert!(
        bench
            .files("x")
            .contains(&"float-left-handed-uk-low-ink.pdf".to_owned())
    );
    if let Some(info) = told(&bench, "pdfinfo", &["x/float-left-handed-uk-low-ink.pdf"]) {
        assert!(info.contains("(letter)"), "{info}");
    }
    let one = bench.read("x/float-left-handed-uk-low-ink.pdf");
    bench
        .run(&[
            "pages",
            "float.md",
            "--edition",
            "left-handed+uk+low-ink",
            "--paper",
            "letter",
            "--out",
            "y",
        ])
        .ended_with(0);
    assert!(
        one == bench.read("y/float-left-handed-uk-low-ink.pdf"),
        "the same bytes"
    );
}

#[test]
fn pages_come_as_pictures_if_asked_for() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    bench
        .run(&["pages", "float.md", "--png", "--dpi", "36", "--out", "x"])
        .ended_with(0);
    let all = bench.files("x");
    assert!(
        all.contains(&"float-page-1.png".to_owned())
            && all.contains(&"float-page-2.png".to_owned()),
        "{all:?}"
    );
    assert!(bench.read("x/float-page-1.png").starts_with(b"\x89PNG"));
    bench
        .run(&["pages", "float.md", "--png=2", "--dpi", "36", "--out", "x"])
        .ended_with(0);
    assert_eq!(
        bench.files("x"),
        ["float-page-2.png", "float.pdf", "roundwright-files.txt"]
    );
}

/// Markup of the typesetter, of HTML and of SVG is text like any other.
#[test]
fn markup_comes_out_as_the_characters_that_it_is() {
    let signs = "#panic() $x^2$ @ref <label> \\u{41} `raw` </svg> &amp; <script> #[a] // c /* d */ https://a.b \"q\" = h";
    let bench = Bench::new();
    bench.file(
        "m.md",
        format!("# T {signs}\n\nLead {signs}\n\nNotions: {signs}\n\n## Part {signs}\n\n{signs}\n\n- Rnd 1: 6 sc in magic ring (6)\n\n- {signs}\n"),
    );
    let run = bench.run(&["pages", "m.md", "--out", "x"]);
    run.ended_with(0);
    let Some(text) = text(&bench, "x/m.pdf") else {
        return;
    };
    let packed: String = text.split_whitespace().collect();
    let wanted: String = signs.split_whitespace().collect();
    assert!(packed.matches(&wanted).count() >= 5, "{text}");
}

#[test]
fn a_title_of_thousands_of_characters_is_set_whole() {
    let bench = Bench::new();
    let title = "Herring ".repeat(500);
    bench.file("t.md", BALL.replace("Net float", title.trim()));
    bench
        .run(&[
            "pages",
            "t.md",
            "--edition",
            "standard,low-vision",
            "--out",
            "x",
        ])
        .ended_with(0);
    for file in ["x/t.pdf", "x/t-low-vision.pdf"] {
        if let Some(text) = text(&bench, file) {
            assert!(text.matches("Herring").count() >= 500);
        }
    }
}

#[test]
fn writing_that_the_fonts_lack_has_a_stand_in_and_is_told() {
    let bench = Bench::new();
    bench.file("t.md", BALL.replace("Net float", "דג 🐟 fish"));
    bench
        .run(&["pages", "t.md", "--out", "x"])
        .ended_with(0)
        .complains("the fonts lack 3 characters of this text, shown as ?");
    if let Some(info) = told(&bench, "pdfinfo", &["x/t.pdf"]) {
        assert!(info.contains("דג 🐟 fish"), "{info}");
    }
}

#[test]
fn a_photo_that_is_none_is_told_and_the_pages_made() {
    let named =
        |name: &str| BALL.replace("\n\n## Float", &format!("\n\nPhoto: {name}\n\n## Float"));
    let bench = Bench::new();
    let mut huge = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
    huge.extend([0, 1, 0, 0, 0, 1, 0, 0, 8, 6, 0, 0, 0]);
    bench
        .file("text.png", "no picture")
        .file("huge.png", huge)
        .file(
            "cut.jpg",
            b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x01\0\0\x01\0\x01\0\0",
        );
    for (name, why) in [
        ("missing.jpg", "there is no such file"),
        ("text.png", "neither a PNG nor a JPEG"),
        ("huge.png", "more than a photo can have"),
        ("cut.jpg", "broken"),
        ("../up.png", "in the pattern's folder"),
        ("/etc/hostname", "in the pattern's folder"),
    ] {
        bench.file("t.md", named(name));
        bench
            .run(&["pages", "t.md", "--out", "x"])
            .ended_with(2)
            .complains(why);
        assert!(bench.read("x/t.pdf").starts_with(b"%PDF"), "{name}");
    }
    let photo = std::fs::read(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/charts-out/mooring-buoy/loop.png"
    ))
    .expect("a picture");
    bench
        .file("photo.png", photo)
        .file("t.md", named("photo.png"));
    bench.run(&["pages", "t.md", "--out", "x"]).ended_with(0);
    if let Some(images) = told(&bench, "pdfimages", &["-list", "x/t.pdf"]) {
        assert_eq!(images.lines().count(), 3, "{images}");
    }
}

#[test]
fn a_pattern_without_rounds_has_no_pages() {
    let bench = Bench::new();
    bench.file("t.md", "# Thoughts\n\nOf nets.\n");
    let run = bench.run(&["pages", "t.md", "--out", "x"]);
    assert_ne!(run.status, Some(0));
    run.complains("there are no rounds to set");
    assert!(bench.files("x").is_empty());
}

#[test]
fn a_pattern_with_errors_is_set_as_far_as_it_goes() {
    let bench = Bench::new();
    bench.file("t.md", WRONG_BALL);
    bench
        .run(&["pages", "t.md", "--out", "x"])
        .ended_with(1)
        .complains("the pages show what could be worked");
    assert!(bench.read("x/t.pdf").starts_with(b"%PDF"));
}

#[test]
fn three_hundred_rounds_are_all_there() {
    let mut pattern = String::from("# Rope\n\n## Rope\n\n- Rnd 1: 6 sc in magic ring (6)\n");
    for round in 2..=300 {
        pattern += &format!("- Rnd {round}: sc in each st around (6)\n");
    }
    let bench = Bench::new();
    bench.file("rope.md", pattern);
    bench.run(&["pages", "rope.md", "--out", "x"]).ended_with(0);
    let Some(text) = text(&bench, "x/rope.pdf") else {
        return;
    };
    let wanted: Vec<(String, String)> = (1..=300)
        .map(|round: u32| (round.to_string(), "6".to_owned()))
        .collect();
    rounds_in_order(&text, &wanted);
}

#[test]
fn a_piece_of_sixty_parts_is_set() {
    let mut round = String::from("- Rnd 10: ");
    for part in 0..60 {
        round += &format!("2 sc through both layers of fin {}, ", part + 1);
    }
    let pattern = format!(
        "# Crab\n\n## Fin (make 60)\n\n- Rnd 1: 4 sc in magic ring (4)\n\nPress flat.\n\n## Body\n\n- Rnd 1: 12 sc in magic ring (12)\n{}{} (120)\n",
        (2..=9)
            .map(|n| format!(
                "- Rnd {n}: {} ({})\n",
                match n {
                    2 => "inc x 12",
                    3 => "(sc, inc) x 12",
                    4 => "(2 sc, inc) x 12",
                    5 => "(3 sc, inc) x 12",
                    6 => "(4 sc, inc) x 12",
                    7 => "(5 sc, inc) x 12",
                    8 => "(6 sc, inc) x 12",
                    _ => "(7 sc, inc) x 12, 12 sc",
                },
                match n {
                    9 => 108,
                    n => 12 * n,
                }
            ))
            .collect::<String>()
            .replace("(7 sc, inc) x 12, 12 sc", "(7 sc, inc) x 12"),
        round.trim_end_matches(", ")
    );
    let bench = Bench::new();
    bench.file("crab.md", pattern);
    let run = bench.run(&["pages", "crab.md", "--out", "x"]);
    assert!(matches!(run.status, Some(0 | 1)), "{}", run.err);
    assert!(bench.read("x/crab.pdf").starts_with(b"%PDF"));
}

#[test]
fn a_folder_that_cant_be_written_is_told_before_the_work() {
    let bench = Bench::new();
    bench.file("t.md", BALL).file("x", "a file");
    bench
        .run(&["pages", "t.md", "--out", "x"])
        .ended_with(2)
        .complains("a file is in the way");
    assert_eq!(bench.read("x"), b"a file");
}

#[test]
fn an_edition_that_is_none_is_refused() {
    let bench = Bench::new();
    bench.file("t.md", BALL);
    bench
        .run(&["pages", "t.md", "--edition", "loud"])
        .ended_with(2)
        .complains("there is no edition 'loud'");
}
