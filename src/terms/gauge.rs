//! How large stitches are, as a line on gauge says it.

use super::lengths::lengths;
use crate::source::words::Word;

/// The widest and narrowest stitch that a gauge is believed to tell, in mm.
pub(crate) const BELIEVED_MM: (f64, f64) = (0.5, 100.0);

/// The width of a stitch in mm: `22 sts and 24 rnds = 10 cm`.
pub(crate) fn stitch_mm(words: &[Word<'_>]) -> Option<f64> {
    const STITCHES: &[&str] = &[
        "st", "sts", "stitch", "stitches", "sc", "dc", "hdc", "tr", "htr",
    ];
    size(words, STITCHES)
}

/// The height of a round in mm: `16 sts = 4 in, 18 rows = 4 in`.
pub(crate) fn round_mm(words: &[Word<'_>]) -> Option<f64> {
    const ROUNDS: &[&str] = &[
        "rnd", "rnds", "round", "rounds", "rd", "rds", "row", "rows", "r",
    ];
    size(words, ROUNDS)
}

/// The length that a count of such things is followed by, or else the first of all, divided by the count.
fn size(words: &[Word<'_>], names: &[&str]) -> Option<f64> {
    let at = words
        .windows(2)
        .position(|pair| pair[0].number().is_some() && pair[1].is_any(names))?;
    let count = words[at].number()?;
    let (_, length) = lengths(words)
        .find(|&(place, _)| place > at)
        .or_else(|| lengths(words).next())?;
    let size = length.mm / count;
    (BELIEVED_MM.0..=BELIEVED_MM.1)
        .contains(&size)
        .then_some(size)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::words;

    #[test]
    fn stitches_and_rounds_have_the_length_that_follows_them() {
        let read = |text: &str| {
            let words: Vec<Word<'_>> = words::split(text, 0).collect();
            (stitch_mm(&words), round_mm(&words))
        };
        assert_eq!(read("20 sts and 25 rnds = 10 cm"), (Some(5.0), Some(4.0)));
        assert_eq!(
            read("16 sts = 4 in, 20 rows = 5 in"),
            (Some(6.35), Some(6.35))
        );
        assert_eq!(read("10 cm = 20 rounds"), (None, Some(5.0)));
        assert_eq!(read("Rounds 1-2 = 5 cm across"), (None, None));
        assert_eq!(read("0 sts = 10 cm"), (None, None));
    }
}
