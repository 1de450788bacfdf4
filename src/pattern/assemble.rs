//! Lines → pattern: title, header, pieces, rounds with their continuation lines, what stands between.

use std::collections::BTreeSet;

use super::between::Reading;
use super::blocks::{Block, RawRound, blocks};
use super::body::Names;
use super::lex::{Kind, Token, lex};
use super::lines::{self, RawLine};
use super::numbering::Numbering;
use super::pairs;
use super::stem::stem;
use super::tree::*;
use super::{header, heading, make, rows, whole};
use crate::source::{Problem, Source, Span, limits, quoted};
use crate::terms::colours;

/// Reads a pattern. Never fails; problems come in the order of the text.
pub fn read(source: &Source) -> (Pattern, Vec<Problem>) {
    let text = source.text();
    let lines = lines::read(source);
    let mut problems = Vec::new();
    let blocks = blocks(lines, text);
    let head = blocks
        .iter()
        .take_while(|block| !matches!(block, Block::Round(_)))
        .filter_map(Block::line);
    let mut pattern = Pattern {
        header: header::read(head, text, &mut problems),
        ..Pattern::default()
    };
    pattern.terms = whole::terms(&pattern.header, &blocks, &mut problems);
    let mut assembler = Assembler {
        text: source.text(),
        names: whole::names(&pattern, &blocks, source.text()),
        pattern,
        problems,
        waiting: Vec::new(),
        heading: None,
        numbering: Numbering::default(),
        laid: None,
        several_sizes: false,
        twin: None,
        bordering: false,
    };
    for block in blocks {
        assembler.block(block);
    }
    assembler.finish(source)
}

/// The pattern as it grows.
pub(super) struct Assembler<'s> {
    pub text: &'s str,
    pub names: Names,
    pub pattern: Pattern,
    pub problems: Vec<Problem>,
    /// Lines since the last round that belong to no piece yet.
    pub waiting: Vec<RawLine<'s>>,
    /// The heading since the last round, with its level.
    pub heading: Option<(u8, Span, heading::Name)>,
    pub numbering: Numbering,
    /// The piece that the last line laid to the one that is being worked.
    pub laid: Option<Spanned<String>>,
    /// Some round gives the numbers of several sizes.
    pub several_sizes: bool,
    /// The second piece that the heading of the last one names, of the same rounds.
    twin: Option<Piece>,
    /// The rounds go round the edge of the last piece, under a heading of their own.
    pub bordering: bool,
}

impl<'s> Assembler<'s> {
    fn block(&mut self, block: Block<'s>) {
        match block {
            Block::Blank => {}
            Block::Heading(level, line) => self.heading(level, &line),
            Block::Text(line) => self.text_line(line),
            Block::Round(round) if self.lists_making_up(&round) => {
                if let Some(line) = round.into_line() {
                    self.text_line(line);
                }
            }
            Block::Round(round) => self.round(round),
        }
    }

    /// `2. With blue, ch 8 and fasten off.` in the numbered list below a heading such as `Assembly`.
    fn lists_making_up(&self, round: &RawRound<'s>) -> bool {
        let of_making_up = self.heading.as_ref().is_some_and(|(_, _, name)| {
            let name = name.name.to_lowercase();
            let first = name.split_whitespace().next().unwrap_or_default();
            matches!(
                first,
                "assembly" | "assembling" | "finishing" | "making" | "joining"
            )
        });
        of_making_up && round.label.bare && !self.pattern.pieces.is_empty()
    }

    fn heading(&mut self, level: u8, line: &RawLine<'s>) {
        self.settle_waiting();
        if level == 1 && self.pattern.title.is_none() && self.pattern.pieces.is_empty() {
            self.pattern.title = Some(Spanned {
                value: heading::title(&line.tokens, self.text),
                span: line.span,
            });
            return;
        }
        self.take_title_above_a_heading(level);
        self.heading = Some((level, line.span, heading::read(&line.tokens, self.text)));
    }

    /// `## Whale` as the first words of a text, above `### Tail`: the title.
    fn take_title_above_a_heading(&mut self, level: u8) {
        let opens_text = |span: Span| {
            let before = &self.text[..span.start];
            before.chars().all(|c| c == '#' || c.is_whitespace())
        };
        let is_title = self.pattern.title.is_none()
            && self.pattern.pieces.is_empty()
            && self
                .heading
                .as_ref()
                .is_some_and(|&(above, span, _)| above < level && opens_text(span));
        if is_title && let Some((_, span, _)) = self.heading.take() {
            let value = heading::title(&lex(self.text, span), self.text);
            self.pattern.title = Some(Spanned { value, span });
        }
    }

    fn text_line(&mut self, line: RawLine<'s>) {
        if self.further(&line) {
            return;
        }
        self.waiting.push(line);
    }

    /// True if a round with these numbers and words is the first of a new piece.
    pub(super) fn opens_piece(
        &self,
        numbers: &[(u32, u32)],
        relative: u32,
        body: &[Token<'_>],
    ) -> bool {
        if self.pattern.pieces.is_empty() {
            return true;
        }
        let first = numbers.first().map_or(0, |run| run.0);
        if relative == 0 && self.continued(first).is_some() {
            return true;
        }
        let goes_on = relative > 0 || self.numbering.continues_at(first);
        if goes_on {
            return relative == 0 && self.works_into_last(body);
        }
        if self.heading.is_some() {
            return true;
        }
        let highest = self.numbering.highest();
        // A cord below its name has no number above 0.
        first <= 1 && (highest > 1 || self.name_in_waiting().is_some())
    }

    /// `sc in next 11 sts of first leg`, below the legs: no piece goes into itself.
    fn works_into_last(&self, body: &[Token<'_>]) -> bool {
        let Some(piece) = self.pattern.pieces.last() else {
            return false;
        };
        let name = piece.name.to_lowercase();
        let last = stem(name.split_whitespace().next_back().unwrap_or_default());
        let is_ordinal =
            |t: &Token<'_>| matches!(&*t.text, "first" | "second" | "other" | "1st" | "2nd");
        let mut pairs = body.windows(2);
        // `the first leg`, `leg 1`
        let is_copy = |pair: &[Token<'_>]| {
            is_ordinal(&pair[0]) && stem(&pair[1].text) == last
                || stem(&pair[0].text) == last && matches!(pair[1].kind, Kind::Number(1 | 2))
        };
        piece.make > 1 && pairs.any(is_copy)
            || pairs::joined(body)
                .is_some_and(|noun| stem(&noun.text) == last && self.is_only_one_called(&last))
    }

    /// The earlier piece that the name above the rounds names again, if they go on with it: `Body (continued)`.
    fn continued(&self, first: u32) -> Option<usize> {
        if first <= 1 {
            return None;
        }
        let waiting;
        let words = match (&self.heading, self.name_in_waiting()) {
            (Some((_, _, name)), _) => name,
            (None, Some(at)) => {
                waiting = heading::read(&self.waiting[at].tokens, self.text);
                &waiting
            }
            (None, None) => return None,
        };
        let rest = words.rest.map_or("", |rest| &self.text[rest.range()]);
        let said = format!("{} {rest}", words.name).to_lowercase();
        let is_said = |word: &&str| {
            matches!(
                *word,
                "continued" | "continue" | "cont" | "continues" | "cont'd"
            )
        };
        let mut parts = said.split(|c: char| !c.is_alphanumeric() && c != '\'');
        let says_so = parts.clone().any(|word| is_said(&word));
        let own: Vec<&str> = parts
            .by_ref()
            .filter(|word| !word.is_empty() && !is_said(word))
            .collect();
        let own = own.join(" ");
        let is_own = |name: &str| name.chars().flat_map(char::to_lowercase).eq(own.chars());
        let mut pieces = self.pattern.pieces.iter();
        let at = pieces.position(|piece| is_own(&piece.name))?;
        let next = last_round(&self.pattern.pieces[at]).saturating_add(1);
        (says_so || first == next).then_some(at)
    }

    /// Goes on with an earlier piece: it comes last, after the parts that have been made for it.
    fn go_on_with(&mut self, at: usize) {
        self.add_twin();
        let mut piece = self.pattern.pieces.remove(at);
        if self.heading.take().is_none()
            && let Some(at) = self.name_in_waiting()
        {
            let line = self.waiting.remove(at);
            piece.lines.push(Line::Prose(line.span));
        }
        for line in std::mem::take(&mut self.waiting) {
            piece.lines.push(match self.between(&line) {
                Reading::Acts(acts) => Line::Between(Between {
                    acts,
                    span: line.span,
                }),
                _ => Line::Prose(line.span),
            });
        }
        self.numbering.finish(&mut self.problems);
        self.numbering.lean(last_round(&piece));
        self.pattern.pieces.push(piece);
    }

    /// The short line alone above the rounds that names them, where there is no heading.
    pub(super) fn name_in_waiting(&self) -> Option<usize> {
        let may_name = |line: &RawLine<'s>| heading::may_name(line, self.text);
        let named = self.waiting.iter().rposition(may_name);
        let called = self.called_in_waiting(named.unwrap_or(0));
        // `CLAWS, one big one small`, and below it `big:`
        let word = called.and_then(|at| self.waiting[at].tokens.first());
        let tells = |at: usize| {
            word.is_some_and(|word| self.waiting[at].tokens.iter().any(|t| t.text == word.text))
        };
        if called.is_some() && named.is_none_or(tells) {
            return called;
        }
        let Some(at) = named else {
            // `body`, right above `r1 6 sc in mr`, above a yarn, or above `white, ch 36 and sl st to the first ch`
            let is_key = |line: &&RawLine<'s>| line.tokens.iter().any(|t| t.kind == Kind::Colon);
            let keys = self.waiting.iter().rev().take_while(is_key).count();
            let makes_start = |line: &RawLine<'s>| {
                let Reading::Acts(acts) = self.between(line) else {
                    return false;
                };
                acts.iter().any(|item| item.act.is_chain())
            };
            let last = self.waiting.last().filter(|_| keys == 0);
            let started = usize::from(last.is_some_and(makes_start));
            let at = self.waiting.len().checked_sub(keys + started + 1)?;
            let named = heading::may_name_in_small(&self.waiting[at], self.text)
                && matches!(self.between(&self.waiting[at]), Reading::Prose);
            return named.then_some(at);
        };
        // `ARMS (make 2)`, and below it the yarn: `Skin:`
        let above = at.checked_sub(1).map(|above| &self.waiting[above]);
        let ends_in_colon =
            |line: &RawLine<'s>| line.tokens.last().is_some_and(|t| t.kind == Kind::Colon);
        // `TAIL (blue)`, and below it what it begins with: `First make 2 flukes.`
        let begins_with_parts = make::of_parts(&self.waiting[at].tokens).is_some();
        let is_named_above = above.is_some_and(|above| {
            let says_make = || heading::read(&above.tokens, self.text).says_make;
            // `ARMS – make 2`, and below it `Oatmeal`
            let line = &self.waiting[at];
            let is_word =
                line.tokens.len() == 1 && !heading::read(&line.tokens, self.text).says_make;
            let is_word = is_word && above.tokens.iter().any(|t| t.is("make"));
            let tells_more = (ends_in_colon(line) || is_word) && says_make();
            may_name(above) && (tells_more || begins_with_parts)
        });
        Some(at - usize::from(is_named_above))
    }

    /// `hinge:` in small letters: below another piece, or right above the rounds; looked for from a line on.
    fn called_in_waiting(&self, from: usize) -> Option<usize> {
        let called = |line: &RawLine<'s>| heading::may_be_called(line, self.text);
        let at = from + self.waiting[from..].iter().rposition(called)?;
        let is_last = at + 1 == self.waiting.len();
        (is_last || !self.pattern.pieces.is_empty()).then_some(at)
    }

    pub(super) fn too_many_pieces(&mut self, label: Span) {
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

    /// Opens the piece that a round with this number belongs to, a new one or one that is gone on with.
    pub(super) fn open_piece(&mut self, label: Span, first: u32) {
        if let Some(at) = self.continued(first) {
            self.go_on_with(at);
            return;
        }
        self.take_title_above_a_name();
        let named = self.heading.take();
        let taken = if named.is_none() {
            self.name_in_waiting()
        } else {
            None
        };
        let (name, span) = match (named, taken) {
            (Some((_, span, name)), _) => (name, span),
            (None, Some(at)) => {
                let at = self.settle_above(at);
                let line = self.waiting.remove(at);
                // The only name that stands above the rounds, at the very front, is the title as well.
                if at == 0 && self.pattern.pieces.is_empty() && self.pattern.title.is_none() {
                    let value = heading::read(&line.tokens, self.text).name;
                    let span = line.span;
                    self.pattern.title =
                        (!self.waiting.is_empty()).then_some(Spanned { value, span });
                }
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
                        says_make: false,
                        rest: None,
                        also: None,
                    },
                    label,
                )
            }
        };
        // In a text without headings the first line that is not the piece's name is the title.
        if self.pattern.title.is_none() && self.pattern.pieces.is_empty() {
            let title = self.waiting.first().filter(|line| self.may_be_title(line));
            if let Some(line) = title {
                let value = heading::title(&line.tokens, self.text);
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
        let mut name = name;
        self.take_yarn_off(&mut name.name);
        let yarn = name
            .rest
            .and_then(|rest| self.yarn_in(rest).or_else(|| self.colour_in(rest)));
        self.add_twin();
        let twin = name.also.map(|also| {
            let (second, span) = *also;
            Piece {
                name: second.name,
                make: second.make,
                yarn: yarn.clone(),
                span,
                lines: vec![Line::LikePiece(LikePiece {
                    piece: Spanned {
                        value: name.name.to_lowercase(),
                        span,
                    },
                    rounds: None,
                    stays_on: false,
                    span,
                })],
            }
        });
        let mut piece = Piece {
            name: name.name,
            make: name.make,
            yarn,
            span,
            lines: Vec::new(),
        };
        for line in joined(std::mem::take(&mut self.waiting)) {
            make_as_said(&mut piece, &line);
            let laid = self.laid_to_it(&line.tokens, &piece.name);
            self.laid = laid.or(self.laid.take());
            if let Some(yarn) = self.starting_yarn(&line) {
                piece.yarn = Some(yarn);
            }
            // `Ch 24, join to form a ring` above the first round.
            piece.lines.push(match self.above(&line) {
                Reading::Acts(acts) => Line::Between(Between {
                    acts,
                    span: line.span,
                }),
                _ => Line::Prose(line.span),
            });
        }
        self.numbering.finish(&mut self.problems);
        self.pattern.pieces.push(piece);
        self.twin = twin;
    }

    /// `Monster (moss)`: a bracket with a yarn of the list in it is no part of the name.
    fn take_yarn_off(&self, name: &mut String) {
        let inner = name
            .strip_suffix(')')
            .and_then(|words| words.rsplit_once(" ("));
        let is_yarn = inner.is_some_and(|(_, inner)| {
            self.names
                .yarns
                .iter()
                .any(|yarn| yarn.len() > 2 && colours::alike(yarn, inner))
        });
        if let Some((own, _)) = inner.filter(|_| is_yarn) {
            *name = own.to_owned();
        }
    }

    /// Adds the second piece that the heading of the last one names.
    fn add_twin(&mut self) {
        if let Some(twin) = self.twin.take()
            && self.pattern.pieces.len() < limits::PIECES
        {
            self.pattern.pieces.push(twin);
        }
    }

    /// `## Edda Eider` as the first heading of a text, or `### PDF pattern` below the title, and `**Head**` right above the rounds: the
    /// title, and the piece.
    fn take_title_above_a_name(&mut self) {
        const OF_ALL: &[&str] = &["pattern", "instructions", "directions"];
        // A yarn may stand between the name and the rounds.
        let names = self.waiting.iter().rev().take(2).any(|line| {
            line.tokens.first().is_some_and(Token::is_bold) && heading::may_name(line, self.text)
        });
        let Some((_, span, _)) = self.heading else {
            return;
        };
        let words = lex(self.text, span);
        let is_of_all = words.iter().any(|t| OF_ALL.iter().any(|word| t.is(word)));
        let is_title = self.pattern.title.is_none();
        if self.pattern.pieces.is_empty() && names && (is_title || is_of_all) {
            self.heading = None;
            let value = heading::title(&words, self.text);
            self.pattern.title.get_or_insert(Spanned { value, span });
        }
    }

    /// True if the first line of a text may be its title: short, and neither a sentence nor a list nor work.
    fn may_be_title(&self, line: &RawLine<'s>) -> bool {
        const MOST_WORDS: usize = 12;
        let other = |t: &Token<'_>| matches!(t.kind, Kind::Colon | Kind::Equals);
        let ends = line.tokens.last().is_some_and(|t| t.kind == Kind::Stop);
        let words = line.tokens.iter().filter(|t| t.kind == Kind::Word).count();
        let all_bold = heading::is_all_bold(&line.tokens);
        words <= MOST_WORDS
            && !heading::has_cells(line, self.text)
            && !ends
            && (all_bold || !line.tokens.iter().any(other))
            && !heading::is_of_material(&line.tokens, self.text)
            && matches!(self.between(line), Reading::Prose)
    }

    /// Gives the lines above a name to the piece before, but for a yarn right above it. Returns the new place of the name.
    fn settle_above(&mut self, name: usize) -> usize {
        if self.pattern.pieces.is_empty() {
            return name;
        }
        let mut from = name;
        while from > 0 && self.starting_yarn(&self.waiting[from - 1]).is_some() {
            from -= 1;
        }
        let rest = self.waiting.split_off(from);
        self.settle_waiting();
        self.waiting = rest;
        name - from
    }

    /// Gives the waiting lines to the last piece: steps, or prose.
    pub(super) fn settle_waiting(&mut self) {
        let waiting = std::mem::take(&mut self.waiting);
        for line in waiting {
            if let Some(piece) = self.pattern.pieces.last() {
                let laid = self.laid_to_it(&line.tokens, &piece.name);
                self.laid = laid.or(self.laid.take());
            }
            self.numbering.in_rows |= rows::says_to_and_fro(&line.tokens);
            let read_as = match self.between(&line) {
                Reading::Work if self.only_ends(&line.tokens) => Reading::Prose,
                read_as => read_as,
            };
            let Some(piece) = self.pattern.pieces.last_mut() else {
                continue;
            };
            if self.heading.is_none() {
                make_as_said(piece, &line);
            } else {
                // Below a heading without rounds: notes, materials, making up.
                piece.lines.push(Line::Prose(line.span));
                continue;
            }
            match read_as {
                Reading::Acts(acts) => piece.lines.push(Line::Between(Between {
                    acts,
                    span: line.span,
                })),
                Reading::MovesStart(items) => {
                    if let Some(Line::Round(round)) = piece.lines.last_mut() {
                        round.ending.extend(items);
                    }
                    piece.lines.push(Line::Prose(line.span));
                }
                Reading::Work => {
                    self.problems.push(
                        Problem::warning(
                            "stitches-in-prose",
                            line.span,
                            "this line holds stitches but is not a round",
                        )
                        .help("if it is a round, give it a label such as `Rnd 7:`"),
                    );
                    piece.lines.push(Line::Prose(line.span));
                }
                Reading::Prose => {
                    if repeats_rounds(&line.tokens) {
                        self.problems.push(
                            Problem::warning(
                                "unread",
                                line.span,
                                "this line repeats rounds, but which and how often was not read",
                            )
                            .help("write it as `Repeat Rnds 5 and 6 twice`, or as rounds of their own"),
                        );
                    }
                    piece.lines.push(Line::Prose(line.span));
                }
            }
        }
    }

    /// A piece of one line, such as a strap, needs no labels.
    fn pass_lone_lines(&mut self) {
        let pieces = self.pattern.pieces.iter();
        let lone: BTreeSet<usize> = pieces
            .filter_map(|piece| {
                let mut rounds = piece.lines.iter().filter_map(|line| match line {
                    Line::Round(round) => Some(round.span.start),
                    _ => None,
                });
                let first = rounds.next()?;
                rounds.next().is_none().then_some(first)
            })
            .collect();
        self.problems
            .retain(|p| p.code != "label-unwritten" || lone.range(p.span.range()).next().is_none());
    }

    fn finish(mut self, source: &Source) -> (Pattern, Vec<Problem>) {
        self.settle_waiting();
        self.add_twin();
        self.numbering.finish(&mut self.problems);
        self.pass_lone_lines();
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
        for piece in &mut self.pattern.pieces {
            rows::settle(piece, self.text);
            rows::settle_rounds(piece);
        }
        self.pattern.definitions = self.names.own.definitions();
        (self.pattern, self.problems)
    }
}

/// Sentences that a line break parts, each as one line.
fn joined(lines: Vec<RawLine<'_>>) -> Vec<RawLine<'_>> {
    let mut whole: Vec<RawLine<'_>> = Vec::new();
    for line in lines {
        match whole.last_mut() {
            Some(before) if goes_on_in_small(before, &line) => before.goes_on_with(line),
            _ => whole.push(line),
        }
    }
    whole
}

/// True if a line ends without a mark and the next begins with a small letter.
fn goes_on_in_small(line: &RawLine<'_>, next: &RawLine<'_>) -> bool {
    const SHORTEST: usize = 5;
    let ends = line.tokens.last().is_some_and(|t| t.kind == Kind::Word);
    let small = next.tokens.first().is_some_and(Token::is_small);
    ends && small && !next.bullet && line.tokens.len() >= SHORTEST
}

/// `Make 2.` above or below the rounds of a piece whose name does not say how many.
fn make_as_said(piece: &mut Piece, line: &RawLine<'_>) {
    let mut sentences = line.tokens.split(|t| t.kind == Kind::Stop);
    if let Some(make) = sentences.find_map(make::only_makes)
        && piece.make == 1
    {
        piece.make = make.clamp(1, limits::COPIES);
    }
}

/// `Rep these two rnds to the end`: true if a line begins by repeating rounds.
fn repeats_rounds(tokens: &[Token<'_>]) -> bool {
    const NEAR: usize = 6;
    let repeats = |t: &Token<'_>| matches!(&*t.text, "rep" | "repeat");
    tokens.first().is_some_and(repeats) && tokens.iter().take(NEAR).any(Token::names_rounds)
}

/// The last number of a piece's last round.
pub(super) fn last_round(piece: &Piece) -> u32 {
    let mut lines = piece.lines.iter().rev();
    let last = lines.find_map(|line| match line {
        Line::Round(round) => round.label.numbers.last(),
        _ => None,
    });
    last.map_or(0, |run| run.1)
}
