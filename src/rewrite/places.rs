//! Where stitches go, in words: `next 6 sts`, `each ch-1 sp around`, `2nd ch from hook`.

use crate::pattern::{Over, Target};

/// What the words around a place decide.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Around {
    /// Worked to and fro: `across`.
    pub is_row: bool,
    /// Stitches stand before it in the round: `each remaining st`.
    pub goes_on: bool,
    /// The work goes along a chain: `last ch`.
    pub on_chain: bool,
    /// The last place was a space: `same sp`.
    pub on_space: bool,
    /// Several stitches go into each place.
    pub several: bool,
}

/// The words of a place, without preposition; `None` where there are none.
pub(super) fn place(over: Over, target: Target, around: Around) -> Option<String> {
    if let Target::Deeper(rounds) = target {
        return deeper(over, rounds, around);
    }
    let (one, many) = match target {
        Target::Next => ("st".to_owned(), "sts".to_owned()),
        Target::NextChain => ("ch".to_owned(), "ch".to_owned()),
        Target::Space(Some(n)) => (format!("ch-{n} sp"), format!("ch-{n} sps")),
        Target::Space(None) => ("ch sp".to_owned(), "ch sps".to_owned()),
        Target::Corner => ("corner".to_owned(), "corners".to_owned()),
        Target::StitchOrChain => ("st and ch".to_owned(), String::new()),
        Target::StitchOrSpace => ("st and ch sp".to_owned(), String::new()),
        other => return single(other, around),
    };
    Some(match over {
        Over::Count(1) | Over::Whole(1) => format!("next {one}"),
        Over::Count(_) | Over::Whole(_) if many.is_empty() => return None,
        Over::Count(n) | Over::Whole(n) if around.several => format!("each of next {n} {many}"),
        Over::Count(n) | Over::Whole(n) => format!("next {n} {many}"),
        Over::Rest if around.goes_on && target == Target::Next => format!("each remaining {one}"),
        Over::Rest if around.is_row => format!("each {one} across"),
        Over::Rest => format!("each {one} around"),
        Over::ToCorner => format!("each {one} to corner"),
        Over::ToLast(1) => format!("each {one} to last st"),
        Over::ToLast(n) => format!("each {one} to last {n} sts"),
    })
}

/// `next 2 sts 2 rounds below`.
fn deeper(over: Over, rounds: u32, around: Around) -> Option<String> {
    let next = match over {
        Over::Rest => "each st".to_owned(),
        Over::ToLast(_) | Over::ToCorner => return None,
        over => place(over, Target::Next, around)?,
    };
    let line = if around.is_row { "rows" } else { "rounds" };
    Some(format!("{next} {} {line} below", rounds + 1))
}

/// Places that there is one of.
fn single(target: Target, around: Around) -> Option<String> {
    let stitch = if around.on_chain { "ch" } else { "st" };
    Some(match target {
        Target::Same if around.on_space => "same sp".to_owned(),
        Target::Same => format!("same {stitch}"),
        Target::Ring => "ring".to_owned(),
        Target::NewRing => "magic ring".to_owned(),
        Target::FromHook(n) => format!("{} ch from hook", ordinal(n)),
        Target::FirstChain => "first ch".to_owned(),
        Target::Last => format!("last {stitch}"),
        Target::First => "first st".to_owned(),
        Target::Skipped => "first skipped st".to_owned(),
        Target::JustSkipped => "skipped st".to_owned(),
        _ => return None,
    })
}

/// `1st`, `2nd`, `11th`.
pub(super) fn ordinal(n: u32) -> String {
    let ending = match (n % 10, n % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}

/// `first`, `second`, `third`, `4th`.
pub(super) fn ordinal_word(n: u32) -> String {
    match n {
        1 => "first".to_owned(),
        2 => "second".to_owned(),
        3 => "third".to_owned(),
        n => ordinal(n),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_read_as_makers_say_them() {
        let plain = Around::default();
        let said = |over, target| place(over, target, plain).unwrap();
        assert_eq!(said(Over::Count(1), Target::Next), "next st");
        assert_eq!(said(Over::Count(6), Target::NextChain), "next 6 ch");
        assert_eq!(
            said(Over::Rest, Target::Space(Some(2))),
            "each ch-2 sp around"
        );
        assert_eq!(said(Over::ToLast(2), Target::Next), "each st to last 2 sts");
        assert_eq!(
            said(Over::Count(1), Target::FromHook(2)),
            "2nd ch from hook"
        );
        assert_eq!(
            said(Over::Count(3), Target::Deeper(1)),
            "next 3 sts 2 rounds below"
        );
        assert_eq!(place(Over::Count(2), Target::StitchOrSpace, plain), None);
        assert_eq!(
            [1, 11, 22, 113].map(ordinal).join(" "),
            "1st 11th 22nd 113th"
        );
    }
}
