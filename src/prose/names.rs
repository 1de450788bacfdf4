//! Pieces as the words name them.

use std::collections::{BTreeMap, BTreeSet};

use super::Sentence;
use super::words::{self, Word};
use crate::pattern::Pattern;

/// The pieces by the words of their names.
pub(crate) struct Names {
    by_stem: BTreeMap<String, Vec<usize>>,
    stems: Vec<Vec<String>>,
}

impl Names {
    pub fn new(pattern: &Pattern) -> Names {
        let stems: Vec<Vec<String>> = pattern.pieces.iter().map(|p| stems(&p.name)).collect();
        let mut by_stem: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (place, stems) in stems.iter().enumerate() {
            for stem in stems {
                by_stem.entry(stem.clone()).or_default().push(place);
            }
        }
        Names { by_stem, stems }
    }

    /// The words of pieces' names in a sentence, with their places in it.
    pub fn in_sentence<'n>(
        &'n self,
        sentence: &Sentence<'_>,
    ) -> impl Iterator<Item = (usize, &'n str)> {
        let found: Vec<(usize, &str)> = sentence
            .words
            .iter()
            .enumerate()
            .filter_map(|(at, word)| {
                let (stem, _) = self.by_stem.get_key_value(&word.stem())?;
                let is_yarn = stem == "tail" && is_tail_of_yarn(&sentence.words, at);
                let is_place = stem == "side" && is_a_side(&sentence.words, at);
                (!is_yarn && !is_place).then_some((at, stem.as_str()))
            })
            .collect();
        found.into_iter()
    }

    /// The words of the names of a piece, for comparing.
    pub fn of(&self, piece: usize) -> &[String] {
        self.stems.get(piece).map_or(&[], Vec::as_slice)
    }

    /// All pieces with this word in their names.
    pub fn all(&self, stem: &str) -> &[usize] {
        self.by_stem.get(stem).map_or(&[], Vec::as_slice)
    }

    /// The only piece with this word in its name.
    pub fn only(&self, stem: &str) -> Option<usize> {
        match self.by_stem.get(stem)?.as_slice() {
            [piece] => Some(*piece),
            _ => None,
        }
    }

    /// True if a word of the piece's name is among these.
    pub fn is_among(&self, piece: usize, stems: &BTreeSet<&str>) -> bool {
        self.of(piece)
            .iter()
            .any(|stem| stems.contains(stem.as_str()))
    }
}

/// `To each side of the body`: where something goes and not a piece called `side fin`.
fn is_a_side(words: &[Word<'_>], at: usize) -> bool {
    const WHICH: &[&str] = &[
        "each", "either", "both", "left", "right", "wrong", "other", "one", "this", "that",
        "opposite",
    ];
    at > 0 && words[at - 1].is_any(WHICH)
}

/// `Leaving a tail of 20 cm`, `with the long tail`: the end of the yarn and not a piece of that name.
pub(crate) fn is_tail_of_yarn(words: &[Word<'_>], at: usize) -> bool {
    const PASSED: &[&str] = &[
        "a",
        "an",
        "the",
        "your",
        "its",
        "long",
        "short",
        "yarn",
        "sewing",
        "starting",
        "beginning",
        "cm",
        "inch",
        "in",
        "of",
        "about",
        "both",
    ];
    const OF_YARN: &[&str] = &[
        "leave", "leaving", "left", "with", "using", "use", "weave", "weaving", "thread", "pull",
        "hide", "cut", "knot", "through",
    ];
    let mut before = words[..at].iter().rev();
    let decides = before.find(|word| !word.is_any(PASSED) && word.number().is_none());
    decides.is_some_and(|word| word.is_any(OF_YARN))
}

/// The words of a name, without those that only tell copies apart.
fn stems(name: &str) -> Vec<String> {
    const SAYS_NOTHING: &[&str] = &[
        "and", "the", "of", "a", "for", "with", "left", "right", "first", "second", "upper",
        "lower", "part", "piece", "top", "small", "large", "big", "little", "main", "in", "to",
    ];
    words::split(name, 0)
        .filter(|word| !word.is_any(SAYS_NOTHING) && word.number().is_none())
        .map(|word| word.stem())
        .collect()
}
