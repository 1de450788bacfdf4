//! Stated totals: `(18)`, `[18 sts]`, `= 18 sc`, `(12 dc, 6 ch-2 sps)`.

use super::body::Reader;
use super::clause::step_of;
use super::lex::Kind;
use super::tree::{Instruction, Stated};
use crate::source::Problem;
use crate::terms::Height;
use crate::terms::words::Word;

/// A total names at most so many kinds of stitch.
const KINDS_IN_A_TOTAL: usize = 8;

impl Reader<'_> {
    /// At an opening bracket: if a total stands in it, notes it and returns the index after the bracket.
    pub(super) fn total_in_bracket(&mut self) -> Option<usize> {
        let start = self.at;
        self.at += 1;
        let total = self.total();
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

    /// After `=`, `–`, `→`, a comma or a full stop: a total without brackets, if it closes the body.
    pub(super) fn trailing_total(&mut self, sign: Kind, before: &[Instruction]) {
        let start = self.at;
        let total = self.total();
        let end = self.at;
        self.at = start;
        let Some((stated, names_stitches)) = total else {
            return;
        };
        let firm = matches!(sign, Kind::Equals | Kind::Arrow | Kind::Dash);
        // After a mere comma or full stop, a total must be of "sts": `, 18 sc` is work, unless the round has been closed.
        let closed =
            sign == Kind::Stop && before.last().is_some_and(|item| item.act.goes_all_round());
        if !firm && !closed && (names_stitches || !self.says_stitches(start, end)) {
            return;
        }
        let closes = match self.tokens.get(end).map(|t| t.kind) {
            None | Some(Kind::Stop | Kind::Semicolon | Kind::Comma) => !self.works_from[end],
            _ => false,
        };
        if closes {
            let span = self.tokens[start].span.to(self.tokens[end - 1].span);
            self.stated = Some(Stated { span, ..stated });
            self.at = end;
        }
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
        let mut stated = Stated::default();
        let mut names_stitches = false;
        for _ in 0..KINDS_IN_A_TOTAL {
            while let Some((Word::Filler | Word::Total | Word::And, taken)) = self.word() {
                self.at += taken;
            }
            let Some((number, taken)) = self.number() else {
                break;
            };
            self.at += taken;
            let mut is_space = false;
            // The unit: `sts`, `sc`, `ch-2 sps`, `chain 3 spaces`.
            loop {
                if self.kind(0) == Some(Kind::Dash)
                    && (self.number_ahead(1).is_some() || self.word_ahead(1).is_some())
                {
                    self.at += 1;
                    continue;
                }
                match self.word() {
                    Some((Word::AnyStitch, taken)) => self.at += taken,
                    Some((Word::Space, taken)) => {
                        is_space = true;
                        self.at += taken;
                    }
                    Some((Word::Stitch(height), taken)) => {
                        names_stitches = true;
                        self.at += taken;
                        if height == Height::Chain {
                            let dash = usize::from(self.kind(0) == Some(Kind::Dash));
                            if let Some((_, taken)) = self.number_ahead(dash)
                                && self.space_follows(dash + taken)
                            {
                                self.at += dash + taken;
                            }
                        }
                    }
                    Some((Word::Increase | Word::Decrease, taken)) if !self.names.letter_code => {
                        names_stitches = true;
                        self.at += taken;
                    }
                    Some((Word::Total | Word::Each | Word::Remaining, taken)) => self.at += taken,
                    None if ["remain", "left", "made"]
                        .iter()
                        .any(|word| self.is_word(0, word)) =>
                    {
                        self.at += 1;
                    }
                    _ => break,
                }
            }
            let slot = if is_space {
                &mut stated.spaces
            } else {
                &mut stated.stitches
            };
            *slot = Some(slot.unwrap_or(0).saturating_add(number));
            match self.kind(0) {
                Some(Kind::Comma | Kind::Plus | Kind::Ampersand | Kind::Semicolon)
                    if self.number_ahead(1).is_some() =>
                {
                    self.at += 1;
                }
                _ if matches!(self.word(), Some((Word::And, _))) => {}
                _ => break,
            }
        }
        if stated.stitches.is_none() && stated.spaces.is_none() {
            return None;
        }
        Some((stated, names_stitches))
    }

    fn space_follows(&self, ahead: usize) -> bool {
        let dash = usize::from(self.kind(ahead) == Some(Kind::Dash));
        matches!(self.word_ahead(ahead + dash), Some((Word::Space, _)))
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
                Word::Stitch(_) | Word::Increase | Word::Decrease | Word::InvisibleDecrease,
                _,
            )) => true,
            _ => works[at + 1],
        };
    }
    works
}
