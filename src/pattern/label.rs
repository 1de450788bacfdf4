//! Labels of rounds: `Rnd 3:`, `R5–R8:`, `4th to 6th rnds (3 rounds):`, `Row 3 (RS):`, `3.`

use std::ops::Range;

use super::lex::{Bracket, Kind, Token, is_circled};
use crate::terms::words::{self, Word};
use crate::terms::{Terms, colours};

/// A label as it stands, not yet checked.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct RawLabel {
    pub is_row: bool,
    /// Runs of numbers; empty for `Next rnd:`.
    pub numbers: Vec<(u32, u32)>,
    /// How many rounds `Next 3 rnds:` stands for; 0 where numbers are given.
    pub relative: u32,
    /// `Edging:`, `Border:`.
    pub edging: bool,
    /// `Foundation row:`, with no number of its own.
    pub foundation: bool,
    /// Just a number: a round only if its body reads as one.
    pub bare: bool,
    /// No colon or other mark ends it: a round only if its body reads as one.
    pub open_ended: bool,
    /// It opens a round only where its number is the one that comes next: `Step 3:`, `3 - 6 sc`.
    pub weak: bool,
    /// A slip in the label itself: the token to mend, and what should stand there.
    pub slip: Option<(usize, &'static str)>,
    /// Tokens between numbers and colon: `(BLO)`, `(36 sts)`, `with B`.
    pub remark: Range<usize>,
    /// The number of a total that stands before the label or in a table's cell after it.
    pub total: Option<usize>,
    /// It stands in a cell of a table, and so does what follows.
    pub in_table: bool,
    /// It stands below all later rounds of its piece.
    pub stands_last: bool,
    /// The words of the round have no label at all.
    pub unwritten: bool,
    /// Where the label's own tokens begin.
    pub start: usize,
    /// Index after its last number.
    pub end: usize,
    /// Index of the first token of the body.
    pub body: usize,
}

/// Most numbers in one list.
const LONGEST_LIST: usize = 200;
/// Most tokens of a remark before the colon.
const LONGEST_REMARK: usize = 12;

/// The label at the front of a line's tokens.
pub(super) fn read(tokens: &[Token<'_>]) -> Option<RawLabel> {
    let mut reader = LabelReader {
        tokens,
        at: 0,
        marks: None,
        firm: false,
    };
    reader.pass_marks();
    reader.pass_list_number();
    reader.read()
}

struct LabelReader<'t, 's> {
    tokens: &'t [Token<'s>],
    at: usize,
    /// Stars that open the line: bold or italics that end after the label.
    marks: Option<u8>,
    /// The numbers are a range that nothing else could be.
    firm: bool,
}

/// The word for a round.
struct RoundWord {
    is_row: bool,
    plural: bool,
    end: usize,
}

impl LabelReader<'_, '_> {
    fn read(&mut self) -> Option<RawLabel> {
        let mut label = RawLabel {
            start: self.at,
            ..RawLabel::default()
        };
        let mut plural = false;
        self.pass_lead();
        if let Some(closed) = self.bracketed(&mut label) {
            return closed.then_some(label);
        }
        self.pass_total_before(&mut label);
        let colour = self.pass_colour_before();
        if let Some(end) = self.step() {
            label.weak = true;
            self.at = end;
            label.numbers = self.numbers(plural)?;
        } else if let Some(end) = self.edging() {
            label.relative = 1;
            label.edging = true;
            self.at = end;
        } else if let Some(word) = self.round_word(self.at) {
            label.is_row = word.is_row;
            plural = word.plural;
            self.at = word.end;
            label.numbers = self.numbers(plural)?;
        } else if let Some((word, meant)) = self.misspelt_word() {
            label.is_row = word.is_row;
            label.slip = Some((self.at, meant));
            plural = word.plural;
            self.at = word.end;
            label.numbers = self.numbers(plural)?;
        } else if let Some(word) = self.foundation() {
            label.is_row = word.is_row;
            label.foundation = true;
            label.numbers = vec![(1, 1)];
            self.at = word.end;
            if self.kind(0) != Some(Kind::Colon) {
                return None;
            }
        } else if let Some(count) = self.relative() {
            let word = self.round_word(self.at)?;
            label.is_row = word.is_row;
            label.relative = count;
            self.at = word.end;
            if !matches!(self.kind(0), Some(Kind::Colon | Kind::Open(_) | Kind::Dash)) {
                return None;
            }
        } else {
            let word = self.counted(&mut label.numbers)?;
            label.bare = word.is_none();
            if let Some(word) = word {
                label.is_row = word.is_row;
                plural = word.plural;
                self.at = word.end;
            }
        }
        label.end = self.at;
        if label.bare && self.kind(0) == Some(Kind::Dash) {
            label.weak = true;
        }
        let is_edging = label.edging && self.kind(0) == Some(Kind::Colon);
        let ended = self.ending(&mut label)?;
        if label.remark.is_empty() && !colour.is_empty() {
            label.remark = colour;
        }
        label.open_ended = !ended || label.weak || is_edging;
        if label.slip.is_some() && !ended {
            return None;
        }
        let is_one_range = matches!(label.numbers[..], [(first, last)] if first != last);
        (ended || label.bare || plural || self.firm || !is_one_range).then_some(label)
    }

    fn kind(&self, ahead: usize) -> Option<Kind> {
        self.tokens.get(self.at + ahead).map(|t| t.kind)
    }

    fn is(&self, at: usize, word: &str) -> bool {
        self.tokens.get(at).is_some_and(|t| t.is(word))
    }

    fn kind_at(&self, at: usize) -> Option<Kind> {
        self.tokens.get(at).map(|t| t.kind)
    }

    /// Bold and italic marks, bars of a table.
    fn pass_marks(&mut self) {
        while let Some(token) = self.tokens.get(self.at) {
            match token.kind {
                Kind::Star(n) => self.marks = Some(n),
                Kind::Other => {}
                _ => return,
            }
            self.at += 1;
        }
    }

    /// `For the` in `For the first round, …`.
    fn pass_lead(&mut self) {
        let leads =
            (self.is(self.at, "for") || self.is(self.at, "in")) && self.is(self.at + 1, "the");
        let says_round = || {
            let (_, end) = self.number(self.at + 2)?;
            self.round_word(end)
        };
        if leads && says_round().is_some() {
            self.at += 2;
            return;
        }
        // `So for round one`
        const TALK: &[&str] = &["so", "now", "okay", "ok", "then", "and", "next"];
        let mut at = self.at;
        while at < self.at + 2 && TALK.iter().any(|word| self.is(at, word)) {
            at += 1;
        }
        if at == self.at || !["for", "on", "in"].iter().any(|word| self.is(at, word)) {
            return;
        }
        at += 1;
        let numbered = self
            .round_word(at)
            .is_some_and(|word| self.number(word.end).is_some());
        if numbered {
            self.at = at;
        }
    }

    /// `[R1]`, `(3)`, `[Rnds 4-6]`: all of the label in a bracket. False if it is something else in a bracket before a number.
    fn bracketed(&mut self, label: &mut RawLabel) -> Option<bool> {
        let Some(Kind::Open(_)) = self.kind(0) else {
            return None;
        };
        let start = self.at;
        let word = self.round_word(start + 1);
        self.at = word.as_ref().map_or(start + 1, |word| word.end);
        let numbers = self.numbers(word.as_ref().is_some_and(|word| word.plural));
        let closed = matches!(self.kind(0), Some(Kind::Close(_)));
        let Some(numbers) = numbers.filter(|_| closed && self.round_word(self.at + 1).is_none())
        else {
            self.at = start;
            return None;
        };
        label.numbers = numbers;
        self.bracketed_range(label);
        label.is_row = word.as_ref().is_some_and(|word| word.is_row);
        label.bare = word.is_none();
        label.weak = label.bare;
        label.open_ended = label.bare;
        self.at += 1;
        label.end = self.at;
        self.at += usize::from(self.at_end_mark(false));
        label.remark = self.at..self.at;
        label.body = self.at;
        Some(label.body < self.tokens.len())
    }

    /// At the end of the first bracket of `(5)-(8)`: passes over the second.
    fn bracketed_range(&mut self, label: &mut RawLabel) {
        let ([run], Some(Kind::Dash | Kind::Tilde), Some(Kind::Open(_))) =
            (&mut label.numbers[..], self.kind(1), self.kind(2))
        else {
            return;
        };
        if let (Some(Kind::Number(last)), Some(Kind::Close(_))) = (self.kind(3), self.kind(4)) {
            run.1 = last;
            self.at += 4;
        }
    }

    /// `(6) Rnd 1:`, `6 | Rnd 1 |`: a total that stands before the label.
    fn pass_total_before(&mut self, label: &mut RawLabel) {
        let number = |at: usize| matches!(self.kind_at(at), Some(Kind::Number(_)));
        let at = self.at;
        let in_bracket = matches!(self.kind(0), Some(Kind::Open(_))) && number(at + 1);
        let in_cell = number(at) && self.is_bar(at + 1);
        let end = match (in_bracket, in_cell) {
            (true, _) => {
                let close =
                    (at + 2..at + 4).find(|&end| matches!(self.kind_at(end), Some(Kind::Close(_))));
                close.map(|close| close + 1)
            }
            (_, true) => Some(at + 2),
            _ => None,
        };
        let Some(end) = end else { return };
        let word = self.round_word(end);
        if word.is_some_and(|word| self.number(word.end).is_some()) {
            label.total = Some(if in_cell { at } else { at + 1 });
            self.at = end;
        }
    }

    /// `Red R1:`, `Dark blue Rnd 4:`: the yarn before the label.
    fn pass_colour_before(&mut self) -> Range<usize> {
        let at = self.at;
        let word = |ahead: usize| {
            let token = self.tokens.get(at + ahead)?;
            (token.kind == Kind::Word).then_some(&*token.text)
        };
        let end = at + colours::words_of(word).unwrap_or(0);
        let numbered = self
            .round_word(end)
            .is_some_and(|word| self.number(word.end).is_some());
        if numbered {
            self.at = end;
        }
        at..self.at
    }

    fn is_bar(&self, at: usize) -> bool {
        self.tokens.get(at).is_some_and(|t| t.text == "|")
    }

    /// `Step` before a number and a mark, where the steps are the rounds.
    fn step(&self) -> Option<usize> {
        let marked = |at| {
            matches!(
                self.kind_at(at),
                Some(Kind::Colon | Kind::Dash | Kind::Stop | Kind::Close(_))
            )
        };
        let (_, end) = self.number(self.at + 1)?;
        let tour = self.is_tour(self.at) && self.is_glued(self.at + 1);
        let range = || {
            let (_, end, is_range) = self.further_number(end)?;
            (is_range && marked(end)).then_some(())
        };
        let marked = marked(end) || tour && range().is_some();
        (marked && (tour || self.is(self.at, "step"))).then_some(self.at + 1)
    }

    /// The letter of a round in other languages, before its number: `V3`, `T3`.
    fn is_tour(&self, at: usize) -> bool {
        self.is(at, "v") || self.is(at, "t")
    }

    /// `Border:`, `Edging:`: a round that has no number.
    fn edging(&self) -> Option<usize> {
        let named = ["border", "edging", "edge", "trim"]
            .iter()
            .any(|word| self.is(self.at, word));
        (named && self.kind(1) == Some(Kind::Colon)).then_some(self.at + 1)
    }

    fn is_glued(&self, at: usize) -> bool {
        self.tokens.get(at).is_some_and(|t| !t.spaced)
    }

    /// `1. Rnd 1:`: the number of a list, before the label.
    fn pass_list_number(&mut self) {
        let numbered = matches!(self.kind(0), Some(Kind::Number(_)))
            && matches!(self.kind(1), Some(Kind::Stop | Kind::Close(Bracket::Round)))
            && self
                .round_word(self.at + 2)
                .is_some_and(|word| self.number(word.end).is_some());
        // `1.Row 6x`
        if numbered && !self.is_glued(self.at + 2) {
            self.at += 2;
        }
    }

    /// `Rnd`, `Rounds`, `R` (before a number), `Row`, with a full stop or `#` after it or not.
    fn round_word(&self, at: usize) -> Option<RoundWord> {
        let token = self.tokens.get(at).filter(|t| t.kind == Kind::Word)?;
        let (is_row, plural) = match &*token.text {
            "rnd" | "round" | "rd" | "rn" | "r" => (false, false),
            "rnds" | "rounds" | "rds" | "rs" => (false, true),
            "row" | "rw" => (true, false),
            "rows" => (true, true),
            _ => return None,
        };
        let mut end = at + 1;
        if self.kind_at(end) == Some(Kind::Stop) {
            end += 1;
        }
        let is_number_sign = |t: &Token<'_>| t.text == "#" || t.is("no") || t.is("number");
        if self.tokens.get(end).is_some_and(is_number_sign) && self.number(end + 1).is_some() {
            end += 1;
        }
        let numbered = self.number(end).is_some();
        (numbered || !matches!(&*token.text, "r" | "rs" | "rn")).then_some(RoundWord {
            is_row,
            plural,
            end,
        })
    }

    /// `Rdn 3`, `Ruond 3`: a word for a round with one slip in it, before a number; and the word that is meant.
    fn misspelt_word(&self) -> Option<(RoundWord, &'static str)> {
        let token = self.tokens.get(self.at)?;
        if token.kind != Kind::Word || !matches!(self.kind(1), Some(Kind::Number(_))) {
            return None;
        }
        let (meant, is_row, plural) = [
            ("Rnd", false, false),
            ("Rnds", false, true),
            ("Round", false, false),
            ("Rounds", false, true),
            ("Row", true, false),
            ("Rows", true, true),
        ]
        .into_iter()
        .find(|(meant, ..)| is_slip_of(&token.text, meant))?;
        let word = RoundWord {
            is_row,
            plural,
            end: self.at + 1,
        };
        Some((word, meant))
    }

    /// A number in digits or words, with an ordinal's ending or not.
    fn number(&self, at: usize) -> Option<(u32, usize)> {
        let token = self.tokens.get(at)?;
        match token.kind {
            Kind::Number(n) => {
                let suffix = self
                    .tokens
                    .get(at + 1)
                    .is_some_and(|t| !t.spaced && matches!(&*t.text, "st" | "nd" | "rd" | "th"));
                Some((n, at + 1 + usize::from(suffix)))
            }
            Kind::Word => match words::longest(|i| (i == 0).then_some(&*token.text), Terms::Us)? {
                (Word::Number(n) | Word::Ordinal(n), _) => Some((n, at + 1)),
                (Word::First, _) if token.is("first") => Some((1, at + 1)),
                _ => None,
            },
            _ => None,
        }
    }

    /// `3`, `5-8`, `5, 7, 9`, `4 & 5`, `7 and Rnd 8`, with ordinals or without.
    fn numbers(&mut self, plural: bool) -> Option<Vec<(u32, u32)>> {
        let (first, end) = self.number(self.at)?;
        let mut runs = vec![(first, first)];
        // After each number, how long the list was and where it ended: to go back to.
        let mut ends = vec![(first, 1, end)];
        let mut firm = 1;
        let mut at = end;
        while ends.len() < LONGEST_LIST
            && let Some((n, end, is_range)) = self.further_number(at)
        {
            if is_range {
                let last = runs.last_mut()?;
                if last.0 != last.1 {
                    break;
                }
                last.1 = n;
            } else {
                runs.push((n, n));
            }
            if is_range && self.is_firm(at, n, first) {
                firm = ends.len() + 1;
            }
            at = end;
            ends.push((n, runs.len(), at));
        }
        // `Rnd 1 - 6 sc`, `Rnd 3, 6 sc`: a number that is followed by a stitch is no part of the label.
        while ends.len() > firm && !plural && !self.may_end(ends[ends.len() - 1].2) {
            ends.pop();
        }
        let (last, count, end) = *ends.last()?;
        runs.truncate(count);
        if let Some(run) = runs.last_mut() {
            run.1 = last;
        }
        self.at = end;
        self.firm = firm > 1;
        Some(runs)
    }

    /// `R4-6 sc around`, `R 4 - R 6 sc around`: a dash that can only make a range. (`Rnd 1-6 sc in MR` is round 1.)
    fn is_firm(&self, dash: usize, last: u32, first: u32) -> bool {
        let glued = |at: usize| self.tokens.get(at).is_some_and(|t| !t.spaced);
        self.round_word(dash + 1).is_some()
            || first > 1 && last > first && glued(dash) && glued(dash + 1)
    }

    /// After a number: a dash or comma, and another number. The flag says that they are a range.
    fn further_number(&self, at: usize) -> Option<(u32, usize, bool)> {
        let at = self.pass_following(at);
        let token = self.tokens.get(at)?;
        let is_range = matches!(token.kind, Kind::Dash | Kind::Tilde)
            || matches!(
                &*token.text,
                "to" | "through" | "thru" | "till" | "until" | "bis" | "à"
            );
        let is_list = matches!(
            token.kind,
            Kind::Comma | Kind::Ampersand | Kind::Plus | Kind::Slash
        ) || token.is("and");
        let mut next = at + 1;
        // `R6.-8.`, but not `Rnd 2.- 6 inc`
        if token.kind == Kind::Stop
            && matches!(self.kind_at(next), Some(Kind::Dash | Kind::Tilde))
            && self.is_glued(next + 1)
        {
            let (n, end) = self.number(next + 1)?;
            return Some((n, end, true));
        }
        // `4 t/m 6`
        let is_range =
            if token.is("t") && self.kind_at(next) == Some(Kind::Slash) && self.is(next + 1, "m") {
                next += 2;
                true
            } else {
                is_range
            };
        if !is_range && !is_list {
            return None;
        }
        // `5, 7, and 9`
        if is_list && self.is(next, "and") {
            next += 1;
        }
        if let Some(word) = self.round_word(next) {
            next = word.end;
        } else if is_range && self.is_tour(next) && self.is_glued(next + 1) {
            next += 1;
        }
        let (n, end) = self.number(next)?;
        Some((n, end, is_range))
    }

    /// `and all following rounds` before `until Rnd 8`, `up` before `to 8`: words of a range that say no more than `to`.
    fn pass_following(&self, at: usize) -> usize {
        const MOST: usize = 5;
        const SAY_NO_MORE: &[&str] = &[
            "and", "all", "every", "each", "the", "following", "subsequent", "onward", "onwards",
            "on", "up",
        ];
        let mut next = at;
        while next < at + MOST
            && (SAY_NO_MORE.iter().any(|word| self.is(next, word)) || self.round_word(next).is_some())
        {
            next += 1;
        }
        let is_range = ["to", "until", "till", "through", "thru"]
            .iter()
            .any(|word| self.is(next, word));
        if is_range { next } else { at }
    }

    fn may_end(&self, at: usize) -> bool {
        match self.kind_at(at) {
            // `Rnd 4 - 2(sc, inc)` multiplies a bracket; `Rnds 4-6 (3 rounds):` has a remark.
            Some(Kind::Open(_)) => self.tokens[at..]
                .iter()
                .take(LONGEST_REMARK + 2)
                .any(|t| t.kind == Kind::Colon),
            kind => matches!(
                kind,
                None | Some(Kind::Colon | Kind::Close(_) | Kind::Stop | Kind::Dash | Kind::Star(_))
            ),
        }
    }

    /// `Foundation row`, `Set-up rnd`: the word for the round.
    fn foundation(&self) -> Option<RoundWord> {
        let word = |ahead: usize| self.tokens.get(self.at + ahead).map(|t| &*t.text);
        let taken = match word(0)? {
            "foundation" | "setup" | "base" | "fdn" => 1,
            "set" if word(1) == Some("up") => 2,
            "set" if self.kind(1) == Some(Kind::Dash) && word(2) == Some("up") => 3,
            _ => return None,
        };
        self.round_word(self.at + taken)
    }

    /// `Next`, `Next 3`: how many rounds.
    fn relative(&mut self) -> Option<u32> {
        if !self.is(self.at, "next") && !self.is(self.at, "last") && !self.is(self.at, "final") {
            return None;
        }
        let (count, end) = self.number(self.at + 1).unwrap_or((1, self.at + 1));
        self.round_word(end)?;
        self.at = end;
        Some(count.clamp(1, 1000))
    }

    /// `3rd rnd`, `4th to 6th rnds`, `11th, 12th rnd`, `3 row`, or just `3`, `4-6`, `4)-5)`, `3.-5.`
    fn counted(&mut self, runs: &mut Vec<(u32, u32)>) -> Option<Option<RoundWord>> {
        let (first, end) = self.number(self.at)?;
        let in_words = self.kind(0) == Some(Kind::Word);
        runs.push((first, first));
        self.at = end;
        // `1 - 6 sc`, `5 - (sc, inc) x 6`: the dash is the label's end, not a range's.
        let dashed = self.kind(0) == Some(Kind::Dash)
            && !self.number(self.at + 1).is_some_and(|(_, end)| {
                self.round_word(end).is_some()
                    || self.is_letter_after_number(end)
                    || matches!(
                        self.kind_at(end),
                        None | Some(
                            Kind::Dash
                                | Kind::Colon
                                | Kind::Stop
                                | Kind::Close(_)
                                | Kind::Tilde
                                | Kind::Other
                        )
                    )
            });
        if dashed && !in_words {
            return Some(None);
        }
        loop {
            // `4)-5)`, `3.-5.`
            let closed = matches!(self.kind(0), Some(Kind::Close(_) | Kind::Stop))
                && matches!(self.kind(1), Some(Kind::Dash | Kind::Tilde))
                && self.number(self.at + 2).is_some();
            let at = self.at + usize::from(closed);
            let Some((n, end, is_range)) = self.further_number(at) else {
                break;
            };
            // A list of bare numbers is no label; of ordinals it is.
            let is_ordinal = end > at + 2;
            let open_run = runs.last().is_some_and(|run| run.0 == run.1);
            if is_range && open_run {
                if let Some(run) = runs.last_mut() {
                    run.1 = n;
                }
            } else if is_ordinal && runs.len() < LONGEST_LIST {
                runs.push((n, n));
            } else {
                break;
            }
            self.at = end;
        }
        let word = self.round_word_alone();
        // `six` on its own counts stitches.
        (word.is_some() || !in_words).then_some(word)
    }

    /// The word after the numbers: `rnd`, `rows`.
    fn round_word_alone(&self) -> Option<RoundWord> {
        // `1.Row`
        let dotted = self.kind(0) == Some(Kind::Stop) && self.is_glued(self.at + 1);
        let at = self.at + usize::from(dotted);
        // `4-6R:`
        if self.is_letter_after_number(at) {
            return Some(RoundWord {
                is_row: false,
                plural: true,
                end: at + 1,
            });
        }
        let word = self.round_word(at)?;
        Some(RoundWord {
            end: at + 1,
            ..word
        })
    }

    /// The R of `4-6R:`.
    fn is_letter_after_number(&self, at: usize) -> bool {
        let mark = self.kind_at(at + 1);
        let glued = matches!(mark, Some(Kind::Close(_) | Kind::Dash | Kind::Equals));
        self.is(at, "r")
            && (matches!(mark, Some(Kind::Colon | Kind::Stop)) || self.is_glued(at) && glued)
    }

    /// Takes what stands between the numbers and the body. True if a mark ends the label.
    fn ending(&mut self, label: &mut RawLabel) -> Option<bool> {
        self.pass_closing_marks();
        let start = self.at;
        label.remark = start..start;
        if let Some(colon) = self.dashed_total() {
            label.remark = start + 1..colon;
            self.at = colon + 1;
        } else if !label.bare && self.kind(0) == Some(Kind::Semicolon) {
            label.slip = label.slip.or(Some((self.at, ":")));
            self.at += 1;
        } else if label.bare && self.is_circled(self.at - 1) {
            // `① 6 sc`: the circle is the mark.
        } else if label.bare && self.kind(0).is_none() {
            label.body = self.at;
            return Some(false);
        } else if self.at_end_mark(label.bare) {
            // `R6.:`, `R6.-`
            let doubled = self.kind(0) == Some(Kind::Stop)
                && matches!(self.kind(1), Some(Kind::Colon | Kind::Dash));
            let in_table = self.is_bar(self.at);
            self.at += 1 + usize::from(doubled);
            if in_table {
                label.in_table = true;
                self.cells(label);
            }
        } else if label.bare {
            return None;
        } else if let Some(colon) = self.colon_after_remark() {
            label.remark = start..colon;
            self.at = colon + 1;
        } else if self.at_side() {
            // `Row 3 (RS) sc across`: the side, without a colon.
            label.remark = start..start + 3;
            self.at += 3;
        } else {
            self.at += usize::from(self.kind(0) == Some(Kind::Comma));
            label.body = self.at;
            return Some(false);
        }
        self.pass_closing_marks();
        self.pass_total_after(label);
        label.body = self.at;
        Some(true)
    }

    /// `2. (12) inc x 6`: the total before the work.
    fn pass_total_after(&mut self, label: &mut RawLabel) {
        let opens = matches!(self.kind(0), Some(Kind::Open(_)))
            && matches!(self.kind(1), Some(Kind::Number(_)));
        let unit = usize::from(
            self.tokens
                .get(self.at + 2)
                .is_some_and(|t| matches!(&*t.text, "st" | "sts" | "stitches")),
        );
        let works = match self.tokens.get(self.at + 3 + unit) {
            Some(t) => {
                matches!(t.kind, Kind::Word | Kind::Number(_) | Kind::Open(_))
                    && !matches!(&*t.text, "x" | "times" | "in")
            }
            None => false,
        };
        if opens && matches!(self.kind(2 + unit), Some(Kind::Close(_))) && works {
            label.total = Some(self.at + 1);
            self.at += 3 + unit;
        }
    }

    /// Cells of a table between its label and its work: a total, a colour.
    fn cells(&mut self, label: &mut RawLabel) {
        const LONGEST: usize = 4;
        const MOST: usize = 3;
        for _ in 0..MOST {
            let rest = &self.tokens[self.at..];
            let Some(end) = rest.iter().take(LONGEST + 1).position(|t| t.text == "|") else {
                return;
            };
            let has_more = rest[end + 1..].iter().any(|t| t.kind == Kind::Word);
            let cell = &rest[..end];
            let is_total = matches!(cell, [t] if matches!(t.kind, Kind::Number(_)))
                || matches!(cell, [t, unit] if matches!(t.kind, Kind::Number(_))
                    && matches!(&*unit.text, "st" | "sts" | "stitches"));
            let word = |at: usize| cell.get(at).map(|t| &*t.text);
            let is_yarn = colours::words_of(word) == Some(cell.len())
                || matches!(cell, [t] if t.kind == Kind::Word && t.text.chars().count() == 1);
            if !has_more || !cell.is_empty() && !is_total && !is_yarn {
                return;
            }
            if is_total {
                label.total = Some(self.at);
            } else if is_yarn {
                label.remark = self.at..self.at + end;
            }
            self.at += end + 1;
        }
    }

    fn pass_closing_marks(&mut self) {
        while let (Some(Kind::Star(n)), Some(marks)) = (self.kind(0), self.marks)
            && n == marks
        {
            self.at += 1;
            self.marks = None;
        }
    }

    fn at_end_mark(&self, bare: bool) -> bool {
        match self.kind(0) {
            // `1⃣`: the key around a number.
            Some(Kind::Other) if self.tokens[self.at].text == "\u{20e3}" => true,
            Some(Kind::Colon | Kind::Stop | Kind::Close(Bracket::Round)) => true,
            Some(Kind::Dash) => true,
            Some(Kind::Equals) => !bare,
            // A cell of a table ends.
            Some(Kind::Other) => self.tokens[self.at].text == "|",
            _ => false,
        }
    }

    /// `Rnd 16 – 12 sts: …`: the index of the colon.
    fn dashed_total(&self) -> Option<usize> {
        let counts = self.kind(0) == Some(Kind::Dash)
            && matches!(self.kind(1), Some(Kind::Number(_)))
            && self
                .tokens
                .get(self.at + 2)
                .is_some_and(|t| matches!(&*t.text, "st" | "sts" | "stitches"))
            && self.kind(3) == Some(Kind::Colon);
        counts.then_some(self.at + 3)
    }

    /// The index of the colon that ends a remark in brackets or words.
    fn colon_after_remark(&self) -> Option<usize> {
        let mut depth = 0usize;
        for (ahead, token) in self.tokens[self.at..]
            .iter()
            .enumerate()
            .take(LONGEST_REMARK + 2)
        {
            match token.kind {
                Kind::Open(_) => depth += 1,
                Kind::Close(_) => depth = depth.saturating_sub(1),
                Kind::Colon if depth == 0 => return Some(self.at + ahead),
                _ => {}
            }
        }
        None
    }

    fn is_circled(&self, at: usize) -> bool {
        self.tokens
            .get(at)
            .is_some_and(|t| t.text.starts_with(is_circled))
    }

    fn at_side(&self) -> bool {
        matches!(self.kind(0), Some(Kind::Open(_)))
            && (self.is(self.at + 1, "rs") || self.is(self.at + 1, "ws"))
            && matches!(self.kind(2), Some(Kind::Close(_)))
    }
}

/// True if a word is another with two neighbouring letters changed over, a letter twice or a letter left out. Another letter
/// in the place of one is no slip that can be told from a word of its own: `red`, `sound`, `bow`.
fn is_slip_of(word: &str, meant: &str) -> bool {
    let meant = meant.to_lowercase();
    let (found, meant) = (word.as_bytes(), meant.as_bytes());
    let changed_over = |at: usize| {
        found[..at] == meant[..at]
            && found[at] == meant[at + 1]
            && found[at + 1] == meant[at]
            && found[at + 2..] == meant[at + 2..]
    };
    let left_out = |short: &[u8], long: &[u8], at: usize| {
        short[..at] == long[..at] && short[at..] == long[at + 1..]
    };
    match found.len() as isize - meant.len() as isize {
        0 => found.len() > 2 && (0..found.len() - 1).any(changed_over),
        1 => (1..found.len()).any(|at| found[at] == found[at - 1] && left_out(meant, found, at)),
        -1 => found.len() > 3 && (1..meant.len()).any(|at| left_out(found, meant, at)),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::super::lex::lex;
    use super::*;
    use crate::source::Span;

    fn label(text: &str) -> Option<(Vec<(u32, u32)>, String)> {
        let tokens = lex(text, Span::new(0, text.len()));
        let label = read(&tokens)?;
        let body = tokens.get(label.body).map_or("", |t| &text[t.span.start..]);
        Some((label.numbers, body.to_owned()))
    }

    #[test]
    fn labels_in_many_hands() {
        for (text, numbers) in [
            ("Rnd 3: sc", vec![(3, 3)]),
            ("Rnd. 3) sc", vec![(3, 3)]),
            ("R3: sc", vec![(3, 3)]),
            ("R 3. sc", vec![(3, 3)]),
            ("3rd rnd: sc", vec![(3, 3)]),
            ("3 row: sc", vec![(3, 3)]),
            ("3 - sc", vec![(3, 3)]),
            ("1 - sc 6", vec![(1, 1)]),
            ("1- sc 6", vec![(1, 1)]),
            ("5-7- sc 9", vec![(5, 7)]),
            ("4-8 - sc 18", vec![(4, 8)]),
            ("1.Row sc 6", vec![(1, 1)]),
            ("5-8.Rows sc 24", vec![(5, 8)]),
            ("Step 2: sc", vec![(2, 2)]),
            ("V3: sc", vec![(3, 3)]),
            ("Rnds 5-8: sc", vec![(5, 8)]),
            ("R5–R8: sc", vec![(5, 8)]),
            ("R5~R8: sc", vec![(5, 8)]),
            ("4th to 6th rnds (3 rounds): sc", vec![(4, 6)]),
            ("Rnd 4 to Rnd 6: sc", vec![(4, 6)]),
            ("4-6. sc", vec![(4, 6)]),
            ("Rnds 4 & 5: sc", vec![(4, 4), (5, 5)]),
            ("Rnd 7 and Rnd 8: sc", vec![(7, 7), (8, 8)]),
            ("Rnds 5, 7, 9: sc", vec![(5, 5), (7, 7), (9, 9)]),
            ("**Rnd 3:** sc", vec![(3, 3)]),
            ("Rnd 6 (36 sts): sc", vec![(6, 6)]),
            ("Rnd 6 in BLO: sc", vec![(6, 6)]),
            ("Rnds 5-8 sc around", vec![(5, 8)]),
            ("Rnds 2/3: sc", vec![(2, 2), (3, 3)]),
            ("R6.-8.: sc", vec![(6, 8)]),
            ("3.–5. sc", vec![(3, 5)]),
            ("4)-5) sc", vec![(4, 5)]),
            ("1. Rnd 7: sc", vec![(7, 7)]),
            ("*Round 1:* sc", vec![(1, 1)]),
            ("Round One: sc", vec![(1, 1)]),
            ("Rounds Three to Five: sc", vec![(3, 5)]),
            ("Second round: sc", vec![(2, 2)]),
            ("11th, 12th Rnd: sc", vec![(11, 11), (12, 12)]),
            ("Rnds #13-14: sc", vec![(13, 14)]),
            ("Rnd #15: sc", vec![(15, 15)]),
            ("Rnd 16 – 12 sts: sc", vec![(16, 16)]),
            ("| 1 | sc |", vec![(1, 1)]),
            ("Rdn 3: sc", vec![(3, 3)]),
            ("Ruonds 3-4: sc", vec![(3, 4)]),
            ("Rond 3: sc", vec![(3, 3)]),
            ("Rnnd 3: sc", vec![(3, 3)]),
            ("Rnd3; sc", vec![(3, 3)]),
            ("r4-6 sc around", vec![(4, 6)]),
            ("R 4 - R 6 sc around", vec![(4, 6)]),
            ("Rnd 5 = sc", vec![(5, 5)]),
            ("Rnd 4 and all following until Rnd 8: sc", vec![(4, 8)]),
            ("Rnd 4 and every rnd up to 8: sc", vec![(4, 8)]),
            ("(13) - (15) sc", vec![(13, 15)]),
            ("Round 4 onwards to 8: sc", vec![(4, 8)]),
        ] {
            let (found, body) = label(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(found, numbers, "{text}");
            assert!(body.starts_with("sc"), "{text}: {body}");
        }
    }

    #[test]
    fn a_dash_before_a_count_ends_the_label() {
        assert_eq!(
            label("Rnd 1 - 6 sc in MR"),
            Some((vec![(1, 1)], "6 sc in MR".into()))
        );
        assert_eq!(
            label("Rnd 1-6 sc in MR"),
            Some((vec![(1, 1)], "6 sc in MR".into()))
        );
        assert_eq!(label("Rnd 3, 6 sc").unwrap().0, vec![(3, 3)]);
    }

    #[test]
    fn prose_has_no_label() {
        assert_eq!(label("Rounds are worked in a spiral"), None);
        assert_eq!(label("Row houses"), None);
        assert_eq!(label("Red 3: sc"), None);
        assert_eq!(label("Bow 2: sc"), None);
        assert_eq!(label("Rod 2: sc"), None);
    }
}
