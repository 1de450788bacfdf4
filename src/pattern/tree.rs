//! What a written pattern says, as a tree with a place in the text for everything.

use crate::source::Span;
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
    /// Lines that define stitches of its own, in order.
    pub definitions: Vec<Span>,
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
    /// `Rep Rnds 5 and 6 twice`, with no label of its own.
    RepeatRounds(RepeatRounds),
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

/// Rounds to work again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RepeatRounds {
    /// Number of the first.
    pub first: u32,
    /// Number of the last.
    pub last: u32,
    /// How many times more.
    pub times: u32,
    /// Go on until a round has so many stitches, however many times that takes.
    pub until: Option<u32>,
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
    /// Words that could not be read; a problem says so.
    Unread,
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
    /// The words.
    pub span: Span,
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
