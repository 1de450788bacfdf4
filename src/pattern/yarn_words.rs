//! Yarns named in a round: `in B`, `change to red`, `with the grey yarn`.

use super::body::Reader;
use super::clause::Clause;
use super::lex::{Kind, Token};
use super::tree::*;
use crate::terms::colours;
use crate::terms::words::Word;

impl Reader<'_> {
    /// The yarn of `in B`, `white`, `with the grey yarn` so many tokens ahead, where a clause or its total ends with it; and how
    /// many tokens the words take.
    pub(super) fn yarn_that_ends(&mut self, ahead: usize) -> Option<(Spanned<String>, usize)> {
        let start = self.at;
        self.at += ahead;
        if let Some((Word::In | Word::With, taken)) = self.word() {
            self.at += taken;
        }
        let named = self.yarn_name().or_else(|| self.colour_name());
        self.at += named.as_ref().map_or(0, |(_, taken)| *taken);
        let ends = self.at_separator() || self.total_follows(0);
        let taken = self.at - start - ahead;
        self.at = start;
        named.filter(|_| ends).map(|(name, _)| (name, taken))
    }

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
    pub(super) fn pass_to_yarn(&mut self) -> bool {
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
    pub(super) fn colour_name(&self) -> Option<(Spanned<String>, usize)> {
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
    pub(super) fn yarn_said(&self, ahead: usize) -> usize {
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
        // `w` may be a yarn's.
        let letter = self
            .peek()
            .is_some_and(|t| self.names.yarns.iter().any(|yarn| yarn == "w" && t.is("w")));
        if let Some((word @ (Word::With | Word::In), taken)) = self.word().filter(|_| !letter) {
            preposition = Some(word);
            self.at += taken;
        }
        let has_hook = preposition == Some(Word::With) && self.pass_hook();
        let behind_hook = self.at;
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
            self.take_yarn(clause, name);
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
            self.take_yarn(clause, name);
            return true;
        }
        self.at = if has_hook { behind_hook } else { start };
        has_hook
    }

    fn take_yarn(&mut self, clause: &mut Clause, name: Spanned<String>) {
        match self.first_round_in_it() {
            Some(round) => clause.yarn_from = Some((name, round)),
            None => clause.yarn = Some(name),
        }
    }

    /// `from Rnd 4 on`, `after Rnd 3`, behind a yarn: the number of the first round in it.
    fn first_round_in_it(&mut self) -> Option<u32> {
        let after = u32::from(self.is_word(0, "after"));
        if after == 0 && !matches!(self.word(), Some((Word::From, 1))) {
            return None;
        }
        let word = match self.word_ahead(1) {
            Some((Word::Round | Word::Row, taken)) => taken,
            _ => usize::from(self.is_word(1, "r")),
        };
        let (number, taken) = self.number_ahead(1 + word).filter(|_| word > 0)?;
        self.at += 1 + word + taken;
        while self.is_word(0, "on") || self.is_word(0, "onwards") || self.is_word(0, "onward") {
            self.at += 1;
        }
        number.checked_add(after)
    }

    /// Passes over `a 2.5 mm hook and`. False, and the cursor unmoved, if the words at the cursor are others.
    fn pass_hook(&mut self) -> bool {
        const LONGEST: usize = 7;
        let words = self.tokens[self.at..].iter().take(LONGEST);
        let is_of_size = |t: &Token<'_>| {
            matches!(t.kind, Kind::Number(_) | Kind::Stop | Kind::Slash)
                || ["a", "an", "your", "mm", "us", "size"]
                    .iter()
                    .any(|w| t.is(w))
        };
        let size = words.take_while(|t| is_of_size(t)).count();
        let has_number = self.tokens[self.at..self.at + size]
            .iter()
            .any(|t| matches!(t.kind, Kind::Number(_)));
        if !has_number || !matches!(self.word_ahead(size), Some((Word::Hook, 1))) {
            return false;
        }
        self.at += size + 1;
        let and = matches!(self.word(), Some((Word::And, 1)));
        self.at += usize::from(and || self.kind(0) == Some(Kind::Ampersand));
        true
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
            match self.first_round_in_it() {
                Some(round) => clause.yarn_from = Some((name, round)),
                None => clause.yarn_after = Some(name),
            }
        }
        // `in the last st`: the change happens in the last yarn-over of the stitch before, wherever that is said.
        if matches!(self.word(), Some((Word::In | Word::Filler | Word::Over, _))) {
            self.swallow();
        }
    }
}
