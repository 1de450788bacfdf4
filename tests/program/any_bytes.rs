//! Whatever comes in, the program answers: nothing panics, and the same input gives the same output.

use proptest::prelude::*;

use crate::run::Bench;
use roundwright::source::Source;
use roundwright::{chart, draw, fabric, pattern, queries, review};

/// Pieces of patterns, to be put together in any order.
const WORDS: &[&str] = &[
    "\n",
    "\n## Fin (make 2)\n",
    "\nRnd 1: ",
    "\nRnds 2-4: ",
    "\nRow 3: ",
    "\nRnd 2: rep Rnd 1",
    "\n3. ",
    "\nTerms: UK\n",
    "\nYarn A: red\n",
    "6 sc",
    "sc 6",
    "inc",
    "dec",
    "sc3tog",
    "dc",
    "hdc2tog",
    "ch 3",
    "ch-3 sp",
    "sl st",
    "picot",
    "bobble",
    "2 sc in next st",
    "in magic ring",
    " around",
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    "*",
    " x 6",
    " × 999999999",
    "; rep from * around",
    " 6 times",
    ", ",
    " (6)",
    " (12 sc, 4 ch-2 sps)",
    "BLO ",
    "FPdc",
    "skip 2",
    "turn",
    "join with sl st to first sc",
    "change to B",
    "4 sc through both layers of the first fin",
    "fasten off",
    "é",
    "“",
    "\u{a0}",
    "\r",
    "\t",
    "\u{feff}",
    "0",
    "-1",
    "4294967296",
    "½",
    ":",
    "–",
    "#",
    "**",
    "\u{202e}",
];

fn pattern_like() -> impl Strategy<Value = String> {
    prop::collection::vec(prop::sample::select(WORDS), 0..60).prop_map(|words| words.concat())
}

/// Everything that the stages make of a text.
fn everything(text: &str) -> (String, Vec<String>) {
    let source = Source::new("p.md", text);
    let (pattern, mut problems) = pattern::read(&source);
    let (fabric, found) = fabric::work(&pattern);
    problems.extend(found);
    problems.extend(review::review(&source, &pattern, &fabric));
    let offers = queries::offer_mends(&source, &pattern, &fabric, &mut problems);
    let asked = queries::queries(&source, &pattern, &fabric, &problems, &offers);
    let sheet = queries::sheet(&source, &fabric.title, &asked);
    let version = || queries::Version {
        source: &source,
        pattern: &pattern,
        fabric: &fabric,
    };
    let errata = queries::errata(&version(), &version());
    assert!(
        errata.ends_with("The two versions are the same.\n"),
        "{errata}"
    );
    for problem in &problems {
        source.place(problem.span);
        source.slice(problem.span);
    }
    let panels = (0..fabric.pieces.len())
        .flat_map(|piece| chart::lay_out(&fabric, piece, &chart::Options::default()));
    let svgs = panels
        .map(|panel| draw::panel_svg(&panel, &fabric))
        .collect();
    (format!("{problems:?} {fabric:?} {sheet}"), svgs)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_goes_through_every_stage_twice_alike(text in prop_oneof![pattern_like(), any::<String>()]) {
        prop_assert!(everything(&text) == everything(&text));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_end_with_one_of_the_exit_statuses(
        bytes in prop_oneof![pattern_like().prop_map(String::into_bytes), prop::collection::vec(any::<u8>(), 0..500)],
        json: bool,
    ) {
        let format = if json { "json" } else { "text" };
        let outcome = Bench::new().run_with(&["check", "--format", format, "-"], &bytes);
        prop_assert!(matches!(outcome.status, Some(0..=2)), "{:?} {}", outcome.status, outcome.err);
        prop_assert!(!outcome.err.contains("panicked"), "{}", outcome.err);
    }
}
