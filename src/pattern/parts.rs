//! Phrases about parts that are worked through: `through the wing`, `both layers`, `across the first leg`.

use super::body::Reader;
use super::clause::Clause;
use super::lex::{Kind, Token};
use super::stem::stem;
use super::tree::*;
use crate::source::Span;
use crate::terms::words::Word;

/// What the layers of a piece are called besides.
const OF_A_PIECE: &[&str] = &["sides", "edges", "halves", "pieces", "parts", "walls"];

impl Reader<'_> {
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
            // `through both sides`, `through both edges`
            if layers > 0 && OF_A_PIECE.iter().any(|word| self.is_word(0, word)) {
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
                    // `through both, stuffing before you close`
                    named_layers |= self.at_separator();
                }
                (Word::Filler, _) if self.peek().is_some_and(|t| self.opens_a_name(t)) => break,
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
        let part = self.part_name(start, layers);
        // `through arm and body together`
        if part.is_some()
            && let Some((Word::Together, taken)) = self.word()
        {
            self.at += taken;
        }
        part.or_else(|| {
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
                || OF_A_PIECE.iter().any(|word| self.is_word(ahead + 1, word)))
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
        // `15 sc to the first leg`
        if let Some((Word::To, taken)) = self.word() {
            self.at += taken;
            opened = self.names_a_part();
        }
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

    /// `pick up the big pincer and`: what is worked next goes into that part. False, and the cursor unmoved, if the words at the
    /// cursor are others.
    pub(super) fn picks_up_a_part(
        &mut self,
        clause: &mut Clause,
        items: &mut Vec<Instruction>,
    ) -> bool {
        let verb = match self.peek() {
            Some(t) if t.is("pick") && self.is_word(1, "up") => 2,
            Some(t) if t.is("take") || t.is("grab") => 1,
            _ => return false,
        };
        let start = self.at;
        self.at += verb;
        let named = self.names_a_part();
        let part = named.then(|| self.part_name(start, 1)).flatten();
        let Some(part) = part.filter(|_| clause.stitch.is_none()) else {
            self.at = start;
            return false;
        };
        let end = self.at;
        self.at = start;
        self.flush(clause, items);
        self.at = end + usize::from(self.tokens.get(end).is_some_and(|t| t.kind == Kind::Comma));
        clause.first = start;
        clause.part = Some((part, false));
        true
    }

    /// `left leaf 9 sc`: the part before its stitches, at the front of a clause. False, and the cursor unmoved, if the words at the
    /// cursor are others.
    pub(super) fn part_before_its_stitches(&mut self, clause: &mut Clause) -> bool {
        let start = self.at;
        let opens = start == clause.first && clause.stitch.is_none() && clause.count.is_none();
        if !opens || clause.part.is_some() || !self.names_a_part() {
            return false;
        }
        let part = self.part_name(start, 1);
        let stitches = self
            .number()
            .is_some_and(|(_, taken)| self.stitch_at(taken))
            || self.is_code_number();
        if stitches && let Some(part) = part {
            clause.part = Some((part, false));
            return true;
        }
        self.at = start;
        false
    }

    /// At `9X`, in the letter code.
    fn is_code_number(&self) -> bool {
        self.number()
            .is_some_and(|(_, taken)| self.is_code_letter(taken))
    }

    /// `from the second leg` before `make 3 ch`: where the hook is. False, and the cursor unmoved, if the words at the cursor are
    /// others.
    pub(super) fn starts_from_a_part(&mut self, clause: &Clause) -> bool {
        let start = self.at;
        let (Some((Word::From, taken)), None, None) = (self.word(), clause.stitch, clause.count)
        else {
            return false;
        };
        self.at += taken;
        let named = self.names_a_part() && self.part_name(start, 0).is_some();
        while let (true, Some((Word::Filler, taken))) = (named, self.word()) {
            self.at += taken;
        }
        let chains = self.stitch_at(0) || self.number().is_some();
        if !named || !chains {
            self.at = start;
        }
        named && chains
    }

    /// `of that`, behind the stitches of a part that has been picked up: the tokens it takes.
    pub(super) fn of_what_is_picked_up(&self, clause: &Clause) -> Option<usize> {
        let picked_up = clause.part.is_some() && clause.stitch.is_some();
        let which = ["that", "it", "them", "this"];
        let of = usize::from(matches!(self.word(), Some((Word::Of, 1))));
        let says_of = of > 0 || self.is_word_before("of");
        (picked_up && says_of && which.iter().any(|word| self.is_word(of, word))).then_some(of + 1)
    }

    /// At `the big one`, `the lil one`: the piece that has this word in its name, and how many tokens that takes. `this one` is the
    /// piece itself.
    fn one_called(&self) -> Option<(String, usize)> {
        let article = usize::from(matches!(self.word(), Some((Word::Filler, 1))));
        let called = self.tokens.get(self.at + article)?;
        if !self.is_word(article + 1, "one") || called.kind != Kind::Word {
            return None;
        }
        // The names stand in their order: the first behind `big ` begins with it, if any does.
        let opens = format!("{} ", called.text);
        let name = self.names.pieces.range(opens.clone()..).next()?;
        name.starts_with(&opens)
            .then(|| (name.clone(), article + 2))
    }

    /// True if a piece of this pattern is named at the cursor.
    pub(super) fn names_a_part(&self) -> bool {
        if self.one_called().is_some() {
            return true;
        }
        let mut ahead = 0;
        // `the first leg`, `left front leg`
        for _ in 0..6 {
            let Some(token) = self.tokens.get(self.at + ahead) else {
                return false;
            };
            // A piece may be called a top, but `in the top of that sc` is a place of this one.
            if self.top_of_the_same(ahead).is_some() {
                return false;
            }
            // A piece may be called a ring, but `in ring` is the ring that the round starts from.
            let plain = matches!(
                self.word_ahead(ahead),
                None | Some((Word::Figure | Word::Spike, _))
            ) || token.is("end") && ahead > 0;
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

    /// Moves the cursor back to right behind a name.
    pub(super) fn back_behind(&mut self, name: Span) {
        while self.at > 0 && self.tokens[self.at - 1].span.start >= name.end {
            self.at -= 1;
        }
    }

    /// The letters of `1st`.
    pub(super) fn is_suffix(&self, ahead: usize) -> bool {
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

    /// At `this lobe, … the other lobe`: the second, which is on the hook, and the first.
    fn this_or_the_other(&self) -> Option<u32> {
        const NEAR: usize = 16;
        let noun = &self.tokens.get(self.at + 1)?.text;
        let tells = |pair: &[Token<'_>], word: &str| pair[0].is(word) && pair[1].text == *noun;
        let before = &self.tokens[self.at.saturating_sub(NEAR)..self.at];
        let behind = &self.tokens[self.at..self.tokens.len().min(self.at + NEAR)];
        if self.is_word(0, "this") && behind.windows(2).any(|pair| tells(pair, "other")) {
            return Some(2);
        }
        let other = self.is_word(0, "other") && before.windows(2).any(|pair| tells(pair, "this"));
        other.then_some(1)
    }

    /// At the `back` of `back flipper`, where a piece is called so.
    fn opens_a_name(&self, token: &Token<'_>) -> bool {
        let next = self.tokens.get(self.at + 1);
        token.is("back")
            && next.is_some_and(|next| {
                let name = format!("back {}", stem(&next.text));
                self.names.pieces.contains(&name)
            })
    }

    /// The words of a part's name at the cursor, up to what can't belong to a name.
    pub(super) fn part_name(&mut self, first: usize, layers: u32) -> Option<Through> {
        if let Some((called, taken)) = self.one_called() {
            let start = self.at;
            self.at += taken;
            let span = self.span_from(start);
            return Some(Through {
                part: Some(Spanned {
                    value: called,
                    span,
                }),
                copy: None,
                layers,
                side: None,
                border: None,
                span: self.span_from(first),
            });
        }
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
            const PLACES: &[&str] = &[
                "against", "behind", "beside", "under", "beneath", "so", "up", "but",
            ];
            if token.kind != Kind::Word || PLACES.contains(&&*token.text) {
                break;
            }
            if name.is_none()
                && let Some(one) = self.this_or_the_other()
            {
                copy = Some(one);
                self.at += 1;
                continue;
            }
            match self.word() {
                // `the back flipper`, where a piece is called so
                Some((Word::Filler, 1)) if name.is_none() && self.opens_a_name(token) => {}
                // `the second end`
                Some((Word::Filler, 1)) if copy.is_some() && token.is("end") => {}
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
        // `through flipper + body`
        if matches!(self.kind(0), Some(Kind::Plus | Kind::Ampersand))
            && self.kind(1) == Some(Kind::Word)
            && self.word_ahead(1).is_none()
        {
            self.at += 2;
        }
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
}
