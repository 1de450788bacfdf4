//! Input that is broken, hostile or too much: a clear line, the right exit status, nothing harmed.

use std::fs;
use std::time::Duration;

use crate::run::{BALL, Bench, WRONG_BALL};

#[test]
fn an_empty_file_is_a_pattern_with_a_problem() {
    let bench = Bench::new();
    for text in ["", " \n\n", "\u{feff}"] {
        bench
            .file("empty.md", text)
            .run(&["check", "empty.md"])
            .ended_with(1)
            .says("error");
    }
}

#[test]
fn what_is_no_text_could_not_be_read() {
    let bench = Bench::new();
    let read = |bytes: &[u8]| bench.file("p.md", bytes).run(&["check", "p.md"]);
    read(b"Rnd 1: 6 sc \xff\xfe")
        .ended_with(2)
        .complains("roundwright: p.md: this is not UTF-8");
    read(b"\x7fELF\x02\x00\x00")
        .ended_with(2)
        .complains("binary");
    read(b"\x89PNG\r\n\x1a\n\x00")
        .ended_with(2)
        .complains("binary");
    bench
        .run(&["check", "."])
        .ended_with(2)
        .complains("a folder");
}

#[test]
fn fifty_megabytes_are_refused() {
    let bench = Bench::new();
    let text = "Rnd 1: 6 sc in a magic ring (6)\n".repeat(50_000_000 / 32);
    let outcome = bench.file("large.md", &text).run(&["check", "large.md"]);
    outcome
        .ended_with(2)
        .complains("larger than a pattern can be (the limit is 8 MB)");
    bench
        .run_with(&["check", "-"], &text)
        .ended_with(2)
        .complains("<stdin>: this is larger");
}

#[cfg(target_os = "linux")]
#[test]
fn input_without_end_is_given_up_in_little_memory() {
    let outcome = Bench::new().shell("ulimit -v 200000; \"$0\" check - < /dev/zero");
    outcome.ended_with(2).complains("larger");
}

#[cfg(target_os = "linux")]
#[test]
fn a_repeat_of_a_thousand_million_is_a_problem_and_takes_little_memory() {
    let bench = Bench::new();
    for repeat in [
        "(sc, inc) x 999999999",
        "999999999 sc",
        "*sc* 999999999 times",
        "(((sc) x 99999) x 99999) x 99999",
    ] {
        let text = format!("## Net\nRnd 1: 6 sc in a magic ring (6)\nRnd 2: {repeat} (9)\n");
        bench.file("p.md", text);
        bench
            .shell("ulimit -v 1000000; \"$0\" check p.md")
            .ended_with(1)
            .says("error");
    }
    bench.file("p.md", "Rnds 1-999999999: 6 sc\nRnd 999999999: 6 sc\n");
    bench
        .shell("ulimit -v 1000000; \"$0\" check p.md")
        .ended_with(1)
        .says("error");
}

#[test]
fn brackets_nested_ten_thousand_deep_are_a_problem() {
    let bench = Bench::new();
    for (open, close) in [
        ("(", ") x 2"),
        ("[", "] twice"),
        ("*", "; rep from * around"),
        ("(", ""),
        ("", ")"),
    ] {
        let body = format!("{}sc{}", open.repeat(10_000), close.repeat(10_000));
        bench.file("p.md", format!("Rnd 1: {body}\n"));
        bench.run(&["check", "p.md"]).ended_with(1).says("error");
    }
}

#[test]
fn a_line_of_a_megabyte_does_not_flood_the_terminal() {
    let bench = Bench::new();
    bench.file(
        "p.md",
        format!("Rnd 1: {}\n", "6 slivers, ".repeat(100_000)),
    );
    let outcome = bench.run(&["check", "p.md"]);
    outcome.ended_with(1);
    assert!(outcome.out.len() < 200_000, "{} bytes", outcome.out.len());
}

#[test]
fn names_of_pieces_lead_nowhere_and_put_no_markup_into_a_chart() {
    let bench = Bench::new();
    let round = "Rnd 1: 6 sc in a magic ring (6)\n";
    let names = [
        "../../x",
        "<script>alert(1)</script>",
        "Fin",
        "Fin",
        "/etc/x",
        "&amp;\"'",
        "CON",
        "\u{1b}[2J",
    ];
    let text: String = names
        .iter()
        .map(|name| format!("## {name}\n{round}"))
        .collect();
    bench.file("deep/down/p.md", text);
    let outcome = bench.run(&[
        "chart",
        "deep/down/p.md",
        "--out",
        "deep/down/out",
        "--format",
        "svg,json",
    ]);
    assert!(
        outcome.status.is_some_and(|status| status < 2),
        "{}",
        outcome.err
    );
    assert!(!outcome.out.contains('\u{1b}') && !outcome.err.contains('\u{1b}'));
    let files = bench.files("");
    for file in &files {
        assert!(file.starts_with("deep/down/"), "{file}");
    }
    let charts = files.iter().filter(|file| file.ends_with(".svg"));
    assert_eq!(charts.clone().count(), names.len() + 1, "{files:?}");
    for chart in charts {
        let svg = String::from_utf8(bench.read(chart)).expect("UTF-8");
        assert!(!svg.contains("<script"), "{chart}");
        assert!(!svg.contains('\u{1b}'), "{chart}");
        usvg::Tree::from_str(&svg, &usvg::Options::default())
            .unwrap_or_else(|e| panic!("{chart}: {e}"));
    }
}

#[test]
fn a_folder_that_cannot_be_made_or_written_is_named() {
    let bench = Bench::new();
    bench
        .file("float.md", BALL)
        .file("taken", "mine")
        .file("taken2/float.svg/x", "mine");
    bench
        .run(&["chart", "float.md", "--out", "taken"])
        .ended_with(2)
        .complains("roundwright: taken: a file is in the way");
    bench
        .run(&["chart", "float.md", "--out", "taken/below"])
        .ended_with(2)
        .complains("taken/below: ");
    bench
        .run(&["chart", "float.md", "--out", "taken2"])
        .ended_with(2)
        .complains("float.svg: ");
    assert_eq!(bench.read("taken"), b"mine");
    assert_eq!(bench.read("taken2/float.svg/x"), b"mine");
}

#[cfg(unix)]
#[test]
fn a_folder_without_permission_is_named() {
    use std::os::unix::fs::PermissionsExt;
    let bench = Bench::new();
    bench.file("float.md", BALL).file("out/note.txt", "mine");
    fs::set_permissions(bench.path("out"), fs::Permissions::from_mode(0o555)).expect("permissions");
    if fs::write(bench.path("out/probe"), "").is_ok() {
        // Permissions do not bind the superuser; the test above stands in a file's way instead.
        return;
    }
    bench
        .run(&["chart", "float.md", "--out", "out"])
        .ended_with(2)
        .complains("permission denied");
    fs::set_permissions(bench.path("out"), fs::Permissions::from_mode(0o755)).expect("permissions");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said_and_the_old_files_stay_whole() {
    let bench = Bench::new();
    bench.file("float.md", BALL);
    bench
        .shell("\"$0\" check float.md > /dev/full")
        .ended_with(2)
        .complains("standard output: the disk is full");

    bench
        .run(&["chart", "float.md", "--out", "out"])
        .ended_with(0);
    let before = snapshot(&bench);
    // A limit on the size of files fails in the middle of writing, as a full disk does.
    bench.file("float.md", BALL.replace("3-4", "3-40"));
    let outcome = bench.shell("trap '' XFSZ; ulimit -f 1; \"$0\" chart float.md --out out");
    outcome.ended_with(2).complains("roundwright: out/float.");
    assert_eq!(snapshot(&bench), before);
}

#[test]
fn a_killed_run_leaves_whole_files_that_the_next_run_clears_away() {
    let bench = Bench::new();
    let many: String = (0..400)
        .map(|n| {
            BALL.replace("# Net float\n", "")
                .replace("Float", &format!("Float {n}"))
        })
        .collect();
    bench.file("p.md", many);
    let mut child = bench.start(&["chart", "p.md", "--out", "out"]);
    while bench.files("out").len() < 20 && child.try_wait().expect("a process").is_none() {
        std::thread::sleep(Duration::from_millis(2));
    }
    child.kill().expect("a process of ours");
    child.wait().expect("a process of ours");

    for file in bench.files("out") {
        let bytes = bench.read(&format!("out/{file}"));
        if file.ends_with(".svg") {
            assert!(bytes.trim_ascii_end().ends_with(b"</svg>"), "{file}");
        } else if file.ends_with(".png") {
            crate::pixels::decode(&bytes);
        }
    }
    bench
        .file("p.md", BALL)
        .file("out/.roundwright-x1.part", "half");
    bench.run(&["chart", "p.md", "--out", "out"]).ended_with(0);
    assert_eq!(
        bench.files("out"),
        [
            "float.png",
            "float.svg",
            "key.png",
            "key.svg",
            "roundwright-files.txt"
        ]
    );
}

#[test]
fn charts_of_a_pattern_with_errors_show_what_could_be_worked() {
    let bench = Bench::new();
    let outcome = bench
        .file("float.md", WRONG_BALL)
        .run(&["chart", "float.md"]);
    outcome
        .ended_with(1)
        .complains("the charts show what could be worked")
        .complains("float.md:5:");
    assert!(
        bench
            .files("charts-out/float")
            .contains(&"float.svg".to_owned())
    );

    let before = bench.files("charts-out/float");
    let outcome = bench.file("float.md", "").run(&["chart", "float.md"]);
    outcome.ended_with(1).complains("there is nothing to chart");
    assert_eq!(bench.files("charts-out/float"), before);
}

#[cfg(target_os = "linux")]
fn snapshot(bench: &Bench) -> Vec<(String, Vec<u8>)> {
    let files = bench.files("out").into_iter();
    files
        .map(|file| (file.clone(), bench.read(&format!("out/{file}"))))
        .collect()
}
