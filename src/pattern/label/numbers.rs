//! The word for a round and its numbers: `Rnds 5-8`, `4th to 6th rnds`, `Next 3 rnds`.

use super::{LONGEST_REMARK, LabelReader};
use crate::pattern::lex::{Kind, Token};
use crate::pattern::lines;
use crate::terms::Terms;
use crate::terms::words::{self, Word};

/// Most numbers in one list.
const LONGEST_LIST: usize = 200;

/// The word for a round.
pub(super) struct RoundWord {
    pub(super) is_row: bool,
    pub(super) plural: bool,
    pub(super) end: usize,
}

impl LabelReader<'_, '_> {
    /// `Rnd`, `Rounds`, `R` (before a number), `Row`, with a full stop or `#` after it or not.
    pub(super) fn round_word(&self, at: usize) -> Option<RoundWord> {
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
    pub(super) fn misspelt_word(&self) -> Option<(RoundWord, &'static str)> {
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
    pub(super) fn number(&self, at: usize) -> Option<(u32, usize)> {
        let token = self.tokens.get(at)?;
        match token.kind {
            Kind::Number(n) => {
                let suffix = self
                    .tokens
                    .get(at + 1)
                    .is_some_and(|t| !t.spaced && matches!(&*t.text, "st" | "nd" | "rd" | "th"));
                Some((n, at + 1 + usize::from(suffix)))
            }
            // `Twenty-first`
            Kind::Word => {
                let hyphen =
                    usize::from(self.kind_at(at + 1) == Some(Kind::Dash) && self.is_glued(at + 1));
                let place = |i: usize| at + i + if i > 0 { hyphen } else { 0 };
                let word = |i: usize| {
                    let token = self.tokens.get(place(i)).filter(|_| i < 2)?;
                    (token.kind == Kind::Word).then_some(&*token.text)
                };
                match words::longest(word, Terms::Us)? {
                    (Word::Number(n) | Word::Ordinal(n), taken) => Some((n, place(taken - 1) + 1)),
                    (Word::First, _) if token.is("first") => Some((1, at + 1)),
                    _ => None,
                }
            }
            _ => None,
        }
    }

    /// `3`, `5-8`, `5, 7, 9`, `4 & 5`, `7 and Rnd 8`, with ordinals or without.
    pub(super) fn numbers(&mut self, plural: bool) -> Option<Vec<(u32, u32)>> {
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
            if is_range && self.is_firm(at, n, first)
                || self.words_join(at, n, ends[ends.len() - 1].0)
            {
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

    /// `Row 7 to 12 sc around`, `Row 10 and 11 sc around`: words that join two numbers of rounds, the second above the first.
    fn words_join(&self, at: usize, n: u32, before: u32) -> bool {
        let joins = ["to", "through", "thru", "and"];
        n > before && joins.iter().any(|word| self.is(at, word))
    }

    /// After a number: a dash or comma, and another number. The flag says that they are a range.
    pub(super) fn further_number(&self, at: usize) -> Option<(u32, usize, bool)> {
        // `Rnd 5) to Rnd 8)`
        let closed =
            matches!(self.kind_at(at), Some(Kind::Close(_))) && self.round_word(at + 2).is_some();
        let at = self.pass_following(at + usize::from(closed));
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
        // `6 up to and including 10`
        if is_range && self.is(next, "and") && self.is(next + 1, "including") {
            next += 2;
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
            "and",
            "all",
            "every",
            "each",
            "the",
            "following",
            "subsequent",
            "onward",
            "onwards",
            "on",
            "up",
        ];
        let mut next = at;
        while next < at + MOST
            && (SAY_NO_MORE.iter().any(|word| self.is(next, word))
                || self.round_word(next).is_some())
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
    pub(super) fn foundation(&self) -> Option<RoundWord> {
        let word = |ahead: usize| self.tokens.get(self.at + ahead).map(|t| &*t.text);
        let taken = match word(0)? {
            "foundation" | "setup" | "base" | "fdn" => 1,
            "set" if word(1) == Some("up") => 2,
            "set" if self.kind(1) == Some(Kind::Dash) && word(2) == Some("up") => 3,
            _ => return None,
        };
        self.round_word(self.at + taken)
    }

    /// `First three rounds`: how many of the piece's first rounds. The cursor moves to the word for them.
    pub(super) fn opening(&mut self) -> Option<u32> {
        let (count, end) = self
            .number(self.at + 1)
            .filter(|_| self.is(self.at, "first"))?;
        self.round_word(end)?;
        self.at = end;
        Some(count)
    }

    /// `Next`, `Next 3`: how many rounds.
    pub(super) fn relative(&mut self) -> Option<u32> {
        if !self.is(self.at, "next") && !self.is(self.at, "last") && !self.is(self.at, "final") {
            return None;
        }
        let (count, end) = self.number(self.at + 1).unwrap_or((1, self.at + 1));
        self.round_word(end)?;
        self.at = end;
        Some(count.clamp(1, 1000))
    }

    /// `3rd rnd`, `4th to 6th rnds`, `11th, 12th rnd`, `3 row`, or just `3`, `4-6`, `4)-5)`, `3.-5.`
    pub(super) fn counted(&mut self, runs: &mut Vec<(u32, u32)>) -> Option<Option<RoundWord>> {
        if self.at_time() {
            return None;
        }
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

    /// At the time stamp of `12:20 PUT IT TOGETHER`, which no stitch follows.
    fn at_time(&self) -> bool {
        let is_time = lines::opens_with_time(&self.tokens[self.at..]);
        let word = |i: usize| self.tokens.get(self.at + 3 + i).map(|t| &*t.text);
        let works = words::longest(word, Terms::Us).is_some_and(|(word, _)| word.names_stitch());
        let is_letter = word(0).is_some_and(|word| word.len() == 1);
        is_time && word(0).is_some() && !works && !is_letter
    }

    /// The word after the numbers: `rnd`, `rows`.
    fn round_word_alone(&self) -> Option<RoundWord> {
        // `1.Row`, `16. Row:`
        let is_marked = |word: RoundWord| self.kind_at(word.end) == Some(Kind::Colon);
        let dotted = self.kind(0) == Some(Kind::Stop)
            && (self.is_glued(self.at + 1) || self.round_word(self.at + 1).is_some_and(is_marked));
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
