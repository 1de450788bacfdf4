//! Patterns of a known size.

use std::fmt::Write;

/// Rounds of the growing piece.
const ROUNDS: u32 = 47;

/// A piece of 1,000 stitches: 5 more a round to 80, then 4 even rounds.
pub fn toy() -> String {
    let mut text = "## Body\nRnd 1: 5 sc in a magic ring (5)\n".to_owned();
    for round in 2..=16 {
        let _ = writeln!(
            text,
            "Rnd {round}: ({} sc, inc) x 5 ({})",
            round - 2,
            round * 5
        );
    }
    text.replace("(0 sc, inc)", "(inc)") + "Rnds 17-20: sc in each st around (80)\n"
}

/// A piece of so many stitches in 47 rounds from 6 on, each so many times the one before, as a hyperbolic plane grows
/// (Henderson and Taimina, "Crocheting the hyperbolic plane", 2001; the ratio from memory).
pub fn growing(stitches: u32) -> String {
    let counts = counts(stitches);
    let mut text = "## Surface\nRnd 1: 6 sc in a magic ring (6)\n".to_owned();
    for (round, pair) in counts.windows(2).enumerate() {
        let (below, count) = (pair[0], pair[1]);
        let increases = count - below;
        let _ = write!(text, "Rnd {}: ", round + 2);
        _ = match below.checked_div(increases) {
            None => write!(text, "sc in each st around"),
            Some(1) => write!(text, "(inc) x {increases}"),
            Some(group) => write!(text, "({} sc, inc) x {increases}", group - 1),
        };
        if increases > 0 && below % increases > 0 {
            _ = write!(text, ", {} sc", below % increases);
        }
        let _ = writeln!(text, " ({count})");
    }
    text
}

/// Counts that grow in proportion and come to the sum; the last rounds up what is left over.
fn counts(sum: u32) -> Vec<u32> {
    let with = |ratio: f64| -> Vec<u32> {
        let grown = std::iter::successors(Some(6.0), |count| Some(count * ratio));
        grown
            .take(ROUNDS as usize)
            .map(|count: f64| count.round() as u32)
            .collect()
    };
    let (mut low, mut high) = (1.0, 2.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        match with(middle)
            .iter()
            .map(|&count| u64::from(count))
            .sum::<u64>()
            <= u64::from(sum)
        {
            true => low = middle,
            false => high = middle,
        }
    }
    let mut counts = with(low);
    let missing = sum - counts.iter().sum::<u32>();
    *counts.last_mut().expect("47 rounds") += missing;
    counts
}
