//! Lines → blocks: a round with all of its lines, and what is no round.

use std::collections::BTreeSet;

use super::body::{self, Names};
use super::header;
use super::heading;
use super::label::{self, RawLabel};
use super::lex::{Kind, Token};
use super::lines::{LineKind, RawLine};
use super::paragraphs;
use super::plain_numbers;
use super::run_in;
use super::tree::{Act, Instruction};
use super::undotted;
use super::unlabelled;
use super::whole::{self, uses_letter_code};
use super::wrapped::{ends_with_total, goes_on, names_stitch};

/// A line, or a round with all of its lines.
pub(super) enum Block<'s> {
    Heading(u8, RawLine<'s>),
    Blank,
    Text(RawLine<'s>),
    Round(RawRound<'s>),
}

pub(super) struct RawRound<'s> {
    pub label: RawLabel,
    pub tokens: Vec<Token<'s>>,
    /// Brackets that are open at its end.
    depth: i64,
}

impl<'s> RawRound<'s> {
    /// A line without a label: the first of its piece, with that number, or the next.
    pub fn unlabelled(line: RawLine<'s>, is_row: bool, first: Option<u32>) -> RawRound<'s> {
        RawRound {
            label: RawLabel {
                is_row,
                numbers: first.map(|number| (number, number)).into_iter().collect(),
                relative: u32::from(first.is_none()),
                unwritten: true,
                ..RawLabel::default()
            },
            depth: depth_of(&line.tokens),
            tokens: line.tokens,
        }
    }

    /// All of its words, as a line that is no round.
    pub fn into_line(self) -> Option<RawLine<'s>> {
        let (first, last) = (self.tokens.first()?.span, self.tokens.last()?.span);
        Some(RawLine {
            kind: LineKind::Text,
            span: first.to(last),
            tokens: self.tokens,
            indented: false,
            bullet: false,
        })
    }
}

impl<'s> Block<'s> {
    /// The line of a block that is no round.
    pub fn line(&self) -> Option<&RawLine<'s>> {
        match self {
            Block::Heading(_, line) | Block::Text(line) => Some(line),
            Block::Blank | Block::Round(_) => None,
        }
    }
}

/// Puts the lines of each round together.
pub(super) fn blocks<'s>(lines: Vec<RawLine<'s>>, text: &'s str) -> Vec<Block<'s>> {
    let mut lines = run_in::parted(lines, text);
    join_parted_labels(&mut lines);
    undotted::without_stops(&mut lines);
    // Which yarns there are has to be known before a line can be tried as a round: the lines before the first sure label tell.
    let is_sure = |label: RawLabel| !label.bare && !label.open_ended;
    let head = lines
        .iter()
        .take_while(|line| !label::read(&line.tokens).is_some_and(is_sure));
    let header = header::read(head, text, &mut Vec::new());
    let mut maker = Blocks {
        text,
        names: Names {
            yarns: whole::yarn_names(&header),
            ..Names::default()
        },
        last_number: None,
        ends: BTreeSet::new(),
        blocks: Vec::new(),
    };
    plain_numbers::mark(&mut lines, text, &maker.names);
    let mut lines = lines.into_iter().peekable();
    while let Some(mut line) = lines.next() {
        if let Some(before) = before_a_label(&mut line) {
            for part in name_and_work(before, text) {
                maker.text_line(part, None);
            }
        }
        match line.kind {
            LineKind::Blank => maker.blocks.push(Block::Blank),
            LineKind::Heading(level) => maker.blocks.push(Block::Heading(level, line)),
            LineKind::Text => {
                let mut label = label::read(&line.tokens);
                // A label with nothing after it: its round stands on the next line.
                if let Some(alone) = label.as_ref().filter(|l| l.body >= line.tokens.len()) {
                    while lines.next_if(|next| next.kind == LineKind::Blank).is_some() {}
                    if let Some(body) = lines.next_if(|next| maker.is_body(alone, next)) {
                        line.goes_on_with(body);
                    } else if alone.bare {
                        label = None;
                    }
                } else if let Some(label) = &label
                    && let Some(next) = lines.next_if(|next| maker.begins(label, &line, next))
                {
                    line.goes_on_with(next);
                }
                maker.text_line(line, label);
            }
        }
    }
    number_foundations(&mut maker.blocks);
    from_below_up(&mut maker.blocks);
    unlabelled::found(maker.blocks, &mut maker.names, text)
}

/// `… 7th to 16th ⏎ rnds: sc around`: puts the numbers of a label that a line break parts before the word that they belong to.
fn join_parted_labels(lines: &mut [RawLine<'_>]) {
    for at in 1..lines.len() {
        let opens = lines[at].tokens.first().is_some_and(Token::names_rounds);
        let both_text = lines[at - 1].kind == LineKind::Text && lines[at].kind == LineKind::Text;
        if !opens || !both_text {
            continue;
        }
        let above = &lines[at - 1].tokens;
        let numbers = above.iter().rev().take_while(|t| {
            matches!(t.kind, Kind::Number(_) | Kind::Dash | Kind::Ampersand)
                || matches!(&*t.text, "st" | "nd" | "rd" | "th" | "to" | "and")
        });
        let first = above.len() - numbers.count();
        let is_ordinal = |at: usize| {
            above
                .get(at)
                .is_some_and(|t| matches!(t.kind, Kind::Number(_)))
                && above
                    .get(at + 1)
                    .is_some_and(|t| !t.spaced && t.kind == Kind::Word)
        };
        let behind_a_stop =
            first > 0 && matches!(above[first - 1].kind, Kind::Stop | Kind::Close(_));
        if !is_ordinal(first) || !behind_a_stop {
            continue;
        }
        let mut label = lines[at - 1].tokens.split_off(first);
        let words = lines[at - 1].tokens[0]
            .span
            .to(lines[at - 1].tokens[first - 1].span);
        lines[at - 1].span = words;
        lines[at].span = label[0].span.to(lines[at].span);
        label.append(&mut lines[at].tokens);
        lines[at].tokens = label;
    }
}

/// A list of rounds that begins with the last one, as a chart is read from below: put the first one first.
fn from_below_up(blocks: &mut [Block<'_>]) {
    const FEWEST: usize = 3;
    let run = |block: &Block<'_>| match block {
        Block::Round(round) => match round.label.numbers[..] {
            [run] => Some(run),
            _ => None,
        },
        _ => None,
    };
    let mut at = 0;
    while at < blocks.len() {
        let mut end = at + 1;
        while end < blocks.len()
            && let (Some(above), Some(below)) = (run(&blocks[end - 1]), run(&blocks[end]))
            && below.1.checked_add(1) == Some(above.0)
        {
            end += 1;
        }
        if end - at >= FEWEST && run(&blocks[end - 1]).is_some_and(|run| run.0 == 1) {
            blocks[at..end].reverse();
            if let Block::Round(round) = &mut blocks[at] {
                round.label.stands_last = true;
            }
        }
        at = end;
    }
}

struct Blocks<'s> {
    text: &'s str,
    /// The yarns, and whether the body that is tried has a letter code.
    names: Names,
    /// The last number of the last round's label.
    last_number: Option<u32>,
    /// The last numbers of pieces before: one may be gone on with.
    ends: BTreeSet<u32>,
    blocks: Vec<Block<'s>>,
}

/// A foundation row is row 1 where row 2 comes next, else it stands before row 1.
fn number_foundations(blocks: &mut [Block<'_>]) {
    let mut next = None;
    for block in blocks.iter_mut().rev() {
        let Block::Round(round) = block else { continue };
        if round.label.foundation {
            let number = u32::from(next == Some(2));
            round.label.numbers = vec![(number, number)];
        }
        next = round.label.numbers.first().map(|run| run.0);
    }
}

impl<'s> Blocks<'s> {
    fn text_line(&mut self, mut line: RawLine<'s>, label: Option<RawLabel>) {
        let labels = label
            .filter(|label| !self.is_inside_a_bracket(label, &line.tokens))
            .map(|label| labels_within(label, &line.tokens, self.text, &self.names))
            .map(|labels| with_rows_turned_to(labels, &line.tokens));
        if let Some(labels) = labels
            && let end = labels.get(1).map_or(line.tokens.len(), |next| next.0)
            && self.is_round(&labels[0].1, &line.tokens[..end])
        {
            push_rounds(labels, line, &mut self.blocks);
            let mut blocks = self.blocks.iter().rev();
            if let Some(Block::Round(round)) = blocks.find(|block| matches!(block, Block::Round(_)))
            {
                let next = round.label.numbers.last().map(|run| run.1);
                if next.is_some_and(|next| next <= self.last_number.unwrap_or(0)) {
                    self.ends.extend(self.last_number);
                }
                self.last_number = next;
            }
            return;
        }
        if let Some(Block::Round(round)) = self.blocks.last_mut()
            && goes_on(&round.tokens, round.depth, &line, self.text)
        {
            line.space();
            round.depth += depth_of(&line.tokens);
            round.tokens.extend(line.tokens);
            return;
        }
        self.blocks.push(Block::Text(line));
    }

    /// True if a label has the number that comes next.
    fn follows(&self, label: &RawLabel) -> bool {
        let first = label.numbers.first();
        self.last_number
            .zip(first)
            .is_some_and(|(last, first)| last.checked_add(1) == Some(first.0))
    }

    /// True if a label's number is 1 or the next, of this piece or of one before.
    fn comes_next(&self, label: &RawLabel) -> bool {
        let first = label.numbers.first().map_or(0, |run| run.0);
        matches!(label.numbers[..], [(1, _)])
            || self.follows(label)
            || first
                .checked_sub(1)
                .is_some_and(|last| self.ends.contains(&last))
    }

    /// True if a label goes on with a list, or begins one with a bare 1.
    fn is_next(&self, label: &RawLabel) -> bool {
        label.bare && matches!(label.numbers[..], [(1, _)]) || self.follows(label)
    }

    /// `(sc in next st, 2 sc in next ⏎ 2) x 6`: the number is no label.
    fn is_inside_a_bracket(&self, label: &RawLabel, tokens: &[Token<'_>]) -> bool {
        let Some(Block::Round(round)) = self.blocks.last() else {
            return false;
        };
        let closes = tokens
            .get(label.end)
            .is_some_and(|t| matches!(t.kind, Kind::Close(_)));
        let mark = round.tokens.get(round.label.end);
        let is_alike = mark.is_some_and(|t| matches!(t.kind, Kind::Close(_)));
        let is_next = round.label.bare && is_alike && self.follows(label);
        round.depth > 0 && label.bare && closes && !is_next
    }

    /// True if a line is what a label that stands alone above it labels.
    fn is_body(&mut self, label: &RawLabel, line: &RawLine<'s>) -> bool {
        let is_text = line.kind == LineKind::Text && !line.tokens.is_empty();
        let labelled = label::read(&line.tokens).is_some_and(|l| self.is_round(&l, &line.tokens));
        is_text && !labelled && self.reads(label, &line.tokens)
    }

    /// A label with nothing but a number, with no mark at its end, or misspelt, opens a round only if its body reads as one.
    fn is_round(&mut self, label: &RawLabel, tokens: &[Token<'_>]) -> bool {
        if !label.bare && !label.open_ended && label.slip.is_none() {
            return true;
        }
        let body = &tokens[label.body.min(tokens.len())..];
        // `| 4 | 26 | back loop only |`: no stitches, but a total.
        if label.in_table && label.total.is_some() && self.is_next(label) {
            return true;
        }
        let is_named = !label.bare && self.follows(label) && has_work_and_total(body);
        !body.is_empty()
            && (!label.weak || self.comes_next(label))
            && (self.reads(label, body) || is_named)
    }

    /// True if a body reads as a round: without a slip, or with few where its number is the one to come.
    fn reads(&mut self, label: &RawLabel, body: &[Token<'_>]) -> bool {
        // Behind the work, a row of a table has notes in any words.
        let mut cells = body.split(|t| t.text == "|");
        let work = cells
            .find(|cell| !cell.is_empty())
            .filter(|_| label.in_table);
        let body = work.unwrap_or(body);
        self.names.letter_code = uses_letter_code(body, self.text);
        self.names.small_letters = !self.names.letter_code && whole::has_small_letters(body);
        let read = body::read(body, self.text, &self.names, false);
        // A lone capital may be a yarn that is not listed.
        let may_be_yarn =
            |words: &str| words.len() == 1 && words.starts_with(|c: char| c.is_ascii_uppercase());
        let slips = read
            .problems
            .iter()
            .filter(|p| match p.code {
                "unknown-stitch" => true,
                "unread" => !may_be_yarn(&self.text[p.span.range()]),
                _ => false,
            })
            .count();
        let worked = read.items.iter().filter(|i| i.act.is_worked()).count();
        let borne = if self.is_next(label) { worked } else { 0 };
        worked > 0 && slips <= borne
    }

    /// True if a numbered line reads as a round only together with the line below it: `5. In back loops ⏎ only, 6 sc`.
    fn begins(&mut self, label: &RawLabel, line: &RawLine<'s>, next: &RawLine<'s>) -> bool {
        let may_go_on = next.kind == LineKind::Text
            && !next.bullet
            && self.is_next(label)
            && label::read(&next.tokens).is_none();
        if !(label.bare || label.open_ended) || !may_go_on || self.is_round(label, &line.tokens) {
            return false;
        }
        let body = &line.tokens[label.body.min(line.tokens.len())..];
        let mut body = body.to_vec();
        body.extend(next.tokens.iter().cloned());
        // Where a third line has the stitches, the loops to work into or the ring tell as much.
        let tells = |item: &Instruction| matches!(item.act, Act::Hold(_) | Act::MagicRing);
        let read = body::read(&body, self.text, &self.names, false);
        self.reads(label, &body) || read.items.iter().any(tells)
    }
}

/// `Ch 13. Row 1: …`, `Stuff lightly. R6-8: …`, `(change color) R7: …`, `Body. Rnd 1: …`, `Body: Rnd 1: …`: takes the words before the first label out of its line.
fn before_a_label<'s>(line: &mut RawLine<'s>) -> Option<RawLine<'s>> {
    const LONGEST: usize = 24;
    if line.kind != LineKind::Text || label::read(&line.tokens).is_some() {
        return None;
    }
    let is_sure = |found: &RawLabel| {
        !found.bare && !found.open_ended && found.slip.is_none() && found.start == 0
    };
    let chat = (1..line.tokens.len().min(LONGEST)).find(|&at| opens_rounds(&line.tokens[at..]));
    // A sure label that begins at a token and ends in a colon.
    let with_colon = |at: usize| {
        label::read(&line.tokens[at..]).filter(|found| {
            let colon = found
                .body
                .checked_sub(1)
                .and_then(|last| line.tokens.get(at + last));
            is_sure(found) && colon.is_some_and(|t| t.kind == Kind::Colon)
        })
    };
    let marked = (2..line.tokens.len().min(LONGEST)).find(|&at| {
        matches!(
            line.tokens[at - 1].kind,
            Kind::Stop | Kind::Colon | Kind::Comma | Kind::Close(_)
        ) && line.tokens[at].spaced
            && matches!(line.tokens[at].kind, Kind::Word | Kind::Number(_))
            && with_colon(at).is_some_and(|found| found.body < line.tokens.len() - at)
    });
    // `With navy yarn 16. Row: …`
    const MOST_OF_YARN: usize = 5;
    let opens_with_yarn = line
        .tokens
        .first()
        .is_some_and(|t| matches!(&*t.text, "with" | "using" | "in"));
    let words = line.tokens.iter().take_while(|t| t.kind == Kind::Word);
    let behind_yarn = Some(words.take(MOST_OF_YARN + 1).count()).filter(|&at| {
        opens_with_yarn && (2..=MOST_OF_YARN).contains(&at) && with_colon(at).is_some()
    });
    let at = marked.or(chat).or(behind_yarn)?;
    let rest = line.tokens.split_off(at);
    let mut before = std::mem::replace(&mut line.tokens, rest);
    let span = line.span;
    line.span = line.tokens[0].span.to(span);
    // `Body. Rnd 1: …`: a name has no full stop.
    let opens = label::read(&line.tokens).is_some_and(|l| matches!(l.numbers[..], [(1, _)]));
    let ends_in_stop = before.last().is_some_and(|t| t.kind == Kind::Stop);
    if opens && ends_in_stop && before.iter().filter(|t| t.kind == Kind::Word).count() <= 3 {
        before.pop();
    }
    let last = before[before.len() - 1].span;
    Some(RawLine {
        kind: LineKind::Text,
        span: before[0].span.to(last),
        tokens: before,
        indented: line.indented,
        bullet: line.bullet,
    })
}

/// `STRAP: Ch 61.` as the name and the work, each as a line.
fn name_and_work<'s>(line: RawLine<'s>, text: &str) -> Vec<RawLine<'s>> {
    const LONGEST_NAME: usize = 6;
    match line.parted_at_colon(LONGEST_NAME) {
        Some((name, work))
            if heading::may_name(&name, text) && !heading::explains(&name.tokens) =>
        {
            vec![name, work]
        }
        _ => vec![line],
    }
}

/// `R1 mr 6 (6) R2 inc x 6 (12)`: the first round, and the next after its total.
fn opens_rounds(tokens: &[Token<'_>]) -> bool {
    const FAR: usize = 30;
    let opens = |at: usize, number: u32| {
        tokens
            .get(at)
            .is_some_and(|t| t.kind == Kind::Word && t.spaced)
            && label::read(&tokens[at..]).is_some_and(|found| {
                !found.bare
                    && found.slip.is_none()
                    && found.start == 0
                    && found.numbers == [(number, number)]
            })
    };
    let after_total = |at: &usize| matches!(tokens[at - 1].kind, Kind::Close(_));
    opens(0, 1)
        && (1..tokens.len().min(FAR))
            .filter(after_total)
            .any(|at| opens(at, 2))
}

/// One line may hold several rounds: `Rnd 5: 6 sc, ch 1, turn. Row 6: …`, `R1 mr 6 (6) R2 inc x 6 (12)`.
fn labels_within(
    label: RawLabel,
    tokens: &[Token<'_>],
    text: &str,
    names: &Names,
) -> Vec<(usize, RawLabel)> {
    let mut at = label.body + 1;
    let mut labels = vec![(0, label)];
    while at < tokens.len() {
        let before = tokens[at - 1].kind;
        let parted = matches!(
            before,
            Kind::Stop | Kind::Semicolon | Kind::Comma | Kind::Close(_)
        );
        // `4th rnd: …`
        let opens = match tokens[at].kind {
            Kind::Word => true,
            Kind::Number(_) => tokens[at].spaced && before != Kind::Comma,
            _ => false,
        };
        if parted
            && opens
            && let Some(found) = label::read(&tokens[at..])
            && !found.bare
            && found.slip.is_none()
            && found.start == 0
            && is_label_within(
                &found,
                &labels[labels.len() - 1].1,
                before,
                &tokens[at..],
                text,
                names,
            )
        {
            let body = found.body;
            labels.push((at, found));
            at += body;
        }
        at += 1;
    }
    labels
}

/// `Row 1: ch 11, 10 sc (10), turn; ch 1, 10 sc (10)`: what stands between a total and another behind a turn is the next row.
fn with_rows_turned_to(
    labels: Vec<(usize, RawLabel)>,
    tokens: &[Token<'_>],
) -> Vec<(usize, RawLabel)> {
    let [(_, label)] = &labels[..] else {
        return labels;
    };
    let single = matches!(label.numbers[..], [(first, last)] if first == last);
    let end = tokens.iter().rposition(|t| !is_mark(t) && !t.is("turn"));
    let ends = end.is_some_and(|last| ends_with_total(&tokens[..=last]));
    if !label.is_row || !single || !ends {
        return labels;
    }
    let turns = |at: &usize| {
        let before = tokens[..*at].iter().rposition(|t| !is_mark(t));
        let after = tokens[*at + 1..].iter().take_while(|t| is_mark(t)).count();
        tokens[*at].is("turn")
            && after > 0
            && before.is_some_and(|last| ends_with_total(&tokens[..=last]))
    };
    let bodies = (label.body + 1..tokens.len()).filter(turns);
    let starts =
        bodies.map(|at| at + 1 + tokens[at + 1..].iter().take_while(|t| is_mark(t)).count());
    // A total has names of stitches too.
    let total = tokens.iter().rposition(|t| matches!(t.kind, Kind::Open(_)));
    let before_total = &tokens[..total.unwrap_or(tokens.len())];
    let last_stitch = before_total.iter().rposition(names_stitch);
    let rows: Vec<usize> = starts.filter(|&at| Some(at) <= last_stitch).collect();
    let next = RawLabel {
        is_row: true,
        relative: 1,
        ..RawLabel::default()
    };
    let mut labels = labels;
    labels.extend(rows.into_iter().map(|at| (at, next.clone())));
    labels
}

fn is_mark(token: &Token<'_>) -> bool {
    matches!(token.kind, Kind::Comma | Kind::Semicolon | Kind::Stop)
}

/// Tokens of a round that are looked at to see whether it is one.
const LONGEST_ROUND: usize = 60;

/// True if a label after the words of another round opens a round of its own. After a comma, or with no mark at its end, it has to
/// be the next.
fn is_label_within(
    label: &RawLabel,
    before: &RawLabel,
    mark: Kind,
    tokens: &[Token<'_>],
    text: &str,
    names: &Names,
) -> bool {
    if mark != Kind::Comma && !label.open_ended {
        return true;
    }
    let last = before.numbers.last().map_or(0, |run| run.1);
    if label.numbers.first().map(|run| run.0) != last.checked_add(1) || label.body == 0 {
        return false;
    }
    if mark == Kind::Comma {
        return tokens
            .get(label.body - 1)
            .is_some_and(|t| t.kind == Kind::Colon);
    }
    // `R2 inc x 6 (12)`, up to its total
    let body = &tokens[label.body.min(tokens.len())..];
    let body = &body[..body.len().min(LONGEST_ROUND)];
    let mut depth = 0;
    let end = body.iter().position(|t| {
        match t.kind {
            Kind::Open(_) => depth += 1,
            Kind::Close(_) => depth -= 1,
            _ => {}
        }
        matches!(t.kind, Kind::Stop | Kind::Semicolon)
            || depth == 0 && matches!(t.kind, Kind::Close(_))
    });
    let read = body::read(&body[..end.unwrap_or(body.len())], text, names, false);
    matches!(mark, Kind::Close(_))
        && read
            .items
            .iter()
            .any(|item| item.act.is_worked() || item.act == Act::MagicRing)
}

/// `in the loops of R2 sc around (12)`: a stitch, and a number in brackets at the end.
fn has_work_and_total(body: &[Token<'_>]) -> bool {
    let ends = matches!(
        body,
        [.., open, number, close]
            if matches!(open.kind, Kind::Open(_))
                && matches!(number.kind, Kind::Number(_))
                && matches!(close.kind, Kind::Close(_))
    );
    ends && body.iter().any(names_stitch)
}

/// Parts a line at the labels in it.
fn push_rounds<'s>(
    labels: Vec<(usize, RawLabel)>,
    mut line: RawLine<'s>,
    blocks: &mut Vec<Block<'s>>,
) {
    let mut rest = std::mem::take(&mut line.tokens).into_iter();
    // The numbers that each round ends and the next one begins with.
    let lasts = labels.iter().map(|(_, label)| label.numbers.last());
    let nexts = labels
        .iter()
        .skip(1)
        .map(|(_, label)| label.numbers.first());
    let gaps: Vec<bool> = lasts
        .zip(nexts.chain([None]))
        .map(|(last, next)| match (last, next) {
            (Some(last), Some(next)) => next.0 > last.1.saturating_add(1),
            _ => true,
        })
        .collect();
    let starts: Vec<usize> = labels
        .iter()
        .map(|(start, _)| *start)
        .chain([usize::MAX])
        .collect();
    let ends = starts.into_iter().skip(1);
    for (((start, label), end), has_gap) in labels.into_iter().zip(ends).zip(gaps) {
        let mut tokens: Vec<Token<'s>> = rest.by_ref().take(end - start).collect();
        let parts = match has_gap {
            true => paragraphs::further_sentences(&tokens, label.body),
            false => Vec::new(),
        };
        let behind: Vec<RawLine<'s>> = parts.iter().map(|part| line.part(part)).collect();
        let told_behind: usize = parts.iter().map(|part| part.len()).sum();
        tokens.truncate(tokens.len() - told_behind);
        let depth = depth_of(&tokens[label.body.min(tokens.len())..]);
        blocks.push(Block::Round(RawRound {
            label,
            tokens,
            depth,
        }));
        blocks.extend(behind.into_iter().map(Block::Text));
    }
}

/// Brackets that are open after these tokens.
pub(super) fn depth_of(tokens: &[Token<'_>]) -> i64 {
    tokens
        .iter()
        .map(|token| match token.kind {
            Kind::Open(_) => 1,
            Kind::Close(_) => -1,
            _ => 0,
        })
        .sum()
}
