//! Parts that a piece begins with twice: legs whose rounds are told once for both, before a round of the same piece joins them.

use super::assemble::Assembler;
use super::between::is_chain;
use super::lex::{Kind, Token};
use super::stem::{is_called, stem};
use super::tree::*;
use crate::source::{Span, limits};
use crate::terms::Terms;
use crate::terms::words;

/// What `12 sc around the first leg, 12 sc around the second leg` joins: the leg. The word is the trade's in no other way.
pub(super) fn joined<'t>(tokens: &'t [Token<'_>]) -> Option<&'t Token<'t>> {
    // What is joined through its layers has to be made before.
    const THROUGH: &[&str] = &["through", "layers", "joining", "attach", "attaching"];
    if tokens.iter().any(|t| THROUGH.iter().any(|word| t.is(word))) {
        return None;
    }
    let named = |ordinals: &[&str]| {
        let at = tokens
            .iter()
            .position(|t| ordinals.iter().any(|word| t.is(word)))?;
        // `first ear flap`: the flap
        tokens[at + 1..].iter().take_while(|t| is_plain(t)).last()
    };
    // `on this lobe, on the other lobe`
    let first = named(&["first", "1st"]).or_else(|| named(&["this"]))?;
    let second = named(&["second", "2nd", "other"])?;
    (stem(&first.text) == stem(&second.text)).then_some(first)
}

/// A word that the trade does not know, or knows as one that says nothing: the second `end` of a tail.
fn is_plain(token: &Token<'_>) -> bool {
    let word = |at: usize| (at == 0).then_some(&*token.text);
    token.kind == Kind::Word && (token.is("end") || words::longest(word, Terms::Us).is_none())
}

impl Assembler<'_> {
    /// Makes the rounds so far of the last piece a part of its own, where a round joins two of it and no piece is called so.
    pub(super) fn part_off_pair(&mut self, body: &[Token<'_>], label: Span) {
        let Some(noun) = joined(body) else {
            return;
        };
        let name = stem(&noun.text);
        let pieces = &mut self.pattern.pieces;
        // `Legs and body` begins with its legs.
        let last = pieces.len().saturating_sub(1);
        let is_part_of = |name: &str| [" and ", " & ", " + "].iter().any(|and| name.contains(and));
        let called = |(at, piece): (usize, &Piece)| {
            let lower = piece.name.to_lowercase();
            is_called(&piece.name, &name) && !(at == last && is_part_of(&lower))
        };
        if pieces.len() >= limits::PIECES || pieces.iter().enumerate().any(called) {
            return;
        }
        self.settle_waiting();
        let Some(pair) = self.pattern.pieces.last_mut() else {
            return;
        };
        let copies = pair.make.max(2);
        // `First make 2 flukes.` below the name of the whole
        let whole = Piece {
            name: std::mem::replace(&mut pair.name, capital(&name)),
            make: std::mem::replace(&mut pair.make, copies),
            yarn: last_yarn(pair),
            span: label,
            lines: Vec::new(),
        };
        self.pattern.pieces.push(whole);
        self.carry_chain();
    }

    /// True if a single piece is called so, and its name does not say which of several it is.
    pub(super) fn is_only_one_called(&self, noun: &str) -> bool {
        let pieces = self.pattern.pieces.iter();
        let mut called = pieces.filter(|piece| is_called(&piece.name, noun));
        let which = ["first", "second", "left", "right"];
        let is_plain = |piece: &Piece| {
            let mut words = piece.name.split_whitespace();
            !words.any(|word| which.contains(&&*word.to_lowercase()))
        };
        called.next().is_some_and(is_plain) && called.next().is_none()
    }

    /// Of the piece before the last there are two, though its name does not say so: a round of the last joins both.
    pub(super) fn make_a_pair(&mut self, noun: &str) {
        if self.is_only_one_called(&stem(noun))
            && let [.., pair, _] = &mut self.pattern.pieces[..]
        {
            pair.make = pair.make.max(2);
        }
    }

    /// `dial 2 AL and connect with the first leg`, told at the end of the legs: the chain is the round's that joins them.
    pub(super) fn carry_chain(&mut self) {
        let Some(at) = self.pattern.pieces.len().checked_sub(2) else {
            return;
        };
        let makes_chain = |line: &Line| match line {
            Line::Between(between) => between.acts.iter().any(is_chain),
            _ => false,
        };
        let lines = &mut self.pattern.pieces[at].lines;
        let Some(last) = lines.pop_if(|line| makes_chain(line)) else {
            return;
        };
        self.pattern.pieces[at + 1].lines.insert(0, last);
    }
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}

/// The yarn that a piece ends with.
fn last_yarn(piece: &Piece) -> Option<Spanned<String>> {
    let changed = piece.lines.iter().rev().find_map(|line| {
        let items = match line {
            Line::Round(round) => &round.body,
            Line::Between(between) => &between.acts,
            _ => return None,
        };
        items.iter().rev().find_map(|item| match &item.act {
            Act::Yarn(yarn) => Some(yarn.clone()),
            _ => None,
        })
    });
    changed.or_else(|| piece.yarn.clone())
}
