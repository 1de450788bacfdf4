//! Numbers in a clause: how many, how often, and what they multiply.

use super::body::Reader;
use super::clause::Clause;
use super::lex::Kind;
use super::place::Place;
use super::tree::*;
use crate::source::{Problem, limits};
use crate::terms::Height;
use crate::terms::words::Word;

/// Most tokens of a total without brackets at the end of a round.
const LONGEST_CLOSING: usize = 16;

impl Reader<'_> {
    /// `inc*6`: the star is a sign, because nothing that could be starred follows the number.
    pub(super) fn at_star_times(&self) -> bool {
        !self.tokens[self.at].spaced && !matches!(self.kind(2), Some(Kind::Word | Kind::Number(_)))
    }

    /// A number in a clause. True if it led to a group and the clause is done.
    pub(super) fn number_phrase(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        top: bool,
    ) -> bool {
        let Some((n, taken)) = self.number() else {
            return false;
        };
        let start = self.at;
        if let Some((deeper, taken)) = self.rounds_below() {
            clause.deeper = deeper;
            self.at += taken;
            return false;
        }
        let spread = matches!(self.word_ahead(taken), Some((Word::Times, times))
            if matches!(self.word_ahead(taken + times), Some((Word::Evenly, _))));
        // `1 rnd even`
        let round = match self.word_ahead(taken) {
            Some((Word::Round | Word::Row, round)) => round,
            _ => 0,
        };
        if clause.stitch.is_none()
            && matches!(self.word_ahead(taken + round), Some((Word::Even, _)))
        {
            self.at += taken + round;
            return false;
        }
        if round > 0 && clause.count.is_none() && self.rounds_of_a_stitch(clause, taken + round) {
            return false;
        }
        if self.so_often_together(clause, items, n, taken)
            || self.several_in_one(clause, items, n, taken)
            || self.so_many_stitches(clause, items, n, taken)
        {
            return false;
        }
        // `sc in each st around – 6 rounds`, which says again how many the label stands for.
        let after_dash = start > 0 && self.tokens[start - 1].kind == Kind::Dash;
        let ends = matches!(
            self.kind(taken + round),
            None | Some(Kind::Stop | Kind::Open(_))
        );
        if round > 0 && after_dash && ends && !items.is_empty() {
            self.at += taken + round;
            return false;
        }
        // `6 times`, after a stitch.
        if clause.stitch.is_some()
            && !spread
            && (matches!(self.word_ahead(taken), Some((Word::Times, _)))
                || matches!(self.word_ahead(taken), Some((Word::More, more)) if matches!(self.word_ahead(taken + more), Some((Word::Times, _)))))
        {
            self.times_for_clause(clause, items);
            return false;
        }
        // `dec 6x`
        if clause.stitch.is_some()
            && clause.count.is_none()
            && clause.places.is_empty()
            && self.at_times_sign(taken)
            && !self.is_code_letter(taken)
            && self.kind(taken) != Some(Kind::Star(1))
            && self.ends_after_number(taken + 1)
            && (!matches!(self.kind(taken + 1), Some(Kind::Open(_)))
                || self.total_follows(taken + 1))
        {
            clause.count = Some(self.checked_count(n, start, taken));
            clause.count_first = Some(start);
            self.at = start + taken + 1;
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
            && !(sign == 0
                && (self.total_follows(taken) || self.rounds_in_bracket(taken).is_some()))
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
            self.trailing_total(Kind::Stop, items);
            if self.at != start {
                return false;
            }
        }
        // `12 sc 12`
        let near_end = self.tokens.len() - self.at <= LONGEST_CLOSING;
        let has_its_own = clause.count.is_some() || !clause.places.is_empty();
        let after_work = || {
            clause.stitch.is_none()
                && clause.unknown.is_empty()
                && items.iter().any(|item| item.act.is_worked())
        };
        // `A 10`: of that yarn.
        let of_yarn = clause.yarn.is_some() && clause.stitch.is_none() && clause.count.is_none();
        if top && near_end && !of_yarn && self.stated.is_none() && (has_its_own || after_work()) {
            if clause.stitch.is_some() {
                self.flush(clause, items);
            }
            if self.closing_number() {
                clause.first = self.at;
                return false;
            }
        }
        // `sc 2 tog`, `dc 3 together`.
        let with_a_part = matches!(self.word_ahead(taken), Some((_, together))
            if matches!(self.word_ahead(taken + together), Some((Word::With, _))));
        if let (Some(stitch), Some((Word::Together, together)), false) =
            (&mut clause.stitch, self.word_ahead(taken), with_a_part)
        {
            *stitch = stitch.together(n);
            self.at += taken + together;
            return false;
        }
        if self.is_one_change(clause, taken) {
            let stitch = self.word_ahead(taken).map_or(0, |(_, stitch)| stitch);
            self.at = start + taken + stitch;
            return false;
        }
        if clause.stitch.is_some() {
            // `sc4 hdc4`: a number glued to the stitch before it is that stitch's; so is one in `sc 1 dec 1`.
            let glued = self.peek().is_some_and(|t| !t.spaced);
            let before_next = self.stitch_at(taken)
                && !glued
                && !self.numbers_come_after(taken)
                && !self.is_of_change(taken);
            if clause.count.is_some() || before_next || !clause.places.is_empty() {
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

    /// `Work 6 rnds in dc`, which says again how many the label stands for; `ahead` is behind the rounds. False, and the cursor
    /// unmoved, if no stitch that they are all worked in follows.
    fn rounds_of_a_stitch(&mut self, clause: &mut Clause, ahead: usize) -> bool {
        let link = match self.word_ahead(ahead) {
            Some((Word::In | Word::Of, taken)) => ahead + taken,
            _ => return false,
        };
        let stitch = match self.word_ahead(link) {
            Some((Word::Stitch(height), taken)) if height > Height::Slip => taken,
            _ => return false,
        };
        let ends = !matches!(
            self.kind(link + stitch),
            Some(Kind::Word | Kind::Number(_) | Kind::Dash)
        );
        let alone = clause.stitch.is_none() && clause.places.is_empty();
        if alone && ends {
            self.at += link;
            clause.places.push(Place::around());
        }
        alone && ends
    }

    /// `4x crochet 2 sts together`: four decreases. False if the words at the cursor are others.
    fn so_often_together(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        n: u32,
        taken: usize,
    ) -> bool {
        const MOST_IN_ONE: u32 = 4;
        let sign = match self.word_ahead(taken) {
            Some((Word::Times, times)) => times,
            _ => usize::from(self.at_times_sign(taken)),
        };
        let mut ahead = taken + sign;
        while let Some((Word::Filler | Word::Next, word)) = self.word_ahead(ahead) {
            ahead += word;
        }
        let Some((feet, number)) = self.number_ahead(ahead).filter(|_| sign > 0) else {
            return false;
        };
        ahead += number;
        if let Some((Word::AnyStitch, unit)) = self.word_ahead(ahead) {
            ahead += unit;
        }
        let Some((Word::Together, together)) = self.word_ahead(ahead) else {
            return false;
        };
        let alone = clause.stitch.is_none() && clause.count.is_none() && clause.places.is_empty();
        if !alone || !(2..=MOST_IN_ONE).contains(&feet) {
            return false;
        }
        let stitch = StitchWord::OPEN.together(feet);
        self.counted_stitch(clause, items, stitch, (n, taken));
        self.at += ahead + together;
        true
    }

    /// A stitch that the number at the cursor counts: `n`, with how many tokens it takes. The cursor stays.
    fn counted_stitch(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        stitch: StitchWord,
        (n, taken): (u32, usize),
    ) {
        let start = self.at;
        self.begin_stitch(clause, items, stitch, 1);
        clause.count = Some(self.checked_count(n, start, taken));
        clause.count_first = Some(start);
        self.at = start;
    }

    /// `2 in 1`: an increase. False if the words at the cursor are others.
    fn several_in_one(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        n: u32,
        taken: usize,
    ) -> bool {
        const MOST: u32 = 9;
        let hyphen = |ahead: usize| usize::from(self.kind(ahead) == Some(Kind::Dash));
        // `2-in-1`
        let taken = taken + hyphen(taken);
        let Some((Word::In, into)) = self.word_ahead(taken) else {
            return false;
        };
        let into = into + hyphen(taken + into);
        let ends = |ahead: usize| {
            !matches!(self.kind(ahead), Some(Kind::Word | Kind::Number(_)))
                || matches!(
                    self.word_ahead(ahead),
                    Some((Word::And | Word::Repeat | Word::Around, _))
                )
        };
        let one = match self.number_ahead(taken + into) {
            Some((1, one)) if ends(taken + into + one) => one,
            _ => return false,
        };
        if clause.stitch.is_some() || !clause.places.is_empty() || !(2..=MOST).contains(&n) {
            return false;
        }
        self.at += taken + into + one;
        self.begin_stitch(clause, items, StitchWord::OPEN, n);
        true
    }

    /// `1 stitch, then …`, `1 stitch in every stitch`: of the kind that the pattern is worked in. False if the words at the cursor
    /// are others.
    fn so_many_stitches(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        n: u32,
        taken: usize,
    ) -> bool {
        let Some((Word::AnyStitch, unit)) = self.word_ahead(taken) else {
            return false;
        };
        let spelt_out = self.is_word(taken, "stitch") || self.is_word(taken, "stitches");
        let goes_on = match self.kind(taken + unit) {
            Some(Kind::Comma) => true,
            Some(Kind::Word) => matches!(
                self.word_ahead(taken + unit),
                Some((Word::In | Word::And, _))
            ),
            _ => false,
        };
        let works = self.works_on(taken + unit);
        let alone = clause.stitch.is_none() && clause.count.is_none() && clause.places.is_empty();
        if !alone || !spelt_out || !goes_on || !works {
            return false;
        }
        self.counted_stitch(clause, items, StitchWord::OPEN, (n, taken));
        self.at += taken + unit;
        true
    }

    /// True if more is worked `ahead` tokens on: another number of stitches, so many in one, or a place.
    fn works_on(&self, ahead: usize) -> bool {
        let mut next = ahead + usize::from(self.kind(ahead) == Some(Kind::Comma));
        if self.kind(ahead) == Some(Kind::Word) && self.is_word(ahead, "in") {
            return true;
        }
        while let Some((Word::And | Word::Filler, taken)) = self.word_ahead(next) {
            next += taken;
        }
        let Some((_, taken)) = self.number_ahead(next) else {
            return false;
        };
        matches!(
            self.word_ahead(next + taken),
            Some((Word::In | Word::AnyStitch | Word::Together, _))
        )
    }

    /// True if the stitch `ahead` tokens on has a number after it, and so has each that follows it without a comma up to
    /// the end of their clause: `inc 1 repeat`, `inc 1 sc 3 dec 1)`.
    fn numbers_come_after(&mut self, mut ahead: usize) -> bool {
        const MOST_STITCHES: usize = 12;
        for _ in 0..MOST_STITCHES {
            let Some((word, stitch)) = self.word_ahead(ahead) else {
                return false;
            };
            if !word.names_stitch() {
                return false;
            }
            let Some((_, taken)) = self.number_ahead(ahead + stitch) else {
                return false;
            };
            ahead += stitch + taken;
            let ends = match self.kind(ahead) {
                None => true,
                // `sc 2 dec 1 16`
                Some(Kind::Number(_)) => self.kind(ahead + 1).is_none(),
                Some(Kind::Open(_)) => self.total_follows(ahead),
                Some(Kind::Word) => matches!(self.word_ahead(ahead), Some((Word::Repeat, _))),
                Some(kind) => matches!(
                    kind,
                    Kind::Comma
                        | Kind::Close(_)
                        | Kind::Semicolon
                        | Kind::Star(_)
                        | Kind::Equals
                        | Kind::Arrow
                ),
            };
            if ends {
                return true;
            }
        }
        false
    }

    /// True at the stitch, `ahead` tokens on, of `inc 6 sc evenly` and `dec 1 sc over next 2 sts`.
    pub(super) fn is_of_change(&self, ahead: usize) -> bool {
        let Some((Word::Stitch(_), taken)) = self.word_ahead(ahead) else {
            return false;
        };
        matches!(
            self.word_ahead(ahead + taken),
            Some((Word::Evenly | Word::Over, _))
        )
    }

    /// At the number of `dec 1 sc, sc in next 4 sc`: one stitch fewer, where the clause begins with it and ends behind it.
    fn is_one_change(&self, clause: &Clause, taken: usize) -> bool {
        let opens = self.at == clause.first + 1 && clause.changes();
        let Some((Word::Stitch(_), stitch)) = self.word_ahead(taken) else {
            return false;
        };
        let ends = matches!(
            self.kind(taken + stitch),
            None | Some(
                Kind::Comma | Kind::Stop | Kind::Semicolon | Kind::Close(_) | Kind::Star(_)
            )
        );
        opens && ends && self.number() == Some((1, taken))
    }

    /// True if a stitch is named `ahead` tokens on.
    pub(super) fn stitch_at(&self, ahead: usize) -> bool {
        self.word_ahead(ahead)
            .is_some_and(|(word, _)| word.names_stitch())
    }

    pub(super) fn total_follows(&mut self, ahead: usize) -> bool {
        let start = self.at;
        let (kept, known) = (self.stated, self.problems.len());
        self.at += ahead;
        let end = self.total_in_bracket();
        self.at = start;
        self.stated = kept;
        self.problems.truncate(known);
        // `2(3 sc, 1 inc) (10)`: stitches by name are a total only at the end.
        let bracket = self.at + ahead;
        end.is_some_and(|end| {
            let names = (bracket..end).any(|at| self.names_stitch(at - start));
            !names || end >= self.tokens.len()
        })
    }

    fn names_stitch(&self, ahead: usize) -> bool {
        matches!(
            self.word_ahead(ahead),
            Some((Word::Stitch(_) | Word::Increase | Word::Decrease, _))
        )
    }

    pub(super) fn checked_count(&mut self, n: u32, first: usize, taken: usize) -> u32 {
        if n > limits::COUNT {
            let span = self.tokens[first]
                .span
                .to(self.tokens[first + taken - 1].span);
            self.problem(Problem::error(
                "repeat-too-large",
                span,
                format!(
                    "{} is more than a round can have (the limit is {})",
                    as_read(n),
                    limits::COUNT
                ),
            ));
            return 0;
        }
        n
    }

    /// The bracket after `6 x`.
    pub(super) fn group_times(&mut self, n: u32, first: usize, items: &mut Vec<Instruction>) {
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
            Some(place) => vec![Instruction {
                act: place.together(inner),
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
    pub(super) fn times_for_clause(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        let start = self.at;
        // With other stitches before it, the number may be of the whole list.
        let after_others = items.iter().any(|item| item.act.is_worked());
        if self.at_times_sign(0)
            && clause.count.is_none()
            && clause.places.is_empty()
            && !after_others
            && !clause.apart
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
        if after_others
            && let Some(Instruction {
                act: Act::Repeat(repeat),
                ..
            }) = items.last_mut()
            && let Times::Exactly(n) = repeat.times
        {
            repeat.times = Times::Loose(n);
            self.doubts.of_all = true;
        }
        clause.first = self.at;
    }
}

/// A number for a message: the greatest stands for all that are too long to be read.
pub(super) fn as_read(n: u32) -> String {
    match n {
        u32::MAX => "this many".to_owned(),
        n => n.to_string(),
    }
}
