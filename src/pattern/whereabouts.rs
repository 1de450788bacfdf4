//! Where something goes, as words tell it: rounds, stitches, and how far apart.

use crate::source::words::Word;

/// The labels of rounds.
const ROUNDS: &[&str] = &[
    "rnd", "rnds", "round", "rounds", "rd", "rds", "r", "row", "rows",
];
/// What follows the number of an ordinal.
const ENDINGS: &[&str] = &["st", "nd", "rd", "th"];

/// Rounds that words name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rounds {
    pub first: u32,
    pub last: u32,
    /// It is the place between two rounds that follow one another.
    pub between: bool,
}

impl Rounds {
    fn new(first: u32, last: u32, between: bool) -> Option<Rounds> {
        // `Between Rnds 9 and 8` is one place; `over Rnds 9 to 8` is none.
        let between = between && first.abs_diff(last) == 1;
        (first <= last || between).then(|| Rounds {
            first: first.min(last),
            last: first.max(last),
            between,
        })
    }
}

/// The rounds that the words name: `between Rnds 9 and 10`, `over Rnds 9 to 12`, `R6`, `rounds 15-18`, `the 8th and the 9th round`.
pub(crate) fn rounds(words: &[Word<'_>]) -> Option<Rounds> {
    let label = words.iter().enumerate().find(|(at, word)| {
        word.is_any(ROUNDS)
            && words
                .get(at + 1)
                .is_some_and(|next| next.whole_number().is_some())
    });
    let Some((at, _)) = label else {
        return by_ordinals(words);
    };
    let first = words[at + 1].whole_number()?;
    let mut rest = words[at + 2..]
        .iter()
        .take(3)
        .filter(|word| !word.is_any(ROUNDS));
    let linked = rest.next();
    let last = match linked {
        Some(word) if word.is_any(&["and", "to", "through"]) => {
            rest.next().and_then(Word::whole_number)
        }
        Some(word)
            if word
                .whole_number()
                .is_some_and(|n| n > first && n - first < 60) =>
        {
            word.whole_number()
        }
        _ => None,
    };
    Rounds::new(first, last.unwrap_or(first), says_between(&words[..at]))
}

/// `The 8th and the 9th round`.
fn by_ordinals(words: &[Word<'_>]) -> Option<Rounds> {
    let label = words.iter().position(|word| word.is_any(ROUNDS))?;
    let from = (0..label).rev().find(|&at| !links_ordinals(words, at));
    let from = from.map_or(0, |at| at + 1);
    let mut numbers = (from..label)
        .filter(|&at| is_ordinal(words, at))
        .filter_map(|at| words[at].whole_number());
    let first = numbers.next()?;
    let last = numbers.next().unwrap_or(first);
    Rounds::new(first, last, says_between(&words[..from]))
}

/// True for an ordinal's number, its ending, and the words between two ordinals.
fn links_ordinals(words: &[Word<'_>], at: usize) -> bool {
    is_ordinal(words, at)
        || at > 0 && is_ordinal(words, at - 1)
        || words[at].is_any(&["and", "to", "the"])
}

fn is_ordinal(words: &[Word<'_>], at: usize) -> bool {
    words[at].whole_number().is_some()
        && words
            .get(at + 1)
            .is_some_and(|next| next.is_any(ENDINGS) && next.span.start == words[at].span.end)
}

/// True if the last of some words say `between`.
fn says_between(words: &[Word<'_>]) -> bool {
    words.iter().rev().take(3).any(|word| word.is("between"))
}

/// Words on one eye and on the other: `the right eye between …, and the left eye between …`, `one between … and the other …`.
pub(crate) fn one_and_other<'w, 't>(
    words: &'w [Word<'t>],
) -> Option<(&'w [Word<'t>], &'w [Word<'t>])> {
    const ONE: &[&str] = &["right", "left", "first", "one"];
    const OTHER: &[&str] = &["right", "left", "second", "other"];
    let one = words.iter().position(|word| word.is_any(ONE))?;
    let other = (one + 1..words.len()).find(|&at| {
        let mut before = words[one + 1..at].iter().rev().take(2);
        words[at].is_any(OTHER) && before.any(|word| word.is("and"))
    })?;
    let (one, other) = words.split_at(other);
    (!named_stitches(one).is_empty() && !named_stitches(other).is_empty()).then_some((one, other))
}

/// Numbers of stitches: `the 15th and the 22nd st`, `stitch 9`, `sts 5 and 12`.
pub(crate) fn named_stitches(words: &[Word<'_>]) -> Vec<u32> {
    const STITCH: &[&str] = &["st", "sts", "stitch", "stitches"];
    let is_ordinal = |at: usize| is_ordinal(words, at);
    // `The 8th and the 9th round` are no stitches: for each word, whether the noun after it is a round's.
    let mut of_round = vec![false; words.len()];
    let mut noun_is_round = false;
    for at in (0..words.len()).rev() {
        if !links_ordinals(words, at) {
            noun_is_round = words[at].is_any(ROUNDS);
        }
        of_round[at] = noun_is_round;
    }
    let mut numbers = Vec::new();
    let mut after_stitch = false;
    for (at, word) in words.iter().enumerate() {
        match word.whole_number() {
            Some(number) if is_ordinal(at) && !of_round[at] => numbers.push(number),
            Some(number) if after_stitch => numbers.push(number),
            _ if word.is_any(STITCH) => {
                // `22nd st` and `6 sts` end a number; `stitch 9` opens one.
                let ends_a_number = at > 0
                    && (is_ordinal(at - 1) || words[at - 1].whole_number().is_some())
                    || at > 1 && is_ordinal(at - 2);
                after_stitch = !ends_a_number;
            }
            _ if word.is_any(&["and", "to", "the", "no", "number"]) => {}
            _ => after_stitch = false,
        }
    }
    numbers
}

/// `6 sts apart`, `with 4 stitches between them`: stitches that lie between two (common practice, no source).
pub(crate) fn apart(words: &[Word<'_>]) -> Option<u32> {
    words.windows(3).find_map(|trio| {
        let is_so = trio[1].is_any(&["st", "sts", "stitch", "stitches"])
            && trio[2].is_any(&["apart", "between"]);
        trio[0]
            .number()
            .filter(|n| is_so && *n < 200.0)
            .map(|n| n as u32)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::words;

    fn split(text: &str) -> Vec<Word<'_>> {
        words::split(text, 0).collect()
    }

    #[test]
    fn rounds_are_found_in_the_usual_words() {
        let told = |text: &str| rounds(&split(text)).map(|r| (r.first, r.last, r.between));
        assert_eq!(
            told("Insert eyes between Rnds 9 and 10"),
            Some((9, 10, true))
        );
        assert_eq!(
            told("Insert eyes between Rnd 9 and Rnd 10"),
            Some((9, 10, true))
        );
        assert_eq!(told("Sew the beak over Rnds 9 to 12"), Some((9, 12, false)));
        assert_eq!(told("Sew the arms to R6"), Some((6, 6, false)));
        assert_eq!(
            told("sew the tail between rounds 15-18"),
            Some((15, 18, false))
        );
        assert_eq!(
            told("eyes between the 8th and the 9th round"),
            Some((8, 9, true))
        );
        assert_eq!(told("eyes between Rnds 9 and 8"), Some((8, 9, true)));
        assert_eq!(told("sew the tail on"), None);
    }

    #[test]
    fn stitches_are_numbers_with_their_word_and_not_numbers_of_stitches() {
        assert_eq!(
            named_stitches(&split("through the 15th and the 22nd st, 6 sts apart")),
            [15, 22]
        );
        assert_eq!(
            named_stitches(&split("through the 15th and 22nd st, Rnd 9")),
            [15, 22]
        );
        assert_eq!(
            named_stitches(&split("at stitch 9, with 7 stitches between")),
            [9]
        );
        assert_eq!(named_stitches(&split("on sts 5 and 12")), [5, 12]);
        assert_eq!(named_stitches(&split("6 sts apart")), [0; 0]);
        assert_eq!(
            named_stitches(&split("between the 8th and the 9th round, at the 4th st")),
            [4]
        );
    }
}
