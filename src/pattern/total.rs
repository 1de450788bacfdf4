//! Stated totals: `(18)`, `[18 sts]`, `= 18 sc`, `(12 dc, 6 ch-2 sps)`.

use super::body::Reader;
use super::clause::step_of;
use super::lex::Kind;
use super::tree::{Act, Instruction, Stated, StepKind, Target};
use crate::source::Problem;
use crate::terms::words::Word;
use crate::terms::{Height, colours};

/// What a number in a total counts.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Unit {
    /// It does not say.
    None,
    /// `sts`: all of them.
    All,
    /// Stitches of one kind.
    Stitches,
    /// Bobbles, popcorns or puffs, which stand among stitches that a total may leave out.
    Textured,
    /// Slip stitches.
    Slips,
    Spaces,
    /// Increases or decreases: stitches, unless a number of `sts` says how many there are in all.
    Changes,
    /// Picots and holes: no stitches of the round.
    Picots,
    /// Figures of many stitches: the kinds beside them are not all there is.
    Figures,
}

/// The numbers of a total.
#[derive(Default)]
struct Sum {
    all: Option<u32>,
    kinds: Option<u32>,
    textured: bool,
    plain: bool,
    spaces: Option<u32>,
    figures: bool,
    names_stitches: bool,
}

impl Sum {
    /// `added` says that a plus sign stands before the number.
    fn add(&mut self, number: u32, unit: Unit, added: bool) {
        self.textured |= unit == Unit::Textured;
        self.plain |= unit == Unit::Stitches;
        let slot = match unit {
            Unit::None | Unit::All => &mut self.all,
            // `8 sts + 4 sl sts`
            Unit::Slips if added && self.all.is_some() => &mut self.all,
            Unit::Stitches | Unit::Changes | Unit::Textured | Unit::Slips => &mut self.kinds,
            Unit::Spaces => &mut self.spaces,
            Unit::Picots => return,
            Unit::Figures => {
                self.figures = true;
                return;
            }
        };
        *slot = Some(slot.unwrap_or(0).saturating_add(number));
    }

    fn stated(&self) -> Option<Stated> {
        // `(24 sts, 12 incs)`: the kinds only say what is among all.
        // `6 popcorns` are not all stitches, and neither are the kinds beside figures.
        let some_only = self.figures || self.textured && !self.plain;
        let stitches = self.all.or(self.kinds.filter(|_| !some_only));
        let says = stitches.is_some() || self.spaces.is_some() || some_only;
        says.then_some(Stated {
            stitches,
            spaces: self.spaces,
            ..Stated::default()
        })
    }
}

/// Figures that a total may count and that no round is worked into.
const FIGURES: &[&str] = &[
    "shells",
    "strands",
    "tentacles",
    "curls",
    "fringes",
    "tassels",
    "spikes",
    "feathers",
    "legs",
    "arms",
    "fingers",
    "teeth",
    "ridges",
    "waves",
    "rays",
    "frills",
    "spokes",
    "tips",
    "drops",
    "bubbles",
    "toes",
    "claws",
    "fins",
    "scales",
    "knobs",
];

/// Holes that a total may count beside the stitches.
const HOLES: &[&str] = &[
    "armholes",
    "buttonholes",
    "holes",
    "openings",
    "slits",
    "gaps",
];

/// A total names at most so many kinds of stitch.
const KINDS_IN_A_TOTAL: usize = 8;

impl Reader<'_> {
    /// At an opening bracket: if a total stands in it, notes it and returns the index after the bracket.
    pub(super) fn total_in_bracket(&mut self) -> Option<usize> {
        let start = self.at;
        self.at += 1;
        let total = self.total();
        self.pass_remark_in_total();
        let end = self.at;
        self.at = start;
        let (stated, names_stitches) = total?;
        let opened = self.tokens[start].span;
        let closes = match self.tokens.get(end) {
            Some(token) => matches!(token.kind, Kind::Close(_)),
            None if names_stitches => false,
            None => {
                self.problem(
                    Problem::error("open-bracket", opened, "this bracket is never closed")
                        .help("close it after the total"),
                );
                true
            }
        };
        if !closes || names_stitches && self.is_group_after(end + 1) {
            return None;
        }
        let last = self.tokens[end.min(self.tokens.len() - 1)].span;
        self.stated = Some(Stated {
            span: opened.to(last),
            ..stated
        });
        Some(end + 1)
    }

    /// At the bracket of `sc around (6) (3 rounds)`, which says again how many rounds the label stands for: the tokens it takes.
    /// The bracket stands `ahead` tokens on.
    pub(super) fn rounds_in_bracket(&self, ahead: usize) -> Option<usize> {
        let (_, number) = self.number_ahead(ahead + 1)?;
        let (Word::Round | Word::Row, word) = self.word_ahead(ahead + 1 + number)? else {
            return None;
        };
        let close = 1 + number + word;
        matches!(self.kind(ahead + close), Some(Kind::Close(_))).then_some(close + 1)
    }

    /// `for 4 rounds`, which says the same: the tokens it takes.
    pub(super) fn for_rounds(&self) -> Option<usize> {
        let (_, number) = self.number_ahead(1).filter(|_| self.is_word(0, "for"))?;
        // `for 5 more rounds`
        let more = usize::from(matches!(self.word_ahead(1 + number), Some((Word::More, 1))));
        match self.word_ahead(1 + number + more)? {
            (Word::Round | Word::Row, word) => Some(1 + number + more + word),
            _ => None,
        }
    }

    /// After `=`, `–`, `→`, a comma or a full stop: a total without brackets, if it closes the body.
    pub(super) fn trailing_total(&mut self, sign: Kind, before: &[Instruction]) {
        // `(12) – 6 fewer` says no other.
        if sign == Kind::Dash && self.stated.is_some() {
            return;
        }
        let start = self.at;
        // `– **18**`
        let is_bold = |kind| matches!(kind, Some(Kind::Star(2..)));
        let bold = is_bold(self.kind(0));
        self.at += usize::from(bold);
        let total = self.total();
        // `**= 18 stitches** each round`
        let bold_before = start > 1 && is_bold(Some(self.tokens[start - 2].kind));
        self.at += usize::from((bold || bold_before) && is_bold(self.kind(0)));
        let end = self.at;
        self.at = start;
        let Some((stated, names_stitches)) = total else {
            return;
        };
        let firm = matches!(sign, Kind::Equals | Kind::Arrow | Kind::Dash);
        // After a mere comma or full stop, a total must be of "sts": `, 18 sc` is work, unless the round has been closed.
        let ended = |act: &Act| {
            let along_chain =
                matches!(act, Act::Work(work) if matches!(work.target, Target::FromHook(_)));
            act.goes_all_round() || along_chain || *act == Act::Step(StepKind::FastenOff)
        };
        // `1 sc in each ch to end. Turn. 6 sc.`
        let turned = |act: &Act| *act == Act::Turn && before.iter().any(|i| i.act.is_worked());
        // `1dc into each of next 16dc. 32dc.`: a sentence of a number and a stitch, behind others that work.
        let alone = before
            .last()
            .is_some_and(|item| item.act.is_worked() && !item.act.is_chain())
            && self.depth == 0
            && matches!(
                self.tokens.get(end).map(|t| t.kind),
                None | Some(Kind::Stop)
            )
            && !self.works_from[end];
        let closed = sign == Kind::Stop
            && (alone
                || before
                    .last()
                    .is_some_and(|item| ended(&item.act) || turned(&item.act)));
        // `2 sc in each sc around: 16 sc.`, but not `in next st: 2 sc`.
        let colon = sign == Kind::Colon
            && self.depth == 0
            && self.place_ahead.is_none()
            && before
                .last()
                .is_some_and(|item| item.act.is_worked() || ended(&item.act));
        if !firm && !closed && !colon && (names_stitches || !self.says_stitches(start, end)) {
            return;
        }
        // `There are 18 sts now.`
        let now = usize::from(self.tokens.get(end).is_some_and(|t| t.is("now")));
        // `-12-`
        let dashed = usize::from(
            sign == Kind::Dash && self.tokens.get(end).is_some_and(|t| t.kind == Kind::Dash),
        );
        let closes = match self.tokens.get(end + now + dashed).map(|t| t.kind) {
            // `= 30 sts. Push the bobbles to the outside.`
            Some(kind @ (Kind::Stop | Kind::Dash))
                if firm
                    && (kind == Kind::Stop && self.says_other_things(end + 1)
                        || self.remark_from(end + 1, kind).is_some()) =>
            {
                true
            }
            None | Some(Kind::Stop | Kind::Semicolon | Kind::Comma) => !self.works_from[end],
            // `. 30 sts (4 rnds)`
            Some(Kind::Open(_))
                if self
                    .rounds_in_bracket(end + now + dashed - self.at)
                    .is_some() =>
            {
                true
            }
            // `→ 27 (yes, five rounds)`, `→ 12 and now we're in the head!`
            // `= 8 stitches – chain 1 and turn`
            Some(Kind::Open(_) | Kind::Word | Kind::Dash | Kind::Other)
                if sign == Kind::Arrow || sign == Kind::Equals =>
            {
                let worked = before.iter().any(|item| item.act.is_worked());
                self.depth == 0 && worked && !self.works_from[end]
            }
            _ => false,
        };
        if closes {
            let span = self.tokens[start].span.to(self.tokens[end - 1].span);
            self.stated = Some(Stated { span, ..stated });
            self.at = end + dashed;
            // What it says of stitches is no work.
            if self.says_other_things(end + 1) {
                let rest = self.tokens[end + 1..].iter();
                let stop = end + 1 + rest.take_while(|t| t.kind != Kind::Stop).count();
                let names =
                    |at: usize| self.meanings[at].is_some_and(|(word, _)| word.names_stitch());
                if (end + 1..stop).any(names) {
                    self.at = stop;
                }
            }
        }
    }

    /// Behind the dash or the full stop of `(30 sts) – here I moved the increases so it doesn't get corners`, `(24). The increases
    /// must be at the back.`: passes words that only tell of the round. False if they may ask for something.
    pub(super) fn pass_remark_behind_total(&mut self, sign: Kind, before: &[Instruction]) -> bool {
        let closed = matches!(sign, Kind::Dash | Kind::Stop)
            && self.depth == 0
            && self.stated.is_some()
            && before.iter().any(|item| item.act.is_worked());
        let Some(end) = self.remark_from(self.at, sign).filter(|_| closed) else {
            return false;
        };
        self.at = end;
        true
    }

    /// At `Now we go back the way we came.`, at the front of a round: passes a sentence that only tells of it.
    pub(super) fn pass_remark_in_front(&mut self) {
        let Some(end) = self.remark_from(self.at, Kind::Stop) else {
            return;
        };
        let works = |at: usize| {
            let meaning = self.meanings[at].map(|(word, _)| word);
            let text = &self.tokens[at].text;
            colours::is_part(text)
                || super::compound::split(text, self.names.terms).is_some()
                || meaning.is_some_and(|word| {
                    word.names_stitch() || matches!(word, Word::In | Word::With | Word::As)
                })
        };
        let is_sentence = self.tokens.get(end).is_some_and(|t| t.kind == Kind::Stop);
        if is_sentence && !(self.at..end).any(works) {
            self.at = end;
        }
    }

    /// `*sc 2, bobble* around, 14 bobbles`, `(…) x 12: 12 spines`: how many of a thing a repeat has made. Passes
    /// over such words at the cursor, behind all that is worked.
    pub(super) fn pass_things_told(&mut self, items: &mut [Instruction]) {
        let Some((_, taken)) = self.number() else {
            return;
        };
        let Some(thing) = self.tokens.get(self.at + taken) else {
            return;
        };
        let meaning = self.word_ahead(taken).map(|(word, _)| word);
        let is_thing = match meaning {
            Some(Word::Bobble | Word::Popcorn | Word::Puff | Word::Picot) => true,
            Some(_) => false,
            None => thing.kind == Kind::Word && thing.text.len() > 3,
        };
        let is_plural = is_thing && thing.text.ends_with('s');
        let rest = &self.tokens[self.at + taken + 1..];
        let ends = match rest.first().map(|t| t.kind) {
            None | Some(Kind::Open(_)) => true,
            Some(Kind::Stop) => !self.works_from[self.at + taken + 1],
            _ => false,
        };
        let repeats = matches!(items.last().map(|item| &item.act), Some(Act::Repeat(_)));
        if is_plural && ends && repeats && self.depth == 0 {
            self.at += taken + 1;
            if let Some(last) = items.last_mut() {
                last.span = last.span.to(thing.span);
            }
        }
    }

    /// Where the sentence ends that begins at a token, if it only tells of the round: it has words that the trade does not know,
    /// no numbers, and none that ask for something.
    fn remark_from(&self, at: usize, sign: Kind) -> Option<usize> {
        const LONGEST: usize = 60;
        let first = self.tokens.get(at)?;
        let opens = first.kind == Kind::Word && (sign == Kind::Dash || first.has_capital());
        // No farther than a remark would go: each dash of a long line asks.
        let rest = self.tokens[at..].iter().take(LONGEST + 1);
        let length = rest.take_while(|t| t.kind != Kind::Stop).count();
        let end = at + length;
        let asks = |at: usize| match self.meanings[at] {
            Some((word, _)) => {
                step_of(word).is_some()
                    || matches!(
                        word,
                        Word::Turn
                            | Word::Join
                            | Word::Change
                            | Word::Repeat
                            | Word::NewStart
                            | Word::LeaveRest
                            | Word::CountsAs
                            | Word::DoesNotCount
                            | Word::Skip
                            | Word::Round
                            | Word::Row
                            | Word::GoOn
                            | Word::Colour
                    )
            }
            None => matches!(self.tokens[at].kind, Kind::Number(_) | Kind::Open(_)),
        };
        let tells = |at: usize| self.tokens[at].kind == Kind::Word && self.meanings[at].is_none();
        let only_tells = opens && length <= LONGEST && (at..end).any(tells) && !(at..end).any(asks);
        only_tells.then_some(end)
    }

    /// True at a sentence that opens with a word that the trade does not know.
    fn says_other_things(&self, at: usize) -> bool {
        let Some(token) = self.tokens.get(at) else {
            return false;
        };
        token.has_capital()
            && self.meanings[at].is_none()
            && at > 0
            && self.tokens[at - 1].kind == Kind::Stop
    }

    /// `*16dc*` at the end of the body: a total in italics. False if something else stands at the star.
    pub(super) fn total_in_italics(&mut self) -> bool {
        let start = self.at;
        self.at += 1;
        let total = self.number().and_then(|_| self.total());
        let closes = self.kind(0) == Some(Kind::Star(1))
            && self.tokens[self.at + 1..]
                .iter()
                .all(|t| t.kind == Kind::Stop);
        let Some((stated, _)) = total.filter(|_| closes) else {
            self.at = start;
            return false;
        };
        self.at += 1;
        self.stated = Some(Stated {
            span: self.span_from(start),
            ..stated
        });
        true
    }

    /// A number that ends the body, after stitches that have their own: `12 sc 12`, `9 dec 9 sts`, `12 sc | 12`.
    pub(super) fn closing_number(&mut self) -> bool {
        let start = self.at;
        let Some((stated, false)) = self.total() else {
            self.at = start;
            return false;
        };
        let end = self.at;
        let closes = self.tokens[end..].iter().all(|t| {
            matches!(
                t.kind,
                Kind::Stop
                    | Kind::Other
                    | Kind::Slash
                    | Kind::Tilde
                    | Kind::Close(_)
                    | Kind::Star(2..)
            )
        });
        if !closes {
            self.at = start;
            return false;
        }
        let span = self.tokens[start].span.to(self.tokens[end - 1].span);
        self.stated = Some(Stated { span, ..stated });
        true
    }

    fn says_stitches(&self, start: usize, end: usize) -> bool {
        self.tokens[start..end].iter().any(|t| {
            matches!(
                &*t.text,
                "st" | "sts" | "stitches" | "stitch" | "total" | "sps" | "spaces"
            )
        })
    }

    /// True if what follows a bracket makes it a group: a number of times, a place, or more stitches to work.
    fn is_group_after(&self, at: usize) -> bool {
        let ahead = at - self.at;
        if self.at_times_sign(ahead) && self.number_ahead(ahead + 1).is_some() {
            return true;
        }
        if let Some((_, taken)) = self.number_ahead(ahead)
            && matches!(
                self.word_ahead(ahead + taken),
                Some((Word::Times | Word::More, _))
            )
        {
            return true;
        }
        let follows = self.word_ahead(ahead);
        if matches!(
            follows,
            Some((
                Word::In
                    | Word::Around
                    | Word::TimesWord(_)
                    | Word::Repeat
                    | Word::To
                    | Word::Until
                    | Word::Over,
                _
            ))
        ) {
            return true;
        }
        // A total is the last thing that has to do with stitches.
        self.works_from[at.min(self.tokens.len())]
    }

    /// Numbers with units, parted by commas or `+`; the flag says that stitches are named by their kind.
    fn total(&mut self) -> Option<(Stated, bool)> {
        let mut sum = Sum::default();
        let mut added = false;
        let mut end = self.at;
        for _ in 0..KINDS_IN_A_TOTAL {
            self.pass_before_number(&mut sum);
            let Some((number, taken)) = self.number() else {
                break;
            };
            self.at += taken;
            let unit = self.unit(&mut sum.names_stitches);
            end = self.at;
            sum.add(number, unit, added);
            added = self.kind(0) == Some(Kind::Plus);
            match self.kind(0) {
                Some(
                    Kind::Comma | Kind::Plus | Kind::Ampersand | Kind::Semicolon | Kind::Colon,
                ) if self.number_ahead(1).is_some() => {
                    self.at += 1;
                }
                // `30 - 6 = 24`
                Some(Kind::Dash)
                    if self
                        .number_ahead(1)
                        .is_some_and(|(_, taken)| self.kind(1 + taken) == Some(Kind::Equals)) =>
                {
                    self.at += 1;
                }
                // `18 -> 12 sts`, `6 hdc + 6 sc = 12 sts`
                Some(Kind::Arrow | Kind::Equals) if self.number_ahead(1).is_some() => {}
                _ if matches!(self.word(), Some((Word::And, _))) => {}
                _ => break,
            }
        }
        let stated = sum.stated()?;
        // An "and" or a mark without a number behind it is no part of the total.
        self.at = end;
        Some((stated, sum.names_stitches))
    }

    /// `=`, `total of`, `and`: what may stand before a number. A sign says that the number after it is the total.
    fn pass_before_number(&mut self, sum: &mut Sum) {
        loop {
            match (self.kind(0), self.word()) {
                (Some(Kind::Equals | Kind::Arrow), _) => {
                    *sum = Sum {
                        names_stitches: sum.names_stitches,
                        ..Sum::default()
                    };
                    self.at += 1;
                }
                (_, Some((Word::Filler | Word::Total | Word::And, taken))) => {
                    self.at += taken;
                    // `Stitch count: 12`
                    self.at += usize::from(self.kind(0) == Some(Kind::Colon));
                }
                _ => return,
            }
        }
    }

    /// The unit after a number: `sts`, `sc`, `ch-2 sps`, `chain 3 spaces`, `sts remain`.
    fn unit(&mut self, names_stitches: &mut bool) -> Unit {
        let mut unit = Unit::None;
        let mut end = self.at;
        loop {
            if self.kind(0) == Some(Kind::Dash)
                && (unit != Unit::None && self.number_ahead(1).is_some()
                    || self.word_ahead(1).is_some() && self.peek().is_some_and(|t| !t.spaced))
            {
                self.at += 1;
                continue;
            }
            // `3 3ch-sp`
            if unit == Unit::None
                && let Some((_, taken)) = self.number()
                && let Some((Word::Stitch(Height::Chain), chain)) = self.word_ahead(taken)
                && self.space_follows(taken + chain)
            {
                *names_stitches = true;
                self.at += taken + chain;
                end = self.at;
                continue;
            }
            let taken = match self.word() {
                Some((Word::AnyStitch, taken)) => {
                    unit = if unit == Unit::None { Unit::All } else { unit };
                    taken
                }
                // `12 loops` may be of chains that are closed to picots.
                Some((Word::Space, 1)) if unit == Unit::None && self.at_loops() => {
                    unit = Unit::Figures;
                    1
                }
                Some((Word::Space | Word::Corner, taken)) => {
                    unit = Unit::Spaces;
                    taken
                }
                Some((Word::Stitch(Height::Chain), taken)) => {
                    *names_stitches = true;
                    unit = Unit::Stitches;
                    let dash = usize::from(self.kind(taken) == Some(Kind::Dash));
                    match self.number_ahead(taken + dash) {
                        Some((_, number)) if self.space_follows(taken + dash + number) => {
                            taken + dash + number
                        }
                        _ => taken,
                    }
                }
                Some((Word::Stitch(height), taken)) => {
                    *names_stitches = true;
                    unit = match height {
                        Height::Slip => Unit::Slips,
                        _ => Unit::Stitches,
                    };
                    taken
                }
                Some((Word::Bobble | Word::Popcorn | Word::Puff, taken)) => {
                    *names_stitches = true;
                    unit = match unit {
                        Unit::None => Unit::Textured,
                        unit => unit,
                    };
                    taken
                }
                Some((Word::Own(place), taken)) => {
                    *names_stitches = true;
                    let leaves_one = matches!(self.names.own.get(place).single, Some((_, 1)));
                    unit = if leaves_one {
                        Unit::Stitches
                    } else {
                        Unit::Figures
                    };
                    taken
                }
                Some((Word::Figure, taken)) => {
                    *names_stitches = true;
                    unit = Unit::Figures;
                    taken
                }
                Some((Word::Picot, taken)) => {
                    *names_stitches = true;
                    unit = Unit::Picots;
                    taken
                }
                Some((Word::Increase | Word::Decrease, taken)) if !self.names.letter_code => {
                    *names_stitches = true;
                    unit = Unit::Changes;
                    taken
                }
                Some((Word::Total | Word::Each | Word::Remaining, taken)) => taken,
                // `10 little waves`
                None if unit == Unit::None
                    && self.kind(0) == Some(Kind::Word)
                    && FIGURES.iter().any(|word| self.is_word(1, word)) =>
                {
                    *names_stitches = true;
                    unit = Unit::Figures;
                    2
                }
                None if unit == Unit::None && FIGURES.iter().any(|word| self.is_word(0, word)) => {
                    *names_stitches = true;
                    unit = Unit::Figures;
                    1
                }
                // `26 sc and two armholes`
                None if unit == Unit::None && HOLES.iter().any(|word| self.is_word(0, word)) => {
                    unit = Unit::Picots;
                    1
                }
                // `two ch-12 handle spaces`
                None if unit == Unit::Stitches
                    && self.kind(0) == Some(Kind::Word)
                    && self.space_follows(0) =>
                {
                    1
                }
                None if ["remain", "left", "made"]
                    .iter()
                    .any(|word| self.is_word(0, word)) =>
                {
                    1
                }
                _ => {
                    self.at = end;
                    return unit;
                }
            };
            self.at += taken;
            end = self.at;
        }
    }

    fn at_loops(&self) -> bool {
        self.is_word(0, "loops") || self.is_word(0, "lps")
    }

    /// `, counting the ch-3`, ` - no increase`: a remark that ends the bracket of a total.
    fn pass_remark_in_total(&mut self) {
        const SAYS_HOW: &[&str] = &["counting", "including", "incl", "excluding", "not"];
        let sign = usize::from(matches!(
            self.kind(0),
            Some(Kind::Comma | Kind::Dash | Kind::Semicolon)
        ));
        let opens = sign > 0 && SAYS_HOW.iter().any(|word| self.is_word(1, word))
            || matches!(self.word_ahead(sign), Some((Word::Remark | Word::Even, _)));
        let close = self.tokens[self.at..]
            .iter()
            .position(|t| matches!(t.kind, Kind::Open(_) | Kind::Close(_)));
        if let (true, Some(close)) = (opens, close) {
            self.at += close;
        }
    }

    fn space_follows(&self, ahead: usize) -> bool {
        let dash = usize::from(self.kind(ahead) == Some(Kind::Dash));
        // `two ch-12 handle spaces`
        let called = usize::from(
            self.kind(ahead + dash) == Some(Kind::Word) && self.word_ahead(ahead + dash).is_none(),
        );
        matches!(
            self.word_ahead(ahead + dash + called),
            Some((Word::Space, _))
        )
    }
}

/// For each token, and for the end, whether stitches are worked from there on.
pub(super) fn works_from(meanings: &[Option<(Word, usize)>]) -> Vec<bool> {
    let mut works = vec![false; meanings.len() + 1];
    for (at, meaning) in meanings.iter().enumerate().rev() {
        works[at] = match meaning {
            // Steps after the total may speak of stitches, and a slip stitch or a turning chain ends the round: not work.
            Some((
                Word::Stitch(Height::Slip | Height::Chain) | Word::Join | Word::Turn | Word::Change,
                _,
            )) => false,
            Some((word, _)) if step_of(*word).is_some() => false,
            Some((
                Word::Stitch(_)
                | Word::Own(_)
                | Word::Increase
                | Word::Decrease
                | Word::InvisibleDecrease,
                _,
            )) => true,
            _ => works[at + 1],
        };
    }
    works
}
