//! Phrases about other things than stitches: parts worked through, closing a round, yarns, remarks in brackets.

use super::body::Reader;
use super::clause::{Clause, step_of};
use super::lex::Kind;
use super::stem::stem;
use super::tree::*;
use crate::source::Span;
use crate::terms::Height;
use crate::terms::colours;
use crate::terms::words::Word;

impl Reader<'_> {
    // ---- closing a round ----

    /// At a slip stitch that takes `taken` tokens: true if it goes into the start of the round.
    pub(super) fn closes_round(&self, taken: usize) -> bool {
        let mut ahead = taken;
        let mut preposition = false;
        for _ in 0..12 {
            let Some(token) = self.tokens.get(self.at + ahead) else {
                return false;
            };
            match self.word_ahead(ahead) {
                Some((Word::In | Word::To, taken)) => {
                    preposition = true;
                    ahead += taken;
                }
                Some((Word::Join, _)) if preposition => return true,
                Some((Word::First, taken)) if preposition => {
                    // `in first ch` is the ring or a picot; `in first ch of beg ch-3` closes.
                    let chain = matches!(
                        self.word_ahead(ahead + taken),
                        Some((Word::Stitch(Height::Chain), _))
                    );
                    return !chain || self.beginning_chain_follows(ahead + taken);
                }
                Some((Word::Filler | Word::Of, taken)) => ahead += taken,
                Some((Word::CloseHole, _)) if preposition => return true,
                _ if preposition
                    && ["top", "closing", "close"]
                        .iter()
                        .any(|word| token.is(word)) =>
                {
                    return true;
                }
                _ if preposition && matches!(token.kind, Kind::Number(_)) => {
                    return self.beginning_chain_follows(ahead) || self.first_stitch(ahead);
                }
                _ => return false,
            }
        }
        false
    }

    /// `sl st in first st of Row 5 to join`
    pub(super) fn says_it_joins(&self, mut ahead: usize) -> bool {
        while matches!(self.kind(ahead), Some(Kind::Word | Kind::Number(_))) {
            if matches!(self.word_ahead(ahead), Some((Word::Join | Word::Turn, _))) {
                return true;
            }
            ahead += 1;
        }
        false
    }

    /// `Magic ring, 6 sc. Sl st.`: true if a slip stitch without a place ends a round in a ring.
    pub(super) fn closes_ring_round(
        &self,
        taken: usize,
        clause: &Clause,
        items: &[Instruction],
    ) -> bool {
        let in_ring = items.iter().any(|item| match &item.act {
            Act::MagicRing => true,
            Act::Work(work) => matches!(work.target, Target::Ring | Target::NewRing),
            _ => false,
        });
        let ends = match self.kind(taken) {
            None => true,
            Some(Kind::Stop | Kind::Semicolon | Kind::Open(_)) => !self.works_from[self.at + taken],
            _ => false,
        };
        let alone = clause.stitch.is_none() && clause.count.is_none() && clause.places.is_empty();
        let opens_sentence = self
            .at
            .checked_sub(1)
            .is_some_and(|at| self.tokens[at].kind == Kind::Stop);
        let closes = opens_sentence || self.total_leaves_out(taken, items);
        self.first_round && self.depth == 0 && alone && closes && ends && in_ring
    }

    /// `6 sc, ss (6)`: the total counts the stitches before alone.
    fn total_leaves_out(&self, taken: usize, items: &[Instruction]) -> bool {
        let (Some(Kind::Open(_)), Some(Kind::Number(total))) =
            (self.kind(taken), self.kind(taken + 1))
        else {
            return false;
        };
        let mut worked = items.iter().filter_map(|item| match &item.act {
            Act::Work(work) if work.stitch.height != Some(Height::Chain) => Some(work),
            _ => None,
        });
        let only = worked.next().filter(|_| worked.next().is_none());
        only.is_some_and(|work| work.over == Over::Count(total) && work.each == 1)
    }

    /// `1st st`, but not `1st ch`.
    fn first_stitch(&self, ahead: usize) -> bool {
        matches!(self.kind(ahead), Some(Kind::Number(1)))
            && self.is_word(ahead + 1, "st")
            && matches!(
                self.word_ahead(ahead + 2),
                Some((Word::AnyStitch | Word::Stitch(_), _))
            )
            && !matches!(
                self.word_ahead(ahead + 2),
                Some((Word::Stitch(Height::Chain), _))
            )
    }

    /// `… of beg ch-3` before the clause ends.
    fn beginning_chain_follows(&self, mut ahead: usize) -> bool {
        let mut of = false;
        while let Some(kind) = self.kind(ahead) {
            if matches!(
                kind,
                Kind::Comma | Kind::Semicolon | Kind::Stop | Kind::Close(_) | Kind::Open(_)
            ) {
                return false;
            }
            match self.word_ahead(ahead) {
                Some((Word::Of, _)) => of = true,
                Some((Word::First | Word::Turn | Word::Stitch(Height::Chain), _)) if of => {
                    return true;
                }
                _ => {}
            }
            ahead += 1;
        }
        false
    }

    /// `join with sl st to first sc`, `join B`, `join the ear with 3 sc`. True if the clause ends here.
    pub(super) fn join_phrase(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
    ) -> bool {
        let start = self.at;
        if let Some((_, taken)) = self.word() {
            self.at += taken;
        }
        if self.pass_to_yarn() && self.yarn_name().is_none() {
            // `join yarn in first skipped st`: the yarn in use.
            self.flush(clause, items);
            items.push(Instruction {
                act: Act::Step(StepKind::JoinYarn),
                span: self.span_from(start),
            });
            self.start_at(items, start);
            return true;
        }
        let with = matches!(self.word(), Some((Word::With, _)));
        let ahead = if with {
            self.word().map_or(0, |(_, taken)| taken)
        } else {
            0
        };
        let named = {
            let here = self.at;
            self.at += ahead;
            let named = self.yarn_name();
            self.at = here;
            named
        };
        if let Some((name, taken)) = named {
            self.flush(clause, items);
            self.at += ahead + taken;
            let span = self.span_from(start);
            items.push(Instruction {
                act: Act::Yarn(name),
                span,
            });
            items.push(Instruction {
                act: Act::Step(StepKind::JoinYarn),
                span,
            });
            self.start_at(items, start);
            return true;
        }
        if self.joins_to_a_part(clause, items, start) {
            return clause.stitch.is_none();
        }
        // `Join in any ch-2 sp`, before anything is worked: where the round starts.
        if items.is_empty() && self.joins_in_a_space() {
            self.flush(clause, items);
            self.start_at(items, start);
            return true;
        }
        let closes = self.at_separator()
            || with && !self.part_then_stitch()
            || matches!(
                self.word(),
                Some((
                    Word::In | Word::To | Word::Stitch(Height::Slip) | Word::Round,
                    _
                ))
            )
            || matches!(self.kind(0), Some(Kind::Open(_)));
        if closes {
            self.flush(clause, items);
            self.swallow();
            items.push(Instruction {
                act: Act::Close,
                span: self.span_from(start),
            });
            return true;
        }
        let Some(through) = self.part_name(start, 0) else {
            return false;
        };
        if clause.stitch.is_some() {
            clause.through = Some(through);
        } else {
            self.through_ahead = Some(through);
        }
        false
    }

    /// True at the words for a chain space.
    fn joins_in_a_space(&mut self) -> bool {
        let here = self.at;
        let place = self.place();
        self.at = here;
        place.is_some_and(|place| matches!(place.target, Target::Space(_)))
    }

    /// `to the first leg with a sc`, after "join": a stitch into that part; a slip stitch is none.
    fn joins_to_a_part(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
        start: usize,
    ) -> bool {
        let here = self.at;
        while let Some((Word::To | Word::In, taken)) = self.word() {
            self.at += taken;
        }
        let opened = self.at > here;
        let part = (opened && self.names_a_part())
            .then(|| self.part_name(start, 1))
            .flatten();
        let mut with = false;
        while let Some((word @ (Word::With | Word::Filler), taken)) = self.word() {
            with |= word == Word::With;
            self.at += taken;
        }
        let (Some(part), true, Some((Word::Stitch(height), taken))) = (part, with, self.word())
        else {
            self.at = here;
            return false;
        };
        let end = self.at + taken;
        self.at = start;
        self.flush(clause, items);
        self.at = end;
        clause.first = start;
        if height == Height::Slip {
            clause.first = end;
            return true;
        }
        clause.part = Some((part, false));
        self.stitch(clause, items, height, start);
        true
    }

    /// `… with sl st in any ch-1 sp`, after a yarn that is joined: where the round starts.
    fn start_at(&mut self, items: &mut Vec<Instruction>, first: usize) {
        while let Some((Word::With | Word::Filler | Word::Stitch(Height::Slip), taken)) =
            self.word()
        {
            self.at += taken;
        }
        let place = self.place();
        let words = self.at;
        self.swallow();
        // `in first skipped st`, `in the first unworked st of Rnd 5`
        let skipped = self.tokens[words..self.at]
            .iter()
            .any(|t| t.is("skipped") || t.is("unworked"))
            || place.is_some_and(|place| place.target == Target::JustSkipped);
        if let Some(place) = place.filter(|place| place.named) {
            let target = if skipped {
                Target::Skipped
            } else {
                place.target
            };
            items.push(Instruction {
                act: Act::StartAt(target),
                span: self.span_from(first),
            });
        }
    }

    /// After `join with`: a part and then stitches, rather than a slip stitch.
    fn part_then_stitch(&self) -> bool {
        let ahead = self.word().map_or(0, |(_, taken)| taken);
        !matches!(
            self.word_ahead(ahead),
            Some((Word::Stitch(_) | Word::Filler, _))
        )
    }

    // ---- parts ----

    /// `through both layers of the first wing`, `through all three layers`.
    pub(super) fn through_phrase(&mut self) -> Option<Through> {
        let start = self.at;
        self.at += self.word()?.1;
        let mut layers = 0;
        let mut all = false;
        let mut named_layers = false;
        loop {
            if let Some((n, taken)) = self.number() {
                layers = n;
                self.at += taken;
                continue;
            }
            // `through the top of the flap`: what its last row leaves open.
            if ["top", "edge"].iter().any(|word| self.is_word(0, word))
                && matches!(self.word_ahead(1), Some((Word::Of, _)))
            {
                self.at += 1;
                break;
            }
            // `through both sides`
            if layers > 0 && self.is_word(0, "sides") {
                named_layers = true;
                self.at += 1;
                break;
            }
            let Some(word) = self.word() else { break };
            match word {
                (Word::All, taken) => {
                    all = true;
                    self.at += taken;
                }
                (Word::Both, taken) => {
                    layers = 2;
                    self.at += taken;
                }
                (Word::Filler, taken) => self.at += taken,
                (Word::Layers, taken) => {
                    named_layers = true;
                    self.at += taken;
                    break;
                }
                // `through the back loops` is a place.
                (Word::BackLoop | Word::FrontLoop | Word::BothLoops | Word::ThirdLoop, _) => {
                    return None;
                }
                _ => break,
            }
            if self.at_separator() || self.kind(0).is_none() {
                break;
            }
        }
        // `all three layers`: two of the part, one of the body.
        if all && layers > 1 {
            layers -= 1;
        }
        if named_layers {
            if let Some(Kind::Open(_)) = self.kind(0)
                && !self.total_follows(0)
            {
                self.pass_bracket();
            }
            while let Some((Word::Of | Word::With | Word::In | Word::Filler, taken)) = self.word() {
                self.at += taken;
            }
        }
        self.part_name(start, layers).or_else(|| {
            named_layers.then(|| Through {
                part: None,
                copy: None,
                layers,
                side: None,
                border: None,
                span: self.span_from(start),
            })
        })
    }

    /// At `both sides`, `both layers`.
    pub(super) fn both_layers_follow(&self, ahead: usize) -> bool {
        matches!(self.word_ahead(ahead), Some((Word::Both, 1)))
            && (matches!(self.word_ahead(ahead + 1), Some((Word::Layers, _)))
                || self.is_word(ahead + 1, "sides"))
    }

    /// `around the first leg`, `of leg 2`: a piece of this pattern that is worked into on its own. True if "around" says
    /// that all of its edge is.
    pub(super) fn part_place(&mut self) -> Option<(Through, bool)> {
        let start = self.at;
        let found = self.part_place_inner();
        if found.is_none() {
            self.at = start;
        }
        found
    }

    fn part_place_inner(&mut self) -> Option<(Through, bool)> {
        let first = self.at;
        let mut around = false;
        let mut opened = false;
        while let Some((word @ (Word::In | Word::Around | Word::Over | Word::Of), taken)) =
            self.word()
        {
            around |= word == Word::Around;
            opened = true;
            self.at += taken;
            // `along the edge of the flap`
            let article = usize::from(matches!(self.word(), Some((Word::Filler, 1))));
            if self.is_word(article, "edge")
                && matches!(self.word_ahead(article + 1), Some((Word::Of, _)))
            {
                self.at += article + 1;
            }
        }
        if !opened || !self.names_a_part() {
            return None;
        }
        let mut through = self.part_name(first, 1)?;
        // `leg 2`
        if through.copy.is_none()
            && let Some(Kind::Number(n)) = self.kind(0)
            && self.at_separator_ahead(1)
        {
            through.copy = Some(n);
            self.at += 1;
        }
        through.span = self.span_from(first);
        Some((through, around))
    }

    /// True if a piece of this pattern is named at the cursor.
    pub(super) fn names_a_part(&self) -> bool {
        let mut ahead = 0;
        // `the first leg`, `left front leg`
        for _ in 0..6 {
            let Some(token) = self.tokens.get(self.at + ahead) else {
                return false;
            };
            // A piece may be called a ring, but `in ring` is the ring that the round starts from.
            let plain = matches!(
                self.word_ahead(ahead),
                None | Some((Word::Figure | Word::Spike, _))
            );
            if plain && token.kind == Kind::Word && self.names.pieces.contains(&stem(&token.text)) {
                return true;
            }
            match self.word_ahead(ahead) {
                Some((
                    Word::Filler | Word::First | Word::Next | Word::Last | Word::Ordinal(_),
                    taken,
                )) => {
                    ahead += taken;
                }
                // `the 1st leg`
                None if matches!(token.kind, Kind::Number(_)) && self.is_suffix(ahead + 1) => {
                    ahead += 2;
                }
                None if matches!(token.kind, Kind::Word | Kind::Number(_)) => ahead += 1,
                _ => return false,
            }
        }
        false
    }

    /// The letters of `1st`.
    fn is_suffix(&self, ahead: usize) -> bool {
        self.tokens
            .get(self.at + ahead)
            .is_some_and(|t| !t.spaced && matches!(&*t.text, "st" | "nd" | "rd" | "th"))
    }

    fn at_separator_ahead(&self, ahead: usize) -> bool {
        !matches!(
            self.kind(ahead),
            Some(Kind::Word | Kind::Number(_) | Kind::Star(_))
        )
    }

    /// The words of a part's name at the cursor, up to what can't belong to a name.
    pub(super) fn part_name(&mut self, first: usize, layers: u32) -> Option<Through> {
        let mut copy = None;
        let mut name: Option<Span> = None;
        loop {
            if let Some((n, taken)) = self.ordinal()
                && name.is_none()
            {
                copy = Some(n);
                self.at += taken;
                continue;
            }
            let Some(token) = self.peek() else { break };
            const PLACES: &[&str] = &["against", "behind", "beside", "under", "beneath", "so"];
            if token.kind != Kind::Word || PLACES.contains(&&*token.text) {
                break;
            }
            match self.word() {
                Some((Word::Filler | Word::Of, taken)) if name.is_none() => {
                    self.at += taken;
                    continue;
                }
                Some((Word::First, taken)) if name.is_none() => {
                    copy = Some(1);
                    self.at += taken;
                    continue;
                }
                Some((Word::Next | Word::Last | Word::Remaining, taken)) if name.is_none() => {
                    self.at += taken;
                    continue;
                }
                // A part may be called an arch or a ring.
                Some((
                    Word::Space
                    | Word::Ring
                    | Word::Colour
                    | Word::Picot
                    | Word::Figure
                    | Word::Spike,
                    _,
                ))
                | None => {}
                Some(_) => break,
            }
            name = Some(name.map_or(token.span, |n| n.to(token.span)));
            self.at += 1;
        }
        let name = name?;
        // `of the wing and of the body`: the body goes without saying.
        while matches!(
            self.word(),
            Some((Word::And | Word::Filler | Word::Of | Word::To, _))
        ) {
            let ahead = self.word().map_or(1, |(_, taken)| taken);
            let works = matches!(
                self.word_ahead(ahead),
                Some((Word::Stitch(_) | Word::Increase | Word::Decrease, _))
            ) || self.number_ahead(ahead).is_some();
            if works {
                break;
            }
            self.at += ahead;
            if self.word().is_none() && self.kind(0) == Some(Kind::Word) {
                self.at += 1;
            }
        }
        let words = &self.text[name.range()];
        Some(Through {
            part: Some(Spanned {
                value: words.to_owned(),
                span: name,
            }),
            copy,
            layers,
            side: None,
            border: None,
            span: self.span_from(first),
        })
    }

    pub(super) fn pass_bracket(&mut self) {
        let mut depth = 0;
        while let Some(kind) = self.kind(0) {
            self.at += 1;
            match kind {
                Kind::Open(_) => depth += 1,
                Kind::Close(_) => {
                    depth -= 1;
                    if depth == 0 {
                        return;
                    }
                }
                _ => {}
            }
        }
    }

    /// Joins a part by the stitches just read: `6 sc, through both layers of the wing`.
    pub(super) fn attach_through(&mut self, through: &Through, items: &mut [Instruction]) {
        if let Some(Instruction {
            act: Act::Work(work),
            ..
        }) = items.last_mut()
            && work.through.is_none()
        {
            work.through = Some(self.with_what_was_held(through.clone()));
        } else {
            self.through_ahead = Some(through.clone());
        }
    }

    // ---- yarns ----

    /// The yarn named at the cursor, and how many tokens its name takes.
    pub(super) fn yarn_name(&self) -> Option<(Spanned<String>, usize)> {
        let token = self.peek()?;
        if token.kind != Kind::Word {
            return None;
        }
        match self.word() {
            Some((Word::MainColour, taken)) => return Some((self.spanned("MC", taken), taken)),
            Some((Word::ContrastColour, taken)) => return Some((self.spanned("CC", taken), taken)),
            _ => {}
        }
        let here = &self.text[token.span.range()];
        // `CC1`: a letter with its number.
        let digit = self.tokens.get(self.at + 1).filter(|t| !t.spaced);
        for yarn in &self.names.yarns {
            let numbered = digit.is_some_and(|digit| {
                yarn.ends_with(|c: char| c.is_ascii_digit())
                    && *yarn == self.text[token.span.to(digit.span).range()]
            });
            if numbered {
                return Some((self.spanned(yarn, 2), 2));
            }
            // A letter is the yarn's only as a capital: `a` is a word.
            if yarn.chars().count() <= 2 {
                // The pattern's own list of letters wins.
                if here == yarn && self.names.own.letter(here).is_none() {
                    return Some((self.spanned(yarn, 1), 1));
                }
                continue;
            }
            let mut taken = 0;
            let fits = yarn.split_whitespace().all(|part| {
                let fits = self
                    .tokens
                    .get(self.at + taken)
                    .is_some_and(|t| colours::alike(&t.text, part));
                taken += 1;
                fits
            });
            if fits && taken > 0 {
                return Some((self.spanned(yarn, taken), taken));
            }
        }
        None
    }

    fn spanned(&self, name: &str, taken: usize) -> Spanned<String> {
        let (first, last) = (&self.tokens[self.at], &self.tokens[self.at + taken - 1]);
        Spanned {
            value: name.to_owned(),
            span: first.span.to(last.span),
        }
    }

    /// Passes over `the`, `yarn`, `colour` before a yarn's name. True if the words speak of a yarn.
    fn pass_to_yarn(&mut self) -> bool {
        let mut colour = false;
        while self.yarn_name().is_none()
            && let Some((word @ (Word::Filler | Word::Colour), taken)) = self.word()
        {
            colour |= word == Word::Colour;
            self.at += taken;
        }
        colour
    }

    /// A yarn that the words ask for though nobody declared it: `with C`, `change to teal`.
    fn unknown_yarn(&self) -> Option<(Spanned<String>, usize)> {
        let token = self.peek()?;
        let words = &self.text[token.span.range()];
        let plain =
            token.kind == Kind::Word && (self.word().is_none() || words.chars().count() == 1);
        plain.then(|| (self.spanned(words, 1), 1))
    }

    /// A colour at the cursor that no yarn is called by, and how many tokens it takes: `white`, `light grey`.
    fn colour_name(&self) -> Option<(Spanned<String>, usize)> {
        let word = |at: usize| {
            let token = self.tokens.get(self.at + at)?;
            (token.kind == Kind::Word).then_some(&*token.text)
        };
        let taken = colours::words_of(word)?;
        let words: Vec<&str> = (0..taken).filter_map(word).collect();
        // `in the red sts` says where to work.
        let is_place = matches!(
            self.word_ahead(taken),
            Some((Word::AnyStitch | Word::Space | Word::Round | Word::Row, _))
        );
        (!is_place).then(|| (self.spanned(&words.join(" "), taken), taken))
    }

    /// Tokens of the `yarn` after a name.
    fn yarn_said(&self, ahead: usize) -> usize {
        match self.word_ahead(ahead) {
            Some((Word::Colour, taken)) => taken,
            _ => 0,
        }
    }

    /// `coral yarn`: a word that is not the trade's, called a yarn.
    fn called_a_yarn(&self) -> Option<(Spanned<String>, usize)> {
        let named = self.unknown_yarn()?;
        matches!(self.word_ahead(1), Some((Word::Colour, _))).then_some(named)
    }

    /// True if a colour may stand alone at the cursor: at the front of a clause, or after a stitch or number.
    fn colour_may_stand_alone(&self, clause: &Clause) -> bool {
        let counted = clause.count.is_some() || clause.stitch.is_some();
        self.at == clause.first || counted && clause.yarn.is_none()
    }

    /// `with B`, `in white`, `3 B`. True if it was one.
    pub(super) fn yarn_phrase(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
    ) -> bool {
        let start = self.at;
        let mut preposition = None;
        if let Some((word @ (Word::With | Word::In), taken)) = self.word() {
            preposition = Some(word);
            self.at += taken;
        }
        let colour = preposition.is_some() && self.pass_to_yarn();
        // `in MC` in the first round is the magic circle.
        let ring = matches!(self.word(), Some((Word::MainColour, _)))
            && self.first_round
            && preposition != Some(Word::With)
            && !colour;
        if let Some((name, taken)) = self.yarn_name().filter(|_| !ring) {
            self.at += taken;
            if let Some((Word::Colour, taken)) = self.word() {
                self.at += taken;
            }
            // `A6 B6`: each letter with its number.
            let numbered = self
                .peek()
                .is_some_and(|t| matches!(t.kind, Kind::Number(_)) && !t.spaced);
            if numbered && (clause.count.is_some() || clause.stitch.is_some()) {
                let end = self.at;
                self.at = start;
                self.flush(clause, items);
                self.at = end;
            }
            clause.yarn = Some(name);
            return true;
        }
        let letter = self.peek().is_some_and(|t| {
            let words = &self.text[t.span.range()];
            words.len() == 1 && words.chars().all(|c| c.is_ascii_uppercase())
        });
        let undeclared = match preposition {
            Some(Word::With) if colour || letter => self.unknown_yarn(),
            Some(_) => self.colour_name().or_else(|| self.called_a_yarn()),
            None if self.colour_may_stand_alone(clause) => self.colour_name(),
            None => None,
        };
        if let Some((name, taken)) = undeclared {
            self.at += taken;
            if let Some((Word::Colour, taken)) = self.word() {
                self.at += taken;
            }
            clause.yarn = Some(name);
            return true;
        }
        self.at = start;
        false
    }

    /// `change to white in the last st`.
    pub(super) fn change_phrase(&mut self, clause: &mut Clause) {
        if let Some((_, taken)) = self.word() {
            self.at += taken;
        }
        self.pass_to_yarn();
        let named = self.yarn_name().or_else(|| self.colour_name());
        if let Some((name, taken)) = named.or_else(|| self.unknown_yarn()) {
            self.at += taken;
            if let Some((Word::Colour, taken)) = self.word() {
                self.at += taken;
            }
            clause.yarn_after = Some(name);
        }
        // `in the last st`: the change happens in the last yarn-over of the stitch before, wherever that is said.
        if matches!(self.word(), Some((Word::In | Word::Filler | Word::Over, _))) {
            self.swallow();
        }
    }

    // ---- remarks ----

    /// At an opening bracket: true, and past it, if it holds a yarn, a word on layers or chains, or a mere remark.
    pub(super) fn remark_in_bracket(&mut self, items: &mut Vec<Instruction>) -> bool {
        if self.other_side_in_bracket(items) {
            return true;
        }
        let start = self.at;
        let mut end = start + 1;
        let mut layers = None;
        let mut counts = None;
        let mut works = false;
        let mut numbers = false;
        let mut parts = 0;
        // `(picot made)`
        let mut remarks = false;
        // `(4 rnds)`
        let mut rounds = false;
        while let Some(token) = self.tokens.get(end) {
            match token.kind {
                Kind::Close(_) => break,
                Kind::Open(_) => return false,
                Kind::Star(_) => works = true,
                Kind::Number(_) => numbers = true,
                _ => {}
            }
            parts += usize::from(token.kind == Kind::Word);
            let word = self.word_ahead(end - start);
            match word {
                Some((Word::CountsAs, _)) => counts = counts.or(Some(true)),
                Some((Word::DoesNotCount, _)) => counts = counts.or(Some(false)),
                Some((Word::Both, _)) => layers = layers.or(Some(2)),
                Some((Word::Number(n), _)) if n <= 3 => layers = layers.or(Some(n)),
                Some((Word::Round | Word::Row, _)) => rounds = true,
                Some((Word::Layers, _)) => layers = layers.or(Some(1)),
                Some((word, _)) => works |= is_worked(word),
                None => remarks |= token.is("made") || token.is("completed"),
            }
            if let Kind::Number(_) = token.kind {
                let here = self.at;
                self.at = end + 1;
                // `(5A, 2B) x 3`
                works |= self.yarn_name().is_some();
                self.at = here;
            }
            if self.is_code_letter_at(end)
                || super::compound::split(&token.text, self.names.terms).is_some()
            {
                works = true;
            }
            end += word.map_or(1, |(_, taken)| taken);
        }
        if end >= self.tokens.len() {
            return false;
        }
        // `ch 3 (first dc)`, `ch 3 (= 1 dc)`
        if counts.is_none()
            && start > 0
            && matches!(items.last(), Some(Instruction { act: Act::Work(work), .. })
                if work.stitch.height == Some(Height::Chain) && !work.stitch.picot)
            && self.names_one_stitch(end)
        {
            counts = Some(true);
        }
        if let Some(counts) = counts {
            let bridge = self.chains_named(start, end);
            self.at = end + 1;
            items.push(Instruction {
                act: Act::StartCounts { counts, bridge },
                span: self.span_from(start),
            });
            return true;
        }
        self.at = start + 1;
        let mut ahead = 0;
        while let Some((Word::With | Word::In, taken)) = self.word_ahead(ahead) {
            ahead += taken;
        }
        self.at += ahead;
        self.pass_to_yarn();
        if let Some((name, taken)) = self.yarn_name().or_else(|| self.colour_name())
            && self.at + taken + self.yarn_said(taken) == end
        {
            self.at = end + 1;
            let span = self.span_from(start);
            let yarn = Instruction {
                act: Act::Yarn(name),
                span,
            };
            // `6 sc (A), 6 sc (B)`: the yarn of the stitches before it; `(A) 6 sc`: of those after it.
            let after = start > 0
                && matches!(self.tokens[start - 1].kind, Kind::Word | Kind::Number(_))
                && self.at_separator();
            match items.last() {
                Some(item) if after && item.act.is_worked() => items.insert(items.len() - 1, yarn),
                _ => items.push(yarn),
            }
            return true;
        }
        self.at = start;
        if works && !remarks {
            return false;
        }
        if let (
            Some(layers),
            Some(Instruction {
                act: Act::Work(work),
                ..
            }),
        ) = (layers, items.last_mut())
            && let Some(through) = &mut work.through
        {
            through.layers = layers;
            self.at = end + 1;
            return true;
        }
        // A single unknown word next to a number may be a stitch: let the list say so.
        if parts <= 1 && numbers && !remarks && !rounds {
            return false;
        }
        self.at = end + 1;
        true
    }

    /// `4 sc (on the other side of the chain)`: where the stitches before the bracket go.
    fn other_side_in_bracket(&mut self, items: &mut Vec<Instruction>) -> bool {
        let start = self.at;
        self.at += 1;
        let Some(ahead) = self.other_side_ahead() else {
            self.at = start;
            return false;
        };
        self.at += ahead;
        self.swallow_to_stitches();
        let closes = matches!(self.kind(0), Some(Kind::Close(_)));
        let Some(worked) = items.iter().rposition(|item| item.act.is_worked()) else {
            self.at = start;
            return false;
        };
        if !closes {
            self.at = start;
            return false;
        }
        self.at += 1;
        let span = self.span_from(start);
        items.insert(
            worked,
            Instruction {
                act: Act::OtherSide,
                span,
            },
        );
        true
    }

    /// At a bracket that closes at `end`: true if it holds `first dc`, `1st dc` or `= 1 dc`.
    fn names_one_stitch(&self, end: usize) -> bool {
        let mut ahead = 1;
        let mut opens = false;
        if matches!(self.kind(ahead), Some(Kind::Equals)) {
            ahead += 1;
            opens = true;
        }
        match (self.word_ahead(ahead), self.kind(ahead)) {
            (Some((Word::First, taken)), _) => {
                opens = true;
                ahead += taken;
            }
            (_, Some(Kind::Number(1))) if self.is_suffix(ahead + 1) => {
                opens = true;
                ahead += 2;
            }
            (_, Some(Kind::Number(1))) => ahead += 1,
            _ => {}
        }
        matches!(self.word_ahead(ahead), Some((Word::Stitch(height), taken))
            if opens && height > Height::Slip && self.at + ahead + taken == end)
    }

    /// The chains of `counts as dc, ch 1`, between two tokens.
    pub(super) fn chains_named(&self, from: usize, to: usize) -> u32 {
        for index in from..to {
            if let Some((Word::Stitch(Height::Chain), taken)) = self.word_ahead(index - self.at) {
                let after = index - self.at + taken;
                let dash = usize::from(self.kind(after) == Some(Kind::Dash));
                let before = index.checked_sub(1).map(|i| self.tokens[i].kind);
                return match (self.number_ahead(after + dash), before) {
                    (Some((n, _)), _) => n,
                    (None, Some(Kind::Number(n))) => n,
                    _ => 1,
                };
            }
        }
        0
    }

    fn is_code_letter_at(&self, index: usize) -> bool {
        index >= self.at && self.is_code_letter(index - self.at)
    }
}

fn is_worked(word: Word) -> bool {
    word.names_stitch()
        || matches!(
            word,
            Word::Skip
                | Word::Repeat
                | Word::Turn
                | Word::Change
                | Word::Join
                | Word::BackLoop
                | Word::FrontLoop
                | Word::BothLoops
                | Word::MagicRing
                | Word::OtherSide
                | Word::NewStart
                | Word::LeaveRest
        )
        || step_of(word).is_some()
}
