//! Loops that an earlier round left free, as sentences name them.

use super::body::Reader;
use crate::terms::words::Word;
use crate::terms::{Height, Into};

impl Reader<'_> {
    /// `… a free front loop of round 6`, where no stitches are named but the slip stitch that joins the yarn: which loop of
    /// which round.
    pub(super) fn loops_of_a_round(&self) -> Option<(Option<Into>, u32)> {
        const BETWEEN: usize = 5;
        let meaning = |at: usize| self.word_ahead(at).map(|(word, _)| word);
        // `in one of the loops you left on the 8th round`
        let says = ["left", "free", "unused", "unworked"];
        let mut tokens = self.tokens.iter();
        let is_left = tokens.any(|t| says.iter().any(|word| t.is(word)));
        let is_loop = |at: usize| self.is_word(at, "loop") || self.is_word(at, "loops");
        let loops = (0..self.tokens.len()).find_map(|at| match meaning(at)? {
            Word::FrontLoop => Some((at, Some(Into::FrontLoop))),
            Word::BackLoop => Some((at, Some(Into::BackLoop))),
            Word::Space if is_left && is_loop(at) => Some((at, None)),
            _ => None,
        });
        let (at, hold) = loops?;
        let behind = at + self.word_ahead(at)?.1;
        let number = (behind..behind + BETWEEN).find_map(|at| self.numbered_round(at))?;
        let works = |at: usize| {
            meaning(at)
                .is_some_and(|word| word.names_stitch() && word != Word::Stitch(Height::Slip))
        };
        (!(0..self.tokens.len()).any(works)).then_some((hold, number))
    }

    /// The number of `Rnd 6`, `12th Rnd`, `21 rd` or `R6`.
    fn numbered_round(&self, at: usize) -> Option<u32> {
        if let Some((number, taken)) = self.ordinal_ahead(at) {
            let is_round = matches!(
                self.word_ahead(at + taken),
                Some((Word::Round | Word::Row, _))
            );
            return is_round.then_some(number);
        }
        // `of 21 rd`
        if let Some((number, taken)) = self.number_ahead(at) {
            let word = self.word_ahead(at + taken);
            return matches!(word, Some((Word::Round | Word::Row, _))).then_some(number);
        }
        let word = match self.word_ahead(at) {
            Some((Word::Round | Word::Row, taken)) => taken,
            _ if self.is_word(at, "r") => 1,
            _ => return None,
        };
        self.number_ahead(at + word).map(|(number, _)| number)
    }
}
