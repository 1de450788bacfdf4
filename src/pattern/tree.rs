//! What a written pattern says, as a tree with a place in the text for everything.

use crate::source::{Span, limits};
use crate::terms::{Form, Hand, Height, Into, Terms};

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
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Instruction {
    /// What.
    pub act: Act,
    /// The words.
    pub span: Span,
}

/// What is done.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// Work stitches.
    Work(Work),
    /// Work several instructions, all into the same place; then the same again in the next place, and so on.
    Together(Group),
    /// Work a list again and again.
    Repeat(Repeat),
    /// Spread increases or decreases over the rest of the round below.
    Evenly(Evenly),
    /// Leave places unworked.
    Skip {
        /// How many.
        over: Over,
        /// What kind of place.
        target: Target,
    },
    /// The round starts here, where a new yarn is joined with a slip stitch.
    StartAt(Target),
    /// What follows goes into loops that an earlier round left free.
    IntoRound {
        /// Its number.
        number: u32,
        /// Which loop.
        hold: Option<Into>,
    },
    /// Start a magic ring; what follows in this round goes into it.
    MagicRing,
    /// Close the round with a slip stitch.
    Close,
    /// Turn the work.
    Turn,
    /// From here on work into this loop or post; `None` is both loops again.
    Hold(Option<Into>),
    /// From here on use this yarn, named by its words.
    Yarn(Spanned<String>),
    /// Something done between stitches.
    Step(StepKind),
    /// Go on along the other side of the chain.
    OtherSide,
    /// The round starts here from now on.
    NewStart,
    /// Leave what is left of the round below unworked.
    LeaveRest,
    /// The chain at the start counts as a stitch, or does not.
    StartCounts {
        /// It does.
        counts: bool,
        /// Chains at its end that bridge a gap: 1 in `ch 4 (counts as dc, ch 1)`.
        bridge: u32,
    },
    /// Work as earlier rounds were worked, one after another.
    AsRounds {
        /// Number of the first of them.
        first: u32,
        /// Number of the last of them.
        last: u32,
    },
    /// Work as the rounds before were worked, growing or shrinking on as they did.
    GoOn {
        /// Stitches gained a round (lost, if negative), where the words say.
        step: Option<i32>,
    },
    /// Work as a round of an earlier piece: the one of the same number, or those that the words name, one after another.
    AsPiece {
        /// The piece, as the words name it.
        piece: Spanned<String>,
        /// Numbers of the first and last round.
        rounds: Option<(u32, u32)>,
    },
    /// Slip stitches on the finished fabric, which leave nothing to work into.
    Surface(Surface),
    /// Words that could not be read; a problem says so.
    Unread,
}

/// A line of slip stitches on the surface.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    /// Numbers of the first and last of the rounds that it lies on or between; `None` is the round above.
    pub rounds: Option<(u32, u32)>,
    /// Its own yarn, where the words name one.
    pub yarn: Option<Spanned<String>>,
}

/// Stitches to work.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Which stitch.
    pub stitch: StitchWord,
    /// How many into each place.
    pub each: u32,
    /// Over how many places.
    pub over: Over,
    /// Into what.
    pub target: Target,
    /// Loop or post, where the words name one.
    pub hold: Option<Into>,
    /// Through a part as well.
    pub through: Option<Through>,
    /// The words are a bare number and a stitch, or a stitch and a number: `3 sc`, `inc 3`.
    pub bare: Bare,
}

/// How a number and a stitch stand together, where that leaves a doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Bare {
    /// No doubt.
    #[default]
    No,
    /// `3 sc`: one in each of three.
    Several,
    /// `inc 3`, `dec 2`: several, or one bigger.
    After,
    /// `sc inc` with neither comma nor hyphen: one stitch, or two after each other.
    Apart,
    /// `2 sc in next 2 sts`, `12 sc in each st`: one in each, or so many in each. The number is the other reading's.
    Same(u32),
    /// `1 sc, 2 sc in same st`: two where the stitch before is, or two in the next.
    InOne,
    /// `sc, hdc around`: the last stitch goes all around, or the whole list does.
    List,
}

/// A stitch as the words name it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StitchWord {
    /// Its height; `None` where the words leave it to the round (`inc`, `work even`).
    pub height: Option<Height>,
    /// How it is made.
    pub form: Form,
    /// A picot: chains closed by a slip stitch.
    pub picot: bool,
    /// Made without a row below.
    pub foundation: bool,
}

impl StitchWord {
    /// The stitch that the round leaves open.
    pub const OPEN: StitchWord = StitchWord {
        height: None,
        form: Form::Plain,
        picot: false,
        foundation: false,
    };

    /// A plain stitch of a height.
    pub fn plain(height: Height) -> StitchWord {
        StitchWord {
            height: Some(height),
            ..StitchWord::OPEN
        }
    }

    /// The same stitch, so many of it worked as one.
    pub fn together(self, count: u32) -> StitchWord {
        let form = match count {
            0 | 1 => Form::Plain,
            n => Form::Together(n.min(12) as u8),
        };
        StitchWord { form, ..self }
    }
}

/// Several instructions in one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What is worked in each place.
    pub items: Vec<Instruction>,
    /// Over how many places.
    pub over: Over,
    /// Into what.
    pub target: Target,
    /// Loop or post.
    pub hold: Option<Into>,
}

/// A list to work several times.
#[derive(Debug, Clone, PartialEq)]
pub struct Repeat {
    /// The list.
    pub items: Vec<Instruction>,
    /// How often.
    pub times: Times,
    /// How many items of the list the last time has; `None` for all.
    pub last_stops_after: Option<usize>,
}

/// Changes at even steps, with plain stitches between them: `inc 6 evenly`.
#[derive(Debug, Clone, PartialEq)]
pub struct Evenly {
    /// The stitch of each change.
    pub stitch: StitchWord,
    /// How many of it go into each place.
    pub each: u32,
    /// How many changes.
    pub times: u32,
    /// Loop or post.
    pub hold: Option<Into>,
}

/// How often a list is worked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Times {
    /// This often in all.
    Exactly(u32),
    /// `rep from * 5 times`: this often in all, or once more than that.
    Unsure(u32),
    /// `sc, inc x 6` with no bracket: the last stitch this often, or all of the list.
    Loose(u32),
    /// `(sc, inc) 6` at the end of a round: this often, or around, and the number is the round's total.
    OrTotal(u32),
    /// `sc, dec – 6` at the end of a round: once, and the number is the round's total, or this often.
    Total(u32),
    /// As often as the round below allows.
    Around,
    /// Until so many places are left.
    ToLast(u32),
}

/// Over how many places something is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over {
    /// This many.
    Count(u32),
    /// All that are left.
    Rest,
    /// All but so many.
    ToLast(u32),
    /// This many, which must be all there are.
    Whole(u32),
}

/// What is worked into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// The next stitches, or chains of the starting chain.
    Next,
    /// The next chain one by one.
    NextChain,
    /// The next stitches and chains alike, one after another.
    StitchOrChain,
    /// The next stitches and chain spaces alike, one after another.
    StitchOrSpace,
    /// The next chain space; of so many chains, where the words say.
    Space(Option<u32>),
    /// What the stitch before was worked into.
    Same,
    /// The magic ring, or a ring of chains.
    Ring,
    /// Start a magic ring and work into it.
    NewRing,
    /// A chain so many from the hook.
    FromHook(u32),
    /// The first of the chains just made.
    FirstChain,
    /// The last place of the round below.
    Last,
    /// The first place of the round.
    First,
    /// Loops that an earlier round left free.
    Earlier(u32),
    /// The next stitch, but so many rounds further down.
    Deeper(u32),
    /// The edge of a part on its own, which `through` names.
    Part,
    /// What the piece before passed over.
    Skipped,
    /// What this round has just passed over, in the order in which it did.
    JustSkipped,
    /// The edge of a piece worked in rows.
    Border(Border),
}

/// A part of the edge of a piece worked in rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Border {
    /// The ends of the rows, one after another.
    RowEnds,
    /// The ends of the rows, so many stitches spread over all of them.
    Side,
    /// The other side of the first row, or of the chain that it goes along.
    Bottom,
    /// The last row.
    Top,
    /// All of it.
    All,
}

/// A part worked through.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Through {
    /// The part's name in the words; `None` where they do not say.
    pub part: Option<Spanned<String>>,
    /// Which copy, where the words say (`first`, `second`).
    pub copy: Option<u32>,
    /// Layers of the part.
    pub layers: u32,
    /// On which side of the work it lies, where the words say.
    pub side: Option<PartSide>,
    /// The part of its edge that is worked along, where the words say and it is one that rows have; else what its last round leaves open.
    pub border: Option<Border>,
    /// The words.
    pub span: Span,
}

/// On which side of the work a part lies when it is joined. Words that do not say leave it outside, where it can be seen
/// (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PartSide {
    /// In front of the work, which is seen from outside.
    #[default]
    Outside,
    /// Behind the work.
    Inside,
}

/// Where eyes go, as far as the words tell.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EyePlace {
    /// The rounds that they sit between.
    pub rounds: Option<(u32, u32)>,
    /// Stitches from one to the other.
    pub apart: Option<u32>,
    /// The stitches of the lower round that they go through, counted from 1.
    pub stitches: Option<(u32, u32)>,
}

/// Something done between stitches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum StepKind {
    /// Cut the yarn and draw it through.
    FastenOff,
    /// Fill with stuffing.
    Stuff,
    /// Leave without stuffing.
    LeaveEmpty,
    /// Press flat.
    Flatten,
    /// Put in a stitch marker.
    PlaceMarker,
    /// Put in the eyes.
    Eyes(EyePlace),
    /// Draw the last opening shut.
    CloseHole,
    /// Join in a yarn.
    JoinYarn,
    /// Sew a piece on.
    Sew,
}
