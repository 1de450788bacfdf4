//! Words made of several: `FPdc`, `scinc`, `esc`, `fsc`; and the nearest known word to one that is not.

use crate::terms::near::is_one_slip;
use crate::terms::words::{self, Word};
use crate::terms::{Height, Into, Terms};

/// What a compound word says.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Compound {
    pub height: Option<Height>,
    pub hold: Option<Into>,
    pub extended: bool,
    pub foundation: bool,
    pub increase: bool,
    pub decrease: bool,
}

/// Takes a word in lower case apart, if all of its parts are known.
pub(super) fn split(word: &str, terms: Terms) -> Option<Compound> {
    let mut compound = Compound::default();
    let mut rest = word;
    for (prefix, hold) in [
        ("fp", Into::FrontPost),
        ("bp", Into::BackPost),
        ("blo", Into::BackLoop),
        ("flo", Into::FrontLoop),
        ("bl", Into::BackLoop),
        ("fl", Into::FrontLoop),
        ("inv", Into::FrontLoop),
        ("rf", Into::FrontPost),
        ("rb", Into::BackPost),
    ] {
        if let Some(tail) = rest.strip_prefix(prefix)
            && !tail.is_empty()
        {
            compound.hold = Some(hold);
            rest = tail;
            break;
        }
    }
    if let Some(height) = stitch(rest, terms) {
        compound.height = Some(height);
        return compound.hold.map(|_| compound);
    }
    for (suffix, increase) in [("inc", true), ("dec", false)] {
        if let Some(head) = rest.strip_suffix(suffix) {
            let height = stitch(head, terms);
            if height.is_none() && !head.is_empty() {
                continue;
            }
            if height.is_none() && compound.hold.is_none() {
                continue;
            }
            compound.height = height;
            compound.increase = increase;
            compound.decrease = !increase;
            return Some(compound);
        }
    }
    if compound.hold.is_some() {
        return None;
    }
    for (suffix, hold) in [
        ("blo", Into::BackLoop),
        ("flo", Into::FrontLoop),
        ("bl", Into::BackLoop),
        ("fl", Into::FrontLoop),
    ] {
        if let Some(height) = rest
            .strip_suffix(suffix)
            .and_then(|head| stitch(head, terms))
        {
            return Some(Compound {
                height: Some(height),
                hold: Some(hold),
                ..compound
            });
        }
    }
    // `rtrf`: raised treble front (a custom of UK texts; common practice, no source).
    for (suffix, hold) in [("f", Into::FrontPost), ("b", Into::BackPost)] {
        if let Some(height) = rest
            .strip_prefix('r')
            .and_then(|tail| tail.strip_suffix(suffix))
            .and_then(|stem| stitch(stem, terms))
            .filter(|h| *h > Height::Slip)
        {
            return Some(Compound {
                height: Some(height),
                hold: Some(hold),
                ..compound
            });
        }
    }
    // `scx12`: the number follows.
    if let Some(height) = rest
        .strip_suffix('x')
        .and_then(|head| stitch(head, terms))
        .filter(|h| *h > Height::Slip)
    {
        return Some(Compound {
            height: Some(height),
            ..compound
        });
    }
    if let Some(height) = rest
        .strip_prefix('e')
        .and_then(|tail| stitch(tail, terms))
        .filter(|h| *h > Height::Slip)
    {
        return Some(Compound {
            height: Some(height),
            extended: true,
            ..compound
        });
    }
    if let Some(height) = rest
        .strip_prefix('f')
        .and_then(|tail| stitch(tail, terms))
        .filter(|h| *h > Height::Slip)
    {
        return Some(Compound {
            height: Some(height),
            foundation: true,
            ..compound
        });
    }
    None
}

fn stitch(word: &str, terms: Terms) -> Option<Height> {
    match words::longest(|i| (i == 0).then_some(word), terms)? {
        (Word::Stitch(height), _) => Some(height),
        _ => None,
    }
}

/// The abbreviation that differs from `word` by one letter (left out, put in, changed, or two swapped), if just one kind of stitch does.
pub(super) fn nearest(word: &str, terms: Terms) -> Option<&'static str> {
    const COMMON: &[&str] = &[
        "sc", "inc", "dec", "hdc", "dc", "tr", "dtr", "ch", "invdec", "picot", "htr", "skip",
        "bobble", "puff", "around", "each", "next", "ring", "magic", "times", "repeat", "rep",
    ];
    let word = word.to_lowercase();
    let letters: Vec<char> = word.chars().take(16).collect();
    let known = |candidate: &&&str| {
        words::longest(|i| (i == 0).then_some(**candidate), terms).is_some()
            && is_one_slip(&letters, &candidate.chars().collect::<Vec<_>>())
    };
    COMMON.iter().find(known).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn compounds_come_apart() {
        let c = split("fpdc", Terms::Us).unwrap();
        assert_eq!(
            (c.height, c.hold),
            (Some(Height::Double), Some(Into::FrontPost))
        );
        assert!(split("hdcinc", Terms::Us).unwrap().increase);
        assert!(split("esc", Terms::Us).unwrap().extended);
        assert_eq!(split("fpwobble", Terms::Us), None);
        assert_eq!(split("inc", Terms::Us), None);
    }

    #[test]
    fn one_slip_finds_the_word_meant() {
        assert_eq!(nearest("scc", Terms::Us), Some("sc"));
        assert_eq!(nearest("icn", Terms::Us), Some("inc"));
        assert_eq!(nearest("hcd", Terms::Us), Some("hdc"));
        assert_eq!(nearest("gannet", Terms::Us), None);
    }
}
