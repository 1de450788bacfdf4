//! The instructions of a round: what is worked, how often, into what.

use super::Spanned;
use crate::source::Span;
use crate::terms::{Form, Height, Into};

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
    /// Use this yarn in the rounds of this number and above, among those that a label stands for.
    YarnFrom {
        /// The yarn, named by its words.
        yarn: Spanned<String>,
        /// The number of the first round in it.
        round: u32,
    },
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
    /// Whether all of them share a place at all.
    pub sharing: Sharing,
}

/// Whether stitches told one after another, with a place behind the last, share that place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sharing {
    /// The words leave no doubt: `(2 dc, ch 1, 2 dc) in next st`.
    Sure,
    /// Usually: `(hdc + dc in next st)`.
    Usual,
    /// Seldom: `(hdc, dc in next st)`.
    Unusual,
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
    /// As far as the next corner.
    ToCorner,
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
    /// The next corner: the largest kind of chain space of the round below, or the middle one of stitches that share a place; of rows, the
    /// end of the side that is worked along.
    Corner,
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
