//! What a written pattern says, as a tree with a place in the text for everything.

mod act;

pub use self::act::*;
use crate::source::{Span, limits};
use crate::terms::{Hand, Terms};

/// A whole pattern.
#[derive(Debug, Clone, Default)]
pub struct Pattern {
    /// The title, if there is one.
    pub title: Option<Spanned<String>>,
    /// What stands before the first piece in the form `Key: value`.
    pub header: Header,
    /// The custom of its stitch names.
    pub terms: Terms,
    /// Its pieces, in the order of the text.
    pub pieces: Vec<Piece>,
    /// Its own stitches, in the order of the lines that define them.
    pub definitions: Vec<Definition>,
}

/// A stitch of the pattern's own: `Bobble (bo): 5 dc together in one stitch`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Definition {
    /// The names that it goes by, in the words of its line; letters of a chart's code are none.
    pub names: Vec<Span>,
    /// The stitch, and how many of it go into one place, where that is all there is to it.
    pub single: Option<(StitchWord, u32)>,
    /// The line.
    pub span: Span,
}

/// A value with the words it was read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spanned<T> {
    /// What was read.
    pub value: T,
    /// The words.
    pub span: Span,
}

/// The header's lines.
#[derive(Debug, Clone, Default)]
pub struct Header {
    /// `Terms: US`.
    pub terms: Option<Spanned<Terms>>,
    /// `Hand: right`.
    pub hand: Option<Spanned<Hand>>,
    /// `Yarn A: charcoal, DK, 50 g = 125 m, #3a3f47`.
    pub yarns: Vec<Yarn>,
    /// Every `Key: value` line, those above among them, in order.
    pub entries: Vec<Entry>,
}

impl Header {
    /// The value of the first line whose key has one of these words.
    pub fn entry(&self, keys: &[&str]) -> Option<Span> {
        let fits = |key: &str| key.split(' ').any(|word| keys.contains(&word));
        let found = self.entries.iter().find(|entry| fits(&entry.key));
        found.map(|entry| entry.value)
    }
}

/// A `Key: value` line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The key in lower case.
    pub key: String,
    /// The value's words.
    pub value: Span,
}

/// A yarn that the pattern declares.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Yarn {
    /// Its letter or short name.
    pub letter: String,
    /// Its colour in words; empty if it has none.
    pub name: String,
    /// The letter stands in the pattern; others are lettered in the order of the list.
    pub is_given: bool,
    /// `#3a3f47` as red, green, blue.
    pub colour: Option<[u8; 3]>,
    /// The line's words.
    pub span: Span,
}

/// A piece: a heading and the lines below it.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Its name, without the number to make.
    pub name: String,
    /// How many to make.
    pub make: u32,
    /// A yarn named in the heading or in a line above the rounds.
    pub yarn: Option<Spanned<String>>,
    /// The heading's words, or those of the first round where there is no heading.
    pub span: Span,
    /// Its lines, in order.
    pub lines: Vec<Line>,
}

impl Piece {
    /// True for the second piece of a heading that names two of the same rounds: it has no words of its own but its name.
    pub fn is_second_of_heading(&self) -> bool {
        matches!(&self.lines[..], [Line::LikePiece(like)] if like.span == self.span)
    }
}

/// A line of a piece.
#[derive(Debug, Clone)]
pub enum Line {
    /// A round, or several worked alike.
    Round(Round),
    /// `Rep Rnds 5 and 6 twice`, `Continue as set until 40 sts`, with no label of its own.
    RepeatRounds(RepeatRounds),
    /// `Work as for the first leg`: rounds of an earlier piece.
    LikePiece(LikePiece),
    /// Something done between rounds: steps, a change of yarn, a turn.
    Between(Between),
    /// Everything else.
    Prose(Span),
}

/// What is done between rounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Between {
    /// Steps, yarns, turns; never stitches.
    pub acts: Vec<Instruction>,
    /// The words.
    pub span: Span,
}

/// Rounds to work that have no label of their own.
#[derive(Debug, Clone, PartialEq)]
pub struct RepeatRounds {
    /// What is worked each time.
    pub what: Again,
    /// How many times.
    pub times: u32,
    /// Go on until a round has so many stitches, however many times that takes.
    pub until: Option<u32>,
    /// The maker chooses how many times; `times` is what the words or the gauge suggest, or once.
    pub length: Option<Length>,
    /// The words.
    pub span: Span,
}

/// What is worked again.
#[derive(Debug, Clone, PartialEq)]
pub enum Again {
    /// Earlier rounds of the piece.
    Rounds {
        /// Number of the first.
        first: u32,
        /// Number of the last.
        last: u32,
    },
    /// One round each time, as the words say.
    Body(Vec<Instruction>),
}

/// What a length that is left to the maker is of.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Length {
    /// What grows so long: `tail` in `until the tail is as long as you like`, else the piece's name.
    pub name: String,
    /// The length that the words ask for, in millimetres.
    pub length_mm: Option<f64>,
    /// The words that leave it open: `until the tail is as long as you like`.
    pub words: Span,
    /// What has settled it for now.
    pub by: LengthBy,
    /// How many rounds of the piece, by their numbers, come before.
    pub before: u32,
}

/// What settles how long a piece becomes that the maker may make longer or shorter.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum LengthBy {
    /// The maker has chosen.
    Maker,
    /// The words name a length, and the gauge how many rounds that is.
    Gauge,
    /// Nothing: the rounds are worked once, so that those after them can follow.
    #[default]
    Custom,
}

/// A length that a pattern leaves to the maker.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenLength {
    /// What it is of.
    pub name: String,
    /// How many times its rounds are worked as it stands: what the gauge makes of the length that the words ask for, else once.
    pub times: u32,
    /// The words.
    pub span: Span,
}

impl Pattern {
    /// The lengths that the words leave to the maker, in the order of the text.
    pub fn open_lengths(&self) -> Vec<OpenLength> {
        let lines = self.pieces.iter().flat_map(|piece| &piece.lines);
        lines
            .filter_map(|line| match line {
                Line::RepeatRounds(repeat) => Some(OpenLength {
                    name: repeat.length.as_ref()?.name.clone(),
                    times: repeat.times,
                    span: repeat.span,
                }),
                _ => None,
            })
            .collect()
    }

    /// Sets how many times (up to the most that a repeat may have) the rounds of an open length are worked; `place` is its
    /// place in [`Pattern::open_lengths`]. The rounds after it are numbered on from there. False if there is none.
    pub fn choose_length(&mut self, place: usize, times: u32) -> bool {
        let mut open = 0..=place;
        for piece in &mut self.pieces {
            let is_it = |line: &Line| {
                matches!(line, Line::RepeatRounds(repeat) if repeat.length.is_some())
                    && open.next() == Some(place)
            };
            let Some(at) = piece.lines.iter().position(is_it) else {
                continue;
            };
            let (line, after) = piece.lines[at..].split_at_mut(1);
            let [Line::RepeatRounds(repeat)] = line else {
                return false;
            };
            let times = times.min(limits::COUNT);
            let more = i64::from(times) - i64::from(repeat.times);
            repeat.times = times;
            if let Some(length) = &mut repeat.length {
                length.by = LengthBy::Maker;
            }
            renumber(after, more * i64::from(repeat.what.rounds()));
            return true;
        }
        false
    }
}

/// Moves the numbers of some rounds on, and those by which they point to each other.
fn renumber(lines: &mut [Line], more: i64) {
    let labels = lines.iter().filter_map(|line| match line {
        Line::Round(round) => round.label.each().next(),
        _ => None,
    });
    let Some(from) = labels.min() else { return };
    let moved = |number: &mut u32| {
        if *number >= from {
            *number = (i64::from(*number) + more).clamp(0, i64::from(u32::MAX)) as u32;
        }
    };
    for line in lines {
        match line {
            Line::Round(round) => {
                for (first, last) in &mut round.label.numbers {
                    moved(first);
                    moved(last);
                }
                for item in &mut round.body {
                    if let Act::AsRounds { first, last } = &mut item.act {
                        moved(first);
                        moved(last);
                    }
                }
            }
            Line::RepeatRounds(repeat) => {
                if let Again::Rounds { first, last } = &mut repeat.what {
                    moved(first);
                    moved(last);
                }
            }
            _ => {}
        }
    }
}

impl Again {
    /// How many rounds it is each time.
    pub fn rounds(&self) -> u32 {
        match self {
            Again::Rounds { first, last } => last.saturating_sub(*first).saturating_add(1),
            Again::Body(_) => 1,
        }
    }
}

/// Rounds worked as those of an earlier piece.
#[derive(Debug, Clone, PartialEq)]
pub struct LikePiece {
    /// The piece, as the words name it.
    pub piece: Spanned<String>,
    /// Numbers of the first and last of its rounds; `None` for all.
    pub rounds: Option<(u32, u32)>,
    /// The yarn stays on, whatever that piece does at its end.
    pub stays_on: bool,
    /// The words.
    pub span: Span,
}

/// A round of the text: one label, one body, for one round or several.
#[derive(Debug, Clone)]
pub struct Round {
    /// Its label.
    pub label: Label,
    /// What is worked.
    pub body: Vec<Instruction>,
    /// What is worked after it, once: at the end of the last of its rounds.
    pub ending: Vec<Instruction>,
    /// Other ways of working it that its words offer; `body` is the way named first.
    pub choices: Vec<Offered>,
    /// Its words give the numbers of several sizes; those of the first were read.
    pub several_sizes: bool,
    /// The total stated at its end (or in its label).
    pub stated: Option<Stated>,
    /// Doubts that the words leave open.
    pub doubts: Doubts,
    /// Some of its words could not be read, so its arithmetic can't be held against it.
    pub flawed: bool,
    /// The bare words of the body, without label and total.
    pub words: Span,
    /// Label to end.
    pub span: Span,
}

/// Another way of working a round: all of it, with the words offered in the place of those named first.
#[derive(Debug, Clone)]
pub struct Offered {
    /// What is worked.
    pub body: Vec<Instruction>,
    /// Doubts that its words leave open.
    pub doubts: Doubts,
    /// The words that offer it.
    pub span: Span,
}

/// A round's label.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// `Row` rather than `Rnd`.
    pub is_row: bool,
    /// The rounds it stands for: runs of numbers, each first to last.
    pub numbers: Vec<(u32, u32)>,
    /// `(RS)` or `(WS)`: true for the wrong side.
    pub wrong_side: Option<bool>,
    /// The words.
    pub span: Span,
}

impl Label {
    /// The numbers one by one.
    pub fn each(&self) -> impl Iterator<Item = u32> {
        self.numbers.iter().flat_map(|&(first, last)| first..=last)
    }

    /// How many rounds it stands for.
    pub fn count(&self) -> u64 {
        self.numbers
            .iter()
            .map(|&(first, last)| u64::from(last.saturating_sub(first)) + 1)
            .sum()
    }
}

/// A stated total.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stated {
    /// Stitches, chains that are counted among them.
    pub stitches: Option<u32>,
    /// Chain spaces.
    pub spaces: Option<u32>,
    /// The words.
    pub span: Span,
}

/// Words of a round that can be read in two ways. Within one round, all words of a kind are read in the same way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Doubts {
    /// `inc 3`: three increases, or one of three.
    pub bigger: bool,
    /// `rep from * 5 times`: five in all, or five more.
    pub times_more: bool,
    /// `3 sc` with no place: one in each of three, or three in one.
    pub many_in_one: bool,
    /// `sc, inc x 6`: six times the last stitch, or all of the list.
    pub of_all: bool,
    /// `sc inc`: an increase of that stitch, or the stitch and an increase.
    pub apart: bool,
    /// `2 sc in next 2 sts`: one in each, or two in each.
    pub same: bool,
    /// `1 sc, 2 sc in same st`: two where the stitch before is, or two in the next.
    pub in_one: bool,
    /// `(sc, inc) 6`, `sc, dec – 6`: how often, or the round's total.
    pub number: bool,
    /// `sc, hdc around`: the last stitch around, or the list around.
    pub around: bool,
    /// `Repeat Rnd 3 (36)`, with another total than Rnd 3's: as often as there, or as often as it fits.
    pub again: bool,
    /// `hdc + dc in next st`: both in that one, or each in its own.
    pub sharing: bool,
    /// `7 sc, 3 sc in one, 6 sc, inc` along a chain, with no word for its other side: as far as the chain goes, or all round it.
    pub all_round: bool,
}
