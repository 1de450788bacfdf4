//! Lines → pattern: title, header, pieces, rounds with their continuation lines, what stands between.

use super::body::{self, Names};
use super::label::{self, RawLabel};
use super::lex::{Kind, Token};
use super::lines::{self, LineKind, RawLine};
use super::numbering::Numbering;
use super::tree::*;
use super::{header, heading};
use crate::source::{Level, Problem, Source, Span, limits, quoted};
use crate::terms::words::{self, Word};
use crate::terms::{Height, Terms};

/// Reads a pattern. Never fails; problems come in the order of the text.
pub fn read(source: &Source) -> (Pattern, Vec<Problem>) {
    let lines = lines::read(source);
    let mut problems = Vec::new();
    let blocks = blocks(lines, source.text());
    let mut pattern = Pattern::default();
    let head = blocks
        .iter()
        .position(|b| matches!(b, Block::Round(_)))
        .unwrap_or(blocks.len());
    for block in &blocks[..head] {
        if let Block::Text(line) = block {
            header::read_line(
                &mut pattern.header,
                &line.tokens,
                source.text(),
                &mut problems,
            );
        }
    }
    pattern.terms = terms(&pattern.header, &blocks, &mut problems);
    let mut assembler = Assembler {
        text: source.text(),
        names: names(&pattern, &blocks, source.text()),
        pattern,
        problems,
        waiting: Vec::new(),
        heading: None,
        numbering: Numbering::default(),
    };
    for block in blocks {
        assembler.block(block);
    }
    assembler.finish(source)
}

/// A line, or a round with all of its lines.
enum Block<'s> {
    Heading(u8, RawLine<'s>),
    Blank,
    Text(RawLine<'s>),
    Round(RawRound<'s>),
}

struct RawRound<'s> {
    label: RawLabel,
    tokens: Vec<Token<'s>>,
    /// Brackets that are open at its end.
    depth: i64,
}

// ---- lines to blocks ----

fn blocks<'s>(lines: Vec<RawLine<'s>>, text: &str) -> Vec<Block<'s>> {
    let mut blocks: Vec<Block<'s>> = Vec::new();
    for line in lines {
        match line.kind {
            LineKind::Blank => blocks.push(Block::Blank),
            LineKind::Heading(level) => blocks.push(Block::Heading(level, line)),
            LineKind::Text => text_line(line, text, &mut blocks),
        }
    }
    blocks
}

fn text_line<'s>(line: RawLine<'s>, text: &str, blocks: &mut Vec<Block<'s>>) {
    if let Some(label) = label::read(&line.tokens)
        && is_round(&label, &line.tokens, text)
    {
        push_rounds(label, line.tokens, blocks);
        return;
    }
    if let Some(Block::Round(round)) = blocks.last_mut()
        && goes_on(round, &line)
    {
        round.depth += depth_of(&line.tokens);
        round.tokens.extend(line.tokens);
        return;
    }
    blocks.push(Block::Text(line));
}

/// A label with nothing but a number, or with no mark at its end, opens a round only if its body reads as one.
fn is_round(label: &RawLabel, tokens: &[Token<'_>], text: &str) -> bool {
    if !label.bare && !label.open_ended {
        return true;
    }
    let body = &tokens[label.body.min(tokens.len())..];
    if body.is_empty() {
        return false;
    }
    let names = Names {
        letter_code: uses_letter_code(body, text),
        ..Names::default()
    };
    let read = body::read(body, text, &names, false);
    let slips = read
        .problems
        .iter()
        .filter(|p| matches!(p.code, "unread" | "unknown-stitch"))
        .count();
    read.items.iter().any(|item| item.act.is_worked()) && slips == 0
}

/// One line may hold several rounds: `Rnd 5: 6 sc, ch 1, turn. Row 6: …`.
fn push_rounds<'s>(label: RawLabel, tokens: Vec<Token<'s>>, blocks: &mut Vec<Block<'s>>) {
    let mut labels = vec![(0, label)];
    let mut at = labels[0].1.body + 1;
    while at < tokens.len() {
        let parted = matches!(
            tokens[at - 1].kind,
            Kind::Stop | Kind::Semicolon | Kind::Close(_)
        );
        if parted
            && tokens[at].kind == Kind::Word
            && let Some(found) = label::read(&tokens[at..])
            && !found.bare
            && !found.open_ended
            && found.start == 0
        {
            let body = found.body;
            labels.push((at, found));
            at += body;
        }
        at += 1;
    }
    let mut rest = tokens.into_iter();
    let starts: Vec<usize> = labels
        .iter()
        .map(|(start, _)| *start)
        .chain([usize::MAX])
        .collect();
    for ((start, label), end) in labels.into_iter().zip(starts.into_iter().skip(1)) {
        let tokens: Vec<Token<'s>> = rest.by_ref().take(end - start).collect();
        let depth = depth_of(&tokens);
        blocks.push(Block::Round(RawRound {
            label,
            tokens,
            depth,
        }));
    }
}

/// Brackets that are open after these tokens.
fn depth_of(tokens: &[Token<'_>]) -> i64 {
    tokens
        .iter()
        .map(|token| match token.kind {
            Kind::Open(_) => 1,
            Kind::Close(_) => -1,
            _ => 0,
        })
        .sum()
}

/// True if a line belongs to the round above it: a bracket or comma is open there, or it begins in the middle of work.
fn goes_on(round: &RawRound<'_>, line: &RawLine<'_>) -> bool {
    let (Some(first), Some(last)) = (line.tokens.first(), round.tokens.last()) else {
        return false;
    };
    let depth = round.depth;
    let dangling = matches!(
        last.kind,
        Kind::Comma | Kind::Semicolon | Kind::Dash | Kind::Plus | Kind::Ampersand | Kind::Colon
    ) || last.kind == Kind::Word
        && matches!(
            &*last.text,
            "and"
                | "in"
                | "then"
                | "next"
                | "from"
                | "to"
                | "the"
                | "each"
                | "of"
                | "with"
                | "into"
        );
    if depth > 0 || dangling {
        return !line.bullet || depth > 0;
    }
    let ended = ends_with_total(&round.tokens);
    if ended || line.bullet {
        return false;
    }
    if line.indented || ends_with_total(&line.tokens) {
        return true;
    }
    match first.kind {
        Kind::Open(_)
        | Kind::Close(_)
        | Kind::Star(1)
        | Kind::Equals
        | Kind::Arrow
        | Kind::Comma => true,
        Kind::Number(_) => line.tokens.len() > 1,
        Kind::Word => {
            let word = words::longest(
                |i| {
                    line.tokens
                        .get(i)
                        .filter(|t| t.kind == Kind::Word)
                        .map(|t| &*t.text)
                },
                Terms::Us,
            );
            matches!(
                word,
                Some((
                    Word::Stitch(_)
                        | Word::Increase
                        | Word::Decrease
                        | Word::In
                        | Word::Next
                        | Word::Each
                        | Word::AnyStitch
                        | Word::Repeat
                        | Word::Times
                        | Word::Around
                        | Word::And,
                    _
                ))
            ) && !has_capital(first)
        }
        _ => false,
    }
}

/// A word's text is borrowed as it stands unless it had to be put into lower case.
fn has_capital(word: &Token<'_>) -> bool {
    matches!(word.text, std::borrow::Cow::Owned(_))
}

fn ends_with_total(round: &[Token<'_>]) -> bool {
    let mut at = round.len();
    while at > 0
        && matches!(
            round[at - 1].kind,
            Kind::Stop | Kind::Star(2..) | Kind::Other
        )
    {
        at -= 1;
    }
    let closes = at > 0 && matches!(round[at - 1].kind, Kind::Close(_));
    let number = round[..at]
        .iter()
        .rev()
        .skip(1)
        .take(3)
        .any(|t| matches!(t.kind, Kind::Number(_)));
    closes && number
}

// ---- what the whole pattern tells ----

fn terms(header: &Header, blocks: &[Block<'_>], problems: &mut Vec<Problem>) -> Terms {
    let mut first: [Option<(Span, String)>; 2] = [None, None];
    let mut count = [0usize; 2];
    let mut doubtful = None;
    let mut heights = false;
    for block in blocks {
        let Block::Round(round) = block else { continue };
        for token in &round.tokens {
            if token.kind != Kind::Word {
                continue;
            }
            match words::tells_terms(&token.text) {
                Some(terms) => {
                    let slot = usize::from(terms == Terms::Uk);
                    count[slot] += 1;
                    first[slot].get_or_insert_with(|| (token.span, token.text.to_string()));
                }
                None if &*token.text == "dc" => doubtful = doubtful.or(Some(token.span)),
                None => heights |= matches!(&*token.text, "tr" | "dtr" | "treble" | "ch"),
            }
        }
    }
    if let Some(stated) = &header.terms {
        let other = usize::from(stated.value == Terms::Us);
        if let Some((span, word)) = &first[other] {
            problems.push(
                Problem::warning(
                    "terms-mixed",
                    *span,
                    format!(
                        "{} is not a word of {} terms, which this pattern says that it uses",
                        quoted(word),
                        stated.value.name()
                    ),
                )
                .help("use one custom throughout, or correct the line `Terms:`"),
            );
        }
        return stated.value;
    }
    if let Some(terms) = terms_in_prose(blocks) {
        return terms;
    }
    let [us, uk] = count;
    let terms = if uk > us { Terms::Uk } else { Terms::Us };
    if us > 0 && uk > 0 {
        let slot = usize::from(terms == Terms::Us);
        if let Some((span, word)) = &first[slot] {
            problems.push(
                Problem::warning(
                    "terms-mixed",
                    *span,
                    format!(
                        "{} is a word of the other custom: the rest of the pattern is in {} terms",
                        quoted(word),
                        terms.name()
                    ),
                )
                .help("use one custom throughout, and add a line `Terms: US` or `Terms: UK`"),
            );
        }
    }
    if us == 0
        && uk == 0
        && let Some(span) = doubtful
    {
        if !heights && starts_with_six(blocks) {
            problems.push(
                Problem::warning(
                    "terms-unsure",
                    span,
                    "nothing but `dc`, six in the ring: most likely UK terms, and read so",
                )
                .help("add a line `Terms: UK` (or `Terms: US`) above the first piece"),
            );
            return Terms::Uk;
        }
        problems.push(
            Problem::note(
                "terms-assumed",
                span,
                "nothing tells US from UK terms here: read as US",
            )
            .help("add a line `Terms: US` or `Terms: UK` above the first piece"),
        );
    }
    terms
}

/// `This pattern is written in US terms.`
fn terms_in_prose(blocks: &[Block<'_>]) -> Option<Terms> {
    blocks.iter().find_map(|block| {
        let (Block::Text(line) | Block::Heading(_, line)) = block else {
            return None;
        };
        line.tokens.windows(3).find_map(|words| {
            let speaks = words[1..].iter().any(|t| {
                matches!(
                    &*t.text,
                    "terms" | "terminology" | "notation" | "abbreviations"
                )
            });
            match &*words[0].text {
                "us" | "american" | "usa" if speaks => Some(Terms::Us),
                "uk" | "british" if speaks => Some(Terms::Uk),
                _ => None,
            }
        })
    })
}

/// The first round puts six into the ring.
fn starts_with_six(blocks: &[Block<'_>]) -> bool {
    let first = blocks.iter().find_map(|b| match b {
        Block::Round(round) => Some(round),
        _ => None,
    });
    first.is_some_and(|round| {
        round.tokens[round.label.body.min(round.tokens.len())..]
            .iter()
            .any(|t| t.kind == Kind::Number(6) || t.is("six"))
    })
}

fn names(pattern: &Pattern, blocks: &[Block<'_>], text: &str) -> Names {
    let mut yarns = Vec::new();
    for yarn in &pattern.header.yarns {
        yarns.push(yarn.letter.clone());
        if !yarn.name.is_empty() {
            yarns.push(yarn.name.clone());
        }
    }
    let letter_code = blocks.iter().any(|block| match block {
        Block::Round(round) => uses_letter_code(
            &round.tokens[round.label.body.min(round.tokens.len())..],
            text,
        ),
        _ => false,
    });
    Names {
        terms: pattern.terms,
        yarns,
        letter_code,
    }
}

/// A capital V, or a capital X that can't mean "times", is a stitch of the letter code.
fn uses_letter_code(tokens: &[Token<'_>], text: &str) -> bool {
    let is = |at: usize, letter: &str| {
        tokens
            .get(at)
            .is_some_and(|t| t.kind == Kind::Word && &text[t.span.range()] == letter)
    };
    (0..tokens.len()).any(|at| {
        if is(at, "V") {
            return true;
        }
        let glued = !tokens[at].spaced && at > 0 && matches!(tokens[at - 1].kind, Kind::Number(_));
        let opens = at > 0 && matches!(tokens[at - 1].kind, Kind::Open(_));
        let followed = tokens.get(at + 1).is_none_or(|t| {
            matches!(t.kind, Kind::Comma | Kind::Close(_))
                || t.kind != Kind::Open(super::lex::Bracket::Round)
                    && !matches!(t.kind, Kind::Number(_))
                || glued
                    && t.spaced
                    && matches!(t.kind, Kind::Open(_))
                    && bracket_is_number(tokens, at + 1)
        });
        is(at, "X") && (glued || opens) && followed
    })
}

fn bracket_is_number(tokens: &[Token<'_>], at: usize) -> bool {
    matches!(tokens.get(at + 1).map(|t| t.kind), Some(Kind::Number(_)))
        && matches!(tokens.get(at + 2).map(|t| t.kind), Some(Kind::Close(_)))
}

// ---- blocks to pieces ----

struct Assembler<'s> {
    text: &'s str,
    names: Names,
    pattern: Pattern,
    problems: Vec<Problem>,
    /// Lines since the last round that belong to no piece yet.
    waiting: Vec<RawLine<'s>>,
    /// The heading since the last round, with its level.
    heading: Option<(u8, Span, heading::Name)>,
    numbering: Numbering,
}

impl<'s> Assembler<'s> {
    fn block(&mut self, block: Block<'s>) {
        match block {
            Block::Blank => {}
            Block::Heading(level, line) => self.heading(level, &line),
            Block::Text(line) => self.text_line(line),
            Block::Round(round) => self.round(round),
        }
    }

    fn heading(&mut self, level: u8, line: &RawLine<'s>) {
        self.settle_waiting();
        if level == 1 && self.pattern.title.is_none() && self.pattern.pieces.is_empty() {
            let name = heading::read(&line.tokens, self.text);
            let title = if name.make == 1 {
                name.name
            } else {
                self.text[line.span.range()].to_owned()
            };
            self.pattern.title = Some(Spanned {
                value: title,
                span: line.span,
            });
            return;
        }
        self.heading = Some((level, line.span, heading::read(&line.tokens, self.text)));
    }

    fn text_line(&mut self, line: RawLine<'s>) {
        if self.heading.is_none()
            && let Some(repeat) = self.repeat_rounds(&line)
            && let Some(piece) = self.pattern.pieces.last_mut()
        {
            self.numbering.advance(
                repeat
                    .last
                    .saturating_sub(repeat.first)
                    .saturating_add(1)
                    .saturating_mul(repeat.times),
            );
            piece.lines.push(Line::RepeatRounds(repeat));
            return;
        }
        self.waiting.push(line);
    }

    /// `Rep Rnds 5 and 6 twice` on a line of its own.
    fn repeat_rounds(&mut self, line: &RawLine<'s>) -> Option<RepeatRounds> {
        let first = line.tokens.first()?;
        if !(first.is("rep") || first.is("repeat")) || self.pattern.pieces.is_empty() {
            return None;
        }
        let read = body::read(&line.tokens, self.text, &self.names, false);
        let [
            Instruction {
                act: Act::AsRounds { first, last },
                ..
            },
        ] = read.items[..]
        else {
            return None;
        };
        let times = times_in(&line.tokens).unwrap_or(1);
        if times > limits::COUNT {
            self.problems.push(Problem::error(
                "repeat-too-large",
                line.span,
                format!(
                    "{times} times is more than a pattern can have (the limit is {})",
                    limits::COUNT
                ),
            ));
            return Some(RepeatRounds {
                first,
                last,
                times: 0,
                span: line.span,
            });
        }
        if times == 0 {
            self.problems.push(Problem::error(
                "repeat-nothing",
                line.span,
                "a repeat of 0 times works nothing",
            ));
        }
        self.problems.extend(read.problems);
        Some(RepeatRounds {
            first,
            last,
            times,
            span: line.span,
        })
    }

    fn round(&mut self, raw: RawRound<'s>) {
        let body_at = raw.label.body.min(raw.tokens.len());
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
        let mut numbers = raw.label.numbers.clone();
        let opens_piece = self.opens_piece(&numbers, raw.label.relative);
        if opens_piece && self.pattern.pieces.len() >= limits::PIECES {
            self.too_many_pieces(label_span);
            return;
        }
        if opens_piece {
            self.open_piece(label_span);
        } else {
            self.settle_waiting();
            self.heading = None;
        }
        if raw.label.relative > 0 {
            let last = self.numbering.highest();
            numbers = vec![(
                last.saturating_add(1),
                last.saturating_add(raw.label.relative),
            )];
        }
        self.check_numbers(&mut numbers, label_span);
        self.numbering.add(&numbers, label_span, &mut self.problems);
        let first_round = numbers.first().is_some_and(|run| run.0 <= 1);
        let mut round = Round {
            label: Label {
                is_row: raw.label.is_row,
                numbers,
                wrong_side: None,
                span: label_span,
            },
            body: Vec::new(),
            stated: None,
            doubts: Doubts::default(),
            flawed: false,
            words: Span::new(words_start, span.end.max(words_start)),
            span,
        };
        self.remark(&raw.tokens[raw.label.remark.clone()], &mut round);
        let tokens = &raw.tokens[body_at..];
        let read = body::read(tokens, self.text, &self.names, first_round);
        round.flawed = read.problems.iter().any(|p| p.level == Level::Error) || tokens.is_empty();
        self.problems.extend(read.problems);
        round.body.extend(read.items);
        round.stated = read.stated.or(round.stated);
        round.doubts = read.doubts;
        if tokens.is_empty() {
            self.problems.push(Problem::error(
                "unread",
                label_span,
                "this round says nothing",
            ));
        }
        if let Some(piece) = self.pattern.pieces.last_mut() {
            piece.lines.push(Line::Round(round));
        }
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
            if let (Kind::Number(n), true) = (pair[0].kind, is_round_word(&pair[1])) {
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
        let read = body::read(tokens, self.text, &self.names, false);
        round.stated = read.stated;
        round.body.extend(read.items.into_iter().filter(|item| {
            matches!(
                item.act,
                Act::Hold(_) | Act::Yarn(_) | Act::Step(_) | Act::Turn
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

    /// True if a round with these numbers is the first of a new piece.
    fn opens_piece(&self, numbers: &[(u32, u32)], relative: u32) -> bool {
        if self.pattern.pieces.is_empty() {
            return true;
        }
        let first = numbers.first().map_or(0, |run| run.0);
        let goes_on = relative > 0 || self.numbering.continues_at(first);
        if goes_on {
            return false;
        }
        if self.heading.is_some() {
            return true;
        }
        let highest = self.numbering.highest();
        first <= 1 && highest > 0 && (highest > 1 || self.name_in_waiting().is_some())
    }

    /// The short line alone above the rounds that names them, where there is no heading.
    fn name_in_waiting(&self) -> Option<usize> {
        let candidate = |line: &RawLine<'s>| {
            let words = line.tokens.iter().filter(|t| t.kind == Kind::Word).count();
            let ends = line
                .tokens
                .iter()
                .rev()
                .find(|t| !matches!(t.kind, Kind::Star(_)));
            let sentence =
                ends.is_some_and(|t| matches!(t.kind, Kind::Stop | Kind::Comma | Kind::Semicolon));
            let keyed = line
                .tokens
                .iter()
                .position(|t| t.kind == Kind::Colon)
                .is_some_and(|at| at + 1 < line.tokens.len());
            let first = line.tokens.iter().find(|t| t.kind == Kind::Word);
            let capital =
                first.is_some_and(|t| self.text[t.span.range()].starts_with(char::is_uppercase));
            let yarn = first.is_some_and(|t| {
                matches!(
                    &*t.text,
                    "with" | "using" | "in" | "work" | "start" | "note"
                )
            });
            (1..=6).contains(&words) && !sentence && !keyed && capital && !yarn && !line.bullet
        };
        self.waiting.iter().rposition(candidate)
    }

    fn too_many_pieces(&mut self, label: Span) {
        if self.problems.iter().all(|p| p.code != "too-many-pieces") {
            self.problems.push(Problem::error(
                "too-many-pieces",
                label,
                format!(
                    "this is more than the {} pieces that a pattern can have; the rest is not read",
                    limits::PIECES
                ),
            ));
        }
    }

    fn open_piece(&mut self, label: Span) {
        let named = self.heading.take();
        let taken = if named.is_none() {
            self.name_in_waiting()
        } else {
            None
        };
        let (name, span) = match (named, taken) {
            (Some((_, span, name)), _) => (name, span),
            (None, Some(at)) => {
                let line = self.waiting.remove(at);
                (heading::read(&line.tokens, self.text), line.span)
            }
            (None, None) => {
                let count = self.pattern.pieces.len();
                let title = self
                    .pattern
                    .title
                    .as_ref()
                    .filter(|_| count == 0)
                    .map(|t| t.value.clone());
                let name = title.unwrap_or_else(|| {
                    if count == 0 {
                        "Piece".to_owned()
                    } else {
                        format!("Piece {}", count + 1)
                    }
                });
                (
                    heading::Name {
                        name,
                        make: 1,
                        rest: None,
                    },
                    label,
                )
            }
        };
        // In a text without headings the first line that is not the piece's name is the title.
        if self.pattern.title.is_none() && self.pattern.pieces.is_empty() {
            let short = self.waiting.first().filter(|line| {
                line.tokens.len() <= 12 && !line.tokens.iter().any(|t| t.kind == Kind::Colon)
            });
            if let Some(line) = short {
                let value = heading::read(&line.tokens, self.text).name;
                self.pattern.title = Some(Spanned {
                    value,
                    span: line.span,
                });
                self.waiting.remove(0);
            }
        }
        if self.pattern.pieces.iter().any(|p| p.name == name.name) {
            self.problems.push(
                Problem::warning(
                    "piece-twice",
                    span,
                    format!("there is already a piece named {}", quoted(&name.name)),
                )
                .help("give each piece a name of its own"),
            );
        }
        let yarn = name.rest.and_then(|rest| self.yarn_in(rest));
        let mut piece = Piece {
            name: name.name,
            make: name.make,
            yarn,
            span,
            lines: Vec::new(),
        };
        for line in std::mem::take(&mut self.waiting) {
            if let Some(yarn) = self.starting_yarn(&line) {
                piece.yarn = Some(yarn);
            }
            // `Ch 24, join to form a ring` above the first round.
            piece.lines.push(match self.between(&line) {
                Reading::Acts(acts) => Line::Between(Between {
                    acts,
                    span: line.span,
                }),
                _ => Line::Prose(line.span),
            });
        }
        self.numbering.finish(&mut self.problems);
        self.pattern.pieces.push(piece);
    }

    /// A yarn named in a heading's words.
    fn yarn_in(&self, span: Span) -> Option<Spanned<String>> {
        let words = &self.text[span.range()];
        self.names
            .yarns
            .iter()
            .find(|yarn| {
                words
                    .split(|c: char| !c.is_alphanumeric())
                    .any(|w| w == yarn.as_str())
                    || yarn.len() > 2 && words.contains(yarn.as_str())
            })
            .map(|yarn| Spanned {
                value: yarn.clone(),
                span,
            })
    }

    /// `With A,` or `Colour: B` above the rounds.
    fn starting_yarn(&self, line: &RawLine<'s>) -> Option<Spanned<String>> {
        let first = line.tokens.first()?;
        let opens = matches!(
            &*first.text,
            "with" | "using" | "in" | "yarn" | "colour" | "color" | "use" | "work"
        );
        if !opens || line.tokens.len() > 12 {
            return None;
        }
        self.yarn_in(line.span)
    }

    /// Gives the waiting lines to the last piece: steps, or prose.
    fn settle_waiting(&mut self) {
        let waiting = std::mem::take(&mut self.waiting);
        for line in waiting {
            let read_as = self.between(&line);
            let Some(piece) = self.pattern.pieces.last_mut() else {
                continue;
            };
            if self.heading.is_some() {
                // Below a heading without rounds: notes, materials, making up.
                piece.lines.push(Line::Prose(line.span));
                continue;
            }
            match read_as {
                Reading::Acts(acts) => piece.lines.push(Line::Between(Between {
                    acts,
                    span: line.span,
                })),
                Reading::Work => {
                    self.problems.push(
                        Problem::warning(
                            "stitches-in-prose",
                            line.span,
                            "this line holds stitches but is not a round",
                        )
                        .help("give it a label such as `Rnd 7:` if it is to be worked and counted"),
                    );
                    piece.lines.push(Line::Prose(line.span));
                }
                Reading::Prose => piece.lines.push(Line::Prose(line.span)),
            }
        }
    }

    /// What a line that is no round says.
    fn between(&self, line: &RawLine<'s>) -> Reading {
        let read = body::read(&line.tokens, self.text, &self.names, false);
        let repeats = |item: &Instruction| matches!(&item.act, Act::Repeat(r) if r.times != Times::Exactly(1));
        let is_chain = |item: &Instruction| matches!(&item.act, Act::Work(work) if work.stitch.height == Some(Height::Chain) && !work.stitch.picot);
        let clean = read.problems.is_empty();
        if read.problems.iter().any(|p| p.level == Level::Error) {
            return Reading::Prose;
        }
        if !clean {
            // A repeat with its number is work, and a chain before the first round a start, whatever else the line says.
            return if read.items.iter().any(repeats) {
                Reading::Work
            } else if read.items.iter().any(is_chain)
                && read
                    .items
                    .iter()
                    .all(|i| is_chain(i) || i.act == Act::Close)
            {
                Reading::Acts(read.items)
            } else {
                Reading::Prose
            };
        }
        let counted = |item: &Instruction| match &item.act {
            Act::Work(work) => {
                work.bare != Bare::No || work.over != Over::Count(1) || work.target != Target::Next
            }
            act => act.is_worked(),
        };
        if read
            .items
            .iter()
            .any(|item| !is_chain(item) && counted(item))
        {
            return Reading::Work;
        }
        let does = |item: &Instruction| {
            is_chain(item)
                || matches!(
                    item.act,
                    Act::Step(_)
                        | Act::Yarn(_)
                        | Act::Turn
                        | Act::Hold(_)
                        | Act::MagicRing
                        | Act::Close
                )
        };
        let opens = line.tokens.iter().find(|t| t.kind == Kind::Word);
        let starts = opens
            .zip(read.items.first())
            .is_some_and(|(token, item)| item.span.start <= token.span.start);
        let makes_start = read.items.iter().any(is_chain);
        if (starts || makes_start) && read.items.iter().all(does) && !read.items.is_empty() {
            Reading::Acts(read.items)
        } else {
            Reading::Prose
        }
    }

    fn finish(mut self, source: &Source) -> (Pattern, Vec<Problem>) {
        self.settle_waiting();
        self.numbering.finish(&mut self.problems);
        if self.pattern.pieces.is_empty() {
            let end = source.text().trim_end().len();
            let problem = if source.text().trim().is_empty() {
                Problem::error(
                    "empty",
                    Span::new(0, 0),
                    "there is no pattern here: the text is empty",
                )
            } else {
                let line = source.line_span(source.line_of(0) - 1);
                Problem::error(
                    "no-rounds",
                    Span::new(line.start, line.end.min(end.max(line.start))),
                    "no round was found in this text",
                )
                .help("open each round with a label such as `Rnd 1:`")
            };
            self.problems.push(problem);
        }
        self.problems.sort_by_key(|p| (p.span.start, p.span.end));
        (self.pattern, self.problems)
    }
}

enum Reading {
    Acts(Vec<Instruction>),
    Work,
    Prose,
}

fn is_round_word(token: &Token<'_>) -> bool {
    matches!(
        &*token.text,
        "rnd" | "rnds" | "round" | "rounds" | "rd" | "rds" | "row" | "rows"
    )
}

/// `twice`, `3 times`, `5 more times` in a line.
fn times_in(tokens: &[Token<'_>]) -> Option<u32> {
    for at in 0..tokens.len() {
        let word = |i: usize| {
            tokens
                .get(at + i)
                .filter(|t| t.kind == Kind::Word)
                .map(|t| &*t.text)
        };
        match words::longest(word, Terms::Us) {
            Some((Word::TimesWord(n), _)) => return Some(n),
            Some((Word::Times, _)) => {
                return tokens[..at]
                    .iter()
                    .rev()
                    .take(2)
                    .find_map(|t| match t.kind {
                        Kind::Number(n) => Some(n),
                        Kind::Word => {
                            match words::longest(|i| (i == 0).then_some(&*t.text), Terms::Us) {
                                Some((Word::Number(n), _)) => Some(n),
                                _ => None,
                            }
                        }
                        _ => None,
                    });
            }
            _ => {}
        }
    }
    None
}
