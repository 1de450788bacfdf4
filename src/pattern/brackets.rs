//! Brackets in a round: a total, a remark, a yarn, or a group and how often it is worked.

use super::body::{Reader, for_each_work, start_of_repeat};
use super::lex::{Bracket, Kind};
use super::often::LastTime;
use super::place::Place;
use super::tree::*;
use crate::source::{Problem, limits};
use crate::terms::words::Word;
use crate::terms::{Form, Height};

impl Reader<'_> {
    /// A bracket: a stated total, a remark, a yarn, or a group. True if it is a group with no number yet.
    pub(super) fn bracket(&mut self, bracket: Bracket, items: &mut Vec<Instruction>) -> bool {
        let first = self.at;
        let open_span = self.tokens[first].span;
        if let Some(taken) = self.rounds_in_bracket(0) {
            self.at += taken;
            return false;
        }
        if matches!(self.kind(1), Some(Kind::Close(_))) {
            self.empty_bracket(first);
            return false;
        }
        if let Some(end) = self.total_in_bracket() {
            self.at = end;
            return false;
        }
        if self.depth >= limits::NESTING {
            self.problem(Problem::error(
                "nesting",
                open_span,
                format!(
                    "brackets are nested more than {} deep here",
                    limits::NESTING
                ),
            ));
            self.at = self.tokens.len();
            self.gave_up = true;
            return false;
        }
        if self.times_in_bracket(items) || self.explains(items) || self.remark_in_bracket(items) {
            return false;
        }
        self.at += 1;
        self.depth += 1;
        // `in each loop: (sc, hdc, sc)`: the place is that of the whole bracket.
        let ahead = self
            .place_ahead
            .take_if(|place| !matches!(place.target, Target::FromHook(_)));
        let mut inner = self.list(Some((bracket, open_span)));
        self.share_a_place(&mut inner, 0, (first + 1, self.at));
        self.place_ahead = ahead.or(self.place_ahead);
        self.depth -= 1;
        let works = inner.iter().any(|item| item.act.is_worked());
        if !works {
            items.extend(inner);
            return false;
        }
        self.after_group(inner, first, items)
    }

    /// `() x 6`
    fn empty_bracket(&mut self, first: usize) {
        self.at += 2;
        if self.times(false).is_some() {
            let span = self.span_from(first);
            self.problem(Problem::error(
                "repeat-nothing",
                span,
                "there is nothing here to repeat",
            ));
        }
    }

    /// `sc, inc (x6)`: a number of times alone in a bracket.
    fn times_in_bracket(&mut self, items: &mut Vec<Instruction>) -> bool {
        let start = self.at;
        let mut opens = 1;
        while let Some((Word::Repeat | Word::Filler, taken)) = self.word_ahead(opens) {
            opens += taken;
        }
        let sign = opens - 1 + usize::from(self.at_times_sign(opens));
        let number = self.number_ahead(1 + sign);
        if let Some((n, taken)) = number
            && !items.is_empty()
        {
            let mut ahead = 1 + sign + taken;
            let mut said = sign > opens - 1;
            if self.at_times_sign(ahead) {
                said = true;
                ahead += 1;
            } else if let Some((Word::Times, taken)) = self.word_ahead(ahead) {
                said = true;
                ahead += taken;
            }
            while let Some((Word::Total, taken)) = self.word_ahead(ahead) {
                ahead += taken;
            }
            if said && matches!(self.kind(ahead), Some(Kind::Close(_))) {
                self.at += ahead + 1;
                let n = self.checked_times(n, start);
                let from = start_of_repeat(items);
                let span = self.span_from(start);
                self.wrap(items, from, Times::Exactly(n), LastTime::Whole, None, span);
                return true;
            }
        }
        false
    }

    /// `inc (2 sc in the same st)`: a bracket that only says what the stitch before it is.
    fn explains(&mut self, items: &mut [Instruction]) -> bool {
        if self.names_gathered(items) {
            return true;
        }
        let Some(Instruction {
            act: Act::Work(work),
            ..
        }) = items.last()
        else {
            return false;
        };
        // `ch 3 (counts as dc)` says what the chain is for.
        let is_chain = work.stitch.height == Some(Height::Chain);
        let changes = !is_chain && work.each > 1 || matches!(work.stitch.form, Form::Together(_));
        let glued =
            self.at > 0 && matches!(self.tokens[self.at - 1].kind, Kind::Word | Kind::Number(_));
        if !changes || !glued || work.target != Target::Next {
            return false;
        }
        let start = self.at;
        self.pass_bracket();
        let after = self.at;
        let multiplied = self.times(false).is_some() || self.group_place().is_some();
        self.at = if multiplied { start } else { after };
        !multiplied
    }

    /// `bobble (4 dc)`: how many, and of which stitch.
    fn names_gathered(&mut self, items: &mut [Instruction]) -> bool {
        let Some((n, number)) = self.number_ahead(1) else {
            return false;
        };
        let Some(Act::Work(work)) = items.last_mut().map(|i| &mut i.act) else {
            return false;
        };
        let n = n.clamp(2, 12) as u8;
        let form = match work.stitch.form {
            Form::Bobble(_) => Form::Bobble(n),
            Form::Popcorn(_) => Form::Popcorn(n),
            Form::Puff(_) => Form::Puff(n),
            _ => return false,
        };
        let named = match self.word_ahead(1 + number) {
            Some((Word::Stitch(height), taken)) => Some((height, taken)),
            _ => {
                let letter = self.letter_ahead(1 + number);
                letter.and_then(|(stitch, _)| Some((stitch.height?, 1)))
            }
        };
        let Some((height, taken)) = named else {
            return false;
        };
        // `(5 dc in the same st, close together)`
        const LONGEST: usize = 12;
        let says_how = matches!(self.word_ahead(1 + number + taken), Some((Word::In, _)));
        let mut behind = 1 + number + taken..1 + number + taken + LONGEST;
        let close = behind.find(|&ahead| matches!(self.kind(ahead), Some(Kind::Close(_))));
        let Some(close) = close.filter(|&close| says_how || close == 1 + number + taken) else {
            return false;
        };
        if height <= Height::Slip {
            return false;
        }
        work.stitch.form = form;
        work.stitch.height = Some(height);
        self.at += close + 1;
        true
    }

    /// What follows a closed group: a place to work it into, a number of times, or nothing.
    fn after_group(
        &mut self,
        inner: Vec<Instruction>,
        first: usize,
        items: &mut Vec<Instruction>,
    ) -> bool {
        let place = self.group_place().or_else(|| self.place_ahead.take());
        let has_place = place.is_some();
        let from = items.len();
        let further = place.and_then(|_| self.further_place());
        let span = self.span_from(first);
        if let (Some(place), Some(_)) = (place, further) {
            let act = place.together(inner.clone());
            items.push(Instruction { act, span });
        }
        let act = match further.or(place) {
            Some(place) => place.together(inner),
            None => Act::Repeat(Repeat {
                items: inner,
                times: Times::Exactly(1),
                last_stops_after: None,
            }),
        };
        items.push(Instruction { act, span });
        if let Some((times, last)) = self.times(!has_place).or_else(|| self.times_before_total()) {
            // `[sc, dec] repeat 3 times`: the bracket alone is no time of its own.
            let times = match times {
                Times::Unsure(n) => Times::Exactly(n),
                times => times,
            };
            if has_place {
                self.wrap(items, from, times, last, None, span);
            } else if let Act::Repeat(repeat) = &mut items[from].act {
                let inner = std::mem::take(&mut repeat.items);
                items.truncate(from);
                items.extend(inner);
                // `[sc] [dec] x 6`: both.
                let beside = first
                    .checked_sub(1)
                    .is_some_and(|at| matches!(self.tokens[at].kind, Kind::Close(_)));
                let times = match (times, items[..from].last().map(|item| &item.act)) {
                    (Times::Exactly(n), Some(Act::Repeat(other)))
                        if beside && other.times == Times::Exactly(1) =>
                    {
                        self.doubts.of_all = true;
                        Times::Loose(n)
                    }
                    (times, _) => times,
                };
                self.wrap(items, from, times, last, None, span);
                items[from].span = self.span_from(first);
                self.all_of_it_in_one(items, from, first);
            }
            self.hold_after(&mut items[from..]);
            self.yarn_after(items, from);
            return false;
        }
        self.hold_after(&mut items[from..]);
        !has_place
    }

    /// `(sc, ch 5) twice in next loop`: both times in that one.
    fn all_of_it_in_one(&mut self, items: &mut [Instruction], from: usize, first: usize) {
        let start = self.at;
        let counted = matches!(items.get(from).map(|item| &item.act),
            Some(Act::Repeat(repeat)) if matches!(repeat.times, Times::Exactly(_)));
        let place = self.group_place().filter(|place| {
            let one = place.over == Over::Count(1) && place.hold.is_none();
            one && matches!(place.target, Target::Next | Target::Space(_))
        });
        let (Some(place), true) = (place, counted) else {
            self.at = start;
            return;
        };
        let span = self.span_from(first);
        let repeat = items[from].clone();
        items[from] = Instruction {
            act: place.together(vec![repeat]),
            span,
        };
    }

    /// `(5 sc, dec) x 2 black, (5 sc, dec) x 2 white`: the yarn of the group.
    fn yarn_after(&mut self, items: &mut Vec<Instruction>, from: usize) {
        if let Some((name, taken)) = self.yarn_that_ends(0) {
            self.at += taken;
            let span = name.span;
            let act = Act::Yarn(name);
            items.insert(from, Instruction { act, span });
        }
    }

    /// `(2 dc, ch 1, 2 dc) in same sp and in each ch-1 sp around`: where the group is worked as well.
    fn further_place(&mut self) -> Option<Place> {
        let start = self.at;
        let (Word::And, taken) = self.word()? else {
            return None;
        };
        self.at += taken;
        let place = self.group_place().or_else(|| self.place());
        let place = place.filter(|place| place.named && place.over == Over::Rest);
        if place.is_none() {
            self.at = start;
        }
        place
    }

    /// `(sc, dec) x 6 in BLO`: the loop goes for all of the group.
    fn hold_after(&mut self, items: &mut [Instruction]) {
        let start = self.at;
        let Some(place) = self.place().filter(|place| place.loop_only) else {
            self.at = start;
            return;
        };
        for_each_work(items, &mut |work| {
            work.hold = work.hold.or(place.hold);
        });
    }
}
