//! Whatever comes in, the program answers: nothing panics, and the same input gives the same output.

use proptest::prelude::*;

use crate::run::Bench;
use crate::stages;

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

proptest! {
    #![proptest_config(crate::cases::cases(256))]

    #[test]
    fn any_text_goes_through_every_stage_twice_alike(text in prop_oneof![pattern_like(), any::<String>()]) {
        prop_assert!(stages::comes_to_the_same_twice(&text));
    }
}

proptest! {
    #![proptest_config(crate::cases::cases(32))]

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
