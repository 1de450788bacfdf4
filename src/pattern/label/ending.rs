//! What stands between the numbers of a label and the words of its round: marks, remarks, totals, cells of a table.

use super::{LONGEST_REMARK, LabelReader, RawLabel};
use crate::pattern::lex::{Bracket, Kind, Token, is_circled};
use crate::terms::colours;

impl LabelReader<'_, '_> {
    /// Takes what stands between the numbers and the body. True if a mark ends the label.
    pub(super) fn ending(&mut self, label: &mut RawLabel) -> Option<bool> {
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
        } else if let Some(close) = self.bracketed_name() {
            // `Row 3 (RS) sc across`, `Round 1 (joining round) ch 3`: without a colon.
            label.remark = start..close + 1;
            self.at = close + 1;
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

    /// Cells of a table between its label and its work: a total, how many more or fewer it is, a colour.
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
            // `+6`, `±0`, `—`
            let is_sign =
                |t: &Token<'_>| matches!(t.kind, Kind::Plus | Kind::Dash) || t.text == "±";
            let is_change = match cell {
                [sign] => is_sign(sign),
                [sign, t] => is_sign(sign) && matches!(t.kind, Kind::Number(_)),
                _ => false,
            };
            let says = is_total || is_yarn || is_change;
            // `12 | +6`: the change is all that follows.
            let has_change = is_total
                && matches!(&rest[end + 1..], [sign, t, ..]
                    if matches!(sign.kind, Kind::Plus | Kind::Dash) && matches!(t.kind, Kind::Number(_)));
            if !has_more && !has_change || !cell.is_empty() && !says {
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

    pub(super) fn at_end_mark(&self, bare: bool) -> bool {
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
        // `then navy, one round each: …` tells of several.
        if self.is(self.at, "each") {
            return None;
        }
        let mut depth = 0usize;
        for (ahead, token) in self.tokens[self.at..]
            .iter()
            .enumerate()
            .take(LONGEST_REMARK + 2)
        {
            match token.kind {
                Kind::Open(_) => depth += 1,
                Kind::Close(_) => depth = depth.saturating_sub(1),
                // `Rnds 1-3 as for the Ears, then:` says all of it before its colon.
                Kind::Colon if depth == 0 => {
                    let colon = self.at + ahead;
                    let remark = &self.tokens[self.at..colon];
                    let says_all =
                        self.tokens.len() == colon + 1 && remark.iter().any(|t| t.is("as"));
                    return (!says_all).then_some(colon);
                }
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

    /// The end of a bracket with the side or a name of the round, as in `(RS)` and `(joining round)`.
    fn bracketed_name(&self) -> Option<usize> {
        const LONGEST: usize = 4;
        let open = matches!(self.kind(0), Some(Kind::Open(_)));
        let words = self.tokens.get(self.at + 1..).filter(|_| open)?;
        let length = words.iter().take_while(|t| t.kind == Kind::Word).count();
        let closed = matches!(words.get(length)?.kind, Kind::Close(_));
        let last = words[..length].last()?;
        let is_side =
            length == 1 && (last.is("rs") || last.is("ws")) || length == 2 && last.is("side");
        let is_name = last.names_rounds() && (2..=LONGEST).contains(&length);
        (closed && (is_side || is_name)).then_some(self.at + 1 + length)
    }
}
