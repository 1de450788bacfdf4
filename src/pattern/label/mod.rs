//! Labels of rounds: `Rnd 3:`, `R5–R8:`, `4th to 6th rnds (3 rounds):`, `Row 3 (RS):`, `3.`

mod ending;
mod numbers;

use std::ops::Range;

use super::lex::{Bracket, Kind, Token};
use crate::terms::colours;

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

impl RawLabel {
    /// `R19 – 12`, which no words follow, read as round 19 with a total.
    fn with_total(self, tokens: &[Token<'_>]) -> Option<RawLabel> {
        let [.., number, dash, total] = tokens else {
            return None;
        };
        let (Kind::Number(n), Kind::Number(_)) = (number.kind, total.kind) else {
            return None;
        };
        let is_range = matches!(self.numbers[..], [(first, last)] if first == n && last != n);
        let is_parted = dash.kind == Kind::Dash && dash.spaced && total.spaced;
        (is_range && is_parted).then(|| RawLabel {
            numbers: vec![(n, n)],
            end: tokens.len() - 2,
            body: tokens.len() - 1,
            open_ended: false,
            ..self
        })
    }
}

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
        } else if let Some(count) = self.opening() {
            let word = self.round_word(self.at)?;
            label.is_row = word.is_row;
            label.numbers = vec![(1, count.max(1))];
            self.at = word.end;
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
        if ended || label.bare || plural || self.firm || !is_one_range {
            return Some(label);
        }
        label.with_total(self.tokens)
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

    /// `Red R1:`, `Dark blue Rnd 4:`, `Then with g, 4th to 20th rounds:`: the yarn before the label.
    fn pass_colour_before(&mut self) -> Range<usize> {
        let yarn = self.pass_yarn_before();
        if !yarn.is_empty() {
            return yarn;
        }
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

    /// `Then with g,` before a label.
    fn pass_yarn_before(&mut self) -> Range<usize> {
        const LONGEST: usize = 3;
        let start = self.at + usize::from(self.is(self.at, "then"));
        let none = self.at..self.at;
        if !self.is(start, "with") {
            return none;
        }
        let comma =
            (start + 2..start + 2 + LONGEST).find(|&at| self.kind_at(at) == Some(Kind::Comma));
        let words = |comma: usize| {
            self.tokens[start + 1..comma]
                .iter()
                .all(|t| t.kind == Kind::Word)
        };
        let Some(comma) = comma.filter(|&comma| words(comma)) else {
            return none;
        };
        let numbered = self.round_word(comma + 1).is_some() || self.number(comma + 1).is_some();
        if !numbered {
            return none;
        }
        self.at = comma + 1;
        start..comma
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
