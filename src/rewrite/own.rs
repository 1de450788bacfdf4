//! The pattern's own stitches: where the words of a round ask for one, it is written under its name.

use super::terms_left::words_of;
use crate::pattern::{Act, Definition, Instruction, Pattern, Repeat, Times, Work};
use crate::source::{Source, Span};
use crate::terms::{Stitch, Terms};

/// The stitches that a pattern defines, and the names to write them by.
pub(super) struct OwnStitches<'a> {
    source: &'a Source,
    terms: Terms,
    list: Vec<OwnStitch<'a>>,
}

struct OwnStitch<'a> {
    definition: &'a Definition,
    /// Every name, word by word, in lower case.
    names: Vec<Vec<String>>,
    /// The shortest of its names.
    short: String,
}

/// A stitch of the pattern's own, as some words ask for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Own<'a> {
    /// Its place among the definitions.
    pub place: usize,
    /// The name to write.
    pub name: &'a str,
}

impl<'a> OwnStitches<'a> {
    /// Looks at what a pattern defines.
    pub fn of(source: &'a Source, pattern: &'a Pattern) -> OwnStitches<'a> {
        let of = |definition: &'a Definition| {
            let words = definition.names.iter().map(|&name| source.slice(name));
            let names = definition.names.iter().map(|&name| lower(source, name));
            OwnStitch {
                definition,
                names: names.collect(),
                short: small(
                    words
                        .min_by_key(|name| name.chars().count())
                        .unwrap_or_default(),
                ),
            }
        };
        OwnStitches {
            source,
            terms: pattern.terms,
            list: pattern.definitions.iter().map(of).collect(),
        }
    }

    /// The stitch that a work makes, if its words name it and it is no more than that; and how many times it goes into
    /// each place.
    pub fn single(&self, work: &Work, words: Span) -> Option<(Own<'_>, u32)> {
        let own = self.named_in(words)?;
        let (stitch, each) = self.list[own.place].definition.single?;
        let is_new = !self.is_of_the_trade(work, own);
        let is_it = is_new && stitch == work.stitch && each > 0 && work.each.is_multiple_of(each);
        is_it.then(|| (own, work.each / each))
    }

    /// The stitch that a list came from, if its words name one and everything in it came from them.
    pub fn whole(&self, item: &Instruction) -> Option<(Own<'_>, u32)> {
        let Act::Repeat(Repeat {
            items,
            times: Times::Exactly(times),
            last_stops_after: None,
        }) = &item.act
        else {
            return None;
        };
        if !items.iter().all(|inner| inner.span == item.span) {
            return None;
        }
        let own = self.named_in(item.span)?;
        if let [
            Instruction {
                act: Act::Work(work),
                ..
            },
        ] = &items[..]
            && self.is_of_the_trade(work, own)
        {
            return None;
        }
        let is_list = self.list[own.place].definition.single.is_none();
        is_list.then_some((own, *times))
    }

    /// `spike st: spike stitch` defines nothing new.
    fn is_of_the_trade(&self, work: &Work, own: Own<'_>) -> bool {
        let form = work.stitch.form;
        let kind = work.stitch.height.map(|height| Stitch { height, form });
        kind.is_some_and(|kind| kind.abbreviation(self.terms) == own.name)
    }

    /// The own stitch with the longest name among some words.
    fn named_in(&self, words: Span) -> Option<Own<'_>> {
        if self.list.is_empty() {
            return None;
        }
        let words = lower(self.source, words);
        let longest = |own: &OwnStitch<'a>| {
            let named = own.names.iter().filter(|name| is_among(name, &words));
            named.map(Vec::len).max()
        };
        let found = self.list.iter().enumerate();
        let found = found.filter_map(|(place, own)| Some((longest(own)?, place)));
        // Of two of one name the later one holds, as in the reader.
        let (_, place) = found.max()?;
        Some(Own {
            place,
            name: &self.list[place].short,
        })
    }
}

/// A name inside a sentence: `Shell` as `shell`, but `V-st` as it stands.
fn small(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => name.to_owned(),
    }
}

fn lower(source: &Source, span: Span) -> Vec<String> {
    let words = words_of(source, span).into_iter();
    words.map(|word| word.lower).collect()
}

fn is_among(name: &[String], words: &[String]) -> bool {
    let is_same =
        |(word, name): (&String, &String)| word == name || word.strip_suffix('s') == Some(name);
    words
        .windows(name.len().max(1))
        .any(|run| run.iter().zip(name).all(is_same))
}
