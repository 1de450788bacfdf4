//! Clauses that point elsewhere or say nothing: other rounds, the other side of a chain, what is passed over.

use super::body::Reader;
use super::clause::{Clause, step_of};
use super::lex::{Kind, Token};
use super::place::Place;
use super::stem::stem;
use super::tree::*;
use crate::source::Problem;
use crate::terms::Height;
use crate::terms::words::Word;

impl Reader<'_> {
    pub(super) fn other_side_ahead(&self) -> Option<usize> {
        let mut ahead = 0;
        let mut is_down = false;
        for _ in 0..4 {
            match self.word_ahead(ahead) {
                Some((Word::OtherSide, taken)) => {
                    // `down the other side of the flap` is along that piece.
                    let of_a_part = matches!(self.word_ahead(ahead + taken), Some((Word::Of, _)));
                    return (!is_down || !of_a_part).then_some(ahead + taken);
                }
                Some((Word::In | Word::Filler | Word::Around | Word::To, taken)) => ahead += taken,
                None if self.first_round && self.is_word(ahead, "down") => {
                    is_down = true;
                    ahead += 1;
                }
                _ => return None,
            }
        }
        None
    }

    /// `the other side of the chain`, which takes `taken` tokens. Stitches of the same clause go there, unless they have a
    /// place of their own.
    pub(super) fn other_side(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        taken: usize,
    ) {
        let start = self.at;
        let along = |place: &Place| matches!(place.target, Target::Next | Target::NextChain);
        let goes_there = clause.stitch.is_some() && clause.places.iter().all(along);
        if !goes_there {
            self.flush(clause, items);
        }
        self.at += taken;
        let words = self.at;
        self.swallow_to_stitches();
        // `sc in the other side of the 3 ch`, `1 sc in other side of each of 3 ch`: all of them.
        let in_each = self.tokens[words..self.at].iter().any(|t| t.is("each"));
        if goes_there && clause.places.is_empty() && (clause.count.is_none() || in_each) {
            let chains = self.number_of_chains(words);
            let each = clause.count.unwrap_or(1);
            clause.count = chains.map(|n| n.saturating_mul(each)).or(clause.count);
        }
        // `rotate and work 3 sc along the underside`: once.
        let mut since = items.iter().rev().take_while(|i| !i.act.is_worked());
        if !since.any(|item| item.act == Act::OtherSide) {
            // `turn the work and continue along the other side`: round its end, not to the wrong side.
            items.pop_if(|item| item.act == Act::Turn);
            items.push(Instruction {
                act: Act::OtherSide,
                span: self.span_from(start),
            });
        }
        if !goes_there {
            clause.first = self.at;
        }
    }

    /// The number of `of the 3 ch`, in the words from a token to the cursor.
    fn number_of_chains(&mut self, from: usize) -> Option<u32> {
        let end = std::mem::replace(&mut self.at, from);
        let mut found = None;
        while self.at < end && found.is_none() {
            if let Some((n, taken)) = self.number()
                && matches!(
                    self.word_ahead(taken),
                    Some((Word::Stitch(Height::Chain), _))
                )
            {
                found = Some(n);
            }
            self.at += 1;
        }
        self.at = end;
        found
    }

    /// What `skip` passes over: `2 sts`, `next ch-2 sp`; one stitch where nothing is said.
    pub(super) fn skipped_place(&mut self) -> (Over, Target) {
        let opens = matches!(self.word(), Some((Word::First, 1)));
        match self.bare_place() {
            // `skip first 2 sts`
            Some(place) if opens && matches!(place.over, Over::Count(_)) => {
                (place.over, Target::First)
            }
            Some(place) if place.target == Target::Same => (place.over, Target::Next),
            // `skip the first chain`
            Some(place) if place.target == Target::FirstChain => (place.over, Target::NextChain),
            Some(place) => (place.over, place.target),
            None => {
                // `skip sc`
                if let Some((Word::Stitch(height), taken)) = self.word()
                    && height > Height::Slip
                {
                    self.at += taken;
                }
                (Over::Count(1), Target::Next)
            }
        }
    }

    /// Behind `ch 15, skip 1 ch`, before `sc in each ch back`, and at `skip 1 ch, 1 sc in the other 12` along a starting chain: the
    /// chain from the hook that the first stitch goes into.
    pub(super) fn skips_at_hook(
        &self,
        (over, target): (Over, Target),
        items: &[Instruction],
    ) -> Option<u32> {
        const MOST: u32 = 3;
        const MOST_AT_START: u32 = 2;
        let Over::Count(skipped @ 1..=MOST) = over else {
            return None;
        };
        // `skip first ch`
        let first_chain =
            target == Target::First && ["ch", "chain"].iter().any(|word| self.is_word_before(word));
        if target != Target::NextChain && !first_chain {
            return None;
        }
        let made = match items.last().map(|item| &item.act) {
            Some(act @ Act::Work(work)) if act.is_chain() => work.each,
            _ => 0,
        };
        let at_start = self.first_round
            && skipped <= MOST_AT_START
            && !items
                .iter()
                .any(|item| item.act.is_worked() && !item.act.is_chain());
        let at_a_chain = !self.first_round && made > skipped + 1 && self.goes_into_chains_next();
        (at_start || at_a_chain).then_some(skipped + 1)
    }

    /// At the end of a clause: the next one goes into chains.
    fn goes_into_chains_next(&self) -> bool {
        const NEAR: usize = 8;
        let start = usize::from(self.kind(0) == Some(Kind::Comma));
        let clause = (start..start + NEAR)
            .take_while(|&ahead| matches!(self.kind(ahead), Some(Kind::Word | Kind::Number(_))));
        let mut place = clause.skip_while(|&ahead| {
            !matches!(self.word_ahead(ahead), Some((Word::In | Word::Each, _)))
        });
        place.any(|ahead| {
            matches!(
                self.word_ahead(ahead),
                Some((Word::Stitch(Height::Chain), _))
            )
        })
    }

    /// True if `ahead` tokens on, words point to other rounds: `as Rnd 3`, `repeat Rnds 5 and 6`, `as 3rd and 4th rnds`.
    pub(super) fn refers_to_rounds(&self, mut ahead: usize) -> bool {
        let mut has_number = false;
        for _ in 0..6 {
            if let Some((_, taken)) = self.ordinal_ahead(ahead) {
                has_number = true;
                ahead += taken;
                continue;
            }
            match self.word_ahead(ahead) {
                Some((Word::And | Word::To, taken)) if has_number => ahead += taken,
                Some((Word::As | Word::Repeat | Word::Filler | Word::Same, taken)) => {
                    ahead += taken
                }
                Some((Word::Round | Word::Row, _)) => return true,
                None if self.tokens.get(self.at + ahead).is_some_and(|t| t.is("r")) => return true,
                _ => return false,
            }
        }
        false
    }

    /// At `as 5`, `same as 5th` or `repeat 5`, if that is all that is said of a round.
    pub(super) fn refers_to_a_number(&self) -> bool {
        let mut opens = 0;
        while let Some((Word::As | Word::Same | Word::Repeat, taken)) = self.word_ahead(opens) {
            opens += taken;
        }
        let number = self
            .round_number(opens)
            .filter(|_| self.at == 0 && opens > 0);
        number.is_some_and(|(_, taken)| {
            let mut ahead = opens + taken;
            // `as 1 to 16 again`
            let joins = self.kind(ahead) == Some(Kind::Dash)
                || matches!(self.word_ahead(ahead), Some((Word::To, 1)));
            let range = joins.then(|| self.round_number(ahead + 1)).flatten();
            if let Some((_, taken)) = range {
                ahead += 1 + taken;
                ahead += usize::from(self.is_word(ahead, "again"));
            }
            let ends = matches!(
                self.kind(ahead),
                None | Some(
                    Kind::Open(_) | Kind::Stop | Kind::Equals | Kind::Arrow | Kind::Semicolon
                )
            );
            ends || range.is_some() && self.kind(ahead) == Some(Kind::Comma)
        })
    }

    /// At `same as the last round`, `repeat previous rnd`: how many tokens they take, if nothing else is said.
    fn round_before(&self) -> Option<usize> {
        if self.at == 0 && (self.is_word(0, "ditto") || self.is_word(0, "dito")) {
            return Some(1);
        }
        // `Rnd 4: same (12)`, `as above`
        if self.at == 0 {
            let opens = usize::from(self.is_word(0, "same"));
            let above = self.is_word(opens, "as")
                && (self.is_word(opens + 1, "above") || self.is_word(opens + 1, "before"));
            let taken = opens + if above { 2 } else { 0 };
            let ends = matches!(
                self.kind(taken),
                None | Some(
                    Kind::Open(_)
                        | Kind::Stop
                        | Kind::Equals
                        | Kind::Arrow
                        | Kind::Dash
                        | Kind::Comma
                )
            );
            if taken > 0 && ends {
                return Some(taken);
            }
        }
        let mut ahead = 0;
        let mut before = false;
        loop {
            match self.word_ahead(ahead) {
                Some((Word::As | Word::Same | Word::Repeat | Word::Filler, taken)) => {
                    ahead += taken;
                }
                Some((Word::Last, taken)) => {
                    before = true;
                    ahead += taken;
                }
                None if self
                    .tokens
                    .get(self.at + ahead)
                    .is_some_and(|t| t.is("previous") || t.is("preceding")) =>
                {
                    before = true;
                    ahead += 1;
                }
                Some((Word::Round | Word::Row, taken)) if before => return Some(ahead + taken),
                _ => return None,
            }
        }
    }

    pub(super) fn refers_to_round_before(&self) -> bool {
        self.round_before().is_some()
    }

    /// The round before, by number 0: its own number is known once the round's label is.
    pub(super) fn as_round_before(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        self.flush(clause, items);
        let start = self.at;
        self.at += self.round_before().unwrap_or(1);
        items.push(Instruction {
            act: Act::AsRounds { first: 0, last: 0 },
            span: self.span_from(start),
        });
        clause.first = self.at;
    }

    pub(super) fn as_rounds(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) {
        self.flush(clause, items);
        let start = self.at;
        let mut several = true;
        while self.round_number(0).is_none() && !self.at_separator() {
            several = !["rnd", "round", "row", "rd"]
                .iter()
                .any(|w| self.is_word(0, w));
            self.at += 1;
        }
        if let Some((first, taken)) = self.round_number(0) {
            self.at += taken;
            let mut last = first;
            let joins = matches!(
                self.kind(0),
                Some(Kind::Dash | Kind::Tilde | Kind::Ampersand)
            ) || matches!(self.word(), Some((Word::And | Word::To, _)));
            // `Repeat rnd 3 — 20 sts`
            let total = self.number_ahead(1).is_some_and(|(_, taken)| {
                let unit = self.word_ahead(1 + taken).map(|(word, _)| word);
                // `repeat rnd 8 - 24`: one round, and its total.
                let is_last = !several && self.at_dashed_number() && self.kind(2).is_none();
                is_last
                    || unit.is_some_and(|word| {
                        matches!(word, Word::AnyStitch | Word::Space) || word.names_stitch()
                    })
            });
            if joins && !total {
                let ahead = 1 + usize::from(
                    matches!(self.word_ahead(1), Some((Word::Round | Word::Row, _)))
                        || self.is_word(1, "r"),
                );
                if let Some((n, taken)) = self.round_number(ahead) {
                    last = n;
                    self.at += ahead + taken;
                }
            }
            // `as 7th round`
            if let Some((Word::Round | Word::Row, taken)) = self.word() {
                self.at += taken;
            }
            let span = self.span_from(start);
            if last < first {
                self.problem(Problem::error(
                    "range-backwards",
                    span,
                    format!("rounds {first} to {last} run backwards"),
                ));
                last = first;
            }
            let act = match self.piece_of_rounds() {
                Some(piece) => Act::AsPiece {
                    piece,
                    rounds: Some((first, last)),
                },
                None => Act::AsRounds { first, last },
            };
            let span = self.span_from(start);
            self.swallow();
            // `Rows 4-8: Rep Row 3, 5 times`, which the label says too
            if self.kind(0) == Some(Kind::Comma)
                && let Some((_, taken)) = self.number_ahead(1)
                && let Some((Word::Times, times)) = self.word_ahead(1 + taken)
            {
                self.at += 1 + taken + times;
                self.swallow();
            }
            // `as 1 to 16 again, that is 6 rounds white, 2 red`
            if self.kind(0) == Some(Kind::Comma) && self.is_word(1, "that") && self.is_word(2, "is")
            {
                while !matches!(self.kind(0), None | Some(Kind::Stop | Kind::Open(_))) {
                    self.at += 1;
                }
            }
            items.push(Instruction { act, span });
        }
        clause.first = self.at;
    }

    /// The number of a round `ahead` tokens on, plain or as an ordinal, and how many tokens it takes.
    fn round_number(&self, ahead: usize) -> Option<(u32, usize)> {
        self.ordinal_ahead(ahead)
            .or_else(|| self.number_ahead(ahead))
    }

    /// `of the body`, `as for the first leg`, after the numbers of rounds: the piece whose rounds they are.
    fn piece_of_rounds(&mut self) -> Option<Spanned<String>> {
        let start = self.at;
        while let Some((
            Word::Of | Word::As | Word::Same | Word::From | Word::In | Word::Filler,
            taken,
        )) = self.word()
        {
            self.at += taken;
        }
        let piece = self.leaned_on(self.at > start);
        if piece.is_none() {
            self.at = start;
        }
        piece
    }

    /// At `Rnds 1-5 as for Body`: rounds of another piece.
    pub(super) fn rounds_of_a_piece(&mut self) -> bool {
        let start = self.at;
        while self.number().is_none() && !self.at_separator() && self.at < start + 3 {
            self.at += 1;
        }
        let mut found = false;
        if let Some((_, taken)) = self.number() {
            self.at += taken;
            while matches!(
                self.kind(0),
                Some(Kind::Dash | Kind::Tilde | Kind::Number(_) | Kind::Ampersand)
            ) || self.is_word(0, "to")
                || self.is_word(0, "and")
            {
                self.at += 1;
            }
            found = matches!(
                self.word(),
                Some((Word::Of | Word::As | Word::Same | Word::From, _))
            ) && self.piece_of_rounds().is_some();
        }
        self.at = start;
        found
    }

    /// `as for the left arm`, `same as first`: all of another piece, or its round of the same number. False if the words
    /// at the cursor are others.
    pub(super) fn as_piece(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) -> bool {
        let start = self.at;
        let mut says_as = false;
        while let Some((word @ (Word::As | Word::Same | Word::Filler), taken)) = self.word() {
            says_as |= word == Word::As;
            self.at += taken;
        }
        let Some(piece) = says_as.then(|| self.leaned_on(true)).flatten() else {
            self.at = start;
            return false;
        };
        let rounds = self.as_far_as().map(|last| (1, last));
        let rounds = rounds.or_else(|| self.rounds_named_after());
        let end = self.at;
        self.at = start;
        self.flush(clause, items);
        self.at = end;
        self.swallow();
        items.push(Instruction {
            act: Act::AsPiece { piece, rounds },
            span: self.span_from(start),
        });
        clause.first = self.at;
        true
    }

    /// `the first 2 rounds as for the ears`, `1st to 3rd rounds as for body`. False if the words at the cursor are others.
    pub(super) fn first_rounds_of_a_piece(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
    ) -> bool {
        let start = self.at;
        let lent = self.rounds_told_first();
        if lent.is_none() || !self.as_piece(clause, items) {
            self.at = start;
            return false;
        }
        if let Some(Instruction {
            act: Act::AsPiece { rounds, .. },
            ..
        }) = items.last_mut()
        {
            *rounds = lent;
        }
        true
    }

    /// `the first 2 rounds`, `1st to 3rd rounds`, `1st round`.
    fn rounds_told_first(&mut self) -> Option<(u32, u32)> {
        while self.is_word(0, "the") {
            self.at += 1;
        }
        let run = match self.ordinal() {
            Some((first, taken)) => {
                self.at += taken;
                let joins = self.kind(0) == Some(Kind::Dash)
                    || matches!(self.word(), Some((Word::And | Word::To, 1)));
                match self.ordinal_ahead(1).filter(|_| joins) {
                    Some((last, taken)) => {
                        self.at += 1 + taken;
                        (first, last)
                    }
                    None => (first, first),
                }
            }
            None => {
                self.at += usize::from(self.is_word(0, "first"));
                let (last, taken) = self.number().filter(|_| self.is_word_before("first"))?;
                self.at += taken;
                (1, last)
            }
        };
        let (Word::Round | Word::Row, taken) = self.word()? else {
            return None;
        };
        self.at += taken;
        (run.0 > 0 && run.0 <= run.1).then_some(run)
    }

    /// `, Rnds 1-2`, `(Rnds 1 to 8)`, after a piece that is worked like. `None`, and the cursor unmoved, if other words follow.
    fn rounds_named_after(&mut self) -> Option<(u32, u32)> {
        let start = self.at;
        let found = self.run_of_rounds();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    fn run_of_rounds(&mut self) -> Option<(u32, u32)> {
        let in_bracket = matches!(self.kind(0), Some(Kind::Open(_)));
        if in_bracket || self.kind(0) == Some(Kind::Comma) {
            self.at += 1;
        }
        while let Some((Word::Filler | Word::From, taken)) = self.word() {
            self.at += taken;
        }
        match self.word() {
            Some((Word::Round | Word::Row, taken)) => self.at += taken,
            _ if self.is_word(0, "r") => self.at += 1,
            _ => return None,
        }
        let (first, taken) = self.number()?;
        self.at += taken;
        let joins = matches!(
            self.kind(0),
            Some(Kind::Dash | Kind::Tilde | Kind::Ampersand)
        ) || matches!(self.word(), Some((Word::And | Word::To, _)));
        let further = self.number_ahead(1).filter(|_| joins);
        let last = match further {
            Some((last, taken)) => {
                self.at += 1 + taken;
                last
            }
            None => first,
        };
        match (in_bracket, self.kind(0)) {
            (true, Some(Kind::Close(_))) => self.at += 1,
            (true, _) => return None,
            (false, _) => {}
        }
        (self.at_separator() && first <= last).then_some((first, last))
    }

    /// `to end of 4th round`, `up to and including Rnd 8`, `until R5`: the last round that is worked. `None`, and the cursor
    /// unmoved, if the words at the cursor are others.
    fn as_far_as(&mut self) -> Option<u32> {
        let start = self.at;
        let mut goes_to = false;
        let mut says_round = false;
        loop {
            if let Some((n, taken)) = self.round_number(0).filter(|_| goes_to) {
                self.at += taken;
                if let Some((Word::Round | Word::Row, taken)) = self.word() {
                    self.at += taken;
                    says_round = true;
                }
                if says_round {
                    return Some(n);
                }
                break;
            }
            match self.word() {
                // `to end` is said of rounds as well.
                Some((Word::To | Word::Until | Word::Around | Word::Through, taken)) => {
                    goes_to = true;
                    let words = &self.tokens[self.at..self.at + taken];
                    says_round |= words.iter().any(Token::names_rounds);
                    self.at += taken;
                }
                Some((Word::Round | Word::Row, taken)) => {
                    says_round = true;
                    self.at += taken;
                }
                Some((Word::Filler | Word::And | Word::Of, taken)) => self.at += taken,
                _ if ["up", "the", "end", "including", "r"]
                    .iter()
                    .any(|w| self.is_word(0, w)) =>
                {
                    says_round |= self.is_word(0, "r");
                    self.at += 1;
                }
                _ => break,
            }
        }
        self.at = start;
        None
    }

    /// `Body, Top`, where a piece is called so.
    fn name_with_a_comma(&mut self) -> Option<Spanned<String>> {
        const LONGEST: usize = 6;
        if !self.tokens[self.at..]
            .iter()
            .take(LONGEST)
            .any(|t| t.kind == Kind::Comma)
        {
            return None;
        }
        let named = |taken: usize| {
            let last = self.tokens.get(self.at + taken - 1)?;
            if last.kind != Kind::Word {
                return None;
            }
            let span = self.tokens[self.at].span.to(last.span);
            let value = self.text[span.range()].to_owned();
            let is_piece =
                value.contains(',') && self.names.pieces.contains(&stem(&value.to_lowercase()));
            is_piece.then_some((taken, Spanned { value, span }))
        };
        let (taken, name) = (3..=LONGEST).rev().find_map(named)?;
        self.at += taken;
        Some(name)
    }

    /// A piece that is worked like: `the left arm`, or `first` and `the other one` alone.
    fn leaned_on(&mut self, may_be_ordinal: bool) -> Option<Spanned<String>> {
        let start = self.at;
        if let Some(name) = self.name_with_a_comma() {
            return Some(name);
        }
        if self.names_a_part() {
            let name = self.part_name(start, 0)?.part?;
            let is_piece = self
                .names
                .pieces
                .contains(&stem(&name.value.to_lowercase()));
            self.back_behind(name.span);
            let span = self.tokens[start].span.to(name.span);
            let value = self.text[span.range()].to_owned();
            return is_piece.then_some(Spanned { value, span });
        }
        let ordinal = self
            .ordinal()
            .map(|(_, taken)| taken)
            .or(match self.word() {
                Some((Word::First, taken)) => Some(taken),
                _ if self.is_word(0, "other") || self.is_word(0, "previous") => Some(1),
                _ => None,
            });
        self.at += ordinal.filter(|_| may_be_ordinal)?;
        if self.is_word(0, "one") || self.is_word(0, "piece") {
            self.at += 1;
        }
        if !self.at_separator() && !matches!(self.word(), Some((Word::And, _))) {
            self.at = start;
            return None;
        }
        let span = self.span_from(start);
        let value = self.text[span.range()].to_owned();
        Some(Spanned { value, span })
    }

    /// Passes over the rest of the clause.
    pub(super) fn swallow(&mut self) {
        while !self.at_separator()
            && !matches!(self.kind(0), Some(Kind::Open(_) | Kind::Star(_)))
            && !self.at_dashed_number()
        {
            self.at += 1;
        }
    }

    /// Passes over a remark; `being careful not to twist join with a sl st` goes on without a comma.
    pub(super) fn swallow_remark(&mut self) {
        loop {
            let joins =
                self.is_word_before("twist") && matches!(self.word(), Some((Word::Join, _)));
            let opens = matches!(self.kind(0), Some(Kind::Open(_) | Kind::Star(_)));
            // `leaving 8" for sewing`
            let inches = self.kind(0) == Some(Kind::Other)
                && self
                    .peek()
                    .is_some_and(|t| matches!(&*t.text, "\"" | "″" | "”"));
            if joins || opens || self.at_separator() && !inches || self.at_dashed_number() {
                return;
            }
            self.at += 1;
        }
    }

    /// Passes over the rest of a remark between dashes.
    pub(super) fn swallow_to_dash(&mut self) {
        while !self.at_separator()
            && !self
                .peek()
                .is_some_and(|t| t.kind == Kind::Dash && t.spaced)
        {
            self.at += 1;
        }
    }

    /// At the dash of `… to first sc – 10 sts`.
    fn at_dashed_number(&self) -> bool {
        self.kind(0) == Some(Kind::Dash)
            && self.peek().is_some_and(|t| t.spaced)
            && matches!(self.kind(1), Some(Kind::Number(_)))
            && self.tokens[self.at + 1].spaced
    }

    /// Passes over the rest of the clause, up to an "and" after which stitches are worked.
    fn swallow_to_work(&mut self) {
        while !self.at_separator() && !matches!(self.kind(0), Some(Kind::Open(_) | Kind::Star(_))) {
            let links = matches!(self.word(), Some((Word::And, _)));
            if links && self.clause_has_work(1) && !self.links_what_is_between() {
                return;
            }
            self.at += 1;
        }
    }

    /// True at the `and` of `between R5 and R6`.
    fn links_what_is_between(&self) -> bool {
        const LONGEST_BEFORE: usize = 4;
        let before = self.tokens[..self.at].iter().rev().take(LONGEST_BEFORE);
        let mut before = before.take_while(|t| !t.is("and") && t.kind != Kind::Ampersand);
        before.any(|t| t.is("between"))
    }

    /// Passes over the rest of the clause, up to the stitches that are worked in it: `along the other side 1 dc in next ch`.
    pub(super) fn swallow_to_stitches(&mut self) {
        let is_chain = |word| matches!(word, Word::Stitch(Height::Chain));
        while !self.at_separator() && !matches!(self.kind(0), Some(Kind::Open(_) | Kind::Star(_))) {
            let number = self.number().map_or(0, |(_, taken)| taken);
            let works = self
                .word_ahead(number)
                .is_some_and(|(word, _)| word.names_stitch() && !is_chain(word));
            if works || matches!(self.word(), Some((Word::And, _))) && self.clause_has_work(1) {
                return;
            }
            self.at += 1;
        }
    }

    /// Passes over the rest of a step's sentence, up to where stitches are worked again.
    pub(super) fn swallow_step(&mut self) {
        loop {
            self.swallow_to_work();
            match self.kind(0) {
                Some(Kind::Ampersand) if self.links_what_is_between() => self.at += 1,
                Some(Kind::Comma | Kind::Other | Kind::Slash | Kind::Ampersand)
                    if !self.clause_has_work(1) =>
                {
                    self.at += 1
                }
                _ => return,
            }
        }
    }

    /// True if the clause that starts `ahead` tokens on works stitches or is a step of its own.
    pub(super) fn clause_has_work(&self, ahead: usize) -> bool {
        self.clause_works.get(self.at + ahead) == Some(&true)
    }
}

/// At the dash of `– 6 sc` at the end of a body.
fn is_spaced_total(tokens: &[Token<'_>], at: usize) -> bool {
    const LONGEST: usize = 4;
    tokens[at].spaced
        && tokens.len() - at <= LONGEST
        && tokens
            .get(at + 1)
            .is_some_and(|t| t.spaced && matches!(t.kind, Kind::Number(_)))
}

/// At `(36)`, `(36 sts)`.
fn is_number_in_bracket(tokens: &[Token<'_>], at: usize) -> bool {
    let unit = |t: &Token<'_>| matches!(&*t.text, "st" | "sts" | "stitches");
    match &tokens[at + 1..] {
        [number, close, ..] if matches!(close.kind, Kind::Close(_)) => {
            matches!(number.kind, Kind::Number(_))
        }
        [number, word, close, ..] if matches!(close.kind, Kind::Close(_)) => {
            matches!(number.kind, Kind::Number(_)) && unit(word)
        }
        _ => false,
    }
}

/// For each token, whether what starts there works stitches, or is a step of its own, before its clause ends.
pub(super) fn clause_works(tokens: &[Token<'_>], meanings: &[Option<(Word, usize)>]) -> Vec<bool> {
    let mut works = vec![false; tokens.len() + 1];
    for at in (0..tokens.len()).rev() {
        works[at] = match tokens[at].kind {
            Kind::Comma | Kind::Semicolon | Kind::Stop | Kind::Close(_) => false,
            // `move up as each rnd is completed – 6 sc`
            Kind::Dash if is_spaced_total(tokens, at) => false,
            Kind::Open(_) if is_number_in_bracket(tokens, at) => false,
            Kind::Open(_) | Kind::Star(_) => true,
            _ => match meanings[at] {
                Some((word, taken)) => {
                    matches!(
                        word,
                        Word::Stitch(_)
                            | Word::Own(_)
                            | Word::Increase
                            | Word::Decrease
                            | Word::InvisibleDecrease
                            | Word::Repeat
                            | Word::Skip
                            | Word::Join
                            | Word::Change
                            | Word::Turn
                    ) || step_of(word).is_some()
                        || works.get(at + taken) == Some(&true)
                }
                None => works[at + 1],
            },
        };
    }
    works
}
