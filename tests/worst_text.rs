//! The texts that the bench `worst_text` times come to an end within the limits.

#[path = "../benches/worst_text/texts.rs"]
mod texts;

use roundwright::source::{Source, limits};
use roundwright::{fabric, pattern};

/// Bytes of a text.
const SIZE: usize = 20_000;

#[test]
fn every_worst_text_stays_within_the_limits() {
    for (name, make) in texts::TEXTS {
        let source = Source::new("worst.md", make(SIZE));
        let (pattern, mut problems) = pattern::read(&source);
        let (fabric, more) = fabric::work(&pattern);
        problems.extend(more);
        let stitches: usize = fabric.pieces.iter().map(|piece| piece.stitches.len()).sum();
        let rounds = fabric.pieces.iter().map(|piece| piece.rounds.len()).max();
        assert!(stitches <= limits::STITCHES, "{name}: {stitches} stitches");
        assert!(
            rounds.unwrap_or(0) <= limits::ROUNDS,
            "{name}: {rounds:?} rounds"
        );
        assert!(
            fabric.pieces.len() <= limits::PIECES,
            "{name}: {} pieces",
            fabric.pieces.len()
        );
        for problem in &problems {
            source.slice(problem.span);
        }
    }
}

/// All doubts of a kind are settled alike, so that a thousand of them are no more readings than one.
#[test]
fn a_thousand_doubts_come_to_no_more_readings_than_one() {
    let doubtful = |times: usize| {
        let body = "inc 2, dec 2, 3 sc, sc inc, 2 sc in next 2 sts, ".repeat(times);
        let text = format!(
            "## Buoy\nRnd 1: ch 20000, join with sl st\nRnd 2: ch 2, {body}*sc; rep from * 2 times (7)\n"
        );
        let (pattern, unread) = pattern::read(&Source::new("doubts.md", text));
        let (_, problems) = fabric::work(&pattern);
        assert_eq!(unread, [], "all of it is read");
        problems
            .iter()
            .map(|problem| problem.code)
            .collect::<Vec<_>>()
    };
    assert_eq!(doubtful(1_000), doubtful(1));
}
