//! One clause of a round: what stands between two commas. Its phrases may come in any order (`6 sc in B`,
//! `with B, sc 6`, `sc in next 6 sts BLO`); each fills a slot, and the slots together make an instruction.

use super::body::Reader;
use super::lex::Kind;
use super::place::Place;
use super::tree::*;
use crate::source::{Problem, Span, limits, quoted};
use crate::terms::words::Word;
use crate::terms::{Form, Height, Into};

/// The slots.
#[derive(Default)]
pub(super) struct Clause {
    pub(super) first: usize,
    pub(super) count: Option<u32>,
    pub(super) count_first: Option<usize>,
    pub(super) stitch: Option<StitchWord>,
    /// Stitches in one place that the stitch's own name asks for: 2 for `inc`.
    pub(super) in_one: u32,
    /// A spaced number stands after `inc` or `dec`.
    pub(super) number_after: bool,
    pub(super) places: Vec<Place>,
    pub(super) hold: Option<Into>,
    pub(super) yarn: Option<Spanned<String>>,
    pub(super) yarn_after: Option<Spanned<String>>,
    pub(super) through: Option<Through>,
    pub(super) extended: bool,
    pub(super) foundation: bool,
    pub(super) unknown: Vec<Span>,
}

impl Reader<'_> {
    /// Reads one clause into instructions. `top` says that no bracket is open.
    pub(super) fn clause(&mut self, items: &mut Vec<Instruction>, top: bool) {
        let mut clause = Clause {
            first: self.at,
            ..Clause::default()
        };
        while let Some(token) = self.peek() {
            let before = self.at;
            match token.kind {
                Kind::Number(_) => {
                    if self.number_phrase(&mut clause, items, top) {
                        return;
                    }
                }
                Kind::Word => {
                    if self.word_phrase(&mut clause, items, top) {
                        break;
                    }
                }
                Kind::Dash if self.dash_joins() => self.at += 1,
                Kind::Ampersand | Kind::Plus if clause.stitch.is_some() => {
                    self.at += 1;
                    self.flush(&mut clause, items);
                }
                Kind::Star(1)
                    if clause.stitch.is_some()
                        && self.number_ahead(1).is_some()
                        && self.at_star_times() =>
                {
                    self.times_for_clause(&mut clause, items);
                }
                Kind::Times if self.number_ahead(1).is_some() => {
                    self.times_for_clause(&mut clause, items)
                }
                _ => break,
            }
            if self.at == before {
                self.at += 1;
            }
        }
        self.flush(&mut clause, items);
    }

    /// A hyphen that holds a compound together: `ch-3`, `hdc-inc`.
    fn dash_joins(&self) -> bool {
        let glued_before = self.peek().is_some_and(|t| !t.spaced);
        let glued_after = self.tokens.get(self.at + 1).is_some_and(|t| !t.spaced);
        glued_before && glued_after
    }

    /// `inc*6`: the star is a sign, because nothing that could be starred follows the number.
    fn at_star_times(&self) -> bool {
        !self.tokens[self.at].spaced && !matches!(self.kind(2), Some(Kind::Word | Kind::Number(_)))
    }

    /// A number in a clause. True if it led to a group and the clause is done.
    fn number_phrase(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        top: bool,
    ) -> bool {
        let Some((n, taken)) = self.number() else {
            return false;
        };
        let start = self.at;
        // `6 times`, after a stitch.
        if clause.stitch.is_some()
            && (matches!(self.word_ahead(taken), Some((Word::Times, _)))
                || matches!(self.word_ahead(taken), Some((Word::More, more)) if matches!(self.word_ahead(taken + more), Some((Word::Times, _)))))
        {
            self.times_for_clause(clause, items);
            return false;
        }
        // `6(sc, inc)`, `6 x (sc, inc)`, `6 times (sc, inc)`.
        let sign = match self.word_ahead(taken) {
            Some((Word::Times, times)) => times,
            _ => usize::from(self.at_times_sign(taken) && !self.is_code_letter(taken)),
        };
        let colon = usize::from(self.kind(taken + sign) == Some(Kind::Colon));
        if let Some(Kind::Open(_)) = self.kind(taken + sign + colon)
            && (sign > 0 || clause.stitch.is_none() || clause.count.is_some())
            && !(sign == 0 && self.total_follows(taken))
        {
            self.flush(clause, items);
            self.at += taken + sign + colon;
            self.group_times(n, start, items);
            return true;
        }
        // `6 x inc`
        if sign > 0
            && clause.stitch.is_none()
            && clause.count.is_none()
            && self.stitch_at(taken + sign)
        {
            clause.count = Some(self.checked_count(n, start, taken));
            clause.count_first = Some(start);
            self.at = start + taken + sign;
            return false;
        }
        // `18 sts` at the end of the body.
        if top
            && clause.stitch.is_none()
            && clause.count.is_none()
            && matches!(
                self.word_ahead(taken),
                Some((Word::AnyStitch | Word::Space, _))
            )
        {
            self.trailing_total(Kind::Stop);
            if self.at != start {
                return false;
            }
        }
        // `sc 2 tog`, `dc 3 together`.
        if let (Some(stitch), Some((Word::Together, together))) =
            (&mut clause.stitch, self.word_ahead(taken))
        {
            stitch.form = together_form(n);
            self.at += taken + together;
            return false;
        }
        if clause.stitch.is_some() {
            let stitch_follows = self.stitch_at(taken);
            if clause.count.is_some() || stitch_follows || !clause.places.is_empty() {
                self.flush(clause, items);
            } else {
                clause.number_after = true;
            }
        }
        clause.count = Some(self.checked_count(n, start, taken));
        clause.count_first = Some(start);
        self.at = start + taken;
        false
    }

    /// True if a stitch is named `ahead` tokens on.
    fn stitch_at(&self, ahead: usize) -> bool {
        matches!(
            self.word_ahead(ahead),
            Some((
                Word::Stitch(_)
                    | Word::Increase
                    | Word::Decrease
                    | Word::InvisibleDecrease
                    | Word::Bobble
                    | Word::Popcorn
                    | Word::Puff
                    | Word::Picot,
                _
            ))
        )
    }

    fn total_follows(&mut self, ahead: usize) -> bool {
        let start = self.at;
        let kept = self.stated;
        self.at += ahead;
        let total = self.total_in_bracket().is_some();
        self.at = start;
        self.stated = kept;
        total
    }

    fn checked_count(&mut self, n: u32, first: usize, taken: usize) -> u32 {
        if n > limits::COUNT {
            let span = self.tokens[first]
                .span
                .to(self.tokens[first + taken - 1].span);
            self.problem(Problem::error(
                "repeat-too-large",
                span,
                format!(
                    "{n} is more than a round can have (the limit is {})",
                    limits::COUNT
                ),
            ));
            return 0;
        }
        n
    }

    /// The bracket after `6 x`.
    fn group_times(&mut self, n: u32, first: usize, items: &mut Vec<Instruction>) {
        let from = items.len();
        let Some(Kind::Open(bracket)) = self.kind(0) else {
            return;
        };
        let span = self.tokens[self.at].span;
        if self.depth >= limits::NESTING {
            self.problem(Problem::error(
                "nesting",
                span,
                format!(
                    "brackets are nested more than {} deep here",
                    limits::NESTING
                ),
            ));
            self.at = self.tokens.len();
            self.gave_up = true;
            return;
        }
        self.at += 1;
        self.depth += 1;
        let inner = self.list(Some((bracket, span)));
        self.depth -= 1;
        if n == 0 {
            let span = self.span_from(first);
            self.problem(Problem::error(
                "repeat-nothing",
                span,
                "a repeat of 0 times works nothing",
            ));
        }
        let n = self.checked_count(n, first, 1);
        let group = match self.group_place() {
            Some(Place {
                over, target, hold, ..
            }) => vec![Instruction {
                act: Act::Together(Group {
                    items: inner,
                    over,
                    target,
                    hold,
                }),
                span: self.span_from(first),
            }],
            None => inner,
        };
        items.truncate(from);
        let span = self.span_from(first);
        items.push(Instruction {
            act: Act::Repeat(Repeat {
                items: group,
                times: Times::Exactly(n),
                last_stops_after: None,
            }),
            span,
        });
    }

    /// `inc 6 times`, `inc x 6`: a number of times after one stitch.
    fn times_for_clause(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        let start = self.at;
        if self.at_times_sign(0)
            && clause.count.is_none()
            && clause.places.is_empty()
            && let Some((n, taken)) = self.number_ahead(1)
        {
            clause.count = Some(self.checked_count(n, start + 1, taken));
            self.at += 1 + taken;
            if let Some((Word::Times, taken)) = self.word() {
                self.at += taken;
            }
            if n == 0 {
                let span = self.span_from(start);
                self.problem(Problem::error(
                    "repeat-nothing",
                    span,
                    "a repeat of 0 times works nothing",
                ));
            }
            return;
        }
        let from = items.len();
        self.flush(clause, items);
        let span = self.span_from(clause.first.min(start));
        self.repeat_from(items, from, span);
        clause.first = self.at;
    }

    /// A word in a clause. True if the clause ends here.
    fn word_phrase(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        top: bool,
    ) -> bool {
        if self.yarn_phrase(clause) {
            return false;
        }
        if let Some((stitch, in_one)) = self.code_letter() {
            self.begin_stitch(clause, items, stitch, in_one);
            self.at += 1;
            return false;
        }
        let Some((word, taken)) = self.word() else {
            return self.compound_or_unknown(clause, items);
        };
        let start = self.at;
        match word {
            Word::Stitch(Height::Slip) if self.closes_round(taken) => {
                self.flush(clause, items);
                self.swallow();
                items.push(Instruction {
                    act: Act::Close,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            Word::Stitch(height) => {
                self.at += taken;
                self.stitch(clause, items, height, start);
            }
            Word::Number(_) => return self.number_phrase(clause, items, top),
            Word::Increase => {
                self.at += taken;
                self.increase(clause, items);
            }
            Word::Decrease | Word::InvisibleDecrease => {
                self.at += taken;
                self.decrease(clause, items, word == Word::InvisibleDecrease);
            }
            Word::Together => {
                self.at += taken;
                if let Some(stitch) = &mut clause.stitch {
                    stitch.form = together_form(clause.count.take().unwrap_or(2));
                }
            }
            Word::Bobble | Word::Popcorn | Word::Puff => {
                self.at += taken;
                self.gathered_in_one(clause, items, word);
            }
            Word::Picot => {
                self.at += taken;
                let chains = match (&clause.stitch, clause.count) {
                    (Some(stitch), Some(n)) if stitch.height == Some(Height::Chain) => n,
                    _ => 3,
                };
                if clause
                    .stitch
                    .is_some_and(|s| s.height == Some(Height::Chain))
                {
                    clause.stitch = None;
                    clause.count = None;
                }
                let stitch = StitchWord {
                    picot: true,
                    ..plain(Height::Chain)
                };
                self.begin_stitch(clause, items, stitch, chains);
            }
            Word::Extended => {
                self.at += taken;
                clause.extended = true;
            }
            Word::Foundation => {
                self.at += taken;
                clause.foundation = true;
            }
            Word::FrontPost | Word::BackPost => {
                self.at += taken;
                self.start_anew(clause, items);
                clause.hold = Some(if word == Word::FrontPost {
                    Into::FrontPost
                } else {
                    Into::BackPost
                });
            }
            Word::Skip => {
                self.flush(clause, items);
                self.at += taken;
                let place = self.skipped_place();
                items.push(Instruction {
                    act: Act::Skip {
                        over: place.0,
                        target: place.1,
                    },
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            Word::MagicRing => {
                self.at += taken;
                self.flush(clause, items);
                items.push(Instruction {
                    act: Act::MagicRing,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            Word::MainColour if self.first_round && items.is_empty() => {
                self.at += taken;
                items.push(Instruction {
                    act: Act::MagicRing,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            Word::Through => {
                if let Some(through) = self.through_phrase() {
                    clause.through = Some(through);
                }
            }
            Word::Join => return self.join_phrase(clause, items),
            Word::Change => self.change_phrase(clause),
            Word::Turn => {
                self.flush(clause, items);
                self.at += taken;
                items.push(Instruction {
                    act: Act::Turn,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            Word::Same if self.refers_to_rounds(taken) => self.as_rounds(clause, items),
            Word::As | Word::Repeat if self.refers_to_rounds(0) => self.as_rounds(clause, items),
            Word::OtherSide => {
                self.flush(clause, items);
                self.at += taken;
                self.swallow();
                items.push(Instruction {
                    act: Act::OtherSide,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            Word::NewStart | Word::LeaveRest | Word::CountsAs | Word::DoesNotCount => {
                self.flush(clause, items);
                self.at += taken;
                self.swallow();
                let (from, to) = (start, self.at);
                self.at = start;
                let bridge = self.chains_named(from, to);
                self.at = to;
                let act = match word {
                    Word::NewStart => Act::NewStart,
                    Word::LeaveRest => Act::LeaveRest,
                    word => Act::StartCounts {
                        counts: word == Word::CountsAs,
                        bridge,
                    },
                };
                items.push(Instruction {
                    act,
                    span: self.span_from(start),
                });
                clause.first = self.at;
            }
            Word::And => {
                self.at += taken;
                let goes_on = matches!(
                    self.word(),
                    Some((Word::In | Word::Each | Word::Next | Word::Over, _))
                ) && clause.stitch.is_some()
                    && !clause.places.is_empty();
                if !goes_on {
                    self.start_anew(clause, items);
                }
            }
            Word::With => {
                self.at += taken;
            }
            Word::Remark => {
                self.flush(clause, items);
                self.swallow();
                clause.first = self.at;
            }
            Word::Ending if !items.is_empty() => {
                // `dc in each st across, ending with dc in top of turning ch` says again where the round ends.
                self.flush(clause, items);
                self.swallow();
                clause.first = self.at;
            }
            word if step_of(word).is_some() => {
                self.flush(clause, items);
                let kind = step_of(word).unwrap_or(StepKind::Stuff);
                self.at += taken;
                self.swallow_step();
                items.push(Instruction {
                    act: Act::Step(kind),
                    span: self.span_from(start),
                });
                return true;
            }
            _ => return self.place_or_filler(clause, items, taken),
        }
        false
    }

    fn place_or_filler(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        taken: usize,
    ) -> bool {
        let start = self.at;
        // The other side of the chain, with its preposition.
        if let Some(ahead) = self.other_side_ahead() {
            self.flush(clause, items);
            self.at += ahead;
            self.swallow();
            items.push(Instruction {
                act: Act::OtherSide,
                span: self.span_from(start),
            });
            clause.first = self.at;
            return false;
        }
        if let Some(place) = self.place() {
            if place.loop_only {
                self.loop_phrase(clause, items, place, start);
            } else {
                clause.places.push(place);
            }
            return false;
        }
        // Words that say nothing on their own.
        self.at += taken;
        false
    }

    fn other_side_ahead(&self) -> Option<usize> {
        let mut ahead = 0;
        for _ in 0..4 {
            match self.word_ahead(ahead)? {
                (Word::OtherSide, taken) => return Some(ahead + taken),
                (Word::In | Word::Filler | Word::Around | Word::To, taken) => ahead += taken,
                _ => return None,
            }
        }
        None
    }

    /// `BLO`: for the stitch of this clause, or from here on if it stands alone.
    fn loop_phrase(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        place: Place,
        start: usize,
    ) {
        if clause.stitch.is_none() && clause.count.is_none() && self.at_separator() {
            let hold = place.hold.filter(|hold| *hold != Into::Stitch);
            items.push(Instruction {
                act: Act::Hold(hold),
                span: self.span_from(start),
            });
            clause.first = self.at;
        } else {
            clause.hold = place.hold;
        }
    }

    // ---- stitches ----

    fn start_anew(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        if clause.stitch.is_some() {
            self.flush(clause, items);
        }
    }

    fn begin_stitch(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        mut stitch: StitchWord,
        in_one: u32,
    ) {
        if clause.stitch.is_some() {
            self.flush(clause, items);
        }
        if std::mem::take(&mut clause.extended) {
            stitch.form = Form::Extended;
        }
        stitch.foundation = std::mem::take(&mut clause.foundation);
        clause.stitch = Some(stitch);
        clause.in_one = in_one;
    }

    /// A stitch's name, with what may hang on it: `sc2tog`, `hdc-inc`, `ch-3`, `sc dec`.
    fn stitch(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        height: Height,
        start: usize,
    ) {
        self.begin_stitch(clause, items, plain(height), 1);
        if let (Some(Kind::Number(n)), Some(_)) = (self.kind(0), self.peek().filter(|t| !t.spaced))
            && let Some((Word::Together, taken)) = self.word_ahead(1)
        {
            if let Some(stitch) = &mut clause.stitch {
                stitch.form = together_form(n);
            }
            if !(2..=12).contains(&n) {
                let span = self.tokens[start].span.to(self.tokens[self.at].span);
                self.problem(Problem::error(
                    "unknown-stitch",
                    span,
                    format!("{n} stitches can't be worked together"),
                ));
            }
            self.at += 1 + taken;
            return;
        }
        let dash = usize::from(self.kind(0) == Some(Kind::Dash) && self.dash_joins());
        match self.word_ahead(dash) {
            Some((Word::Increase, taken)) if height != Height::Chain => {
                self.at += dash + taken;
                clause.in_one = self.glued_number().unwrap_or(2);
            }
            Some((Word::Decrease | Word::InvisibleDecrease, taken)) if height != Height::Chain => {
                self.at += dash + taken;
                let n = self.glued_number().unwrap_or(2);
                if let Some(stitch) = &mut clause.stitch {
                    stitch.form = together_form(n);
                }
            }
            _ => self.at += dash,
        }
    }

    /// The number of `inc3`.
    fn glued_number(&mut self) -> Option<u32> {
        let token = self.peek()?;
        match token.kind {
            Kind::Number(n) if !token.spaced && (2..=12).contains(&n) => {
                self.at += 1;
                Some(n)
            }
            _ => None,
        }
    }

    fn increase(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        let in_one = self.glued_number().unwrap_or(2);
        let stitch = StitchWord {
            height: None,
            form: Form::Plain,
            picot: false,
            foundation: false,
        };
        self.begin_stitch(clause, items, stitch, in_one);
    }

    fn decrease(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>, invisible: bool) {
        let n = self.glued_number().unwrap_or(2);
        let stitch = StitchWord {
            height: None,
            form: together_form(n),
            picot: false,
            foundation: false,
        };
        self.begin_stitch(clause, items, stitch, 1);
        if invisible {
            clause.hold = Some(Into::FrontLoop);
        }
    }

    /// `bobble`, `5-dc bobble`, `puff`.
    fn gathered_in_one(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>, word: Word) {
        let (mut height, mut n) = (
            if word == Word::Puff {
                Height::HalfDouble
            } else {
                Height::Double
            },
            None,
        );
        if let Some(stitch) = clause.stitch
            && clause.places.is_empty()
            && stitch.form == Form::Plain
            && let Some(h) = stitch.height
        {
            height = h;
            n = clause.count.take();
            clause.stitch = None;
        }
        let n = n
            .unwrap_or(if word == Word::Puff { 3 } else { 5 })
            .clamp(2, 12) as u8;
        let form = match word {
            Word::Bobble => Form::Bobble(n),
            Word::Popcorn => Form::Popcorn(n),
            _ => Form::Puff(n),
        };
        self.begin_stitch(
            clause,
            items,
            StitchWord {
                form,
                ..plain(height)
            },
            1,
        );
    }

    /// A word that the table does not know whole: `FPdc`, `scinc`, or nothing of the trade.
    fn compound_or_unknown(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) -> bool {
        let token = &self.tokens[self.at];
        let start = self.at;
        if let Some(compound) = super::compound::split(&token.text, self.names.terms) {
            self.at += 1;
            if let Some(hold) = compound.hold {
                self.start_anew(clause, items);
                clause.hold = Some(hold);
            }
            clause.extended |= compound.extended;
            clause.foundation |= compound.foundation;
            if let Some(height) = compound.height {
                self.stitch(clause, items, height, start);
            }
            if compound.increase {
                if compound.height.is_none() {
                    self.increase(clause, items);
                } else {
                    clause.in_one = self.glued_number().unwrap_or(2);
                }
            }
            if compound.decrease {
                if compound.height.is_none() {
                    self.decrease(clause, items, compound.hold == Some(Into::FrontLoop));
                } else if let Some(stitch) = &mut clause.stitch {
                    stitch.form = together_form(2);
                }
            }
            return false;
        }
        // `x 6` after a stitch.
        if token.is("x") && self.number_ahead(1).is_some() && clause.stitch.is_some() {
            self.times_for_clause(clause, items);
            return false;
        }
        clause.unknown.push(token.span);
        self.at += 1;
        false
    }

    // ---- the letter code of charts ----

    pub(super) fn is_code_letter(&self, ahead: usize) -> bool {
        let Some(token) = self.tokens.get(self.at + ahead) else {
            return false;
        };
        self.names.letter_code
            && token.kind == Kind::Word
            && code(&self.text[token.span.range()]).is_some()
    }

    fn code_letter(&self) -> Option<(StitchWord, u32)> {
        if !self.is_code_letter(0) {
            return None;
        }
        code(&self.text[self.peek()?.span.range()])
    }

    // ---- places and rounds ----

    /// What `skip` passes over: `2 sts`, `next ch-2 sp`; one stitch where nothing is said.
    fn skipped_place(&mut self) -> (Over, Target) {
        match self.bare_place() {
            Some(place) if place.target == Target::Same => (place.over, Target::Next),
            Some(place) => (place.over, place.target),
            None => (Over::Count(1), Target::Next),
        }
    }

    /// True if `ahead` tokens on, words point to other rounds: `as Rnd 3`, `repeat Rnds 5 and 6`.
    fn refers_to_rounds(&self, mut ahead: usize) -> bool {
        for _ in 0..5 {
            match self.word_ahead(ahead) {
                Some((Word::As | Word::Repeat | Word::Filler | Word::Same, taken)) => {
                    ahead += taken
                }
                Some((Word::Round | Word::Row, _)) => return true,
                None if self.tokens.get(self.at + ahead).is_some_and(|t| t.is("r")) => return true,
                _ => return false,
            }
        }
        false
    }

    fn as_rounds(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        self.flush(clause, items);
        let start = self.at;
        while self.number().is_none() && !self.at_separator() {
            self.at += 1;
        }
        if let Some((first, taken)) = self.number() {
            self.at += taken;
            let mut last = first;
            let joins = matches!(
                self.kind(0),
                Some(Kind::Dash | Kind::Tilde | Kind::Ampersand)
            ) || matches!(self.word(), Some((Word::And | Word::To, _)));
            if joins {
                let ahead = 1 + usize::from(matches!(
                    self.word_ahead(1),
                    Some((Word::Round | Word::Row, _))
                ));
                if let Some((n, taken)) = self.number_ahead(ahead) {
                    last = n;
                    self.at += ahead + taken;
                }
            }
            let span = self.span_from(start);
            if last < first {
                self.problem(Problem::error(
                    "range-backwards",
                    span,
                    format!("rounds {first} to {last} run backwards"),
                ));
                last = first;
            }
            self.swallow();
            items.push(Instruction {
                act: Act::AsRounds { first, last },
                span,
            });
        }
        clause.first = self.at;
    }

    /// Passes over the rest of the clause.
    pub(super) fn swallow(&mut self) {
        while !self.at_separator() && !matches!(self.kind(0), Some(Kind::Open(_) | Kind::Star(_))) {
            self.at += 1;
        }
    }

    /// Passes over the rest of a step's sentence, up to where stitches are worked again.
    fn swallow_step(&mut self) {
        loop {
            self.swallow();
            match self.kind(0) {
                Some(Kind::Comma | Kind::Other | Kind::Slash | Kind::Ampersand)
                    if !self.clause_has_work(1) =>
                {
                    self.at += 1
                }
                _ => return,
            }
        }
    }

    /// True if the clause that starts `ahead` tokens on works stitches or is a step of its own.
    fn clause_has_work(&self, mut ahead: usize) -> bool {
        loop {
            match self.kind(ahead) {
                None | Some(Kind::Comma | Kind::Semicolon | Kind::Stop | Kind::Close(_)) => {
                    return false;
                }
                Some(Kind::Open(_) | Kind::Star(_)) => return true,
                _ => {}
            }
            match self.word_ahead(ahead) {
                Some((word, taken)) => {
                    let works = matches!(
                        word,
                        Word::Stitch(_)
                            | Word::Increase
                            | Word::Decrease
                            | Word::InvisibleDecrease
                            | Word::Repeat
                            | Word::Skip
                            | Word::Join
                            | Word::Change
                            | Word::Turn
                    ) || step_of(word).is_some();
                    if works {
                        return true;
                    }
                    ahead += taken;
                }
                None => ahead += 1,
            }
        }
    }

    // ---- the slots made into instructions ----

    pub(super) fn flush(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        let next = Clause {
            first: self.at,
            ..Clause::default()
        };
        let done = std::mem::replace(clause, next);
        let span = self.span_from(done.first.min(self.at.saturating_sub(1)));
        self.report_unknown(&done);
        if let Some(yarn) = &done.yarn {
            items.push(Instruction {
                act: Act::Yarn(yarn.clone()),
                span,
            });
        }
        let yarn_only = done.yarn.is_some() && done.count.is_some() && done.stitch.is_none();
        if let Some(stitch) = done.stitch.or_else(|| yarn_only.then_some(OPEN_STITCH)) {
            self.push_work(&done, stitch, span, items);
        } else if !done.places.is_empty() {
            let place = done.places[0];
            let implied = done.unknown.is_empty()
                && matches!(place.target, Target::Next)
                && place.over == Over::Rest;
            if implied && done.count.is_none() && !place.named {
                // `work even`, `around`: whatever stitch the round before had.
                self.push_work(&done, OPEN_STITCH, span, items);
            } else if let Target::Earlier(number) = place.target {
                let hold = place.hold;
                items.push(Instruction {
                    act: Act::IntoRound { number, hold },
                    span,
                });
            } else {
                self.place_ahead = Some(place);
            }
        } else if let (Some(through), None) = (&done.through, done.count) {
            self.attach_through(through, items);
        } else if let (Some(hold), None) = (done.hold, done.count) {
            items.push(Instruction {
                act: Act::Hold(Some(hold)),
                span,
            });
        } else if let (Some(first), true) = (done.count_first, done.unknown.is_empty()) {
            if self.stated.is_none() {
                let span = self.span_from(first);
                self.problem(
                    Problem::error("unread", span, "a number without a stitch")
                        .help("say what is worked so often, or put a total in brackets at the end"),
                );
                items.push(Instruction {
                    act: Act::Unread,
                    span,
                });
            }
        }
        if let Some(yarn) = done.yarn_after {
            items.push(Instruction {
                act: Act::Yarn(yarn),
                span,
            });
        }
    }

    fn push_work(
        &mut self,
        clause: &Clause,
        stitch: StitchWord,
        span: Span,
        items: &mut Vec<Instruction>,
    ) {
        let through = clause.through.clone().or_else(|| self.through_ahead.take());
        let in_one = clause.in_one.max(1);
        let is_chain = stitch.height == Some(Height::Chain) && !stitch.picot;
        let feet = match stitch.form {
            Form::Together(n) => u32::from(n),
            _ => 1,
        };
        let mut places = clause.places.clone();
        let ahead = if is_chain {
            None
        } else {
            self.place_ahead.take()
        };
        if places.is_empty() {
            places.extend(ahead);
        }
        let work = |each, over, target, hold, bare| {
            Act::Work(Work {
                stitch,
                each,
                over,
                target,
                hold,
                through: through.clone(),
                bare,
            })
        };
        if is_chain && !places.iter().any(|p| p.named) {
            let n = clause.count.unwrap_or(1);
            items.push(Instruction {
                act: work(n, Over::Count(1), Target::Next, None, Bare::No),
                span,
            });
            return;
        }
        if stitch.height == Some(Height::Slip)
            && let Some(place) = places.first()
            && place.target == Target::First
        {
            items.push(Instruction {
                act: Act::Close,
                span,
            });
            return;
        }
        if places.is_empty() || (places.len() == 1 && !places[0].named && clause.count.is_some()) {
            let is_change = in_one > 1 || feet > 1;
            let bare = match clause.count {
                Some(n) if n > 1 && clause.number_after && is_change => Bare::After,
                Some(n) if n > 1 && !is_change => Bare::Several,
                _ => Bare::No,
            };
            match bare {
                Bare::After => self.doubts.bigger = true,
                Bare::Several if !stitch.picot => self.doubts.many_in_one = true,
                _ => {}
            }
            let hold = clause.hold.or(places.first().and_then(|p| p.hold));
            let over = match (clause.count, places.first()) {
                (Some(n), _) => Over::Count(n),
                (None, Some(place)) => place.over,
                (None, None) => Over::Count(1),
            };
            items.push(Instruction {
                act: work(in_one, over, Target::Next, hold, bare),
                span,
            });
            return;
        }
        for place in places {
            // `BPsc around next st`: the stitch's own name says which side of the post.
            let post = clause
                .hold
                .filter(|hold| matches!(hold, Into::FrontPost | Into::BackPost));
            let hold = post.or(place.hold).or(clause.hold);
            let count = clause.count.unwrap_or(1);
            let several = match place.over {
                Over::Count(k) => k > 1 && k == count && !place.each,
                _ => false,
            };
            let mut act_place = place;
            let mut each = count.saturating_mul(in_one);
            let mut form = stitch;
            if several {
                each = in_one;
            }
            if feet > 1 || stitch.height.is_none() && matches!(stitch.form, Form::Together(_)) {
                // `sc2tog over next 2 sts`: the places are those it draws together.
                act_place.over = match place.over {
                    Over::Count(k) if count == 1 && k > feet && k <= 12 && clause.number_after => {
                        Over::Count(1)
                    }
                    Over::Count(k) if k >= feet && k % feet == 0 => Over::Count(k / feet),
                    Over::Count(k) if (2..=12).contains(&k) => {
                        form.form = together_form(k);
                        Over::Count(1)
                    }
                    Over::Count(_) => Over::Count(count),
                    over => over,
                };
                each = 1;
            }
            if let (Some(n), true) = (place.every, in_one > 1) {
                self.push_every(n, stitch, in_one, hold, span, items);
                continue;
            }
            // Into one place together: a number of stitches in a ring or a space.
            let act = Act::Work(Work {
                stitch: form,
                each,
                over: act_place.over,
                target: place.target,
                hold,
                through: through.clone(),
                bare: Bare::No,
            });
            items.push(Instruction { act, span });
        }
    }

    /// `inc every 3rd st`: two plain, one increase, around.
    fn push_every(
        &mut self,
        n: u32,
        stitch: StitchWord,
        in_one: u32,
        hold: Option<Into>,
        span: Span,
        items: &mut Vec<Instruction>,
    ) {
        let work = |each, over| Instruction {
            act: Act::Work(Work {
                stitch,
                each,
                over: Over::Count(over),
                target: Target::Next,
                hold,
                through: None,
                bare: Bare::No,
            }),
            span,
        };
        let mut inner = Vec::new();
        // `sc around, inc every 3rd st`: the first clause only says what the others are.
        if let Some(Instruction {
            act: Act::Work(before),
            ..
        }) = items.last()
            && before.over == Over::Rest
            && before.each == 1
        {
            items.pop();
        }
        if n > 1 {
            inner.push(work(1, n - 1));
        }
        inner.push(work(in_one, 1));
        items.push(Instruction {
            act: Act::Repeat(Repeat {
                items: inner,
                times: Times::Around,
                last_stops_after: None,
            }),
            span,
        });
    }

    fn report_unknown(&mut self, clause: &Clause) {
        let (Some(first), Some(last)) = (clause.unknown.first(), clause.unknown.last()) else {
            return;
        };
        // After the total only remarks follow.
        if self.stated.is_some() {
            return;
        }
        let words = clause.unknown.len();
        let lone =
            clause.stitch.is_none() && (clause.count.is_some() || words == 1 || self.depth > 0);
        let span = first.to(*last);
        if lone {
            let word = &self.text[first.range()];
            let problem = Problem::error(
                "unknown-stitch",
                *first,
                format!("{} is not a stitch that I know", quoted(word)),
            );
            let problem = match super::compound::nearest(word, self.names.terms) {
                Some(near) => problem.help(format!("did you mean `{near}`?")),
                None => problem.help("list it under the abbreviations, or write it in words"),
            };
            self.problem(problem);
        } else {
            self.problem(Problem::warning(
                "unread",
                span,
                "these words of the round were not read",
            ));
        }
    }
}

/// The stitch that the round leaves open.
const OPEN_STITCH: StitchWord = StitchWord {
    height: None,
    form: Form::Plain,
    picot: false,
    foundation: false,
};

fn plain(height: Height) -> StitchWord {
    StitchWord {
        height: Some(height),
        ..OPEN_STITCH
    }
}

fn together_form(n: u32) -> Form {
    match n {
        0 | 1 => Form::Plain,
        n => Form::Together(n.min(12) as u8),
    }
}

/// The letter code of charts: X sc, V increase, A decrease, W three in one, M three together, T hdc, F dc, E tr
/// (common practice, no source).
fn code(letter: &str) -> Option<(StitchWord, u32)> {
    Some(match letter {
        "X" => (plain(Height::Single), 1),
        "V" => (plain(Height::Single), 2),
        "A" => (
            StitchWord {
                form: Form::Together(2),
                ..plain(Height::Single)
            },
            1,
        ),
        "W" => (plain(Height::Single), 3),
        "M" => (
            StitchWord {
                form: Form::Together(3),
                ..plain(Height::Single)
            },
            1,
        ),
        "T" => (plain(Height::HalfDouble), 1),
        "F" => (plain(Height::Double), 1),
        "E" => (plain(Height::Treble), 1),
        _ => return None,
    })
}

/// The step that a word names.
pub(super) fn step_of(word: Word) -> Option<StepKind> {
    Some(match word {
        Word::FastenOff => StepKind::FastenOff,
        Word::Stuff => StepKind::Stuff,
        Word::LeaveEmpty => StepKind::LeaveEmpty,
        Word::Flatten => StepKind::Flatten,
        Word::Marker => StepKind::PlaceMarker,
        Word::Eyes => StepKind::Eyes,
        Word::CloseHole => StepKind::CloseHole,
        Word::Sew => StepKind::Sew,
        _ => return None,
    })
}
