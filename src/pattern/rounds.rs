//! A round's lines → [`Round`]: its label checked, its remark and its body read.

use std::borrow::Cow;

use super::also;
use super::assemble::Assembler;
use super::blocks::RawRound;
use super::body;
use super::heading;
use super::label::RawLabel;
use super::length::{self, Found, Until};
use super::lex::{Kind, Token};
use super::misspelt;
use super::pairs;
use super::rows;
use super::table;
use super::tree::*;
use super::{offered, sizes};
use crate::source::{Level, Problem, Span, limits, quoted};
use crate::terms::colours;

impl<'s> Assembler<'s> {
    pub(super) fn round(&mut self, mut raw: RawRound<'s>) {
        let body_at = raw.label.body.min(raw.tokens.len());
        let goes_along = goes_into_row_ends(&raw.tokens[body_at..]);
        self.put_on_the_edge(&mut raw.label, goes_along);
        let last = raw.label.end.clamp(raw.label.start + 1, raw.tokens.len()) - 1;
        let label_span = raw.tokens[raw.label.start].span.to(raw.tokens[last].span);
        let words_start = raw
            .tokens
            .get(body_at)
            .map_or(label_span.end, |t| t.span.start);
        let span = raw
            .tokens
            .last()
            .map_or(label_span, |t| label_span.to(t.span));
        if let Some((at, meant)) = raw.label.slip {
            let slip = raw.tokens[at].span;
            self.problems.push(
                Problem::warning(
                    "label-slip",
                    label_span.to(slip),
                    format!(
                        "there is a slip in this label: {} is read as `{meant}`",
                        quoted(&self.text[slip.range()])
                    ),
                )
                .help(format!("write `{meant}`"))
                .mend(slip, meant),
            );
        }
        let mut numbers = raw.label.numbers.clone();
        let opens_piece = self.opens_piece(
            &numbers,
            raw.label.relative,
            &raw.tokens[body_at.min(raw.tokens.len())..],
        );
        if opens_piece && self.pattern.pieces.len() >= limits::PIECES {
            self.too_many_pieces(label_span);
            return;
        }
        if !opens_piece {
            self.part_off_pair(&raw.tokens[body_at..], label_span);
        }
        if opens_piece {
            let first = numbers.first().map_or(0, |run| run.0);
            self.open_piece(label_span, first);
            if first > 1
                && let Some(noun) = pairs::joined(&raw.tokens[body_at..])
            {
                self.make_a_pair(&noun.text);
                self.carry_chain();
            }
            if raw.label.unwritten {
                self.problems.push(
                    Problem::note(
                        "label-unwritten",
                        span,
                        "the rounds of this piece have no labels: each line is read as one, counted from 1",
                    )
                    .help("open each with a label such as `Rnd 1:`"),
                );
            }
            if raw.label.stands_last {
                self.problems.push(
                    Problem::note(
                        "last-round-first",
                        label_span,
                        "the rounds of this piece stand with the last one first: read from the lowest line up",
                    )
                    .help("put round 1 first, as makers work"),
                );
            }
        } else {
            // What stands below a heading that the rounds go on under is said between them.
            self.heading = None;
            self.settle_waiting();
        }
        if raw.label.relative > 0 {
            let last = self.numbering.highest();
            numbers = vec![(
                last.saturating_add(1),
                last.saturating_add(raw.label.relative),
            )];
        }
        let mut tokens = Cow::Borrowed(&raw.tokens[body_at..]);
        if let Some(run) = numbers.last_mut()
            && let Some(also) = also::find(&tokens, run.1)
        {
            run.1 = also.numbers.1;
            tokens.to_mut().drain(also.first..also.end);
        }
        self.check_numbers(&mut numbers, label_span);
        self.numbering.add(&numbers, label_span, &mut self.problems);
        // `Begin with 6 sc in the ring`, and below it Rnd 1.
        let piece = self.pattern.pieces.last();
        let begun = piece.is_some_and(|p| p.lines.iter().any(|l| matches!(l, Line::Round(_))));
        let first_round = numbers.first().is_some_and(|run| run.0 <= 1) && !begun;
        let mut round = Round {
            label: Label {
                is_row: raw.label.is_row
                    || self.numbering.in_rows && rows::is_open(&self.text[label_span.range()]),
                numbers,
                wrong_side: None,
                span: label_span,
            },
            body: Vec::new(),
            ending: Vec::new(),
            choices: Vec::new(),
            several_sizes: false,
            stated: None,
            doubts: Doubts::default(),
            flawed: false,
            words: Span::new(words_start, span.end.max(words_start)),
            span,
        };
        if let Some(Token {
            kind: Kind::Number(total),
            span,
            ..
        }) = raw.label.total.and_then(|at| raw.tokens.get(at))
        {
            round.stated = Some(Stated {
                stitches: Some(*total),
                span: *span,
                ..Stated::default()
            });
        }
        self.remark(&raw.tokens[raw.label.remark.clone()], &mut round);
        let mut change = None;
        if raw.label.in_table {
            tokens = Cow::Owned(self.cells(&tokens, &mut round));
            change = table::change_only(&tokens, &round, first_round, &self.names, self.text);
        }
        let known = self.several_sizes;
        if let Some((first, span)) = sizes::of_the_first(&tokens, self.text, &self.names, known) {
            *tokens.to_mut() = first;
            round.several_sizes = true;
            if !known {
                self.says_sizes(span);
            }
        }
        let on = self.goes_on_until(&tokens).map(|found| {
            let words = found.words(&tokens);
            (found, words)
        });
        if let Some((found, _)) = &on {
            let rest = tokens[found.end..].to_vec();
            let tokens = tokens.to_mut();
            tokens.truncate(found.first);
            tokens.extend(rest);
        }
        self.names.in_loops = self.loops_are_told();
        if change.is_some() {
            tokens = Cow::Owned(Vec::new());
        }
        let read = body::read_round(&tokens, self.text, &self.names, first_round);
        let read = misspelt::mended(read, &tokens, self.text, &self.names, first_round);
        let (read, choices) =
            offered::taken_apart(read, &tokens, self.text, &self.names, first_round);
        round.choices = choices;
        round.flawed = read.problems.iter().any(|p| p.level == Level::Error);
        self.problems.extend(read.problems);
        round.body.extend(change.unwrap_or(read.items));
        let evenly = || tokens.iter().any(|t| t.is("evenly"));
        if !round.label.is_row && (raw.label.edging || evenly()) && self.ends_in_a_row() {
            edge_all_round(&mut round.body, read.stated);
        }
        if let Some(laid) = self.laid.take() {
            go_through(&laid, &mut round.body);
        }
        if opens_piece {
            self.go_on_from_before(&mut round);
        }
        let before = round.label.each().next().unwrap_or(1).saturating_sub(1);
        for item in &mut round.body {
            if let Act::AsRounds { first: 0, last: 0 } = item.act {
                let (first, last) = (before, before);
                item.act = Act::AsRounds { first, last };
            }
        }
        round.stated = read.stated.or(round.stated);
        round.doubts = read.doubts;
        if says_only_how(&round) {
            round.body.push(body::even(round.words));
        } else if tokens.is_empty() && round.body.is_empty() {
            round.flawed = true;
            self.problems.push(Problem::error(
                "unread",
                label_span,
                "this round says nothing",
            ));
        }
        let more = on.and_then(|(found, words)| self.more_of(&mut round, found, words));
        if let Some(piece) = self.pattern.pieces.last_mut() {
            piece.lines.push(Line::Round(round));
            piece.lines.extend(more.map(Line::RepeatRounds));
        }
    }

    /// True if the words right above a round say whose loops it goes into: `Join yarn in a front loop left free by Rnd 3.`
    fn loops_are_told(&self) -> bool {
        let lines = self.pattern.pieces.last().map(|piece| &piece.lines);
        let above = lines.into_iter().flatten().rev();
        let mut between = above.take_while(|line| !matches!(line, Line::Round(_)));
        between.any(|line| match line {
            Line::Between(between) => between
                .acts
                .iter()
                .any(|item| matches!(item.act, Act::IntoRound { .. })),
            _ => false,
        })
    }

    /// `## Border` above rounds that count from 1, below a piece worked in rows: they go on with that piece.
    /// So do rounds below no name whose first goes into the ends of the rows.
    fn put_on_the_edge(&mut self, label: &mut RawLabel, goes_along: bool) {
        let name = match (&self.heading, self.name_in_waiting()) {
            (Some((_, _, name)), _) => Some(name.name.to_lowercase()),
            (None, Some(at)) => {
                let line = &self.waiting[at];
                Some(heading::read(&line.tokens, self.text).name.to_lowercase())
            }
            (None, None) => None,
        };
        let is_border = name.as_deref().is_some_and(|name| {
            matches!(
                name,
                "border" | "edging" | "the border" | "the edging" | "trim"
            )
        });
        if name.is_some() {
            let opens = label.numbers.first().is_some_and(|run| {
                !label.is_row && (run.0 == 1 || self.numbering.continues_at(run.0))
            });
            self.bordering = is_border && opens && self.ends_in_a_row();
            label.edging |= self.bordering;
        } else if goes_along && !label.is_row && label.numbers.first() == Some(&(1, 1)) {
            self.bordering = self.ends_in_a_row();
            label.edging |= self.bordering;
        }
        if self.bordering && label.relative == 0 {
            let each = label.numbers.iter();
            let count: u64 = each
                .map(|run| u64::from(run.1.saturating_sub(run.0)) + 1)
                .sum();
            label.relative = count.clamp(1, limits::ROUNDS as u64) as u32;
        }
    }

    fn ends_in_a_row(&self) -> bool {
        let lines = self.pattern.pieces.last().map(|piece| &piece.lines[..]);
        let mut backwards = lines.into_iter().flatten().rev();
        let last = backwards.find_map(|line| match line {
            Line::Round(round) => Some(round.label.is_row),
            _ => None,
        });
        last == Some(true)
    }

    /// Says once that the text is of several sizes. `span` is at the numbers of one round.
    fn says_sizes(&mut self, span: Span) {
        self.several_sizes = true;
        self.problems.push(
            Problem::warning(
                "two-sizes",
                span,
                "these are the numbers of several sizes: only the first of each is worked and checked",
            )
            .help("to check and draw another size, keep its numbers alone in a copy of the pattern"),
        );
    }

    /// Words of a round that say how far it is worked again and again: `until the tail is as long as you like`.
    fn goes_on_until(&self, tokens: &[Token<'s>]) -> Option<Found> {
        let piece = self.pattern.pieces.last()?;
        let goes_on = |t: &Token<'_>| {
            matches!(
                &*t.text,
                "continue" | "continuing" | "keep" | "set" | "manner" | "way"
            )
        };
        // `sc until 2 sts remain` is read with its stitches.
        length::find(tokens, self.text, &piece.name).filter(|found| match found.until {
            Until::Stitches(..) => tokens[..found.first].iter().any(goes_on),
            Until::Open { .. } => true,
        })
    }

    /// The rounds after this one that its own words ask for.
    fn more_of(&mut self, round: &mut Round, found: Found, words: Span) -> Option<RepeatRounds> {
        let (_, number) = *round.label.numbers.last()?;
        let grows = round.body.iter().any(|i| matches!(i.act, Act::GoOn { .. }));
        let single = round.label.count() == 1;
        self.numbering.leave_open();
        let (what, times, until, length) = match found.until {
            Until::Stitches(n, _) if grows && single => {
                round.stated = round.stated.filter(|s| s.stitches != Some(n));
                (Again::Body(round.body.clone()), 0, Some(n), None)
            }
            Until::Stitches(..) => return None,
            Until::Open { length, more } => {
                let what = Again::Rounds {
                    first: number,
                    last: number,
                };
                let times = self.default_rounds(&length, more).saturating_sub(1);
                let length = self.settled_length(length, words, number);
                (what, times, None, Some(length))
            }
        };
        Some(RepeatRounds {
            what,
            times,
            until,
            length,
            span: round.words,
        })
    }

    /// The cells of a table's row after its label: the work, and notes. A total is taken out of them, the change that it is
    /// and a yarn.
    fn cells(&self, tokens: &[Token<'s>], round: &mut Round) -> Vec<Token<'s>> {
        let is_bar = |t: &Token<'s>| t.text == "|";
        let mut cells = tokens.split(is_bar);
        let mut kept = cells.next().unwrap_or_default().to_vec();
        let mut bars = tokens.iter().filter(|t| is_bar(t));
        for cell in cells {
            let bar = bars.next();
            let word = |at: usize| cell.get(at).map(|t| &*t.text);
            match cell {
                [] => {}
                [
                    Token {
                        kind: Kind::Number(n),
                        span,
                        ..
                    },
                ] if round.stated.is_none() => {
                    round.stated = Some(Stated {
                        stitches: Some(*n),
                        span: *span,
                        ..Stated::default()
                    });
                }
                // `+6`, `±0`, `0`
                [
                    Token {
                        kind: Kind::Number(_),
                        ..
                    },
                ] => {}
                [
                    sign,
                    Token {
                        kind: Kind::Number(_),
                        ..
                    },
                ] if matches!(sign.kind, Kind::Plus | Kind::Dash) || sign.text == "±" => {}
                _ if colours::words_of(word) == Some(cell.len()) => self.remark_of(cell, round),
                _ => {
                    kept.extend(bar.cloned());
                    kept.extend_from_slice(cell);
                }
            }
        }
        kept
    }

    /// What a label says before its colon: a loop, a yarn, a side, a total, how many rounds it is.
    fn remark(&mut self, tokens: &[Token<'s>], round: &mut Round) {
        if tokens.is_empty() {
            return;
        }
        for pair in tokens.windows(2) {
            if pair[0].is("ws") || pair[0].is("wrong") && pair[1].is("side") {
                round.label.wrong_side = Some(true);
            } else if pair[0].is("rs") || pair[0].is("right") && pair[1].is("side") {
                round.label.wrong_side = Some(false);
            }
            if let (Kind::Number(n), true) = (pair[0].kind, pair[1].names_rounds()) {
                let count = round.label.count();
                if u64::from(n) != count {
                    let span = tokens[0].span.to(tokens[tokens.len() - 1].span);
                    let rounds = |n: u64| {
                        if n == 1 {
                            "1 round".to_owned()
                        } else {
                            format!("{n} rounds")
                        }
                    };
                    self.problems.push(
                        Problem::error(
                            "range-count",
                            span,
                            format!(
                                "this says {}, but its label stands for {}",
                                rounds(n.into()),
                                rounds(count)
                            ),
                        )
                        .help("correct one of the two"),
                    );
                }
                return;
            }
        }
        if round.label.wrong_side.is_some() {
            return;
        }
        self.remark_of(tokens, round);
    }

    /// What a remark has for all of a round: a loop, a yarn, a total, a turn.
    fn remark_of(&self, tokens: &[Token<'s>], round: &mut Round) {
        let read = body::read(tokens, self.text, &self.names, false);
        round.stated = read.stated.or(round.stated);
        round.body.extend(read.items.into_iter().filter(|item| {
            matches!(
                item.act,
                Act::Hold(_) | Act::Yarn(_) | Act::Step(_) | Act::Turn | Act::IntoRound { .. }
            )
        }));
    }

    fn check_numbers(&mut self, numbers: &mut Vec<(u32, u32)>, span: Span) {
        for run in numbers.iter_mut() {
            if run.1 < run.0 {
                self.problems.push(
                    Problem::error(
                        "range-backwards",
                        span,
                        format!("rounds {} to {} run backwards", run.0, run.1),
                    )
                    .help(format!("did you mean {} to {}?", run.1, run.0)),
                );
                *run = (run.1, run.0);
            }
        }
        let count: u64 = numbers.iter().map(|run| u64::from(run.1 - run.0) + 1).sum();
        if count > limits::ROUNDS as u64 {
            self.problems.push(Problem::error(
                "repeat-too-large",
                span,
                format!(
                    "{count} rounds are more than a piece can have (the limit is {})",
                    limits::ROUNDS
                ),
            ));
            let first = numbers[0].0;
            *numbers = vec![(first, first)];
        }
    }
}

/// `1 sc in the end of each row`, `sc in each row end`.
fn goes_into_row_ends(tokens: &[Token<'_>]) -> bool {
    const NEAR: usize = 12;
    let near = &tokens[..tokens.len().min(NEAR)];
    let is_end = |t: &Token<'_>| t.is("end") || t.is("ends");
    let is_row = |t: &Token<'_>| t.is("row") || t.is("rows");
    let of_row = |words: &[Token<'_>]| {
        is_end(&words[0]) && words[1].is("of") && (is_row(&words[2]) || is_row(&words[3]))
    };
    near.windows(2)
        .any(|pair| is_row(&pair[0]) && is_end(&pair[1]))
        || near.windows(4).any(of_row)
}

/// `sc through both`, below `Hold top and bottom together`.
fn go_through(laid: &Spanned<String>, items: &mut [Instruction]) {
    body::for_each_work(items, &mut |work| {
        if let Some(through) = &mut work.through
            && through.part.is_none()
            && through.layers == 2
        {
            through.part = Some(laid.clone());
            // One of each, or two of a part that is pressed flat.
            through.layers = 0;
        }
    });
}

/// `Edging: sc evenly around`, below rows: not along the last of them alone.
fn edge_all_round(items: &mut [Instruction], stated: Option<Stated>) {
    let mut worked = items.iter_mut().filter(|item| {
        item.act.is_worked() && !item.act.is_chain() && !item.act.goes_into_corners()
    });
    if let (Some(item), None) = (worked.next(), worked.next())
        && let Act::Work(work) = &mut item.act
        && (work.target, work.over) == (Target::Next, Over::Rest)
    {
        work.target = Target::Border(Border::All);
        let total = stated.and_then(|stated| stated.stitches);
        work.over = total.map_or(Over::Rest, Over::Count);
    }
}

/// `| 8 | 28 | back loop only |`: a loop or a yarn and a total, but no stitches: as many as the round below has.
fn says_only_how(round: &Round) -> bool {
    let says_how = |item: &Instruction| matches!(item.act, Act::Hold(_) | Act::Yarn(_));
    let prepares = |item: &Instruction| says_how(item) || matches!(item.act, Act::Step(_));
    round.stated.is_some_and(|stated| stated.stitches.is_some())
        && round.body.iter().any(says_how)
        && round.body.iter().all(prepares)
}
