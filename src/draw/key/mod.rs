//! The key: each symbol that the charts use, with its abbreviation and name, the yarns, and the marks; and the sheet of all symbols.

mod collect;
mod picture;
mod sample;
mod sheet;
mod whole;

pub use sheet::key_svg;
pub use whole::whole_key_svg;

use super::Look;
use crate::fabric::Yarn;
use crate::terms::{Hand, Height, Into, Stitch, Terms};

/// What a key lists.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Key {
    /// The pattern's title, or an empty string.
    pub title: String,
    /// The custom in which stitches are named.
    pub terms: Terms,
    /// The hand that the charts are drawn for: a left-hander's symbols are the mirror image.
    pub hand: Hand,
    /// The symbols, in the order of the key.
    pub entries: Vec<KeyEntry>,
    /// The yarns.
    pub yarns: Vec<Yarn>,
    /// The marks.
    pub marks: Vec<KeyMark>,
    /// Its look: that of the charts.
    pub look: Look,
}

/// A symbol of the key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum KeyEntry {
    /// The magic ring.
    Ring,
    /// A stitch, or several of a kind in one place.
    Stitch {
        /// Which stitch.
        kind: Stitch,
        /// What it is worked into, as it looks from the side that is drawn.
        into: Into,
        /// How many are in one place: 1, or more for an increase.
        count: u8,
    },
    /// A picot.
    Picot,
}

/// A mark of the key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum KeyMark {
    /// Where a chart starts, and which way it is read.
    Start,
    /// The number of a round with the stitches that it leaves.
    Number,
    /// Where an eye goes through.
    Eye,
    /// Stitches that join another piece.
    Join,
    /// A change of yarn.
    YarnChange,
    /// A yarn joined in anew.
    JoinYarn,
    /// The yarn cut and drawn through.
    FastenOff,
    /// A slip stitch on the face of the fabric.
    Surface,
    /// A stitch that is left unworked.
    Skip,
    /// The work turned at the end of a row.
    Turn,
    /// A stitch that gets a marker.
    Marker,
}

impl KeyEntry {
    /// What the words of the pattern call it.
    pub fn abbreviation(self, terms: Terms) -> String {
        match self {
            KeyEntry::Ring => "MR".to_owned(),
            KeyEntry::Picot => "picot".to_owned(),
            KeyEntry::Stitch { kind, into, count } => {
                let before = match into {
                    Into::FrontLoop => "FLO ",
                    Into::BackLoop => "BLO ",
                    Into::FrontPost => "FP",
                    Into::BackPost => "BP",
                    _ => "",
                };
                let stitch = kind.abbreviation(terms);
                let single = kind == Stitch::plain(Height::Single);
                match count {
                    0 | 1 => format!("{before}{stitch}"),
                    2 if single => format!("{before}inc"),
                    _ => format!("{before}{count} {stitch} in 1 st"),
                }
            }
        }
    }

    /// Its full name.
    pub fn name(self, terms: Terms) -> String {
        match self {
            KeyEntry::Ring => "magic ring".to_owned(),
            KeyEntry::Picot => "small loop of chains".to_owned(),
            KeyEntry::Stitch { kind, into, count } => {
                let stitch = kind.name(terms);
                match (count, into) {
                    (0 | 1, Into::FrontLoop) => format!("{stitch}, front loop only"),
                    (0 | 1, Into::BackLoop) => format!("{stitch}, back loop only"),
                    (0 | 1, Into::FrontPost) => format!("front post {stitch}"),
                    (0 | 1, Into::BackPost) => format!("back post {stitch}"),
                    (0 | 1, _) => stitch,
                    (_, Into::FrontLoop) => format!("{count} {stitch} in one front loop"),
                    (_, Into::BackLoop) => format!("{count} {stitch} in one back loop"),
                    (_, Into::FrontPost | Into::BackPost) => {
                        format!("{count} {stitch} round one post")
                    }
                    _ => format!("{count} {stitch} in one stitch"),
                }
            }
        }
    }
}

impl KeyMark {
    /// Its name and what it means; the latter may be empty.
    fn words(self, terms: Terms) -> (&'static str, &'static str) {
        match self {
            KeyMark::Start => ("start", "in the direction of work"),
            KeyMark::Number => ("round 3", "and its 18 stitches"),
            KeyMark::Eye => ("eye", "between two rounds"),
            KeyMark::Join => ("join a piece", "work through its stitches too"),
            KeyMark::YarnChange => ("change yarn", "in the last yarn-over"),
            KeyMark::JoinYarn => ("join yarn", ""),
            KeyMark::FastenOff => ("fasten off", ""),
            KeyMark::Surface => match terms {
                Terms::Us => ("surface sl st", "on finished fabric"),
                Terms::Uk => ("surface ss", "on finished fabric"),
            },
            KeyMark::Skip => match terms {
                Terms::Us => ("skip", "leave a stitch unworked"),
                Terms::Uk => ("miss", "leave a stitch unworked"),
            },
            KeyMark::Turn => ("turn", "the other side faces you"),
            KeyMark::Marker => ("marker, PM", "mark this stitch"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stitch(height: Height, into: Into, count: u8) -> KeyEntry {
        KeyEntry::Stitch {
            kind: Stitch::plain(height),
            into,
            count,
        }
    }

    /// US and UK names: okeydokeys.com, "How to read crochet abbreviations".
    #[test]
    fn entries_are_named_in_the_terms_of_the_pattern() {
        let short = stitch(Height::Single, Into::Stitch, 1);
        assert_eq!(short.abbreviation(Terms::Us), "sc");
        assert_eq!(short.abbreviation(Terms::Uk), "dc");
        assert_eq!(short.name(Terms::Uk), "double crochet");
    }

    /// Abbreviations: common practice, no source.
    #[test]
    fn entries_say_where_and_how_many() {
        let cases = [
            (
                stitch(Height::Single, Into::Stitch, 2),
                "inc",
                "2 single crochet in one stitch",
            ),
            (
                stitch(Height::Single, Into::BackLoop, 1),
                "BLO sc",
                "single crochet, back loop only",
            ),
            (
                stitch(Height::Double, Into::FrontPost, 1),
                "FPdc",
                "front post double crochet",
            ),
            (
                stitch(Height::Double, Into::Stitch, 3),
                "3 dc in 1 st",
                "3 double crochet in one stitch",
            ),
        ];
        for (entry, short, long) in cases {
            assert_eq!(entry.abbreviation(Terms::Us), short);
            assert_eq!(entry.name(Terms::Us), long);
        }
    }
}
