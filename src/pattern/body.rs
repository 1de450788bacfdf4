//! The body of a round: lists of instructions, brackets, stars and repeats.
//!
//! A descent over the tokens. It never fails: words that can't be read become [`Act::Unread`] and a problem.

use std::collections::BTreeSet;

use super::lex::{Kind, Token};
use super::own::OwnStitches;
use super::place::Place;
use super::tree::*;
use crate::source::{Problem, Span};
use crate::terms::words::{self, Word};
use crate::terms::{Height, Terms};

/// What the reader of a round needs to know of the rest of the pattern.
#[derive(Debug, Clone, Default)]
pub(super) struct Names {
    pub terms: Terms,
    /// Letters and colour words of the yarns.
    pub yarns: Vec<String>,
    /// The letters among them that the pattern itself gives.
    pub given_letters: BTreeSet<String>,
    /// Stitches are written as single capital letters (`6V`).
    pub letter_code: bool,
    /// Stitches are written as single small letters (`6v`).
    pub small_letters: bool,
    /// Names of pieces and the last words of them, for comparing.
    pub pieces: BTreeSet<String>,
    /// Stitches that the pattern defines.
    pub own: OwnStitches,
    /// The words above the round have told which round's loops it goes into.
    pub in_loops: bool,
}

/// A round's body as read.
#[derive(Debug, Default)]
pub(super) struct BodyRead {
    pub items: Vec<Instruction>,
    pub stated: Option<Stated>,
    pub doubts: Doubts,
    pub problems: Vec<Problem>,
}

/// Reads the tokens of a round's body.
pub(super) fn read_round(
    tokens: &[Token<'_>],
    text: &str,
    names: &Names,
    first_round: bool,
) -> BodyRead {
    let mut reader = Reader::new(tokens, text, names, first_round);
    reader.pass_purpose();
    reader.pass_remark_in_front();
    let mut items = reader.list(None);
    reader.leave_the_last(&mut items);
    reader.alone_is_around(&mut items);
    reader.finish(items)
}

/// Reads tokens that are worked as those of a round are, but need not be one.
pub(super) fn read(tokens: &[Token<'_>], text: &str, names: &Names, first_round: bool) -> BodyRead {
    let mut reader = Reader::new(tokens, text, names, first_round);
    let items = reader.list(None);
    reader.finish(items)
}

pub(super) struct Reader<'a> {
    pub tokens: &'a [Token<'a>],
    pub text: &'a str,
    pub names: &'a Names,
    pub first_round: bool,
    pub at: usize,
    /// For each token the trade's word that begins there, and how many tokens it takes.
    pub(super) meanings: Vec<Option<(Word, usize)>>,
    /// For each token whether stitches are worked from there on, before any step.
    pub works_from: Vec<bool>,
    /// For each token, whether work starts there before the clause ends.
    pub clause_works: Vec<bool>,
    pub depth: usize,
    /// Reading ended before the end, and a problem says so.
    pub gave_up: bool,
    /// `**` marks a place in a repeat, because some words point to it.
    pub(super) marks_used: bool,
    pub stated: Option<Stated>,
    pub doubts: Doubts,
    pub problems: Vec<Problem>,
    /// Repeats that took in other repeats.
    pub(super) taken_in: u32,
    /// Instructions that words have asked for again, behind others.
    pub(super) worked_again: usize,
    /// Words that only say what the instruction after them does.
    pub announced: Option<Span>,
    /// A star has opened a repeat, and the next closes it.
    pub star_open: bool,
    /// Chains have been made right before, so that `in 2nd ch` is from the hook.
    pub after_chain: bool,
    /// A place named before its stitches: `in next ch-2 sp, (2 dc, ch 2, 2 dc)`.
    pub place_ahead: Option<Place>,
    /// The words that told it.
    pub place_ahead_span: Span,
    /// A part named before its stitches: `attach foot with 2 sc`.
    pub through_ahead: Option<Through>,
    /// A part that the next stitches go into on its own: `into the first fluke, sc in 6 sts`.
    pub part_ahead: Option<Through>,
}

/// Where a list began, for what comes after it to look back to.
pub(super) struct Open {
    /// Index in the list of the first item after the last open `*`.
    pub star: Option<(usize, Span)>,
    /// Index in the list of the first item after a second `*` that no number follows.
    pub star_end: Option<usize>,
    /// What stood between two stars, where words told how often: later ones may point back to it.
    pub starred: Option<Vec<Instruction>>,
    /// Index in the list at which `**` stands.
    pub mark: Option<usize>,
    /// The last item is a bracket that no number has been given for yet.
    pub bare_group: bool,
}

impl<'a> Reader<'a> {
    pub(super) fn new(
        tokens: &'a [Token<'a>],
        text: &'a str,
        names: &'a Names,
        first_round: bool,
    ) -> Reader<'a> {
        let marks_used = tokens.windows(2).any(|pair| {
            pair[0].kind == Kind::Word
                && matches!(&*pair[0].text, "at" | "to" | "from" | "before")
                && pair[1].kind == Kind::Star(2)
        });
        let meanings: Vec<_> = (0..tokens.len())
            .map(|at| meaning(tokens, at, names))
            .collect();
        Reader {
            works_from: super::total::works_from(&meanings),
            clause_works: super::elsewhere::clause_works(tokens, &meanings),
            meanings,
            tokens,
            text,
            names,
            first_round,
            at: 0,
            depth: 0,
            gave_up: false,
            marks_used,
            stated: None,
            doubts: Doubts::default(),
            problems: Vec::new(),
            taken_in: 0,
            worked_again: 0,
            announced: None,
            star_open: false,
            after_chain: false,
            place_ahead: None,
            place_ahead_span: Span::default(),
            through_ahead: None,
            part_ahead: None,
        }
    }

    fn finish(self, mut items: Vec<Instruction>) -> BodyRead {
        if let Some(words) = self.announced
            && let Some(item) = items.iter_mut().find(|item| item.span.start >= words.end)
        {
            item.span = words.to(item.span);
        }
        self.settle_heights(&mut items);
        BodyRead {
            items,
            stated: self.stated,
            doubts: self.doubts,
            problems: self.problems,
        }
    }

    pub(super) fn peek(&self) -> Option<&'a Token<'a>> {
        self.tokens.get(self.at)
    }

    pub(super) fn kind(&self, ahead: usize) -> Option<Kind> {
        self.tokens.get(self.at + ahead).map(|t| t.kind)
    }

    pub(super) fn is_word(&self, ahead: usize, word: &str) -> bool {
        self.tokens.get(self.at + ahead).is_some_and(|t| t.is(word))
    }

    pub(super) fn is_word_before(&self, word: &str) -> bool {
        self.at
            .checked_sub(1)
            .and_then(|at| self.tokens.get(at))
            .is_some_and(|t| t.is(word))
    }

    /// The bytes from one token's start to the end of the token before the cursor.
    pub(super) fn span_from(&self, first: usize) -> Span {
        let last = self.at.max(first + 1).min(self.tokens.len());
        match (
            self.tokens.get(first),
            last.checked_sub(1).and_then(|i| self.tokens.get(i)),
        ) {
            (Some(a), Some(b)) => a.span.to(b.span),
            (_, Some(b)) => Span::new(b.span.end, b.span.end),
            _ => Span::default(),
        }
    }

    /// The trade's word at the cursor and how many tokens it takes. Hyphens inside phrases count for nothing.
    pub(super) fn word(&self) -> Option<(Word, usize)> {
        self.word_ahead(0)
    }

    pub(super) fn word_ahead(&self, ahead: usize) -> Option<(Word, usize)> {
        *self.meanings.get(self.at + ahead)?
    }

    /// The number at the cursor, in digits or words, and how many tokens it takes.
    pub(super) fn number(&self) -> Option<(u32, usize)> {
        self.number_ahead(0)
    }

    pub(super) fn number_ahead(&self, ahead: usize) -> Option<(u32, usize)> {
        match self.kind(ahead)? {
            Kind::Number(n) => Some((n, 1)),
            Kind::Word => match self.word_ahead(ahead)? {
                (Word::Number(n), taken) => Some((n, taken)),
                _ => None,
            },
            _ => None,
        }
    }

    /// The ordinal at the cursor (`2nd`, `second`) and how many tokens it takes.
    pub(super) fn ordinal(&self) -> Option<(u32, usize)> {
        self.ordinal_ahead(0)
    }

    /// An ordinal `ahead` tokens on, and how many tokens it takes.
    pub(super) fn ordinal_ahead(&self, ahead: usize) -> Option<(u32, usize)> {
        match self.kind(ahead)? {
            Kind::Number(n) => {
                let suffix = self.tokens.get(self.at + ahead + 1)?;
                let is_suffix =
                    matches!(&*suffix.text, "st" | "nd" | "rd" | "th") && !suffix.spaced;
                is_suffix.then_some((n, 2))
            }
            Kind::Word => match self.word_ahead(ahead)? {
                (Word::Ordinal(n), taken) => Some((n, taken)),
                _ => None,
            },
            _ => None,
        }
    }

    /// True at `x`, `×` or `*` used as "times".
    pub(super) fn at_times_sign(&self, ahead: usize) -> bool {
        match self.kind(ahead) {
            Some(Kind::Times | Kind::Star(1)) => true,
            Some(Kind::Word) => self.is_word(ahead, "x"),
            _ => false,
        }
    }

    pub(super) fn at_separator(&self) -> bool {
        matches!(
            self.kind(0),
            None | Some(
                Kind::Comma
                    | Kind::Semicolon
                    | Kind::Stop
                    | Kind::Colon
                    | Kind::Close(_)
                    | Kind::Equals
                    | Kind::Arrow
                    | Kind::Ampersand
                    | Kind::Plus
                    | Kind::Slash
                    | Kind::Other
            )
        )
    }

    pub(super) fn problem(&mut self, problem: Problem) {
        self.problems.push(problem);
    }
}

/// The longest phrase of the trade that begins at a token, and how many tokens it takes. Hyphens and the full stops of
/// abbreviations inside phrases count for nothing.
fn meaning(tokens: &[Token<'_>], start: usize, names: &Names) -> Option<(Word, usize)> {
    let is_word = |index: usize| tokens.get(index).is_some_and(|t| t.kind == Kind::Word);
    let after = |index: usize| {
        let mut next = index + 1;
        while tokens
            .get(next)
            .is_some_and(|t| matches!(t.kind, Kind::Dash | Kind::Stop) && !t.spaced)
            && is_word(next + 1)
        {
            next += 1;
        }
        next
    };
    let nth = |n: usize| (0..n).fold(start, |index, _| after(index));
    let words = |n: usize| {
        Some(nth(n))
            .filter(|&index| is_word(index))
            .map(|index| &*tokens[index].text)
    };
    let own = names.own.longest(words);
    let own = own.map(|(place, taken)| (Word::Own(place), taken));
    let trade = words::longest(words, names.terms);
    // The pattern's own list wins.
    let (word, taken) = own
        .filter(|own| trade.is_none_or(|t| own.1 >= t.1))
        .or(trade)?;
    let end = nth(taken - 1) + 1;
    // `free loops of Rnd 15` are not those of the chain.
    const NEAR: usize = 4;
    let mut behind = tokens[end..].iter().take(NEAR);
    let of_a_round = names.in_loops || behind.any(|t| t.names_rounds() || t.is("r"));
    if word == Word::OtherSide && tokens[start].is("free") && of_a_round {
        return None;
    }
    // The full stop that ends `d.c.` or `rep.` belongs to it.
    let is_stop = |index: usize| {
        tokens
            .get(index)
            .is_some_and(|t| t.kind == Kind::Stop && !t.spaced)
    };
    let dotted = taken > 1 && is_stop(start + 1);
    let goes_on = word == Word::Repeat
        && tokens.get(end + 1).is_some_and(|t| match t.kind {
            // `rep. from *`, `rep. all round`, `rep. 5 times`
            Kind::Word => !t.has_capital(),
            Kind::Number(_) | Kind::Star(_) => true,
            _ => false,
        });
    let stop = usize::from(is_stop(end) && (dotted || goes_on));
    Some((word, end + stop - start))
}

/// A stitch into each, as far as the round goes.
pub(super) fn even(span: Span) -> Instruction {
    let act = Act::Work(Work {
        stitch: StitchWord::OPEN,
        each: 1,
        over: Over::Rest,
        target: Target::Next,
        hold: None,
        through: None,
        bare: Bare::No,
    });
    Instruction { act, span }
}

/// Where a repeat without star or bracket begins: after what only prepares the round.
pub fn start_of_repeat(items: &[Instruction]) -> usize {
    let prepares = |item: &Instruction| match &item.act {
        Act::Work(work) => work.stitch.height == Some(Height::Chain),
        act => !act.is_worked(),
    };
    items
        .iter()
        .position(|item| !prepares(item))
        .unwrap_or(items.len())
}

/// `sc, hdc around` as all of the list, again and again. The last item is the one that names the way.
pub fn list_around(items: &[Instruction]) -> Instruction {
    let mut items = items.to_vec();
    let span = items
        .first()
        .zip(items.last())
        .map_or(Span::default(), |(first, last)| first.span.to(last.span));
    if let Some(Instruction {
        act: Act::Work(work),
        ..
    }) = items.last_mut()
    {
        work.over = Over::Count(1);
        work.bare = Bare::No;
    }
    Instruction {
        act: Act::Repeat(Repeat {
            items,
            times: Times::Around,
            last_stops_after: None,
        }),
        span,
    }
}

impl Act {
    /// True if it makes a chain.
    pub(super) fn is_chain(&self) -> bool {
        matches!(self, Act::Work(work) if work.stitch.height == Some(Height::Chain) && !work.stitch.picot)
    }

    /// True if it makes a chain of so many.
    pub(super) fn is_chain_of(&self, n: u32) -> bool {
        matches!(self, Act::Work(work) if work.stitch.height == Some(Height::Chain) && work.each == n)
    }

    /// True if it ends a round: closed, or worked as far as the round goes.
    pub(super) fn goes_all_round(&self) -> bool {
        match self {
            Act::Close => true,
            Act::Work(work) => {
                work.over == Over::Rest || matches!(work.target, Target::Ring | Target::NewRing)
            }
            Act::Together(group) => group.over == Over::Rest,
            Act::Repeat(repeat) => repeat.times != Times::Exactly(1),
            Act::Evenly(_) | Act::AsRounds { .. } | Act::AsPiece { .. } => true,
            _ => false,
        }
    }

    /// True for what goes into each corner.
    pub fn goes_into_corners(&self) -> bool {
        match self {
            Act::Work(work) => (work.target, work.over) == (Target::Corner, Over::Rest),
            Act::Together(group) => (group.target, group.over) == (Target::Corner, Over::Rest),
            _ => false,
        }
    }

    /// True if it makes or passes over stitches.
    pub fn is_worked(&self) -> bool {
        matches!(
            self,
            Act::Work(_)
                | Act::Together(_)
                | Act::Repeat(_)
                | Act::Evenly(_)
                | Act::Skip { .. }
                | Act::AsRounds { .. }
                | Act::AsPiece { .. }
                | Act::GoOn { .. }
        )
    }
}

/// Calls `f` on every [`Work`] in a list, in the order of the text.
pub fn for_each_work(items: &mut [Instruction], f: &mut impl FnMut(&mut Work)) {
    for item in items {
        match &mut item.act {
            Act::Work(work) => f(work),
            Act::Together(group) => for_each_work(&mut group.items, f),
            Act::Repeat(repeat) => for_each_work(&mut repeat.items, f),
            _ => {}
        }
    }
}

/// Gives instructions that other words lend their place at the words that point to them.
pub fn place_all_at(items: &mut [Instruction], span: Span) {
    for item in items {
        item.span = span;
        match &mut item.act {
            Act::Repeat(repeat) => place_all_at(&mut repeat.items, span),
            Act::Together(group) => place_all_at(&mut group.items, span),
            _ => {}
        }
    }
}
