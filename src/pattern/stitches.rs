//! Names of stitches, with what may hang on them: `sc2tog`, `hdc-inc`, `FPdc`, `5-dc bobble`, letters of the code.

use super::body::{Reader, place_all_at};
use super::clause::Clause;
use super::lex::Kind;
use super::tree::*;
use crate::source::{Problem, Span};
use crate::terms::words::Word;
use crate::terms::{Form, Height, Into};

impl Reader<'_> {
    pub(super) fn start_anew(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        if clause.stitch.is_some() {
            self.flush(clause, items);
        }
    }

    pub(super) fn begin_stitch(
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
        if std::mem::take(&mut clause.reverse) {
            stitch.form = Form::Reverse;
        }
        stitch.foundation = std::mem::take(&mut clause.foundation);
        clause.stitch = Some(stitch);
        clause.in_one = in_one;
    }

    /// A short stitch of a form of its own: a spike, a loop stitch.
    pub(super) fn short_stitch(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        form: Form,
    ) {
        let stitch = StitchWord {
            form,
            ..StitchWord::plain(Height::Single)
        };
        self.begin_stitch(clause, items, stitch, 1);
    }

    /// A stitch's name, with what may hang on it: `sc2tog`, `hdc-inc`, `ch-3`, `sc dec`.
    pub(super) fn stitch(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        height: Height,
        start: usize,
    ) {
        self.begin_stitch(clause, items, StitchWord::plain(height), 1);
        if let (Some(Kind::Number(n)), Some(_)) = (self.kind(0), self.peek().filter(|t| !t.spaced))
            && let Some((Word::Together, taken)) = self.word_ahead(1)
        {
            if let Some(stitch) = &mut clause.stitch {
                *stitch = stitch.together(n);
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
                // `4sc-dec`: four of them are rather single, and a decrease.
                clause.apart = match dash {
                    0 => self.peek().is_some_and(|t| t.spaced),
                    _ => clause.count.is_some_and(|count| count > 1),
                };
                self.at += dash + taken;
                clause.in_one = self.glued_number().unwrap_or(2);
            }
            Some((Word::Decrease | Word::InvisibleDecrease, taken)) if height != Height::Chain => {
                // `4sc-dec`: four of them are rather single, and a decrease.
                clause.apart = match dash {
                    0 => self.peek().is_some_and(|t| t.spaced),
                    _ => clause.count.is_some_and(|count| count > 1),
                };
                self.at += dash + taken;
                let n = self.glued_number().unwrap_or(2);
                if let Some(stitch) = &mut clause.stitch {
                    *stitch = stitch.together(n);
                }
            }
            _ => self.at += dash,
        }
    }

    /// The number of `inc3`; so many as in `inc6` are rather six increases.
    pub(super) fn glued_number(&mut self) -> Option<u32> {
        let token = self.peek()?;
        match token.kind {
            Kind::Number(n) if !token.spaced && (2..=3).contains(&n) => {
                self.at += 1;
                Some(n)
            }
            _ => None,
        }
    }

    pub(super) fn increase(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        let in_one = self.glued_number().unwrap_or(2);
        let stitch = StitchWord::OPEN;
        self.begin_stitch(clause, items, stitch, in_one);
    }

    pub(super) fn decrease(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        invisible: bool,
    ) {
        let n = self.glued_number().unwrap_or(2);
        let stitch = StitchWord::OPEN.together(n);
        self.begin_stitch(clause, items, stitch, 1);
        if invisible {
            clause.hold = Some(Into::FrontLoop);
        }
    }

    /// `bobble`, `5-dc bobble`, `puff`.
    pub(super) fn gathered_in_one(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        word: Word,
    ) {
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
        } else if let Some((of, named, taken)) = self.gathers_so_many() {
            (height, n) = (named, Some(of));
            self.at += taken;
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
                ..StitchWord::plain(height)
            },
            1,
        );
    }

    /// `of 4 dc`, `of 4 double crochets with a common top`: how many, of which height, and the tokens that say so.
    fn gathers_so_many(&self) -> Option<(u32, Height, usize)> {
        // `bobble with 4 dc`
        let (Word::Of | Word::With, of) = self.word()? else {
            return None;
        };
        let (n, number) = self.number_ahead(of)?;
        let (Word::Stitch(height), stitch) = self.word_ahead(of + number)? else {
            return None;
        };
        let told = of + number + stitch;
        let one_top = ["with", "a", "common", "top"];
        let says_top = one_top
            .iter()
            .enumerate()
            .all(|(at, word)| self.is_word(told + at, word));
        let top = if says_top { one_top.len() } else { 0 };
        Some((n, height, told + top))
    }

    /// A word that the table does not know whole: `FPdc`, `scinc`, or nothing of the trade.
    pub(super) fn compound_or_unknown(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
    ) -> bool {
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
                    *stitch = stitch.together(2);
                }
            }
            return false;
        }
        // `x 6` after a stitch.
        if token.is("x") && self.number_ahead(1).is_some() && clause.stitch.is_some() {
            self.times_for_clause(clause, items);
            return false;
        }
        if self.is_letter_of_a_yarn() || self.is_initial_of_a_yarn(clause) {
            clause.yarn = Some(Spanned {
                value: self.text[token.span.range()].to_owned(),
                span: token.span,
            });
            self.at += 1;
            return false;
        }
        clause.unknown.push(token.span);
        self.at += 1;
        false
    }

    /// `2 R, 3 A`, `R 2, A 3`: a capital letter that nobody declared, where yarns go by letters.
    fn is_letter_of_a_yarn(&self) -> bool {
        let is_capital =
            |yarn: &str| yarn.len() == 1 && yarn.chars().all(|letter| letter.is_ascii_uppercase());
        let here = self
            .peek()
            .is_some_and(|t| is_capital(&self.text[t.span.range()]));
        let number = |at: Option<usize>| {
            let token = at.and_then(|at| self.tokens.get(at));
            token.is_some_and(|t| matches!(t.kind, Kind::Number(_)))
        };
        let lettered = here && self.names.yarns.iter().any(|yarn| is_capital(yarn));
        lettered && (number(self.at.checked_sub(1)) || number(self.at.checked_add(1)))
    }

    /// `10 sc b, 6 sc w`: behind stitches, the initial of a colour that the pattern lists.
    fn is_initial_of_a_yarn(&self, clause: &Clause) -> bool {
        let initial = self
            .peek()
            .map(|t| &self.text[t.span.range()])
            .filter(|word| word.len() == 1 && word.chars().all(|c| c.is_ascii_lowercase()));
        let mut names = self.names.yarns.iter().filter(|yarn| yarn.len() > 2);
        let ends = !matches!(self.kind(1), Some(Kind::Word | Kind::Number(_)));
        clause.stitch.is_some()
            && clause.count.is_some()
            && ends
            && initial.is_some_and(|word| names.any(|yarn| yarn.to_lowercase().starts_with(word)))
    }

    /// A stitch that the pattern defines, with a place of its own or not: `shell in next st`.
    pub(super) fn own_stitch(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        place: u16,
    ) {
        let names = self.names;
        let own = names.own.get(place);
        if let Some((stitch, in_one)) = own.single {
            self.begin_stitch(clause, items, stitch, in_one);
            return;
        }
        self.start_anew(clause, items);
        let first = clause.first;
        let times = clause.count.take().unwrap_or(1);
        let mut inner = own.items.clone();
        if let Some(place) = self.group_place() {
            match &mut inner[..] {
                [
                    Instruction {
                        act: Act::Together(group),
                        ..
                    },
                ] => {
                    (group.over, group.target) = (place.over, place.target);
                    group.hold = place.hold.or(group.hold);
                }
                _ => {
                    let act = place.together(inner);
                    inner = vec![Instruction {
                        act,
                        span: Span::default(),
                    }];
                }
            }
        }
        let span = self.span_from(first);
        let mut whole = [Instruction {
            act: Act::Repeat(Repeat {
                items: inner,
                times: Times::Exactly(times),
                last_stops_after: None,
            }),
            span,
        }];
        place_all_at(&mut whole, span);
        items.extend(whole);
        *clause = Clause {
            first: self.at,
            ..Clause::default()
        };
    }

    pub(super) fn is_code_letter(&self, ahead: usize) -> bool {
        let Some(token) = self.tokens.get(self.at + ahead) else {
            return false;
        };
        // `V-st`, where the pattern defines one, is no V.
        let own = matches!(self.word_ahead(ahead), Some((Word::Own(_), _)));
        (self.names.letter_code || self.names.small_letters)
            && !own
            && !self.is_small_times(ahead)
            && token.kind == Kind::Word
            && self.code(&self.text[token.span.range()]).is_some()
    }

    pub(super) fn code_letter(&self) -> Option<(StitchWord, u32)> {
        if !self.is_code_letter(0) {
            return None;
        }
        self.code(&self.text[self.peek()?.span.range()])
    }

    /// A small `x` before a number, or between a number and a bracket, is "times" in every code.
    fn is_small_times(&self, ahead: usize) -> bool {
        let at = self.at + ahead;
        let is_small = self
            .tokens
            .get(at)
            .is_some_and(|t| &self.text[t.span.range()] == "x");
        let after = self.tokens.get(at + 1).map(|t| t.kind);
        let glued = |at: usize| self.tokens.get(at).is_some_and(|t| !t.spaced);
        let counts = matches!(after, Some(Kind::Open(_))) && !glued(at);
        // `1x 1v`: each letter has its number before it.
        let listed = glued(at) && glued(at + 2) && matches!(self.kind(ahead + 2), Some(Kind::Word));
        is_small && (matches!(after, Some(Kind::Number(_))) && !listed || counts)
    }

    /// A letter's stitch: by the pattern's own list, else by custom.
    /// What the letter so many tokens on stands for in the letter code.
    pub(super) fn letter_ahead(&self, ahead: usize) -> Option<(StitchWord, u32)> {
        let token = self.tokens.get(self.at + ahead)?;
        self.is_code_letter(ahead)
            .then(|| self.code(&self.text[token.span.range()]))
            .flatten()
    }

    fn code(&self, letter: &str) -> Option<(StitchWord, u32)> {
        let own = |letter: &str| self.names.own.letter(letter).or_else(|| code(letter));
        if self.names.small_letters && letter.len() == 1 {
            return own(&letter.to_ascii_uppercase());
        }
        own(letter).filter(|_| self.names.letter_code)
    }
}

/// The letter code of charts: X sc, V increase, A decrease, W three in one, M three together, T hdc, F dc, E tr
/// (common practice, no source).
pub(super) fn code(letter: &str) -> Option<(StitchWord, u32)> {
    Some(match letter {
        "X" => (StitchWord::plain(Height::Single), 1),
        "V" => (StitchWord::plain(Height::Single), 2),
        "A" => (StitchWord::plain(Height::Single).together(2), 1),
        "W" => (StitchWord::plain(Height::Single), 3),
        "M" => (StitchWord::plain(Height::Single).together(3), 1),
        "T" => (StitchWord::plain(Height::HalfDouble), 1),
        "F" => (StitchWord::plain(Height::Double), 1),
        "E" => (StitchWord::plain(Height::Treble), 1),
        _ => return None,
    })
}
