use std::fs;

use crate::run::{BALL, Bench, WRONG_BALL};
use roundwright::queries::{self, Choice};
use roundwright::source::{Level, Mend, Problem, Source};
use roundwright::{fabric, pattern, review};

const SCHEMA: &str = include_str!("../../src/cli/schema/queries.schema.json");

/// Three slips, the last of which leaves a choice.
const SLIPS: &str = "\
# Net float

## Float
Rnd 1: 6 sc in magic ring (6)
Rnd 2: inc x 6 (13)
Rnd 3: (sc, inc) x 5 (18)
Rnd 4: 4 sc, inc, 5 sc, inc, 6 sc (20)
Rnd 5: 20 sc (20)
";

#[test]
fn the_sheet_quotes_the_words_and_gives_sum_mend_and_rounds() {
    let bench = Bench::new();
    let outcome = bench
        .file("float.md", WRONG_BALL)
        .run(&["queries", "float.md"]);
    outcome.ended_with(1);
    let expected = "\
# Queries on Net float

## 1. Line 5: error (count)

> `Rnd 2: inc x 6 (13)`

Round 2 makes 12 stitches, but its total says 13 stitches. The words: `(13)`.

- As written the round takes 6 and makes 6 × 2 = 12; the round below has 6 stitches and the total says 13.
- Mend: change `13` to `12`, so that it reads `Rnd 2: inc x 6 (12)`.
- Touches Rnd 2 of Float.
";
    assert_eq!(outcome.out, expected);
    let readme = include_str!("../../README.md");
    assert!(readme.contains(expected), "the README shows this sheet");
    bench
        .file("ball.md", BALL)
        .run(&["queries", "ball.md"])
        .ended_with(0)
        .says("No queries");
}

#[test]
fn a_slip_behind_the_round_that_shows_it_is_found() {
    let bench = Bench::new();
    let text =
        "## Float\nTerms: US\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 5\nRnd 3: (sc, inc) x 6 (18)\n";
    let sheet = bench.file("float.md", text).run(&["queries", "float.md"]);
    sheet.says("change `5` to `6`, so that it reads `Rnd 2: inc x 6`");
}

#[test]
fn of_several_mends_the_one_that_makes_the_round_even_is_the_likeliest() {
    let bench = Bench::new();
    let text = "## Float\nTerms: US\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\n\
        Rnd 4: 3 sc, inc, 6 sc, inc, 5 sc, inc, 2 sc (21)\n";
    let sheet = bench.file("float.md", text).run(&["queries", "float.md"]);
    sheet.says("Mend 1a, the likeliest: change `6` to `5`, so that it reads `Rnd 4: 3 sc, inc, 5 sc, inc, 5 sc, inc, 2 sc (21)`");
}

#[test]
fn two_numbers_of_one_round_that_slipped_are_found() {
    let bench = Bench::new();
    let text = |rounds: &str| {
        format!(
            "## Float\nTerms: US\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\n{rounds}"
        )
    };
    let count_and_times = text("Rnd 4: (3 sc, inc) x 5 (24)\n");
    let sheet = bench
        .file("a.md", count_and_times)
        .run(&["queries", "a.md"]);
    sheet.says("change `(3 sc, inc) x 5` to `(2 sc, inc) x 6`, so that it reads `Rnd 4: (2 sc, inc) x 6 (24)`");
    let count_and_total = text("Rnd 4: (3 sc, inc) x 6 (30)\nRnd 5: (3 sc, inc) x 6 (30)\n");
    let sheet = bench
        .file("b.md", count_and_total)
        .run(&["queries", "b.md"]);
    sheet.says("change `(3 sc, inc) x 6 (30)` to `(2 sc, inc) x 6 (24)`");
}

#[test]
fn accepted_mends_go_into_a_new_file_that_never_takes_another_s_place() {
    let bench = Bench::new();
    bench.file("float.md", SLIPS);
    bench
        .run(&["queries", "float.md", "--accept", "1-2"])
        .says("float-mended.md: mended; 1 error");
    let mended = String::from_utf8(bench.read("float-mended.md")).expect("UTF-8");
    assert_eq!(
        mended,
        SLIPS
            .replace("(13)", "(12)")
            .replace("inc) x 5", "inc) x 6")
    );
    assert_eq!(bench.read("float.md"), SLIPS.as_bytes());
    for out in [&[][..], &["--out", "float.md"]] {
        bench
            .run(&[&["queries", "float.md", "--accept", "1"], out].concat())
            .ended_with(2)
            .complains("there is a file of that name already");
    }
    assert_eq!(bench.read("float.md"), SLIPS.as_bytes());
    bench
        .run(&["queries", "float.md", "--accept", "1", "--out", "new.md"])
        .ended_with(1);
    assert_eq!(bench.files(""), ["float-mended.md", "float.md", "new.md"]);
}

#[test]
fn the_pattern_itself_is_mended_only_when_asked() {
    let bench = Bench::new();
    bench.file("float.md", WRONG_BALL);
    bench
        .run(&["queries", "float.md", "--accept", "1", "--in-place"])
        .ended_with(0)
        .says("float.md: mended; no problems");
    assert_eq!(
        bench.read("float.md"),
        WRONG_BALL.replace("(13)", "(12)").as_bytes()
    );
    assert_eq!(bench.files(""), ["float.md"]);
}

#[cfg(unix)]
#[test]
fn a_pattern_mended_in_place_keeps_its_permissions_and_a_link_to_it() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let bench = Bench::new();
    bench.file("float.md", WRONG_BALL);
    let mode = fs::Permissions::from_mode(0o640);
    fs::set_permissions(bench.path("float.md"), mode).expect("permissions");
    symlink("float.md", bench.path("link.md")).expect("a link");
    bench
        .run(&["queries", "link.md", "--accept", "1", "--in-place"])
        .ended_with(0);
    let data = |name| fs::symlink_metadata(bench.path(name)).expect("a file");
    assert!(data("link.md").is_symlink());
    assert_eq!(data("float.md").permissions().mode() & 0o777, 0o640);
    assert_eq!(
        bench.read("float.md"),
        WRONG_BALL.replace("(13)", "(12)").as_bytes()
    );
}

#[test]
fn mends_that_cannot_be_put_in_are_refused_with_nothing_half_done() {
    let bench = Bench::new();
    bench.file("float.md", SLIPS);
    for (numbers, reason) in [
        ("1,9", "there is no query 9"),
        ("0", "there is no query 0"),
        ("1-3", "query 3 has several mends: choose 3a or 3b or 3c"),
        ("1z", "query 1 has no mend 1z"),
        ("3a,3b", "with all of these mends query 3"),
        ("x", "is not the number of a query"),
    ] {
        let outcome = bench.run(&["queries", "float.md", "--accept", numbers, "--in-place"]);
        outcome.ended_with(2).complains(reason);
    }
    bench
        .run_with(&["queries", "-", "--accept", "1"], SLIPS)
        .ended_with(2)
        .complains("--out");
    for arguments in [
        &["--in-place"][..],
        &["--accept", "1", "--in-place", "--out", "b.md"],
    ] {
        bench
            .run(&[&["queries", "float.md"], arguments].concat())
            .ended_with(2);
    }
    assert_eq!(bench.read("float.md"), SLIPS.as_bytes());
    assert_eq!(bench.files(""), ["float.md"]);
    bench
        .run(&["queries", "float.md", "--accept", "1,2,3a", "--in-place"])
        .ended_with(0);
}

#[test]
fn errata_list_what_is_worked_otherwise_and_nothing_else() {
    let bench = Bench::new();
    bench.file("old.md", BALL);
    let reworded = BALL.replace("inc x 6", "2 sc in each st around").replace(
        "Rnds 3-4: sc in each st around (12)",
        "Rnds 3-4: work even (12)",
    );
    bench.file("words.md", reworded);
    bench
        .run(&["errata", "old.md", "words.md"])
        .ended_with(0)
        .says("only the wording differs");
    bench
        .run(&["errata", "old.md", "old.md"])
        .ended_with(0)
        .says("are the same");

    // A part by another name is joined as before.
    let parts = "Terms: US\n\n## Fin\nRnd 1: 4 sc in MR (4)\n\n## Body\nRnd 1: 6 sc in MR (6)\n\
        Rnd 2: 2 sc, 2 sc through both layers of the fin, 2 sc (6)\n";
    bench.file("fin.md", parts);
    bench.file(
        "sail.md",
        parts.replace("Fin", "Sail").replace("fin", "sail"),
    );
    let expected = "# Corrections to sail.md\n\n## Sail\n\n- This piece was named `Fin`.\n";
    let outcome = bench.run(&["errata", "fin.md", "sail.md"]);
    assert_eq!(outcome.ended_with(0).out, expected);

    let new = BALL
        .replace("Rnds 3-4", "Rnd 3: (sc, inc) x 6 (18)\nRnds 4-5")
        .replace(
            "around (12)\nRnd 5: dec x 6 (6)",
            "around (18)\nRnd 6: (sc, dec) x 6 (12)\nRnd 7: dec x 6 (6)",
        );
    bench.file("new.md", new.replace("## Float", "## Float (make 2)"));
    let outcome = bench.run(&["errata", "old.md", "new.md"]);
    outcome.ended_with(0);
    let expected = "\
# Corrections to Net float

## Float

- Make 2; was 1.
- Rnd 3: was `sc in each st around (12)`; is now `(sc, inc) x 6 (18)`.
- Rnd 4: was `sc in each st around (12)`; is now `sc in each st around (18)`.
- Rnd 5 is new: `sc in each st around (18)`.
- Rnd 6 is new: `(sc, dec) x 6 (12)`.
- Rnd 5 is now Rnd 7.
";
    assert_eq!(outcome.out, expected);
}

#[test]
fn errata_tell_what_is_needed_and_what_is_done_between_rounds_by_what_is_said() {
    let bench = Bench::new();
    let old = "\
# Harbour seal

Terms: US
Hook: 2.5 mm
Gauge: 24 sts and 26 rnds = 10 cm
Yarn A: grey, DK

Materials
- stuffing
- safety eyes, 6 mm

## Seal
Rnd 1: with A, 6 sc in magic ring (6)
Rnd 2: inc x 6 (12)
Rnds 3-5: sc in each st around (12)
Insert the eyes between Rnds 3 and 4, 5 sts apart.
Stuff firmly.
Rnd 6: dec x 6 (6)
Fasten off.

## Making up
Sew the whiskers on 3 sts below the eyes.
";
    bench.file("old.md", old);
    // Other words for the same.
    let words = old
        .replace("Hook: 2.5 mm", "Hook: 2.50mm")
        .replace("Insert the eyes between", "Insert eyes in the gap between")
        .replace("Stuff firmly", "Fill with stuffing")
        .replace(
            "Sew the whiskers on 3 sts",
            "The whiskers are sewn on three stitches",
        );
    bench.file("words.md", words);
    bench
        .run(&["errata", "old.md", "words.md"])
        .ended_with(0)
        .says("only the wording differs");
    // A round more moves the numbers in the prose along.
    let new = old
        .replace("2.5 mm", "3 mm")
        .replace("24 sts", "22 sts")
        .replace("grey", "silver")
        .replace("eyes, 6 mm", "eyes, 8 mm")
        .replace(
            "Rnd 2: inc x 6 (12)",
            "Rnd 2: sc in each st around (6)\nRnd 3: inc x 6 (12)",
        )
        .replace("Rnds 3-5:", "Rnds 4-6:")
        .replace("Rnds 3 and 4, 5 sts", "Rnds 4 and 5, 6 sts")
        .replace("Rnd 6:", "Rnd 7:")
        .replace("Stuff firmly.\n", "")
        .replace("Fasten off.", "Stuff firmly. Fasten off.")
        .replace("on 3 sts", "on 4 sts");
    bench.file("new.md", new);
    let outcome = bench.run(&["errata", "old.md", "new.md"]);
    let expected = "\
# Corrections to Harbour seal

## What you need

- Hook: was `2.5 mm`; is now `3 mm`.
- Gauge: was `24 sts and 26 rnds = 10 cm`; is now `22 sts and 26 rnds = 10 cm`.
- Yarn A: was `grey, DK`; is now `silver, DK`.
- Was `safety eyes, 6 mm`; is now `safety eyes, 8 mm`.

## Seal

- Rnd 2 is new: `sc in each st around (6)`.
- Rnds 2–6 are now Rnds 3–7.
- `Stuff firmly` after Rnd 5: is done after Rnd 7 now.
- Was `Insert the eyes between Rnds 3 and 4, 5 sts apart`; is now `Insert the eyes between Rnds 4 and 5, 6 sts apart`.

## Making up

- Was `Sew the whiskers on 3 sts below the eyes`; is now `Sew the whiskers on 4 sts below the eyes`.
";
    assert_eq!(outcome.out, expected);
}

/// What became of slips of one kind.
#[derive(Default)]
struct Share {
    slips: usize,
    /// The one mend offered makes the text again what it was.
    restored: usize,
    /// The right mend is among several.
    offered: usize,
    unnoticed: usize,
    /// Told as one problem and no more.
    once: usize,
}

impl Share {
    fn percent(&self) -> usize {
        100 * self.restored / self.slips.max(1)
    }

    fn add(&mut self, other: &Share) {
        self.slips += other.slips;
        self.restored += other.restored;
        self.offered += other.offered;
        self.unnoticed += other.unnoticed;
        self.once += other.once;
    }
}

fn problems_of(source: &Source) -> (Vec<Problem>, Vec<Vec<Mend>>) {
    let (pattern, mut problems) = pattern::read(source);
    let (fabric, more) = fabric::work(&pattern);
    problems.extend(more);
    problems.extend(review::review(source, &pattern, &fabric));
    problems.sort_by_key(|p| (p.span, std::cmp::Reverse(p.level)));
    let offers = queries::offer_mends(source, &pattern, &fabric, &mut problems);
    (problems, offers)
}

/// A number of a pattern, and the other that takes its place.
struct Slip<'t> {
    text: &'t str,
    at: usize,
    len: usize,
    other: u32,
}

/// Looks whether the sheet leads back from a slip.
fn try_slip(slip: &Slip<'_>) -> Share {
    let &Slip {
        text,
        at,
        len,
        other,
    } = slip;
    let mut share = Share {
        slips: 1,
        ..Share::default()
    };
    let slipped = format!("{}{other}{}", &text[..at], &text[at + len..]);
    let source = Source::new("p.md", slipped);
    let (problems, offers) = problems_of(&source);
    let Some(first) = problems.iter().position(|p| p.level == Level::Error) else {
        share.unnoticed += 1;
        return share;
    };
    let is_bad = |problem: &&Problem| problem.level > Level::Note;
    share.once += usize::from(problems.iter().filter(is_bad).count() == 1);
    let accepted = |offer| {
        let choice = Choice {
            number: first + 1,
            offer,
        };
        queries::accept(&source, &problems, &offers, &[choice])
    };
    if accepted(None).is_ok_and(|mended| mended == text) {
        share.restored += 1;
    } else if (0..offers[first].len())
        .any(|at| accepted(Some(at)).is_ok_and(|mended| mended == text))
    {
        share.offered += 1;
    }
    share
}

/// Tries slips of one kind on all cores.
fn try_slips(slips: &[Slip<'_>]) -> Share {
    let cores = std::thread::available_parallelism().map_or(1, |cores| cores.get());
    let each = slips.len().div_ceil(cores).max(1);
    let mut all = Share::default();
    std::thread::scope(|scope| {
        let work =
            |part| scope.spawn(move || Vec::from_iter(<[Slip<'_>]>::iter(part).map(try_slip)));
        let workers: Vec<_> = slips.chunks(each).map(work).collect();
        for worker in workers {
            for share in worker.join().expect("a worker that ends") {
                all.add(&share);
            }
        }
    });
    all
}

/// The numbers of a line of a round: where, how long, its value; totals, numbers of times, and the others.
fn numbers(line: &str) -> Vec<(usize, usize, u32, &'static str)> {
    let mut found = Vec::new();
    let body = line.find(": ").map_or(0, |at| at + 2);
    let total = line.rfind(['(', '[']).unwrap_or(line.len());
    let mut at = body;
    while let Some(offset) = line[at..].find(|c: char| c.is_ascii_digit()) {
        let start = at + offset;
        let len = line[start..]
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(line.len() - start);
        let before = line[..start].trim_end();
        let kind = match () {
            _ if start > total => "total",
            _ if before.ends_with([')', ']', '×']) || before.ends_with(") x") => "repeat",
            _ => "between",
        };
        at = start + len;
        found.push((start, len, line[start..at].parse().expect("digits"), kind));
    }
    found
}

/// Each number of each round of two demo patterns, one more or one less in turn: it is told once and the sheet leads back. A total is nearly
/// always the one number that can be wrong; of several equal repeats and of several counts between, the one that makes the round even is taken
/// for the likeliest, and both patterns are even. Two slips make another round that comes out. The bounds are ours.
#[test]
fn a_number_that_slipped_is_found_and_mended() {
    let texts = ["pocket-puffin.md", "mooring-buoy.md"].map(|pattern| {
        let path = format!("{}/patterns/{pattern}", env!("CARGO_MANIFEST_DIR"));
        fs::read_to_string(path).expect("a demo pattern")
    });
    let (mut totals, mut repeats, mut between) = (Vec::new(), Vec::new(), Vec::new());
    for text in &texts {
        let mut at = 0;
        for line in text.split_inclusive('\n') {
            let is_round = line.starts_with("- R")
                && line.trim_end().ends_with([')', ']'])
                && line.contains(": ");
            for (start, len, value, kind) in numbers(line).into_iter().filter(|_| is_round) {
                let slips = match kind {
                    "total" => &mut totals,
                    "repeat" => &mut repeats,
                    _ => &mut between,
                };
                let more = slips.len() % 2 == 0 || value == 1;
                let other = if more { value + 1 } else { value - 1 };
                let at = at + start;
                slips.push(Slip {
                    text,
                    at,
                    len,
                    other,
                });
            }
            at += line.len();
        }
    }
    let [totals, repeats, between] = [totals, repeats, between].map(|slips| try_slips(&slips));
    for (name, share) in [
        ("totals", &totals),
        ("repeats", &repeats),
        ("between", &between),
    ] {
        println!(
            "{name}: {} slips, {} told once, {} restored ({} %), {} offered among others, {} unnoticed",
            share.slips,
            share.once,
            share.restored,
            share.percent(),
            share.offered,
            share.unnoticed
        );
    }
    assert!(totals.slips > 50 && repeats.slips > 30 && between.slips > 50);
    for share in [&totals, &repeats, &between] {
        assert_eq!(share.once + share.unnoticed, share.slips);
        assert!(share.percent() >= 95, "{} %", share.percent());
    }
    assert_eq!(totals.restored + totals.offered, totals.slips);
    assert_eq!(repeats.restored + repeats.offered, repeats.slips);
}

/// The JSON sheet of each `tests/golden/NAME.md`, to the byte; `json.rs` says how to write them anew.
#[test]
fn sheets_stay_as_they_are() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    let patterns = crate::run::files_below(&folder).into_iter();
    for pattern in patterns.filter(|name| name.ends_with(".md")) {
        let bench = Bench::new();
        bench.file(
            &pattern,
            fs::read(folder.join(&pattern)).expect("a pattern"),
        );
        let sheet = bench.run(&["queries", "--format", "json", &pattern]).out;
        crate::json::hold_to(SCHEMA, &sheet);
        let golden = folder.join(&pattern).with_extension("queries.json");
        if std::env::var_os("WRITE_GOLDEN").is_some() {
            fs::write(&golden, &sheet).expect("a golden file");
        }
        let kept = fs::read_to_string(&golden).unwrap_or_default();
        assert!(sheet == kept, "{pattern} gives\n{sheet}\nand not\n{kept}");
    }
    let bench = Bench::new();
    let sheet = bench
        .run_with(&["queries", "-", "--format", "json"], SLIPS)
        .out;
    let sheet = crate::json::hold_to(SCHEMA, &sheet);
    assert_eq!(sheet["queries"][1]["mend"]["text"], "6");
    assert_eq!(sheet["queries"][2]["mend"], serde_json::Value::Null);
    assert_eq!(
        sheet["queries"][2]["offers"].as_array().map(Vec::len),
        Some(3)
    );
}
