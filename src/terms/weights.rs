//! Weights of yarn, as labels name them.

/// A weight of yarn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Weight {
    /// Its number.
    pub number: u8,
    /// Its name.
    pub name: &'static str,
    /// Other words for it, in lower case.
    kinds: &'static [&'static str],
    /// Single crochet to 4 inches, the fewest and the most.
    pub sc_in_4_inches: (u32, u32),
}

/// The Craft Yarn Council's Standard Yarn Weight System, as reprinted in Crochet World, October 2018, p. 64; the
/// thinnest, whose gauge is given in another stitch, and the thickest, of which there is no least number, have the range as printed.
const WEIGHTS: &[Weight] = &[
    Weight {
        number: 0,
        name: "lace",
        kinds: &["thread"],
        sc_in_4_inches: (32, 42),
    },
    Weight {
        number: 1,
        name: "super fine",
        kinds: &["sock", "fingering"],
        sc_in_4_inches: (21, 32),
    },
    Weight {
        number: 2,
        name: "fine",
        kinds: &["sport", "baby"],
        sc_in_4_inches: (16, 20),
    },
    Weight {
        number: 3,
        name: "light",
        kinds: &["light worsted", "dk"],
        sc_in_4_inches: (12, 17),
    },
    Weight {
        number: 4,
        name: "medium",
        kinds: &["worsted", "afghan", "aran"],
        sc_in_4_inches: (11, 14),
    },
    Weight {
        number: 5,
        name: "bulky",
        kinds: &["chunky", "craft", "rug"],
        sc_in_4_inches: (8, 11),
    },
    Weight {
        number: 6,
        name: "super bulky",
        kinds: &["super chunky", "roving"],
        sc_in_4_inches: (6, 9),
    },
    Weight {
        number: 7,
        name: "jumbo",
        kinds: &[],
        sc_in_4_inches: (1, 5),
    },
];

impl Weight {
    /// The weight that some words name: `DK`, `worsted weight`, `super bulky`. The longest name that is there wins.
    pub fn named_in(words: &str) -> Option<Weight> {
        let lower = words.to_lowercase();
        let is_there = |name: &&str| {
            lower.match_indices(*name).any(|(at, name)| {
                let before = lower[..at].chars().next_back();
                let after = lower[at + name.len()..].chars().next();
                let parts = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
                parts(before) && parts(after)
            })
        };
        // A name such as `light` may be a word of the colour; those of one weight alone are sure.
        let by_kind = WEIGHTS.iter().flat_map(|weight| {
            let kinds = weight.kinds.iter().copied().filter(is_there);
            kinds.map(move |kind| (kind.len(), *weight))
        });
        let sure = ["lace", "super fine", "super bulky", "bulky", "jumbo"];
        let by_name = WEIGHTS
            .iter()
            .filter(|weight| sure.contains(&weight.name) && is_there(&weight.name))
            .map(|weight| (weight.name.len(), *weight));
        let mut found: Option<(usize, Weight)> = None;
        for (length, weight) in by_kind.chain(by_name) {
            if found.is_none_or(|(longest, _)| length > longest) {
                found = Some((length, weight));
            }
        }
        found.map(|(_, weight)| weight)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Crochet World, October 2018, p. 64.
    #[test]
    fn weights_are_known_by_their_names() {
        let number = |words: &str| Weight::named_in(words).map(|weight| weight.number);
        assert_eq!(number("charcoal, DK, 50 g = 125 m"), Some(3));
        assert_eq!(number("worsted"), Some(4));
        assert_eq!(number("light worsted"), Some(3));
        assert_eq!(number("Super chunky, red"), Some(6));
        assert_eq!(number("light blue cotton"), None);
        assert_eq!(number("darkness"), None);
    }
}
