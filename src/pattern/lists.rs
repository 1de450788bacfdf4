//! Lists of instructions: what commas part, stars open and close, and numbers multiply.

use super::body::{Open, Reader};
use super::lex::{Bracket, Kind};
use super::often::LastTime;
use super::tree::*;
use crate::source::{Problem, Span, limits};
use crate::terms::words::Word;

impl Reader<'_> {
    /// Instructions up to the closing bracket, or to the end.
    pub(super) fn list(&mut self, until: Option<(Bracket, Span)>) -> Vec<Instruction> {
        let mut items = Vec::new();
        let mut open = Open {
            star: None,
            star_end: None,
            starred: None,
            mark: None,
            bare_group: false,
        };
        while let Some(token) = self.peek() {
            let before = self.at;
            self.star_open = open.star.is_some() && open.star_end.is_none();
            match token.kind {
                Kind::Close(bracket) => {
                    self.at += 1;
                    if let Some((opened, _)) = until {
                        if opened != bracket {
                            self.problem(Problem::warning(
                                "close-bracket",
                                token.span,
                                "this bracket closes one of another kind",
                            ));
                        }
                        self.close_star(&mut items, &mut open);
                        return items;
                    }
                    self.problem(Problem::error(
                        "close-bracket",
                        token.span,
                        "this bracket closes nothing",
                    ));
                }
                Kind::Star(count) => self.star(count, &mut items, &mut open),
                Kind::Open(bracket) => {
                    let group = self.bracket(bracket, &mut items);
                    open.bare_group = group;
                }
                Kind::Dash if self.times_after_dash(&mut items, until.is_none()) => {}
                Kind::Dash
                | Kind::Equals
                | Kind::Arrow
                | Kind::Comma
                | Kind::Semicolon
                | Kind::Stop
                | Kind::Colon => {
                    if token.kind == Kind::Colon {
                        self.drop_announced(&mut items);
                    }
                    self.at += 1;
                    if until.is_none() && !self.pass_remark_behind_total(token.kind, &items) {
                        self.trailing_total(token.kind, &items);
                    }
                    let tells = matches!(token.kind, Kind::Comma | Kind::Colon);
                    if tells && until.is_none() && self.stated.is_none() {
                        self.pass_things_told(&mut items);
                    }
                }
                Kind::Word | Kind::Number(_) => {
                    if !self.repeat_phrase(&mut items, &mut open)
                        && !self.alternating(&mut items)
                        && !self.times_for_list(&mut items, &mut open)
                        && !self.times_of_clause(&mut items, until.is_none())
                    {
                        open.bare_group = false;
                        self.clause(&mut items, until.is_none());
                    }
                }
                _ => self.at += 1,
            }
            if self.at == before {
                self.at += 1;
            }
        }
        if let Some((_, span)) = until
            && !self.gave_up
        {
            self.problem(
                Problem::error("open-bracket", span, "this bracket is never closed")
                    .help("close it before the number of times or the total"),
            );
        }
        self.close_star(&mut items, &mut open);
        items
    }

    /// A list that opened with a star and was never told how often: around, if a total can tell.
    fn close_star(&mut self, items: &mut Vec<Instruction>, open: &mut Open) {
        let Some((from, span)) = open.star.take().filter(|&(from, _)| from < items.len()) else {
            return;
        };
        let told = self.stated.is_some_and(|stated| stated.stitches.is_some());
        if told && open.star_end.is_some() {
            self.problem(Problem::note(
                "reading-taken",
                span,
                "these words do not say how often this is repeated: read as around",
            ));
        } else {
            self.problem(
                Problem::error("open-star", span, "what stands after this star is never said to be repeated")
                    .help("write how often: `rep from * around`, or close it with a second star and a number"),
            );
        }
        let end = open.star_end.take().unwrap_or(items.len());
        let after = items.split_off(end.min(items.len()));
        if from < items.len() {
            self.wrap(items, from, Times::Around, LastTime::Whole, None, span);
        }
        items.extend(after);
    }

    fn star(&mut self, count: u8, items: &mut Vec<Instruction>, open: &mut Open) {
        let token = &self.tokens[self.at];
        let span = token.span;
        if count >= 2 {
            self.at += 1;
            if self.marks_used {
                open.mark = Some(items.len());
            }
            return;
        }
        if self.at_italics_in_bracket() {
            self.at += 1;
            return;
        }
        if let Some((from, opened)) = open.star {
            self.at += 1;
            open.star = None;
            let Some((times, last)) = self.times(true) else {
                // Two stars and no number: `rep from *` may follow.
                open.star = Some((from, opened));
                open.star_end = Some(items.len());
                return;
            };
            open.starred = items.get(from..).map(<[Instruction]>::to_vec);
            self.wrap(items, from, times, last, open.mark.take(), opened);
            return;
        }
        if !items.is_empty() && self.depth == 0 && self.total_in_italics() {
            return;
        }
        // `(sc, inc) * 6`, `inc*6`: a sign for "times".
        if !items.is_empty()
            && self.number_ahead(1).is_some()
            && self.ends_after_number(2)
            && let Some((times, last)) = self.times(true)
        {
            let from = items.len() - 1;
            let after_others = items[..from].iter().any(|item| item.act.is_worked());
            let times = match times {
                Times::Exactly(n) if after_others => {
                    self.doubts.of_all = true;
                    Times::Loose(n)
                }
                times => times,
            };
            self.wrap(items, from, times, last, None, span);
            return;
        }
        self.at += 1;
        open.star = Some((items.len(), span));
        open.star_end = None;
    }

    /// At a star of `(*black*)`.
    fn at_italics_in_bracket(&self) -> bool {
        let is = |from: usize| {
            matches!(
                self.tokens.get(from..from + 5),
                Some([open, star, word, end, close])
                    if matches!(open.kind, Kind::Open(_))
                        && star.kind == Kind::Star(1)
                        && word.kind == Kind::Word
                        && end.kind == Kind::Star(1)
                        && matches!(close.kind, Kind::Close(_))
            )
        };
        [1, 3]
            .iter()
            .any(|back| self.at.checked_sub(*back).is_some_and(is))
    }

    /// True if what stands `ahead` tokens on can't belong to a number before it.
    pub(super) fn ends_after_number(&self, ahead: usize) -> bool {
        match self.kind(ahead) {
            Some(Kind::Word) => matches!(
                self.word_ahead(ahead),
                Some((
                    Word::Times
                        | Word::In
                        | Word::Around
                        | Word::And
                        | Word::More
                        | Word::Total
                        | Word::BackLoop
                        | Word::FrontLoop,
                    _
                ))
            ),
            Some(Kind::Number(_)) => false,
            _ => true,
        }
    }

    /// Turns the items from `from` on into one repeat.
    pub(super) fn wrap(
        &mut self,
        items: &mut Vec<Instruction>,
        from: usize,
        times: Times,
        last: LastTime,
        mark: Option<usize>,
        span: Span,
    ) {
        let inner: Vec<Instruction> = items.drain(from.min(items.len())..).collect();
        if inner.is_empty() {
            self.problem(Problem::error(
                "repeat-nothing",
                span,
                "there is nothing here to repeat",
            ));
            return;
        }
        // `sc, rep twice, rep twice, …`: each takes in the one before.
        self.taken_in += u32::from(inner.iter().any(|item| matches!(item.act, Act::Repeat(_))));
        if self.taken_in as usize > limits::NESTING {
            if !self.gave_up {
                self.problem(Problem::error(
                    "nesting",
                    span,
                    format!(
                        "repeats take each other in more than {} deep here",
                        limits::NESTING
                    ),
                ));
            }
            self.at = self.tokens.len();
            self.gave_up = true;
            items.extend(inner);
            return;
        }
        let last_stops_after = match last {
            LastTime::Whole => None,
            LastTime::Omitting(count) => Some(inner.len().saturating_sub(count)),
            LastTime::AfterChain(n) => inner
                .iter()
                .rposition(|item| item.act.is_chain_of(n))
                .map(|at| at + 1),
            LastTime::AtMark => mark.map(|m| m.saturating_sub(from).min(inner.len())),
        };
        if matches!(times, Times::Unsure(_)) {
            self.doubts.times_more = true;
        }
        let span = inner[0]
            .span
            .to(self.span_from(self.at.saturating_sub(1)))
            .to(span);
        items.push(Instruction {
            act: Act::Repeat(Repeat {
                items: inner,
                times,
                last_stops_after,
            }),
            span,
        });
    }
}
