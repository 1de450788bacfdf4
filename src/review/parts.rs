//! Pieces as the words name them, and the words by which one is fastened to another.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::{Draft, Sentence};
use crate::pattern::Pattern;
use crate::prose::words;

/// Words that say that one piece is fastened to another.
pub(super) const FASTEN: &[&str] = &[
    "sew",
    "sewn",
    "sewing",
    "whipstitch",
    "attach",
    "attached",
    "attaching",
    "join",
    "joined",
    "joining",
    "tie",
    "tied",
    "fix",
    "glue",
    "hang",
    "slide",
    "thread",
    "pin",
    "tack",
    "crocheted",
    "insert",
    "slip",
    "tuck",
];

/// Words that say that one piece is sewn to another.
pub(super) const SEW: &[&str] = &["sew", "sewn", "sewing", "whipstitch"];

/// The pieces by the words of their names.
pub(super) struct Names {
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
                Some((at, stem.as_str()))
            })
            .collect();
        found.into_iter()
    }

    /// The words of the names of a piece, for comparing.
    pub fn of(&self, piece: usize) -> &[String] {
        self.stems.get(piece).map_or(&[], Vec::as_slice)
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

/// True if the pattern tells how its pieces come together.
pub(super) fn tells_assembly(draft: &Draft<'_>) -> bool {
    draft
        .fabric
        .pieces
        .iter()
        .any(|piece| !piece.joins.is_empty())
        || draft
            .below_the_header()
            .any(|sentence| !sentence.in_round && sentence.has(&["sew", "sewn", "attach"]))
}

/// How rounds join a piece into others.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Joined {
    /// Copies of it, over all copies of the pieces that it is joined into.
    pub copies: usize,
    /// The highest number of a copy that is named.
    pub highest: u32,
}

/// For each piece, how rounds join it into others.
pub(super) fn joined(draft: &Draft<'_>) -> Vec<Joined> {
    let pieces = &draft.fabric.pieces;
    let mut all = vec![Joined::default(); pieces.len()];
    for host in pieces {
        let copies: BTreeSet<(usize, u32)> = host
            .joins
            .iter()
            .map(|join| (join.part, join.copy))
            .collect();
        for (part, copy) in copies {
            if let Some(joined) = all.get_mut(part) {
                joined.copies += host.make as usize;
                joined.highest = joined.highest.max(copy);
            }
        }
    }
    all
}
