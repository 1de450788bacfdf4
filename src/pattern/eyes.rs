//! Where eyes go, as their sentence says it.

use super::lex::{Kind, Token};
use super::tree::EyePlace;

/// The place that the words of a step on eyes name: `between Rnds 8 and 9, 6 sts apart`, `through the 15th and the 22nd st`.
pub(super) fn place(tokens: &[Token<'_>]) -> EyePlace {
    EyePlace {
        rounds: rounds(tokens),
        apart: apart(tokens),
        stitches: stitches(tokens),
    }
}

/// The two numbers after `between`, where they follow one another: in the order of work.
fn rounds(tokens: &[Token<'_>]) -> Option<(u32, u32)> {
    let between = tokens.iter().position(|token| token.is("between"))?;
    let after = tokens[between + 1..]
        .iter()
        .take_while(|token| !matches!(token.kind, Kind::Comma | Kind::Semicolon | Kind::Stop));
    let mut numbers = after.filter_map(number);
    let (one, other) = (numbers.next()?, numbers.next()?);
    (one.abs_diff(other) == 1).then_some((one.min(other), one.max(other)))
}

/// The number of `6 sts apart`.
fn apart(tokens: &[Token<'_>]) -> Option<u32> {
    let end = tokens.iter().position(|token| token.is("apart"))?;
    let (count, stitches) = (
        tokens.get(end.checked_sub(2)?)?,
        tokens.get(end.checked_sub(1)?)?,
    );
    let is_stitches = ["st", "sts", "stitch", "stitches"]
        .iter()
        .any(|word| stitches.is(word));
    number(count).filter(|_| is_stitches)
}

/// The two ordinals of `the 15th and the 22nd st`.
fn stitches(tokens: &[Token<'_>]) -> Option<(u32, u32)> {
    let is_ending = |token: &Token<'_>| {
        let endings = ["st", "nd", "rd", "th"];
        !token.spaced && endings.iter().any(|ending| token.is(ending))
    };
    let mut ordinals = tokens
        .windows(2)
        .filter(|pair| is_ending(&pair[1]))
        .filter_map(|pair| number(&pair[0]));
    let (one, other) = (ordinals.next()?, ordinals.next()?);
    (ordinals.next().is_none() && one < other && one > 0).then_some((one, other))
}

fn number(token: &Token<'_>) -> Option<u32> {
    match token.kind {
        Kind::Number(number) => Some(number),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::lex::lex;
    use super::*;
    use crate::source::Span;

    fn read(words: &str) -> EyePlace {
        place(&lex(words, Span::new(0, words.len())))
    }

    /// Ways of telling it: common practice, no source.
    #[test]
    fn rounds_distance_and_stitches_are_read_where_they_are_told() {
        let between = EyePlace {
            rounds: Some((8, 9)),
            ..EyePlace::default()
        };
        let apart = EyePlace {
            apart: Some(6),
            ..between
        };
        assert_eq!(read("eyes between Rnds 8 and 9, 6 sts apart"), apart);
        assert_eq!(read("eyes between R8 & R9"), between);
        let through = EyePlace {
            stitches: Some((15, 22)),
            ..apart
        };
        assert_eq!(
            read("eyes between Rnds 8 and 9, through the 15th and the 22nd st, 6 stitches apart"),
            through
        );
        assert_eq!(read("eyes 3 cm apart"), EyePlace::default());
        assert_eq!(read("eyes between Rnds 9 and 12"), EyePlace::default());
        assert_eq!(
            read("eyes in the 22nd and the 15th st"),
            EyePlace::default()
        );
    }
}
