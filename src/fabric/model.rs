use std::collections::BTreeSet;
use std::ops::Range;

use super::reading::Reading;
use crate::pattern::Border;
pub use crate::pattern::{EyePlace, LengthBy, PartSide, StepKind};
use crate::source::Span;
use crate::terms::{Hand, Into, Stitch as Kind, Terms, sides};

/// A pattern as it comes off the hook.
#[derive(Debug, Clone, Default)]
pub struct Fabric {
    /// The pattern's title, or an empty string.
    pub title: String,
    /// The custom in which the pattern names its stitches.
    pub terms: Terms,
    /// The hand that the pattern is written for.
    pub hand: Hand,
    /// The yarns, in the order in which they are declared or first named.
    pub yarns: Vec<Yarn>,
    /// The pieces, in the order of the text.
    pub pieces: Vec<Piece>,
}

impl Fabric {
    /// The same as made by a hand: by the other one than the pattern is written for it is its own mirror image, so that names of pieces swap
    /// left and right.
    pub fn made_by(mut self, hand: Hand) -> Fabric {
        if hand != self.hand {
            self.hand = hand;
            for piece in &mut self.pieces {
                piece.name = sides::swapped(&piece.name);
            }
        }
        self
    }

    /// For each piece, how many of its copies rounds join into other pieces.
    pub fn joined_copies(&self) -> Vec<u32> {
        let mut joined = vec![0; self.pieces.len()];
        let joins = self.pieces.iter().flat_map(|piece| &piece.joins);
        let copies: BTreeSet<(usize, u32)> = joins.map(|join| (join.part, join.copy)).collect();
        for (part, _) in copies {
            if let Some(joined) = joined.get_mut(part) {
                *joined += 1;
            }
        }
        joined
    }
}

/// A yarn of the pattern.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Yarn {
    /// Its letter or short name, as it stands in the words: `A`.
    pub letter: String,
    /// Its colour in words, or an empty string.
    pub name: String,
    /// Its colour for pictures, as red, green, blue.
    pub colour: Option<[u8; 3]>,
}

/// Place of a yarn in [`Fabric::yarns`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct YarnId(pub u16);

/// Place of a stitch in [`Piece::stitches`]: its number in the order of work, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StitchId(pub u32);

impl StitchId {
    /// As an index into [`Piece::stitches`].
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// One piece, worked once; `make` says how many of it are needed.
#[derive(Debug, Clone, Default)]
pub struct Piece {
    /// Its name as the heading gives it, without the number to make.
    pub name: String,
    /// How many are made.
    pub make: u32,
    /// Its heading, or its first round where it has none.
    pub span: Span,
    /// All stitches of one copy, in the order of work.
    pub stitches: Vec<Stitch>,
    /// What the stitches are worked into; each stitch names its range.
    pub(super) feet: Vec<StitchId>,
    /// The rounds, in the order of work.
    pub rounds: Vec<Round>,
    /// Where other pieces are joined into this one, in the order of work.
    pub joins: Vec<Join>,
    /// What is done between rounds, in the order of the text.
    pub steps: Vec<Step>,
    /// Slip stitches on the finished fabric, in the order of work.
    pub surfaces: Vec<Surface>,
    /// Rounds that the maker may work more or less often, in the order of work.
    pub lengths: Vec<Length>,
}

impl Piece {
    /// A stitch by its number.
    pub fn stitch(&self, id: StitchId) -> &Stitch {
        &self.stitches[id.index()]
    }

    /// The stitches of this piece that a stitch is worked into, in the order of the work below: one for a plain stitch,
    /// several for stitches worked together, the chains of a space, none for a ring or another piece.
    /// A chain's is the stitch it grows from, if there is one.
    pub fn feet(&self, id: StitchId) -> &[StitchId] {
        let feet = &self.stitch(id).feet;
        &self.feet[feet.start as usize..feet.end as usize]
    }

    /// True if the stitches of a join are worked into the part alone, and not through it into this piece as well.
    pub fn stands_on(&self, join: &Join) -> bool {
        let mut stitches = join.stitches.iter();
        stitches.all(|(stitch, _)| self.feet(*stitch).is_empty())
    }

    /// Opens a round; the stitches worked from now on belong to it.
    pub fn begin_round(&mut self, number: u32, kind: RoundKind, span: Span, written: u32) {
        let first = self.stitches.len() as u32;
        self.rounds.push(Round {
            number,
            kind,
            span,
            written,
            stitches: first..first,
            edge: Vec::new(),
            closed: false,
            wrong_side: false,
            count: 0,
            spaces: 0,
            stated: None,
            reading: Reading::default(),
        });
    }

    /// Works one stitch into the open round, which must have been begun. Heads and bridging chains join the round's edge.
    pub fn work(&mut self, new: NewStitch, feet: &[StitchId]) -> StitchId {
        let id = StitchId(self.stitches.len() as u32);
        let first_foot = self.feet.len() as u32;
        self.feet.extend_from_slice(feet);
        let round_place = self.rounds.len() as u32 - 1;
        let round = self.rounds.last_mut().expect("a round has been begun");
        self.stitches.push(Stitch {
            kind: new.kind,
            into: new.into,
            role: new.role,
            yarn: new.yarn,
            round: round_place,
            index: round.stitches.len() as u32,
            join: None,
            span: new.span,
            feet: first_foot..self.feet.len() as u32,
        });
        round.stitches.end = id.0 + 1;
        if matches!(new.role, Role::Head | Role::Foundation | Role::Bridge) {
            round.edge.push(id);
        }
        id
    }

    /// Where the piece stands now, to come back to with [`Piece::back_to`].
    pub(super) fn mark(&self) -> PieceMark {
        PieceMark {
            stitches: self.stitches.len(),
            feet: self.feet.len(),
            rounds: self.rounds.len(),
            edge: self.rounds.last().map_or(0, |round| round.edge.len()),
            joins: self.joins.len(),
            steps: self.steps.len(),
        }
    }

    /// Undoes all work since the mark was made.
    pub(super) fn back_to(&mut self, mark: &PieceMark) {
        self.stitches.truncate(mark.stitches);
        self.feet.truncate(mark.feet);
        self.rounds.truncate(mark.rounds);
        if let Some(round) = self.rounds.last_mut() {
            round.stitches.end = round.stitches.end.min(mark.stitches as u32);
            round.edge.truncate(mark.edge);
        }
        self.joins.truncate(mark.joins);
        self.steps.truncate(mark.steps);
    }

    /// The length that a round belongs to, where the maker may choose it. `round` is a place in [`Piece::rounds`].
    pub fn length_at(&self, round: usize) -> Option<&Length> {
        self.lengths
            .iter()
            .find(|length| length.rounds.contains(&round))
    }

    /// The stitches of a round with their numbers, in the order of work.
    pub fn round_stitches(&self, round: &Round) -> impl Iterator<Item = (StitchId, &Stitch)> {
        round
            .stitches
            .clone()
            .map(|id| (StitchId(id), &self.stitches[id as usize]))
    }
}

/// One stitch of the fabric.
#[derive(Debug, Clone, PartialEq)]
pub struct Stitch {
    /// Which stitch of the trade it is.
    pub kind: Kind,
    /// What kind of place it is worked into.
    pub into: Into,
    /// Its part in the round.
    pub role: Role,
    /// The yarn in use, where the pattern names yarns.
    pub yarn: Option<YarnId>,
    /// Place of its round in [`Piece::rounds`].
    pub round: u32,
    /// Its place in the round in the order of work, from 0.
    pub index: u32,
    /// The join it belongs to: a place in [`Piece::joins`].
    pub join: Option<u32>,
    /// The words that ask for it.
    pub span: Span,
    pub(super) feet: Range<u32>,
}

/// How far a piece had come.
#[derive(Debug, Clone, Copy)]
pub(super) struct PieceMark {
    pub stitches: usize,
    feet: usize,
    rounds: usize,
    edge: usize,
    joins: usize,
    steps: usize,
}

/// A stitch about to be worked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NewStitch {
    /// Which stitch of the trade it is.
    pub kind: Kind,
    /// What kind of place it is worked into.
    pub into: Into,
    /// Its part in the round.
    pub role: Role,
    /// The yarn in use.
    pub yarn: Option<YarnId>,
    /// The words that ask for it.
    pub span: Span,
}

/// What a stitch is for in its round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Leaves a head for the next round to work into.
    Head,
    /// A chain of the chain that a piece starts from; it can be worked into as a head.
    Foundation,
    /// A chain that bridges a gap: part of a space, and for some designers a stitch.
    Bridge,
    /// A chain that only lifts the hook at the start of a round.
    Lift,
    /// A chain at the start of a round that stands for a stitch. The last of them is a [`Role::Head`].
    Stand,
    /// A chain or slip stitch of a picot: it sits on the stitch below and is not worked into.
    Picot,
    /// A slip stitch that closes the round.
    Close,
    /// A slip stitch that moves the hook along to where the round starts.
    Travel,
}

/// One round (or row) as worked.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// Its number in the words.
    pub number: u32,
    /// Worked in the round, or to and fro.
    pub kind: RoundKind,
    /// The words it comes from: label to stated count.
    pub span: Span,
    /// Which round of the text it comes from; equal for all rounds of a range such as `Rnds 5-8`.
    pub written: u32,
    /// Its stitches, in the order of work.
    pub stitches: Range<u32>,
    /// What it leaves to work into, in the order in which the next round meets it: heads and bridging chains.
    pub edge: Vec<StitchId>,
    /// True if it ends with a slip stitch into its start; false for a spiral.
    pub closed: bool,
    /// True if it is worked with the wrong side facing the maker.
    pub wrong_side: bool,
    /// How many stitches it leaves, by the custom that its stated total follows.
    pub count: u32,
    /// How many chain spaces it leaves.
    pub spaces: u32,
    /// The total that the words state.
    pub stated: Option<Stated>,
    /// How its doubtful words were read.
    pub reading: Reading,
}

impl Round {
    /// How many stitches it has, worked in this round.
    pub fn len(&self) -> usize {
        self.stitches.len()
    }

    /// True if nothing was worked.
    pub fn is_empty(&self) -> bool {
        self.stitches.is_empty()
    }
}

/// How a round is worked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum RoundKind {
    /// Round and round, the same side always facing.
    #[default]
    Round,
    /// To and fro.
    Row,
}

/// A total that a round's words state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stated {
    /// Stitches, if a number of them is stated.
    pub stitches: Option<u32>,
    /// Chain spaces, if a number of them is stated.
    pub spaces: Option<u32>,
    /// The words.
    pub span: Span,
}

/// Stitches that are worked through another piece too.
#[derive(Debug, Clone, PartialEq)]
pub struct Join {
    /// The other piece: a place in [`Fabric::pieces`].
    pub part: usize,
    /// Which copy of it, from 1.
    pub copy: u32,
    /// Layers of the part that each stitch goes through.
    pub layers: u32,
    /// On which side of the work the part lies.
    pub side: PartSide,
    /// The part of the other piece's edge, if it is not what its last round leaves open.
    pub border: Option<Border>,
    /// It goes into loops that a round of the other piece left free, and leaves its edge as it is.
    pub loops: bool,
    /// Round of this piece.
    pub round: u32,
    /// For each stitch of the join, in order: the stitch, and the stitches of the part that it takes (one a layer, the layer nearest the maker first).
    pub stitches: Vec<(StitchId, Vec<StitchId>)>,
    /// The words.
    pub span: Span,
}

impl Join {
    /// How many places of the part's edge it takes, one after another.
    pub fn places(&self) -> usize {
        let taken = self.stitches.chunk_by(|(_, one), (_, other)| one == other);
        taken.map(|same| same[0].1.len()).sum()
    }
}

/// A line of slip stitches on the finished fabric: one on each stitch of a round, or between rounds. None of them is a
/// stitch of the piece, for nothing is worked into them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Surface {
    /// Places in [`Piece::rounds`] of the rounds that it lies on: one, or the first to the last of those it lies between.
    pub rounds: Range<usize>,
    /// Its yarn, where the pattern names yarns.
    pub yarn: Option<YarnId>,
    /// How many rounds have been worked before it.
    pub after_round: u32,
    /// The words.
    pub span: Span,
}

/// Rounds worked again as often as the maker likes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Length {
    /// Places of the rounds that this adds, in [`Piece::rounds`].
    pub rounds: Range<usize>,
    /// How often the rounds before are worked again.
    pub times: u32,
    /// What has settled that.
    pub by: LengthBy,
    /// The words.
    pub span: Span,
}

impl Length {
    /// `as often as you like: here 8 times`.
    pub fn says(&self) -> String {
        let times = match self.times {
            1 => "once".to_owned(),
            n => format!("{n} times"),
        };
        match self.by {
            LengthBy::Maker => format!("as often as you like: here {times}, as chosen"),
            LengthBy::Gauge => format!("as often as you like: here {times}, by the gauge"),
            LengthBy::Custom => format!("as often as you like: here {times}"),
        }
    }
}

/// Something that is done between stitches.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is done.
    pub kind: StepKind,
    /// How many rounds have been worked before it (a step within a round counts that round).
    pub after_round: u32,
    /// The last stitch worked before it, if any.
    pub after: Option<StitchId>,
    /// The words.
    pub span: Span,
}
