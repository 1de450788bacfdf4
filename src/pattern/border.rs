//! Places round the edge of a piece worked in rows: `along the side`, `in each row end`, `across the bottom`.

use super::body::Reader;
use super::place::Place;
use super::tree::{Act, Border, Instruction, Over, Target};
use crate::terms::Height;
use crate::terms::words::Word;

impl Reader<'_> {
    /// A place of the edge at the cursor, its preposition included; `None` (and the cursor unmoved) if there is none.
    pub(super) fn border_place(&mut self) -> Option<Place> {
        let start = self.at;
        let found = self.border_inner();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    /// Behind the `end` of `in the end of every row`: the tokens that the rest takes.
    fn ends_of_rows(&self) -> Option<usize> {
        let ahead = usize::from(self.is_word(0, "ends"));
        let said = ahead > 0 || self.is_word_before("end");
        let (Word::Of, of) = self.word_ahead(ahead).filter(|_| said)? else {
            return None;
        };
        let mut ahead = ahead + of;
        while let Some((Word::Each | Word::All | Word::Filler, taken)) = self.word_ahead(ahead) {
            ahead += taken;
        }
        match self.word_ahead(ahead)? {
            (Word::Row, taken) => Some(ahead + taken),
            _ => None,
        }
    }

    fn border_inner(&mut self) -> Option<Place> {
        // `8 sc down the other side`, in an oval's first round
        if self.is_word(0, "down") && self.other_side_ahead().is_some() {
            return None;
        }
        // `evenly along the side`
        if let Some((Word::Evenly, taken)) = self.word() {
            self.at += taken;
        }
        let along = ["along", "down", "up", "across"]
            .iter()
            .any(|word| self.is_word(0, word));
        let upright = self.is_word(0, "down") || self.is_word(0, "up");
        match self.word() {
            Some((Word::In | Word::Over | Word::Around, 1)) => self.at += 1,
            _ if upright => self.at += 1,
            _ => return None,
        }
        let around = self.is_word_before("around");
        let mut number = None;
        let mut each = false;
        loop {
            if let Some((n, taken)) = self.number() {
                number = Some(n);
                self.at += taken;
            } else if self.says_which(upright) || along && self.other_side_of_a_part() {
                self.at += 1;
            } else if let Some((
                Word::Filler
                | Word::Each
                | Word::All
                | Word::Next
                | Word::First
                | Word::Last
                | Word::Ordinal(_),
                taken,
            )) = self.word()
                && !["bottom", "top"].iter().any(|word| self.is_word(0, word))
            {
                each |= matches!(self.word(), Some((Word::Each | Word::All, _)));
                self.at += taken;
            } else {
                break;
            }
        }
        let ends = self.ends_of_rows();
        let (part, taken) = match ends {
            Some(taken) => (Border::RowEnds, taken),
            None => self.words_of_edge(along, around)?,
        };
        each |= ends.is_some();
        self.at += taken;
        // `sc in next row end`
        if part == Border::RowEnds && self.is_word_before("end") && !each {
            number = number.or(Some(1));
        }
        // `along the side of the next arch` is no part of a piece worked in rows.
        if part != Border::RowEnds
            && matches!(self.word(), Some((Word::Of, _)))
            && !self.of_a_part_follows()
        {
            return None;
        }
        Some(Place {
            over: number.map_or(Over::Rest, Over::Count),
            each: number.is_none() && (each || part != Border::RowEnds),
            ..Place::one(Target::Border(part))
        })
    }

    /// At `of the flap`.
    fn of_a_part_follows(&mut self) -> bool {
        let at = self.at;
        let of = matches!(self.word(), Some((Word::Of, _)));
        self.at += 1;
        let names = of && self.names_a_part();
        self.at = at;
        names
    }

    /// At `other side of the flap`; of no part it is the chain's.
    fn other_side_of_a_part(&mut self) -> bool {
        let at = self.at;
        let mut is_it = self.is_word(0, "other") && self.is_word(1, "side");
        if is_it {
            self.at += 2 + usize::from(self.is_word(2, "edge"));
            is_it = self.of_a_part_follows();
            self.at = at;
        }
        is_it
    }

    /// At a word that says which side it is: `left`, the `of` of "each of", the `other` of "up the other side".
    fn says_which(&self, upright: bool) -> bool {
        const WHICH: &[&str] = &[
            "left", "right", "long", "short", "opposite", "whole", "entire", "raw", "outer",
        ];
        WHICH.iter().any(|word| self.is_word(0, word))
            || self.is_word(0, "of") && self.is_word_before("each")
            || self.is_word(0, "side") && self.is_word(1, "edge")
            || upright && self.is_word(0, "other")
    }

    /// The part of the edge that is named at the cursor, and how many tokens that takes.
    fn words_of_edge(&self, along: bool, around: bool) -> Option<(Border, usize)> {
        let is = |ahead: usize, words: &[&str]| words.iter().any(|word| self.is_word(ahead, word));
        // `across Row 10`
        if along
            && matches!(self.word(), Some((Word::Row, 1)))
            && let Some((_, taken)) = self.number_ahead(1)
        {
            return Some((Border::Top, 1 + taken));
        }
        if matches!(self.word(), Some((Word::Row, 1))) {
            let dash = usize::from(self.kind(1) == Some(super::lex::Kind::Dash));
            return is(1 + dash, &["end", "ends"]).then_some((Border::RowEnds, 2 + dash));
        }
        if is(0, &["edge", "edges", "outside"]) && around {
            return Some((Border::All, 1));
        }
        if !along {
            return None;
        }
        let edge = |taken: usize| taken + usize::from(is(taken, &["edge"]));
        // `along the foundation chain`, `along the starting chain`
        let opens = usize::from(is(0, &["foundation"]));
        let is_first = opens > 0 || self.is_word_before("starting");
        if let Some((Word::Stitch(Height::Chain), taken)) = self.word_ahead(opens)
            && is_first
            && !self.first_round
        {
            return Some((Border::Bottom, edge(opens + taken)));
        }
        if is(0, &["side", "sides", "edge"]) {
            // The edge of another piece is what its last row leaves open.
            let of = matches!(self.word_ahead(1), Some((Word::Of, _)));
            return (!of || !is(0, &["edge"])).then(|| (Border::Side, edge(1)));
        }
        if is(0, &["bottom"]) {
            return Some((Border::Bottom, edge(1)));
        }
        is(0, &["top"]).then(|| (Border::Top, edge(1)))
    }

    /// `work sc evenly around the edge: 10 sc along the side, …`: the words before the colon only say what comes.
    pub(super) fn drop_announced(&mut self, items: &mut Vec<Instruction>) {
        let announces = matches!(items.last(), Some(Instruction { act: Act::Work(work), .. })
            if matches!(work.target, Target::Border(_)));
        if announces && self.depth == 0 && self.works_from[self.at] {
            self.announced = items.pop().map(|item| item.span);
        }
    }
}
