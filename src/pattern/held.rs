//! A part held against the work before it is joined: `place first wing against body`, `hold the fin behind the work`.

use super::body::Reader;
use super::clause::Clause;
use super::tree::*;
use crate::terms::words::Word;

impl Reader<'_> {
    /// `hold the wing in front of the body`, `flatten the fin`: the part that the next stitches go through. False if the
    /// words at the cursor are others.
    pub(super) fn held_part(&mut self, clause: &mut Clause, items: &mut Vec<Instruction>) -> bool {
        const HOLDS: &[&str] = &[
            "hold",
            "holding",
            "place",
            "placing",
            "lay",
            "laying",
            "position",
            "positioning",
            "put",
            "pin",
            "flatten",
            "fold",
            "with",
        ];
        let start = self.at;
        let Some(token) = self.peek().filter(|t| HOLDS.contains(&&*t.text)) else {
            return false;
        };
        let (flattens, only_with) = (matches!(&*token.text, "flatten" | "fold"), token.is("with"));
        self.at += 1;
        if !self.names_a_part() {
            self.at = start;
            return false;
        }
        let Some(mut part) = self.part_name(start, 0) else {
            self.at = start;
            return false;
        };
        // What follows the name is read here: it may say where the part lies.
        if let Some(name) = &part.part {
            self.back_behind(name.span);
        }
        let words = self.at;
        // `with the second leg on the hook, ch 3`: what is worked on anyway.
        if only_with && self.on_the_hook() {
            self.flush(clause, items);
            clause.first = self.at;
            return true;
        }
        const LONGEST: usize = 24;
        while !self.at_separator() && !self.at_and_then_work() && self.at < words + LONGEST {
            if let Some(side) = self.side_phrase() {
                part.side = Some(side);
            } else {
                self.at += 1;
            }
        }
        // `with the wing` alone names a part that is joined; with a side, one that is held.
        if only_with && part.side.is_none() || flattens && self.at == words && self.at_separator() {
            self.at = start;
            return false;
        }
        // `flatten the fin and close with 6 sc`
        if flattens {
            self.flush(clause, items);
            items.push(Instruction {
                act: Act::Step(StepKind::Flatten),
                span: self.span_from(start),
            });
            clause.first = self.at;
            return true;
        }
        // `6 sc through both layers, with the wing on the inside`
        if let (true, Some(through)) = (only_with, &mut clause.through) {
            through.side = part.side;
            return true;
        }
        self.flush(clause, items);
        self.through_ahead = Some(part);
        clause.first = self.at;
        true
    }

    /// Takes in `still on your hook`. False, and the cursor unmoved, if the words at the cursor are others.
    fn on_the_hook(&mut self) -> bool {
        let start = self.at;
        while ["still", "on", "the", "your"]
            .iter()
            .any(|w| self.is_word(0, w))
        {
            self.at += 1;
        }
        let is_so = self.at > start && matches!(self.word(), Some((Word::Hook, _)));
        self.at = if is_so { self.at + 1 } else { start };
        is_so
    }

    /// At an "and" after which stitches are worked.
    fn at_and_then_work(&self) -> bool {
        matches!(self.word(), Some((Word::And, _)))
            && (self.works_from.get(self.at + 1) == Some(&true) || self.is_word(1, "close"))
    }

    /// `in front of`, `behind`, `on the outside`, `on the inside of the work`: on which side of the work a part lies.
    pub(super) fn side_phrase(&mut self) -> Option<PartSide> {
        let start = self.at;
        while self.is_word(0, "on")
            || self.is_word(0, "to")
            || self.is_word(0, "in")
            || self.is_word(0, "the")
        {
            self.at += 1;
        }
        let side = match self.peek().map(|t| &*t.text) {
            Some("outside") => Some(PartSide::Outside),
            Some("front") if self.at > start => Some(PartSide::Outside),
            Some("inside" | "behind") => Some(PartSide::Inside),
            Some("back") if self.at > start => Some(PartSide::Inside),
            _ => None,
        };
        // `in the front loops` is a place to work into.
        let loops = matches!(
            self.word(),
            Some((
                Word::FrontLoop | Word::BackLoop | Word::FrontPost | Word::BackPost,
                _
            ))
        );
        if side.is_none() || loops {
            self.at = start;
            return None;
        }
        self.at += 1;
        // `of the work`, `of the body`
        if self.is_word(0, "of") {
            self.at += 1;
            while matches!(self.word(), Some((Word::Filler, _))) {
                self.at += 1;
            }
            if !self.at_separator() && self.word().is_none() {
                self.at += 1;
            }
        }
        side
    }

    /// A part's own words, with what was said of it when it was held.
    pub(super) fn with_what_was_held(&mut self, through: Through) -> Through {
        let Some(held) = self.through_ahead.take() else {
            return through;
        };
        Through {
            copy: through
                .copy
                .or(held.copy.filter(|_| through.part.is_none())),
            part: through.part.or(held.part),
            side: through.side.or(held.side),
            ..through
        }
    }
}
