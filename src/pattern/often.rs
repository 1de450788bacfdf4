//! How often a list is worked: `x 6`, `around`, `rep from * 5 more times`, `omitting last inc`.

use super::body::{Open, Reader, start_of_repeat};
use super::lex::{Kind, Token};
use super::numbers::as_read;
use super::tree::*;
use crate::source::{Problem, Span, limits};
use crate::terms::Height;
use crate::terms::words::Word;

/// How the last time of a repeat differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LastTime {
    Whole,
    Omitting(usize),
    AtMark,
    /// `ending last rep after ch 1`: after the last chain of so many.
    AfterChain(u32),
}

impl Reader<'_> {
    /// `x 6`, `6 times`, `around`, `rep 5 more times`, `to last 2 sts` after a group. With `bare`, a number alone will do.
    pub(super) fn times(&mut self, bare: bool) -> Option<(Times, LastTime)> {
        let start = self.at;
        let found = self.times_inner(bare);
        if found.is_none() {
            self.at = start;
        }
        found
    }

    fn times_inner(&mut self, bare: bool) -> Option<(Times, LastTime)> {
        if self.kind(0) == Some(Kind::Comma) && !self.count_comes_after_comma() {
            return None;
        }
        if self.kind(0) == Some(Kind::Comma) {
            self.at += 1;
        }
        let mut repeated = false;
        while let Some((word, taken)) = self.word() {
            match word {
                Word::Repeat => repeated = true,
                Word::Filler | Word::And | Word::Total => {}
                _ => break,
            }
            // `rep from *` belongs to the list.
            if repeated
                && matches!(
                    self.word_ahead(taken),
                    Some((Word::From | Word::Round | Word::Row, _))
                )
            {
                return None;
            }
            self.at += taken;
        }
        // `*1 sc, inc.* Do what is between the stars 6 times.`, `*…* Again, 6 times.`
        self.pass_to_number();
        let times = self.how_often(bare || repeated, repeated)?;
        Some((times, self.last_time()))
    }

    /// Passes over `what is between the stars`, and over a comma before a number of times.
    fn pass_to_number(&mut self) {
        const LONGEST: usize = 6;
        if self.kind(0) == Some(Kind::Comma) && self.count_comes_after_comma() {
            self.at += 1;
        }
        const OPENS: &[&str] = &["what", "everything", "all", "between"];
        const MARKS: &[&str] = &["stars", "asterisks", "brackets", "parentheses"];
        if OPENS.iter().any(|word| self.is_word(0, word)) {
            let marks = |&at: &usize| MARKS.iter().any(|word| self.is_word(at, word));
            let length = (1..LONGEST).find(marks);
            self.at += length.map_or(0, |at| at + 1);
        }
    }

    fn count_comes_after_comma(&self) -> bool {
        let number = match self.number_ahead(1) {
            Some((_, taken)) => matches!(self.word_ahead(1 + taken), Some((Word::Times, _))),
            None => false,
        };
        let word = matches!(
            self.word_ahead(1),
            Some((Word::Around | Word::TimesWord(_), _))
        );
        number
            || word
            || self.at_times_sign(1)
                && self.number_ahead(2).is_some()
                && self.kind(1) != Some(Kind::Star(1))
    }

    /// The number itself. `after_repeat` says that the word "repeat" stood before it.
    fn how_often(&mut self, bare: bool, after_repeat: bool) -> Option<Times> {
        let start = self.at;
        if self.at_times_sign(0)
            && let Some((n, taken)) = self.number_ahead(1)
            && (self.ends_after_number(1 + taken)
                || self.ends_the_body(1 + taken)
                || self.yarn_that_ends(1 + taken).is_some())
        {
            self.at += 1 + taken;
            if let Some((Word::Times, taken)) = self.word() {
                self.at += taken;
            }
            return Some(Times::Exactly(self.checked_times(n, start)));
        }
        if let Some((n, taken)) = self.number() {
            let mut ahead = taken;
            let mut more = false;
            let mut said = false;
            while let Some((word, taken)) = self.word_ahead(ahead) {
                match word {
                    Word::More => more = true,
                    Word::Times => said = true,
                    Word::Total if said => {}
                    _ => break,
                }
                ahead += taken;
            }
            let sign = self.is_word(ahead, "x") || self.kind(ahead) == Some(Kind::Times);
            if !said && sign && self.ends_after_number(ahead + 1) {
                said = true;
                ahead += 1;
            }
            let alone = bare && self.ends_after_number(ahead) && !self.at_unit(ahead);
            if !said && !alone {
                return None;
            }
            self.at += ahead;
            let n = self.checked_times(n, start);
            let more = more || self.more_follows();
            let ends =
                self.depth == 0 && self.tokens[self.at..].iter().all(|t| t.kind == Kind::Stop);
            return Some(match (more, after_repeat) {
                (false, false) if !said && ends => {
                    self.doubts.number = true;
                    Times::OrTotal(n)
                }
                (true, _) => Times::Exactly(n.saturating_add(1)),
                (false, true) => Times::Unsure(n),
                (false, false) => Times::Exactly(n),
            });
        }
        match self.word()? {
            (Word::TimesWord(n), taken) => {
                self.at += taken;
                Some(match (self.more_follows(), after_repeat) {
                    (true, _) => Times::Exactly(n + 1),
                    // `rep from * once` is once more: else there is nothing to repeat.
                    (false, true) if n == 1 => Times::Exactly(2),
                    (false, true) => Times::Unsure(n),
                    (false, false) => Times::Exactly(n),
                })
            }
            (Word::Around, taken) => {
                // `around the post` is a place.
                if matches!(
                    self.word_ahead(taken),
                    Some((Word::Filler | Word::Post | Word::Next | Word::Each, _))
                ) && !matches!(self.word_ahead(taken), Some((Word::Filler, t)) if self.word_ahead(taken + t).is_none())
                {
                    return None;
                }
                self.at += taken;
                if let Some(left) = self.until_last() {
                    return Some(Times::ToLast(left));
                }
                Some(Times::Around)
            }
            (Word::To | Word::Until, _) => self.until_last().map(Times::ToLast),
            _ => None,
        }
    }

    /// `(sc, inc) 6 (18)`, `(X, V) 6 = 18`: a number right after a group, and the total after it.
    pub(super) fn times_before_total(&mut self) -> Option<(Times, LastTime)> {
        let Some(Kind::Number(n)) = self.kind(0) else {
            return None;
        };
        let sign = usize::from(matches!(
            self.kind(1),
            Some(Kind::Equals | Kind::Arrow | Kind::Dash)
        ));
        let closes = self.number_ahead(1 + sign).is_some()
            && self.tokens.len() == self.at + 2 + sign
            || matches!(self.kind(1), Some(Kind::Open(_))) && self.total_follows(1)
            || self.kind(1).is_none() && (self.names.letter_code || self.names.small_letters);
        if !closes || self.depth > 0 {
            return None;
        }
        let start = self.at;
        self.at += 1;
        Some((
            Times::Exactly(self.checked_times(n, start)),
            LastTime::Whole,
        ))
    }

    /// True if a number is all that stands `ahead` tokens on: the total of `(sc, inc) x 6  18`.
    fn ends_the_body(&self, ahead: usize) -> bool {
        let rest = self.tokens.get(self.at + ahead..).unwrap_or_default();
        let unit = |t: &Token<'_>| {
            matches!(t.kind, Kind::Stop | Kind::Other)
                || matches!(&*t.text, "st" | "sts" | "stitches")
        };
        rest.first()
            .is_some_and(|t| matches!(t.kind, Kind::Number(_)))
            && rest.len() <= 4
            && rest[1..].iter().all(unit)
    }

    /// The number of times at the cursor, for the items from `from` on.
    pub(super) fn repeat_from(&mut self, items: &mut Vec<Instruction>, from: usize, span: Span) {
        if let Some((times, last)) = self.times(false) {
            self.wrap(items, from, times, last, None, span);
        } else {
            self.at += 1;
        }
    }

    /// `1 B, 1 A alternating around`: all that stands before it, with the yarn that it begins with.
    pub(super) fn alternating(&mut self, items: &mut Vec<Instruction>) -> bool {
        let Some((Word::Alternating, taken)) = self.word() else {
            return false;
        };
        let first = self.at;
        self.at += taken;
        let (times, last) = self
            .times(false)
            .unwrap_or((Times::Around, LastTime::Whole));
        let mut from = start_of_repeat(items);
        while from > 0 && matches!(items[from - 1].act, Act::Yarn(_)) {
            from -= 1;
        }
        let span = self.span_from(first);
        self.wrap(items, from, times, last, None, span);
        true
    }

    /// `sc, inc – 6 (18)`, `sc, dec – 6`: how often the list before a dash is worked. At the end, where nothing else states a
    /// total, the number may be that.
    pub(super) fn times_after_dash(&mut self, items: &mut Vec<Instruction>, top: bool) -> bool {
        let Some((n, taken)) = self.number_ahead(1) else {
            return false;
        };
        if self.peek().is_none_or(|t| !t.spaced) || self.at_unit(1 + taken) {
            return false;
        }
        let start = self.at;
        let with_total =
            matches!(self.kind(1 + taken), Some(Kind::Open(_))) && self.total_follows(1 + taken);
        let mut after = self.tokens[start + 1 + taken..].iter();
        let may_be_total = top
            && self.stated.is_none()
            && n <= limits::COUNT
            && after.all(|t| t.kind == Kind::Stop);
        if !with_total && !may_be_total {
            return false;
        }
        let from = start_of_repeat(items);
        // What is worked once can't be another number.
        let is_total = made_once(&items[from..]).is_none_or(|made| made == n);
        if items.len() <= from + 1 || !with_total && is_total {
            return false;
        }
        let times = if with_total {
            Times::Exactly(self.checked_times(n, start + 1))
        } else {
            self.at += 1;
            self.stated = Some(Stated {
                stitches: Some(n),
                spaces: None,
                span: self
                    .span_from(start + 1)
                    .to(self.tokens[start + taken].span),
            });
            self.doubts.number = true;
            Times::Total(n)
        };
        self.at = start + 1 + taken;
        let span = self.span_from(start);
        self.wrap(items, from, times, LastTime::Whole, None, span);
        true
    }

    /// `4 × 2 sc in 1 st`, `6 x 2 sc tog`: a clause worked so many times.
    pub(super) fn times_of_clause(&mut self, items: &mut Vec<Instruction>, top: bool) -> bool {
        let Some((n, taken)) = self.number() else {
            return false;
        };
        let signed = self.at_times_sign(taken) && self.kind(taken) != Some(Kind::Star(1));
        let inner = self.number_ahead(taken + 1).map_or(0, |(_, inner)| inner);
        if !signed || inner == 0 || !self.stitch_at(taken + 1 + inner) {
            return false;
        }
        let (first, from) = (self.at, items.len());
        self.at += taken + 1;
        let n = self.checked_times(n, first);
        self.clause(items, top);
        if items.len() > from {
            let span = self.span_from(first);
            self.wrap(items, from, Times::Exactly(n), LastTime::Whole, None, span);
        }
        true
    }

    fn more_follows(&mut self) -> bool {
        let mut more = false;
        while let Some((word @ (Word::More | Word::Total), taken)) = self.word() {
            more |= word == Word::More;
            self.at += taken;
        }
        more
    }

    fn at_unit(&self, ahead: usize) -> bool {
        matches!(
            self.word_ahead(ahead),
            Some((Word::AnyStitch | Word::Stitch(_) | Word::Space, _))
        )
    }

    pub(super) fn checked_times(&mut self, n: u32, first: usize) -> u32 {
        let span = self.span_from(first);
        if n == 0 {
            self.problem(Problem::error(
                "repeat-nothing",
                span,
                "a repeat of 0 times works nothing",
            ));
        } else if n > limits::COUNT {
            self.problem(Problem::error(
                "repeat-too-large",
                span,
                format!(
                    "{} times is more than a round can have (the limit is {})",
                    as_read(n),
                    limits::COUNT
                ),
            ));
            return 0;
        }
        n
    }

    /// `omitting last inc`, `ending last rep at **`, after a repeat.
    fn last_time(&mut self) -> LastTime {
        let start = self.at;
        if self.kind(0) == Some(Kind::Comma) {
            self.at += 1;
        }
        match self.word() {
            Some((Word::Omitting, taken)) => {
                self.at += taken;
                let mut count = 1;
                while !self.at_separator()
                    && !matches!(self.kind(0), Some(Kind::Open(_) | Kind::Star(_)))
                {
                    if let Some((n, _)) = self.number()
                        && !matches!(self.word_ahead(1), Some((Word::Stitch(_), _)))
                    {
                        count = n as usize;
                    }
                    self.at += 1;
                }
                LastTime::Omitting(count)
            }
            Some((Word::Ending, taken)) => {
                self.at += taken;
                let mut after = false;
                while !self.at_separator() && !matches!(self.kind(0), Some(Kind::Open(_))) {
                    after |= self.is_word(0, "after");
                    if let (true, Some((Word::Stitch(Height::Chain), taken))) = (after, self.word())
                    {
                        self.at += taken;
                        self.at += usize::from(self.kind(0) == Some(Kind::Dash));
                        let (n, taken) = self.number().unwrap_or((1, 0));
                        self.at += taken;
                        return LastTime::AfterChain(n);
                    }
                    let done = matches!(self.kind(0), Some(Kind::Star(_)));
                    self.at += 1;
                    if done {
                        break;
                    }
                }
                LastTime::AtMark
            }
            _ => {
                self.at = start;
                LastTime::Whole
            }
        }
    }

    /// `rep from * …`, `repeat from * to * …`, `repeat around`, `rep 6 times` in a list.
    pub(super) fn repeat_phrase(&mut self, items: &mut Vec<Instruction>, open: &mut Open) -> bool {
        let Some((Word::Repeat, taken)) = self.word() else {
            return false;
        };
        let first = self.at;
        // `work this round in front loops only (sc, inc) x 6`
        let this_round = items.is_empty()
            && self.is_word(taken - 1, "this")
            && matches!(self.word_ahead(taken), Some((Word::Round | Word::Row, _)))
            && self.works_from[self.at + taken];
        if this_round {
            self.at += taken + 1;
            return true;
        }
        let of_rounds = self.refers_to_rounds(0)
            || self.is_word(taken, "r") && self.number_ahead(taken + 1).is_some()
            || self.refers_to_round_before();
        if of_rounds {
            return false;
        }
        self.at += taken;
        while let Some((Word::Filler, taken)) = self.word() {
            self.at += taken;
        }
        // `repeat (sc, dec) 6 times`, `rep *sc, inc* around`: the word only announces the repeat.
        let number = self.number().map_or(0, |(_, taken)| taken);
        let opens = items.is_empty() && self.stitch_at(number)
            || matches!(self.kind(0), Some(Kind::Open(_)))
                && (items.is_empty() || !self.total_follows(0))
            || self.kind(0) == Some(Kind::Star(1)) && open.star.is_none();
        if opens {
            return true;
        }
        let mut from_star = false;
        let mut from_mark = false;
        // `rep between *'s`, `repeat from * to *`
        let mut between = self.is_word(0, "between");
        if between {
            self.at += 1;
        }
        if matches!(self.word(), Some((Word::From, _)))
            || matches!(self.kind(0), Some(Kind::Star(_)))
        {
            from_star = true;
            while let Some(token) = self.peek() {
                let is_star = |ahead| matches!(self.kind(ahead), Some(Kind::Star(_)));
                // `repeat *–* around`
                let passes = is_star(0)
                    || token.kind == Kind::Dash && is_star(1)
                    || matches!(self.word(), Some((Word::From | Word::Filler, _)))
                    || matches!(self.word(), Some((Word::To | Word::And, taken)) if matches!(self.kind(taken), Some(Kind::Star(_))));
                if !passes {
                    break;
                }
                from_mark |= matches!(token.kind, Kind::Star(2..)) && self.is_word_before("from");
                between |= matches!(self.word(), Some((Word::To, _)));
                self.at += 1;
            }
        }
        // `**sc, inc; rep from ** …`: two stars open the repeat.
        if matches!(self.word(), Some((Word::First, _))) {
            // `rep from beg`: the whole list.
            self.at += 1;
            from_star = false;
        }
        if from_mark && open.star.is_none() {
            open.star = open.mark.take().map(|mark| (mark, self.tokens[first].span));
        }
        if self.kind(0) == Some(Kind::Comma) {
            self.at += 1;
        }
        while let Some((Word::Filler | Word::Total, taken)) = self.word() {
            let total = matches!(self.word(), Some((Word::Total, _)));
            self.at += taken;
            if total && let Some((n, taken)) = self.number() {
                self.at += taken;
                if let Some((Word::Times, taken)) = self.word() {
                    self.at += taken;
                }
                let n = self.checked_times(n, first);
                let often = (Times::Exactly(n), LastTime::Whole);
                return self.repeat_list(items, open, from_star, often, first);
            }
        }
        let (times, last) = match self.how_often(true, true) {
            Some(times) => (times, self.last_time()),
            None => (Times::Around, self.last_time()),
        };
        if between && self.repeat_apart(items, open, times, first) {
            return true;
        }
        self.repeat_list(items, open, from_star, (times, last), first)
    }

    /// `*sc, inc*; rep between *'s once, 4 sc, rep between *'s twice`: what stands between stars worked again behind other
    /// stitches. False where nothing else stands between, so that it is one repeat.
    fn repeat_apart(
        &mut self,
        items: &mut Vec<Instruction>,
        open: &mut Open,
        times: Times,
        first: usize,
    ) -> bool {
        let (from, end) = match (&open.star, open.star_end) {
            (Some((from, _)), Some(end)) => (*from, end.min(items.len())),
            (Some((from, _)), None) => (*from, items.len()),
            (None, _) => (items.len(), items.len()),
        };
        let others = items[end..].iter().any(|item| item.act.is_worked());
        if from < end {
            open.starred = Some(items[from..end].to_vec());
            if !others {
                return false;
            }
        }
        let Some(inner) = open.starred.clone() else {
            return false;
        };
        // It has been worked before: `once` and `2 more times` are times of its own.
        let times = match times {
            Times::Exactly(n) => Times::Exactly(n.saturating_sub(1)),
            Times::Unsure(n) => Times::Exactly(n),
            times => times,
        };
        open.star = None;
        open.star_end = None;
        let span = self.span_from(first);
        self.worked_again = self.worked_again.saturating_add(inner.len());
        if self.worked_again > limits::WORKED_AGAIN {
            if !self.gave_up {
                self.problem(Problem::error(
                    "repeat-too-large",
                    span,
                    format!(
                        "this round works more than {} instructions again",
                        limits::WORKED_AGAIN
                    ),
                ));
            }
            self.at = self.tokens.len();
            self.gave_up = true;
            return true;
        }
        let from = items.len();
        items.extend(inner);
        self.wrap(items, from, times, LastTime::Whole, None, span);
        true
    }

    fn repeat_list(
        &mut self,
        items: &mut Vec<Instruction>,
        open: &mut Open,
        from_star: bool,
        (times, last): (Times, LastTime),
        first: usize,
    ) -> bool {
        let span = self.span_from(first);
        let from = match open.star.take() {
            Some((from, _)) => from,
            None if from_star => {
                self.problem(Problem::error(
                    "open-star",
                    span,
                    "this repeats from a star, and there is none before it",
                ));
                return true;
            }
            None if open.bare_group => items.len() - 1,
            None => start_of_repeat(items),
        };
        self.wrap(items, from, times, last, open.mark.take(), span);
        true
    }

    /// `…, 6 times` on its own after a list without brackets: the whole list.
    pub(super) fn times_for_list(&mut self, items: &mut Vec<Instruction>, open: &mut Open) -> bool {
        if items.is_empty() {
            return false;
        }
        let said = match self.number() {
            Some((_, taken)) => {
                let ahead = match self.word_ahead(taken) {
                    Some((Word::More, more)) => taken + more,
                    _ => taken,
                };
                let signed = self.at_times_sign(taken)
                    && self.kind(taken) != Some(Kind::Star(1))
                    && !self.is_code_letter(taken)
                    && self.ends_after_number(taken + 1)
                    && (!matches!(self.kind(taken + 1), Some(Kind::Open(_)))
                        || self.total_follows(taken + 1));
                signed || matches!(self.word_ahead(ahead), Some((Word::Times, _)))
            }
            None => {
                matches!(self.word(), Some((Word::TimesWord(_) | Word::Around, _)))
                    || self.is_word(0, "x") && self.number_ahead(1).is_some()
            }
        };
        if !said {
            return false;
        }
        let first = self.at;
        let Some((times, last)) = self.times(false) else {
            return false;
        };
        let span = self.span_from(first);
        let from = if open.bare_group {
            items.len() - 1
        } else {
            start_of_repeat(items)
        };
        let from = open.star.take().map_or(from, |(from, _)| from);
        self.wrap(items, from, times, last, open.mark.take(), span);
        true
    }
}

/// How many stitches a list of plain numbers makes, worked once; `None` where it has anything else.
fn made_once(items: &[Instruction]) -> Option<u32> {
    items.iter().try_fold(0_u32, |sum, item| match &item.act {
        Act::Work(work) if work.target == Target::Next && work.through.is_none() => {
            match work.over {
                Over::Count(n) => sum.checked_add(n.checked_mul(work.each)?),
                _ => None,
            }
        }
        _ => None,
    })
}
