//! Rounds without labels: each line is a round, counted from the start of its piece.

use super::between::explains_words;
use super::blocks::{Block, RawRound, depth_of};
use super::body::{self, BodyRead, Names};
use super::heading;
use super::lex::{Kind, Token};
use super::lines::RawLine;
use super::tree::*;
use super::whole;
use super::wrapped::{self, ends_with_total};
use crate::source::Level;
use crate::terms::Height;

/// Makes rounds of lines that work as such where no label stands: several from a start on, or one below its name.
pub(super) fn found<'s>(
    blocks: Vec<Block<'s>>,
    names: &mut Names,
    text: &'s str,
) -> Vec<Block<'s>> {
    let mut finder = Finder { names, text };
    let mut rest = Vec::with_capacity(blocks.len());
    for block in blocks {
        finder.part_name(block, &mut rest);
    }
    let mut out = Vec::with_capacity(rest.len());
    let (mut at, mut tried) = (0, 0);
    while at < rest.len() {
        if at >= tried
            && let Some(stretch) = finder.stretch(&rest, at, &out)
        {
            tried = stretch.seen;
            if stretch.stands {
                at = stretch.take(&mut rest, &mut out);
                continue;
            }
        }
        out.push(std::mem::replace(&mut rest[at], Block::Blank));
        at += 1;
    }
    out
}

/// Lines that may be rounds, from one that starts a piece on.
struct Stretch {
    /// For each round the indices of its lines.
    rounds: Vec<Vec<usize>>,
    /// The number of the first.
    first: u32,
    is_row: bool,
    /// They are rounds.
    stands: bool,
    /// The index up to which the lines have been looked at.
    seen: usize,
}

impl Stretch {
    /// Moves the blocks up to the last round out, the rounds as such. Returns the index after it.
    fn take<'s>(&self, rest: &mut [Block<'s>], out: &mut Vec<Block<'s>>) -> usize {
        let mut end = self.rounds[0][0];
        for (place, lines) in self.rounds.iter().enumerate() {
            let between = rest[end..lines[0]].iter_mut();
            out.extend(between.map(|block| std::mem::replace(block, Block::Blank)));
            let mut whole: Option<RawLine<'s>> = None;
            for &index in lines {
                if let Block::Text(line) = std::mem::replace(&mut rest[index], Block::Blank) {
                    match &mut whole {
                        Some(whole) => whole.goes_on_with(line),
                        None => whole = Some(line),
                    }
                }
                end = index + 1;
            }
            let round =
                |line| RawRound::unlabelled(line, self.is_row, (place == 0).then_some(self.first));
            out.extend(whole.map(|line| Block::Round(round(line))));
        }
        end
    }
}

struct Finder<'n> {
    names: &'n mut Names,
    text: &'n str,
}

impl Finder<'_> {
    /// `Eye (make 2): MR 6 sc, sl st`: the name and the work, each as a line.
    fn part_name<'s>(&mut self, block: Block<'s>, out: &mut Vec<Block<'s>>) {
        const LONGEST_NAME: usize = 10;
        let (Block::Text(line) | Block::Heading(_, line)) = &block else {
            out.push(block);
            return;
        };
        let Some((name, work)) = line.parted_at_colon(LONGEST_NAME) else {
            self.part_rounds(block, out);
            return;
        };
        let first = in_sequence(&work.tokens).next().unwrap_or_default();
        let starts = opens(&self.read(first));
        let names = heading::may_name(&name, self.text) && !heading::explains(&name.tokens);
        if !starts || !names {
            out.push(block);
            return;
        }
        out.push(match block {
            Block::Heading(level, _) => Block::Heading(level, name),
            _ => Block::Text(name),
        });
        self.part_rounds(Block::Text(work), out);
    }

    /// `6 sc in MR, then inc x 6 (12), then sc around for 2 rounds`: each round as a line.
    fn part_rounds<'s>(&mut self, block: Block<'s>, out: &mut Vec<Block<'s>>) {
        let Block::Text(line) = &block else {
            out.push(block);
            return;
        };
        let rounds: Vec<&[Token<'s>]> = in_sequence(&line.tokens).collect();
        let is_sequence = rounds.len() > 1
            && starts(&self.read(rounds[0]))
            && rounds[1..]
                .iter()
                .all(|words| says_its_end(words) || self.is_step(words))
            && rounds[1..].iter().any(|words| says_its_end(words));
        if is_sequence {
            out.extend(rounds.iter().map(|round| Block::Text(line.part(round))));
        } else {
            out.push(block);
        }
    }

    /// `Fasten off`, and nothing else.
    fn is_step(&mut self, tokens: &[Token<'_>]) -> bool {
        let read = self.read(tokens);
        let step = |item: &Instruction| matches!(item.act, Act::Step(_));
        read.problems.is_empty() && !read.items.is_empty() && read.items.iter().all(step)
    }

    /// The rounds from a line on that starts a piece, if it does.
    fn stretch(
        &mut self,
        rest: &[Block<'_>],
        from: usize,
        before: &[Block<'_>],
    ) -> Option<Stretch> {
        let Block::Text(first) = &rest[from] else {
            return None;
        };
        let (tokens, lines) = self.wrapped(first, rest, from);
        if depth_of(&tokens) > 0 || heading::explains(&tokens) || explains_words(&tokens) {
            return None;
        }
        let read = self.read(&tokens);
        let is_cord = is_cord(&read);
        if !is_cord && !starts(&read) {
            return None;
        }
        // Between a name and its rounds a yarn may stand: `Black`.
        let is_yarn =
            |b: &&Block<'_>| matches!(b, Block::Text(line) if heading::is_yarn(&line.tokens));
        // So may the chain to start from: `With red we make 12 ch.`
        let mut above = before
            .iter()
            .rev()
            .filter(|b| !matches!(b, Block::Blank))
            .peekable();
        if let Some(Block::Text(line)) = above.peek()
            && is_start(&self.read(&line.tokens))
        {
            above.next();
        }
        let above = above.find(|b| !is_yarn(b));
        let is_named = match above {
            None | Some(Block::Round(_)) => false,
            Some(Block::Heading(_, line)) => !heading::explains(&line.tokens),
            Some(Block::Text(line)) => {
                heading::may_name(line, self.text) && !heading::explains(&line.tokens)
            }
            Some(Block::Blank) => false,
        };
        let mut since = before.iter().rev();
        let below = since.find(|b| matches!(b, Block::Heading(..) | Block::Round(_)));
        let elsewhere = match below {
            Some(Block::Round(_)) => true,
            Some(Block::Heading(_, line)) => heading::explains(&line.tokens),
            _ => false,
        };
        if elsewhere && !is_named {
            return None;
        }
        let is_turn = |t: &Token<'_>| matches!(&*t.text, "turn" | "turned" | "turning");
        let mut turns = tokens.iter().any(is_turn);
        let mut seen = from + lines.len();
        let mut rounds = vec![lines];
        let mut next_label = None;
        while let Some(block) = rest.get(seen) {
            match block {
                Block::Blank => seen += 1,
                Block::Heading(..) => break,
                Block::Round(round) => {
                    next_label = Some(round.label.numbers.first().map_or(0, |run| run.0));
                    break;
                }
                Block::Text(line) => {
                    if self.names_next(line, &rest[seen + 1..]) {
                        break;
                    }
                    let (tokens, lines) = self.wrapped(line, rest, seen);
                    seen += lines.len();
                    if depth_of(&tokens) <= 0 && is_round(&self.read(&tokens), &tokens) {
                        turns |= tokens.iter().any(is_turn);
                        rounds.push(lines);
                    }
                }
            }
        }
        // `Begin with 6 sc in the ring`, and below it Rnd 1.
        let is_start = rounds.len() == 1 && next_label == Some(1);
        let goes_on =
            next_label.is_none_or(|number| number as usize == rounds.len() + 1) || is_start;
        let stands = match is_cord {
            true => is_named && rounds.len() == 1 && next_label.is_none(),
            false => goes_on && (rounds.len() > 1 || is_named || next_label.is_some()),
        };
        let is_row = !read.items.iter().any(is_ring) && (turns || rounds.len() == 1);
        Some(Stretch {
            first: u32::from(!is_start),
            rounds,
            is_row,
            stands,
            seen,
        })
    }

    /// A line with those that go on with it, and their indices.
    fn wrapped<'s>(
        &self,
        line: &RawLine<'s>,
        rest: &[Block<'s>],
        at: usize,
    ) -> (Vec<Token<'s>>, Vec<usize>) {
        const MOST_LINES: usize = 12;
        let mut tokens = line.tokens.clone();
        let mut depth = depth_of(&tokens);
        let mut lines = vec![at];
        let further = rest[at + 1..].iter().zip(at + 1..);
        for (block, index) in further.take(MOST_LINES) {
            match block {
                Block::Text(next) if wrapped::must_go_on(&tokens, depth, next, self.text) => {
                    depth += depth_of(&next.tokens);
                    tokens.extend(next.tokens.iter().cloned());
                    lines.push(index);
                }
                _ => break,
            }
        }
        (tokens, lines)
    }

    /// True if a line names a piece that the next line starts.
    fn names_next(&mut self, line: &RawLine<'_>, rest: &[Block<'_>]) -> bool {
        let mut next = rest.iter().filter(|block| !matches!(block, Block::Blank));
        let mut opens_piece = |block: Option<&Block<'_>>| match block {
            Some(Block::Text(line)) => {
                let read = self.read(&line.tokens);
                (opens(&read), is_start(&read))
            }
            _ => (false, false),
        };
        let opens = match opens_piece(next.next()) {
            // A chain to start from stands between.
            (false, true) => opens_piece(next.next()).0,
            (opens, _) => opens,
        };
        opens && heading::may_name(line, self.text)
    }

    fn read(&mut self, tokens: &[Token<'_>]) -> BodyRead {
        self.names.letter_code = whole::uses_letter_code(tokens, self.text);
        self.names.small_letters = !self.names.letter_code && whole::has_small_letters(tokens);
        body::read(tokens, self.text, self.names, true)
    }
}

/// The stretches of a line that `, then`, a total in brackets or `turn;` parts. None is empty.
fn in_sequence<'t, 's>(tokens: &'t [Token<'s>]) -> impl Iterator<Item = &'t [Token<'s>]> {
    let mut at = 0;
    std::iter::from_fn(move || {
        while at < tokens.len() && (is_mark(&tokens[at]) || tokens[at].is("then")) {
            at += 1;
        }
        let from = at;
        while at < tokens.len() {
            let before = tokens[from..at].last();
            let total = before.is_some_and(|t| matches!(t.kind, Kind::Close(_)))
                && ends_with_total(&tokens[from..at]);
            let rounds = before.is_some_and(is_rounds);
            let mark = is_mark(&tokens[at]);
            let then = |at: usize| tokens.get(at).is_some_and(|t| t.is("then"));
            let turned = before.is_some_and(|t| t.is("turn"))
                && matches!(tokens[at].kind, Kind::Stop | Kind::Semicolon);
            let ends = turned || (total || rounds) && (mark || then(at)) || mark && then(at + 1);
            // A full stop at the very end is the last stretch's own.
            if ends && at + 1 < tokens.len() {
                break;
            }
            at += 1;
        }
        (from < at).then(|| &tokens[from..at])
    })
}

fn is_mark(token: &Token<'_>) -> bool {
    matches!(token.kind, Kind::Comma | Kind::Semicolon | Kind::Stop)
}

fn is_rounds(token: &Token<'_>) -> bool {
    matches!(&*token.text, "rnds" | "rounds" | "rows")
}

/// True if words can only be a whole round, or several: they end with a total, or say for how many rounds they are.
fn says_its_end(tokens: &[Token<'_>]) -> bool {
    let for_rounds = |three: &[Token<'_>]| {
        three[0].is("for") && matches!(three[1].kind, Kind::Number(_)) && is_rounds(&three[2])
    };
    ends_with_total(tokens)
        || tokens.windows(3).any(for_rounds)
        || tokens.iter().any(|t| t.is("across"))
}

/// True if words are the first round of a piece: into a ring, or along a chain from the hook.
pub(super) fn starts(read: &BodyRead) -> bool {
    let from_hook = |item: &Instruction| matches!(&item.act, Act::Work(work) if matches!(work.target, Target::FromHook(_)));
    let works = |item: &&Instruction| item.act.is_worked() && !is_chain(item);
    let first = read.items.iter().find(works);
    reads_well(read) && (read.items.iter().any(is_ring) || first.is_some_and(from_hook))
}

/// True if words make a chain of several, and nothing else.
fn is_start(read: &BodyRead) -> bool {
    let chains = |item: &Instruction| is_chain(item) || matches!(item.act, Act::Yarn(_));
    let long = |item: &Instruction| is_chain(item) && !item.act.is_chain_of(1);
    read.problems.is_empty() && read.items.iter().all(chains) && read.items.iter().any(long)
}

/// True if words are the first of a piece: its first round, or all of it.
fn opens(read: &BodyRead) -> bool {
    starts(read) || is_cord(read)
}

/// True if words are a whole piece that is nothing but a chain: `Ch 40, fasten off`, `ch 20, sl st in first ch, fasten off`.
fn is_cord(read: &BodyRead) -> bool {
    let ends = |item: &Instruction| matches!(item.act, Act::Step(StepKind::FastenOff));
    let plain = |item: &Instruction| match &item.act {
        Act::Close | Act::Step(_) | Act::Yarn(_) => true,
        Act::Work(work) => {
            is_chain(item)
                || work.stitch.height == Some(Height::Slip) && work.target == Target::FirstChain
        }
        _ => false,
    };
    read.problems.is_empty()
        && read.items.iter().any(is_chain)
        && read.items.iter().any(ends)
        && read.items.iter().all(plain)
}

fn is_ring(item: &Instruction) -> bool {
    match &item.act {
        Act::MagicRing => true,
        Act::Work(work) => matches!(work.target, Target::NewRing | Target::Ring),
        Act::Together(group) => matches!(group.target, Target::NewRing | Target::Ring),
        _ => false,
    }
}

fn is_chain(item: &Instruction) -> bool {
    matches!(&item.act, Act::Work(work) if work.stitch.height == Some(Height::Chain) && !work.stitch.picot)
}

/// True if words work more than a chain, and nothing in them is left unread.
fn reads_well(read: &BodyRead) -> bool {
    read.problems.iter().all(|p| p.level <= Level::Note)
        && read
            .items
            .iter()
            .any(|item| item.act.is_worked() && !is_chain(item))
        && !read.items.iter().any(|item| item.act == Act::NewStart)
}

/// True if a line below the first can only be a round: not words about other rounds or about several.
fn is_round(read: &BodyRead, tokens: &[Token<'_>]) -> bool {
    let other_rounds = |item: &Instruction| {
        matches!(
            item.act,
            Act::AsRounds { .. } | Act::AsPiece { .. } | Act::GoOn { .. }
        )
    };
    let of_rounds = |t: &Token<'_>| {
        matches!(
            &*t.text,
            "rnds" | "rounds" | "rows" | "rep" | "repeat" | "until" | "even"
        )
    };
    let opens = tokens.first().is_some_and(of_rounds);
    let several =
        |pair: &[Token<'_>]| matches!(pair[0].kind, Kind::Number(_)) && is_rounds(&pair[1]);
    reads_well(read)
        && !opens
        && !tokens.windows(2).any(several)
        && !read.items.iter().any(other_rounds)
}
