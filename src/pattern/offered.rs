//! What a round offers to be worked one way or another: `dec (or sc2tog)`, `front post, or plain, sc around`,
//! `…, or sew it on later: work the 4 sc into the body alone`. It is read by the words named first, and once more for each
//! other way, with those words in the place of the first.

use super::body::{self, BodyRead, Names, Reader};
use super::clause::step_of;
use super::lex::{Kind, Token};
use super::tree::Offered;
use crate::source::{Level, Span};
use crate::terms::words::Word;

/// Most ways besides the first that one round may offer.
const MOST: usize = 3;

/// The round read by the words named first, and the other ways; as it was read, where the words do not come apart so.
pub(super) fn taken_apart(
    read: BodyRead,
    tokens: &[Token<'_>],
    text: &str,
    names: &Names,
    first_round: bool,
) -> (BodyRead, Vec<Offered>) {
    let is_clean = |read: &BodyRead| read.problems.iter().all(|p| p.level <= Level::Note);
    if is_clean(&read) || !tokens.iter().any(|t| t.is("or")) {
        return (read, Vec::new());
    }
    let (first, ways) = apart(tokens, text, names);
    let better = body::read_round(&first, text, names, first_round);
    let mut offered = Vec::new();
    for (tokens, span) in ways {
        let other = body::read_round(&tokens, text, names, first_round);
        if !is_clean(&other) || other.items.is_empty() {
            return (read, Vec::new());
        }
        offered.push(Offered {
            body: other.items,
            doubts: other.doubts,
            span,
        });
    }
    if offered.is_empty() || !is_clean(&better) {
        return (read, Vec::new());
    }
    (better, offered)
}

/// The words of a round with what is named first alone, and each other way with its words.
type Apart<'s> = (Vec<Token<'s>>, Vec<(Vec<Token<'s>>, Span)>);

fn apart<'s>(tokens: &[Token<'s>], text: &str, names: &Names) -> Apart<'s> {
    let mut first = tokens.to_vec();
    let mut ways = Vec::new();
    while ways.len() < MOST
        && let Some(at) = first.iter().position(|t| t.is("or"))
        && let Some(choice) = Sides::new(&first, text, names).choice(at)
    {
        let span = first[choice.words.0]
            .span
            .to(first[choice.words.1 - 1].span);
        let put = |middle: (usize, usize), parts: [(usize, usize); 2]| {
            let [before, after] = parts.map(|(from, to)| first[from..to].iter());
            let middle = first[middle.0..middle.1].iter();
            before
                .chain(middle)
                .chain(after)
                .cloned()
                .collect::<Vec<_>>()
        };
        let end = first.len();
        let other = put(choice.other, [(0, choice.replaced), (choice.after, end)]);
        let main = put((0, 0), [(0, choice.first_end), (choice.after, end)]);
        ways.push((other, span));
        first = main;
    }
    (first, ways)
}

/// Places in a round's tokens.
struct Choice {
    /// Where the words that the other way replaces begin.
    replaced: usize,
    /// Where those named first end.
    first_end: usize,
    /// The words of the other way.
    other: (usize, usize),
    /// Where the words begin that belong to both.
    after: usize,
    /// All that says the other way.
    words: (usize, usize),
}

struct Sides<'a> {
    tokens: &'a [Token<'a>],
    reader: Reader<'a>,
}

impl<'a> Sides<'a> {
    fn new(tokens: &'a [Token<'a>], text: &'a str, names: &'a Names) -> Sides<'a> {
        Sides {
            tokens,
            reader: Reader::new(tokens, text, names, false),
        }
    }

    fn word(&self, at: usize) -> Option<Word> {
        self.reader.word_ahead(at).map(|(word, _)| word)
    }

    fn kind(&self, at: usize) -> Option<Kind> {
        self.tokens.get(at).map(|t| t.kind)
    }

    fn parts(&self, at: usize) -> bool {
        matches!(
            self.kind(at),
            None | Some(
                Kind::Comma
                    | Kind::Semicolon
                    | Kind::Stop
                    | Kind::Colon
                    | Kind::Open(_)
                    | Kind::Close(_)
                    | Kind::Star(_)
                    | Kind::Other
            )
        )
    }

    fn names_stitch(&self, from: usize, to: usize) -> bool {
        (from..to).any(|at| self.word(at).is_some_and(Word::names_stitch))
    }

    /// Where the clause begins that ends before a token; brackets in it are whole.
    fn clause_before(&self, end: usize) -> usize {
        let mut depth = 0;
        for at in (0..end).rev() {
            match self.kind(at) {
                Some(Kind::Close(_)) => depth += 1,
                Some(Kind::Open(_)) if depth > 0 => depth -= 1,
                _ if depth == 0 && self.parts(at) => return at + 1,
                _ => {}
            }
        }
        0
    }

    /// Where a clause ends; a bracket that opens it is part of it, one that follows may be a total.
    fn clause_end(&self, from: usize) -> usize {
        let mut depth = 0;
        for at in from..self.tokens.len() {
            match self.kind(at) {
                Some(Kind::Open(_)) if depth > 0 || at == from => depth += 1,
                Some(Kind::Close(_)) if depth > 0 => depth -= 1,
                _ if depth == 0 && self.parts(at) => return at,
                _ => {}
            }
        }
        self.tokens.len()
    }

    /// Where the bracket closes in which a token stands.
    fn closed(&self, from: usize) -> Option<usize> {
        let mut depth = 0;
        (from..self.tokens.len()).find(|&at| {
            match self.kind(at) {
                Some(Kind::Open(_)) => depth += 1,
                Some(Kind::Close(_)) if depth == 0 => return true,
                Some(Kind::Close(_)) => depth -= 1,
                _ => {}
            }
            false
        })
    }

    /// What is offered by the "or" at a place.
    fn choice(&self, at: usize) -> Option<Choice> {
        let before = at.checked_sub(1)?;
        match self.kind(before)? {
            Kind::Open(_) => self.in_bracket(before, at),
            Kind::Comma => self.between_commas(before, at),
            Kind::Word | Kind::Number(_) | Kind::Close(_) => self.in_line(at),
            _ => None,
        }
    }

    /// `dec (or sc2tog) 6 times`
    fn in_bracket(&self, open: usize, at: usize) -> Option<Choice> {
        let close = self.closed(at)?;
        let mut first_end = open;
        if first_end > 0 && self.kind(first_end - 1) == Some(Kind::Comma) {
            first_end -= 1;
        }
        // `(or plain, sc)`: the stitch is told behind the comma.
        let says_nothing = |at: usize| matches!(self.word(at), None | Some(Word::Filler));
        let comma = (at + 1..close)
            .find(|&at| self.kind(at) == Some(Kind::Comma))
            .filter(|&comma| (at + 1..comma).all(says_nothing));
        let from = comma.unwrap_or(at) + 1;
        let other = (from, self.cut(from, close));
        let start = self.clause_before(first_end);
        Some(Choice {
            replaced: self.replaced(start, first_end, other)?,
            first_end,
            other,
            after: close + 1,
            words: (at, close),
        })
    }

    /// `front post, or plain, sc around`, `4 sc through both layers, or sew it on later: 4 sc, …`
    fn between_commas(&self, comma: usize, at: usize) -> Option<Choice> {
        let mut from = at + 1;
        let mut end = self.clause_end(from);
        // `or sew it on later: work the 4 sc into the body alone`
        let later = (from..end).any(|at| self.word(at).and_then(step_of).is_some());
        if later && self.kind(end) == Some(Kind::Colon) {
            from = end + 1;
            end = self.clause_end(from);
        }
        let start = self.clause_before(comma);
        let other = (from, self.cut(from, end));
        // A place, or the stitch itself, that follows is of both.
        let goes_on = matches!(
            self.word(end + 1),
            Some(Word::In | Word::Around | Word::Each | Word::All)
        );
        let shared =
            self.kind(end) == Some(Kind::Comma) && (goes_on || !self.names_stitch(start, comma));
        Some(Choice {
            replaced: self.replaced(start, comma, other)?,
            first_end: comma,
            other,
            after: end + usize::from(shared),
            words: (at, end),
        })
    }

    /// `inc or 2 sc in next st x 6`
    fn in_line(&self, at: usize) -> Option<Choice> {
        let start = self.clause_before(at);
        let names_place = (start..at).any(|at| self.word(at) == Some(Word::In));
        let end = (at + 1..self.clause_end(at + 1))
            .find(|&end| {
                let number = self.reader.number_ahead(end);
                let times = number.is_some_and(|(_, taken)| {
                    self.word(end + taken) == Some(Word::Times)
                        || self.reader.at_times_sign(end + taken)
                });
                let signed =
                    self.reader.at_times_sign(end) && self.reader.number_ahead(end + 1).is_some();
                let place = !names_place && self.names_stitch(at + 1, end);
                times
                    || signed
                    || matches!(self.word(end), Some(Word::Around | Word::TimesWord(_)))
                    || place
                        && self.word(end) == Some(Word::In)
                        && matches!(self.word(end + 1), Some(Word::Each | Word::All))
            })
            .unwrap_or_else(|| self.clause_end(at + 1));
        let other = (at + 1, self.cut(at + 1, end));
        Some(Choice {
            replaced: self.replaced(start, at, other)?,
            first_end: at,
            other,
            after: end,
            words: (at, end),
        })
    }

    /// The end of the other way's words, less those that only say when it is for: `if you prefer`, `into the body alone`.
    fn cut(&self, from: usize, to: usize) -> usize {
        const REASONS: &[&str] = &["if", "for", "instead", "as"];
        let reason = |at: &usize| REASONS.iter().any(|word| self.tokens[*at].is(word));
        let to = (from..to).find(reason).unwrap_or(to);
        let alone = to > from && self.tokens[to - 1].is("alone");
        let place = (from..to)
            .rev()
            .find(|&at| alone && self.word(at) == Some(Word::In));
        place.unwrap_or(to)
    }

    /// Where the words begin, of those from `start` to `end`, that another way replaces: its own number and its own
    /// stitch stand for theirs, a place for their place.
    fn replaced(&self, start: usize, end: usize, other: (usize, usize)) -> Option<usize> {
        if other.0 >= other.1 || start >= end {
            return None;
        }
        if self.names_stitch(other.0, other.1) || !self.names_stitch(start, end) {
            let number = self.reader.number_ahead(start);
            let counts = (other.0..other.1).any(|at| self.reader.number_ahead(at).is_some());
            return Some(match number {
                Some((_, taken)) if !counts => start + taken,
                _ => start,
            });
        }
        (start..end).rev().find(|&at| {
            matches!(
                self.word(at),
                Some(
                    Word::In
                        | Word::Through
                        | Word::Around
                        | Word::BackLoop
                        | Word::FrontLoop
                        | Word::BothLoops
                )
            )
        })
    }
}
