//! The body of a round: lists of instructions, brackets, stars and repeats.
//!
//! A descent over the tokens. It never fails: words that can't be read become [`Act::Unread`] and a problem.

use std::collections::BTreeSet;

use super::lex::{Bracket, Kind, Token};
use super::often::LastTime;
use super::own::OwnStitches;
use super::place::Place;
use super::tree::*;
use crate::source::{Problem, Span, limits};
use crate::terms::words::{self, Word};
use crate::terms::{Form, Height, Terms};

/// What the reader of a round needs to know of the rest of the pattern.
#[derive(Debug, Clone, Default)]
pub(super) struct Names {
    pub terms: Terms,
    /// Letters and colour words of the yarns.
    pub yarns: Vec<String>,
    /// Stitches are written as single capital letters (`6V`).
    pub letter_code: bool,
    /// Stitches are written as single small letters (`6v`).
    pub small_letters: bool,
    /// Names of pieces and the last words of them, for comparing.
    pub pieces: BTreeSet<String>,
    /// Stitches that the pattern defines.
    pub own: OwnStitches,
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
    let mut items = reader.list(None);
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
    meanings: Vec<Option<(Word, usize)>>,
    /// For each token whether stitches are worked from there on, before any step.
    pub works_from: Vec<bool>,
    pub depth: usize,
    /// Reading ended before the end, and a problem says so.
    pub gave_up: bool,
    /// `**` marks a place in a repeat, because some words point to it.
    marks_used: bool,
    pub stated: Option<Stated>,
    pub doubts: Doubts,
    pub problems: Vec<Problem>,
    /// Repeats that took in other repeats.
    taken_in: u32,
    /// Words that only say what the instruction after them does.
    pub announced: Option<Span>,
    /// A star has opened a repeat, and the next closes it.
    pub star_open: bool,
    /// A place named before its stitches: `in next ch-2 sp, (2 dc, ch 2, 2 dc)`.
    pub place_ahead: Option<Place>,
    /// The words that told it.
    pub place_ahead_span: Span,
    /// A part named before its stitches: `attach foot with 2 sc`.
    pub through_ahead: Option<Through>,
}

/// Where a list began, for what comes after it to look back to.
pub(super) struct Open {
    /// Index in the list of the first item after the last open `*`.
    pub star: Option<(usize, Span)>,
    /// Index in the list of the first item after a second `*` that no number follows.
    pub star_end: Option<usize>,
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
            announced: None,
            star_open: false,
            place_ahead: None,
            place_ahead_span: Span::default(),
            through_ahead: None,
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

    // ---- looking at tokens ----

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
        match self.kind(0)? {
            Kind::Number(n) => {
                let suffix = self.tokens.get(self.at + 1)?;
                let is_suffix =
                    matches!(&*suffix.text, "st" | "nd" | "rd" | "th") && !suffix.spaced;
                is_suffix.then_some((n, 2))
            }
            Kind::Word => match self.word()? {
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

    // ---- lists ----

    /// Instructions up to the closing bracket, or to the end.
    pub(super) fn list(&mut self, until: Option<(Bracket, Span)>) -> Vec<Instruction> {
        let mut items = Vec::new();
        let mut open = Open {
            star: None,
            star_end: None,
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
                    if until.is_none() {
                        self.trailing_total(token.kind, &items);
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
        if let Some((from, opened)) = open.star {
            self.at += 1;
            open.star = None;
            let Some((times, last)) = self.times(true) else {
                // Two stars and no number: `rep from *` may follow.
                open.star = Some((from, opened));
                open.star_end = Some(items.len());
                return;
            };
            self.wrap(items, from, times, last, open.mark.take(), opened);
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

    /// A bracket: a stated total, a remark, a yarn, or a group. True if it is a group with no number yet.
    fn bracket(&mut self, bracket: Bracket, items: &mut Vec<Instruction>) -> bool {
        let first = self.at;
        let open_span = self.tokens[first].span;
        if let Some(taken) = self.rounds_in_bracket() {
            self.at += taken;
            return false;
        }
        if matches!(self.kind(1), Some(Kind::Close(_))) {
            self.empty_bracket(first);
            return false;
        }
        if let Some(end) = self.total_in_bracket() {
            self.at = end;
            return false;
        }
        if self.depth >= limits::NESTING {
            self.problem(Problem::error(
                "nesting",
                open_span,
                format!(
                    "brackets are nested more than {} deep here",
                    limits::NESTING
                ),
            ));
            self.at = self.tokens.len();
            self.gave_up = true;
            return false;
        }
        if self.times_in_bracket(items) || self.explains(items) || self.remark_in_bracket(items) {
            return false;
        }
        self.at += 1;
        self.depth += 1;
        // `in each loop: (sc, hdc, sc)`: the place is that of the whole bracket.
        let ahead = self
            .place_ahead
            .take_if(|place| !matches!(place.target, Target::FromHook(_)));
        let inner = self.list(Some((bracket, open_span)));
        self.place_ahead = ahead.or(self.place_ahead);
        self.depth -= 1;
        let works = inner.iter().any(|item| item.act.is_worked());
        if !works {
            items.extend(inner);
            return false;
        }
        self.after_group(inner, first, items)
    }

    /// `() x 6`
    fn empty_bracket(&mut self, first: usize) {
        self.at += 2;
        if self.times(false).is_some() {
            let span = self.span_from(first);
            self.problem(Problem::error(
                "repeat-nothing",
                span,
                "there is nothing here to repeat",
            ));
        }
    }

    /// `sc, inc (x6)`: a number of times alone in a bracket.
    fn times_in_bracket(&mut self, items: &mut Vec<Instruction>) -> bool {
        let start = self.at;
        let mut opens = 1;
        while let Some((Word::Repeat | Word::Filler, taken)) = self.word_ahead(opens) {
            opens += taken;
        }
        let sign = opens - 1 + usize::from(self.at_times_sign(opens));
        let number = self.number_ahead(1 + sign);
        if let Some((n, taken)) = number
            && !items.is_empty()
        {
            let mut ahead = 1 + sign + taken;
            let mut said = sign > opens - 1;
            if self.at_times_sign(ahead) {
                said = true;
                ahead += 1;
            } else if let Some((Word::Times, taken)) = self.word_ahead(ahead) {
                said = true;
                ahead += taken;
            }
            while let Some((Word::Total, taken)) = self.word_ahead(ahead) {
                ahead += taken;
            }
            if said && matches!(self.kind(ahead), Some(Kind::Close(_))) {
                self.at += ahead + 1;
                let n = self.checked_times(n, start);
                let from = start_of_repeat(items);
                let span = self.span_from(start);
                self.wrap(items, from, Times::Exactly(n), LastTime::Whole, None, span);
                return true;
            }
        }
        false
    }

    /// `inc (2 sc in the same st)`: a bracket that only says what the stitch before it is.
    fn explains(&mut self, items: &mut [Instruction]) -> bool {
        if self.names_gathered(items) {
            return true;
        }
        let Some(Instruction {
            act: Act::Work(work),
            ..
        }) = items.last()
        else {
            return false;
        };
        // `ch 3 (counts as dc)` says what the chain is for.
        let is_chain = work.stitch.height == Some(Height::Chain);
        let changes = !is_chain && work.each > 1 || matches!(work.stitch.form, Form::Together(_));
        let glued =
            self.at > 0 && matches!(self.tokens[self.at - 1].kind, Kind::Word | Kind::Number(_));
        if !changes || !glued || work.target != Target::Next {
            return false;
        }
        let start = self.at;
        self.pass_bracket();
        let after = self.at;
        let multiplied = self.times(false).is_some() || self.group_place().is_some();
        self.at = if multiplied { start } else { after };
        !multiplied
    }

    /// `bobble (4 dc)`: how many, and of which stitch.
    fn names_gathered(&mut self, items: &mut [Instruction]) -> bool {
        let (Some((n, number)), Some(Act::Work(work))) =
            (self.number_ahead(1), items.last_mut().map(|i| &mut i.act))
        else {
            return false;
        };
        let n = n.clamp(2, 12) as u8;
        let form = match work.stitch.form {
            Form::Bobble(_) => Form::Bobble(n),
            Form::Popcorn(_) => Form::Popcorn(n),
            Form::Puff(_) => Form::Puff(n),
            _ => return false,
        };
        let Some((Word::Stitch(height), taken)) = self.word_ahead(1 + number) else {
            return false;
        };
        let closes = matches!(self.kind(1 + number + taken), Some(Kind::Close(_)));
        if !closes || height <= Height::Slip {
            return false;
        }
        work.stitch.form = form;
        work.stitch.height = Some(height);
        self.at += 2 + number + taken;
        true
    }

    /// What follows a closed group: a place to work it into, a number of times, or nothing.
    fn after_group(
        &mut self,
        inner: Vec<Instruction>,
        first: usize,
        items: &mut Vec<Instruction>,
    ) -> bool {
        let place = self.group_place().or_else(|| self.place_ahead.take());
        let has_place = place.is_some();
        let from = items.len();
        let act = match place {
            Some(Place {
                over, target, hold, ..
            }) => Act::Together(Group {
                items: inner,
                over,
                target,
                hold,
            }),
            None => Act::Repeat(Repeat {
                items: inner,
                times: Times::Exactly(1),
                last_stops_after: None,
            }),
        };
        let span = self.span_from(first);
        items.push(Instruction { act, span });
        if let Some((times, last)) = self.times(!has_place).or_else(|| self.times_before_total()) {
            if has_place {
                self.wrap(items, from, times, last, None, span);
            } else if let Act::Repeat(repeat) = &mut items[from].act {
                let inner = std::mem::take(&mut repeat.items);
                items.truncate(from);
                items.extend(inner);
                // `[sc] [dec] x 6`: both.
                let beside = first
                    .checked_sub(1)
                    .is_some_and(|at| matches!(self.tokens[at].kind, Kind::Close(_)));
                let times = match (times, items[..from].last().map(|item| &item.act)) {
                    (Times::Exactly(n), Some(Act::Repeat(other)))
                        if beside && other.times == Times::Exactly(1) =>
                    {
                        self.doubts.of_all = true;
                        Times::Loose(n)
                    }
                    (times, _) => times,
                };
                self.wrap(items, from, times, last, None, span);
                items[from].span = self.span_from(first);
            }
            self.hold_after(&mut items[from..]);
            return false;
        }
        self.hold_after(&mut items[from..]);
        !has_place
    }

    /// `(sc, dec) x 6 in BLO`: the loop goes for all of the group.
    fn hold_after(&mut self, items: &mut [Instruction]) {
        let start = self.at;
        let Some(place) = self.place().filter(|place| place.loop_only) else {
            self.at = start;
            return;
        };
        for_each_work(items, &mut |work| {
            work.hold = work.hold.or(place.hold);
        });
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

    /// `Rnd 7: sc (24)`: the only stitch of a round, with neither number nor place, goes into every stitch.
    fn alone_is_around(&self, items: &mut [Instruction]) {
        let total = self.stated.map_or(Span::default(), |stated| stated.span);
        let says_more = self.tokens.iter().enumerate().any(|(at, token)| {
            let in_total = total.start <= token.span.start && token.span.end <= total.end;
            let meaning = self.meanings[at].map(|(word, _)| word);
            !in_total
                && (matches!(token.kind, Kind::Number(_) | Kind::Open(_) | Kind::Star(_))
                    || matches!(
                        meaning,
                        Some(
                            Word::Number(_)
                                | Word::TimesWord(_)
                                | Word::Next
                                | Word::First
                                | Word::Last
                                | Word::Same
                                | Word::In
                                | Word::Together
                                | Word::Ordinal(_)
                        )
                    ))
        });
        self.all_of_the_edge(items);
        let mut worked = items.iter_mut().filter(|item| item.act.is_worked());
        if let (Some(item), None, false, false) =
            (worked.next(), worked.next(), says_more, self.first_round)
            && let Act::Work(work) = &mut item.act
            && work.over == Over::Count(1)
            && work.target == Target::Next
            && work.through.is_none()
            && work.bare == Bare::No
            && work
                .stitch
                .height
                .is_none_or(|height| height > Height::Slip)
            && !work.stitch.picot
            && self.stated.and_then(|stated| stated.stitches) != Some(1)
        {
            work.over = Over::Rest;
        }
    }

    /// `sc evenly around the edge (30)`: the total says how many.
    fn all_of_the_edge(&self, items: &mut [Instruction]) {
        let mut worked = items.iter_mut().filter(|item| item.act.is_worked());
        if let (Some(item), None) = (worked.next(), worked.next())
            && let Act::Work(work) = &mut item.act
            && let (Target::Border(Border::All), Over::Rest) = (work.target, work.over)
            && let Some(n) = self.stated.and_then(|stated| stated.stitches)
        {
            work.over = Over::Count(n);
        }
    }

    // ---- heights that the round leaves open ----

    /// `inc` and `dec` take the height of the round's other stitches where these are all of one height; else single.
    fn settle_heights(&self, items: &mut [Instruction]) {
        let mut seen: Option<Height> = None;
        let mut mixed = false;
        for_each_work(items, &mut |work| {
            if let Some(height) = work.stitch.height
                && height > Height::Slip
                && !work.stitch.picot
            {
                mixed |= seen.is_some_and(|s| s != height);
                seen = Some(height);
            }
        });
        let height = match (seen, mixed) {
            (Some(height), false) => height,
            _ => return,
        };
        for_each_work(items, &mut |work| {
            work.stitch.height.get_or_insert(height);
        });
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
    // The full stop that ends `d.c.` or `rep.` belongs to it.
    let is_stop = |index: usize| {
        tokens
            .get(index)
            .is_some_and(|t| t.kind == Kind::Stop && !t.spaced)
    };
    let dotted = taken > 1 && is_stop(start + 1);
    let goes_on = word == Word::Repeat
        && tokens
            .get(end + 1)
            .is_some_and(|t| t.is("from") || matches!(t.kind, Kind::Star(_)));
    let stop = usize::from(is_stop(end) && (dotted || goes_on));
    Some((word, end + stop - start))
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
    /// True if it makes a chain of so many.
    fn is_chain_of(&self, n: u32) -> bool {
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
            Act::Evenly(_) => true,
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
