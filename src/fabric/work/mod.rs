//! Pattern → fabric: pieces and rounds, and which reading of a round's words is taken.

mod again;
mod chains_worked;
mod choices;
mod going_on;
mod onward;
mod starts;
mod surface;
mod yarns;

use std::collections::{BTreeMap, BTreeSet};

use self::again::Numbered;
use self::chains_worked::count_chains_worked;
use self::going_on::History;
use self::onward::{is_after_a_gap, rivals_after};
use self::starts::{opens_with_turn, start_chain, starts_with_chain, turning_chains};
use self::yarns::Yarns;
use super::below::Below;
use super::hook::{Budget, Hook, Outcome, Ring};
use super::model::{Fabric, Piece, Role, RoundKind, Stated, Step, StitchId, Yarn, YarnId};
use super::parts::Parts;
use super::reading::Reading;
use super::rivals::{Rivals, resampled};
use crate::pattern::{self, Act, Instruction, Line, Pattern};
use crate::source::{Problem, Span, limits};
use crate::terms::{Form, Height};

/// Actions that a round costs besides its stitches: pieces of many thousand empty rounds must come to an end too.
const EACH_ROUND: usize = 4;

/// How many problems back a note is looked for before it is told again.
const NOTES_LOOKED_BACK: usize = 4;

/// Works a pattern. Never fails: a round that does not come out is a problem, and the work goes on.
pub fn work(pattern: &Pattern) -> (Fabric, Vec<Problem>) {
    let mut worker = Worker::new(pattern);
    for piece in &pattern.pieces {
        worker.piece(piece);
    }
    worker.problems.sort_by_key(|p| (p.span.start, p.span.end));
    (worker.fabric, worker.problems)
}

struct Worker<'p> {
    fabric: Fabric,
    problems: Vec<Problem>,
    parts: Parts,
    budget: Budget,
    /// The limits have ended the work, and a problem says so.
    spent: bool,
    /// Where the rounds begin whose words do not come out, as has been said.
    told: BTreeSet<usize>,
    /// How `around` was read in the rounds whose words leave that open, by where they begin.
    read_around: BTreeMap<usize, bool>,
    /// What has been said about parts.
    told_parts: BTreeSet<String>,
    /// Where the rounds begin that the last body points to.
    pointed_to: Vec<usize>,
    /// Other ways that the rounds which the last body points to offer.
    offered: Vec<&'p pattern::Offered>,
    /// The rounds of the pieces worked so far, by number.
    finished: Vec<Numbered<'p>>,
    yarns: Yarns<'p>,
}

/// What is carried from round to round of a piece.
struct Progress<'p> {
    yarn: Option<YarnId>,
    height: Height,
    ring: Ring,
    /// Acts from lines between rounds, for the next round's start.
    pending: Vec<Instruction>,
    /// The next row is worked back along this one.
    turned: bool,
    wrong_side: bool,
    /// What the round below may have instead, after one that is wrong.
    rivals: Rivals,
    /// The last edge that was not empty, for rounds that could not be read.
    edge: Vec<StitchId>,
    written: u32,
    /// Rounds of the text by number, for those that point to them.
    rounds: Numbered<'p>,
    /// What the last few rounds were, for one that goes on as they did.
    history: History,
    is_row: bool,
    /// The rounds being worked are those of another piece.
    lent: Option<Lent>,
}

/// Rounds of another piece.
#[derive(Debug, Clone, Copy)]
struct Lent {
    /// The words that ask for them.
    span: Span,
    /// Only those from one number to another.
    only: Option<(u32, u32)>,
    /// The yarn is not fastened off at their end.
    stays_on: bool,
    depth: u32,
}

impl Progress<'_> {
    fn remember(&mut self, items: Vec<Instruction>) {
        const ENOUGH: usize = 4;
        if self.history.len() >= ENOUGH {
            self.history.remove(0);
        }
        self.history.push(items);
    }
}

/// A round with those that fill the numbers its label leaves out: `Rnds 8, 10:` and `Rnd 9:`.
fn interlaced<'p>(
    round: &'p pattern::Round,
    lines: &mut std::slice::Iter<'p, Line>,
) -> Vec<&'p pattern::Round> {
    let mut batch = vec![round];
    let runs = round.label.numbers.iter();
    let highest = runs.map(|run| run.1).max().unwrap_or(0);
    let mut open: Vec<(u32, u32)> = round
        .label
        .numbers
        .windows(2)
        .map(|w| (w[0].1.saturating_add(1), w[1].0))
        .filter(|(a, b)| a < b)
        .collect();
    while !open.is_empty() {
        let Some(Line::Round(next)) = lines.as_slice().first() else {
            break;
        };
        let fills = next
            .label
            .numbers
            .first()
            .is_some_and(|run| run.0 < highest);
        if !fills {
            break;
        }
        lines.next();
        batch.push(next);
        let fills = |n: u32| {
            next.label
                .numbers
                .iter()
                .any(|run| (run.0..=run.1).contains(&n))
        };
        open.retain(|&(first, _)| !fills(first));
    }
    batch
}

/// One round about to be worked.
struct Task<'p> {
    round: &'p pattern::Round,
    number: u32,
    span: Span,
    items: Vec<Instruction>,
    /// Where the round begins in the text, and those that it points to.
    words: Vec<usize>,
    /// Other ways of working it that its words offer, or those of the rounds that it points to.
    offered: Vec<&'p pattern::Offered>,
    doubts: pattern::Doubts,
    /// The total that its words state; none where it is worked until another is reached.
    stated: Option<pattern::Stated>,
}

/// A way of working a round, carried out.
struct Trial {
    outcome: Outcome,
    problems: Vec<Problem>,
    stated_fits: bool,
    yarn: Option<YarnId>,
    ring: Ring,
    budget: Budget,
}

impl Trial {
    fn is_exact(&self) -> bool {
        self.outcome.left == 0
            && self.outcome.overflow == 0
            && self.stated_fits
            && self
                .problems
                .iter()
                .all(|p| p.level < crate::source::Level::Error)
    }
}

impl<'p> Worker<'p> {
    fn new(pattern: &'p Pattern) -> Worker<'p> {
        let yarns = pattern
            .header
            .yarns
            .iter()
            .map(|yarn| Yarn {
                letter: yarn.letter.clone(),
                name: yarn.name.clone(),
                colour: yarn.colour,
            })
            .collect();
        Worker {
            fabric: Fabric {
                title: pattern
                    .title
                    .as_ref()
                    .map(|t| t.value.clone())
                    .unwrap_or_default(),
                terms: pattern.terms,
                hand: pattern
                    .header
                    .hand
                    .as_ref()
                    .map(|h| h.value)
                    .unwrap_or_default(),
                ..Fabric::default()
            },
            problems: Vec::new(),
            parts: Parts::new(pattern.pieces.iter().map(|p| (p.name.as_str(), p.make))),
            budget: Budget {
                stitches: limits::STITCHES,
                actions: limits::ACTIONS,
            },
            spent: false,
            told: BTreeSet::new(),
            read_around: BTreeMap::new(),
            told_parts: BTreeSet::new(),
            pointed_to: Vec::new(),
            offered: Vec::new(),
            finished: Vec::new(),
            yarns: Yarns {
                pattern,
                list: yarns,
                missing: BTreeMap::new(),
                problems: Vec::new(),
            },
        }
    }

    fn piece(&mut self, source: &'p pattern::Piece) {
        let place = self.fabric.pieces.len();
        self.parts.current = place;
        let mut piece = Piece {
            name: source.name.clone(),
            make: source.make,
            span: source.span,
            ..Piece::default()
        };
        let yarn = match &source.yarn {
            Some(name) => self.yarns.named(&name.value, name.span),
            None => (!self.yarns.list.is_empty()).then_some(YarnId(0)),
        };
        let mut progress = Progress {
            yarn,
            height: Height::Single,
            ring: Ring::None,
            pending: Vec::new(),
            turned: false,
            wrong_side: false,
            rivals: Rivals::default(),
            edge: Vec::new(),
            written: 0,
            rounds: BTreeMap::new(),
            history: History::new(),
            is_row: false,
            lent: None,
        };
        self.lines(&mut piece, &mut progress, &source.lines);
        self.problems.extend(self.parts.unfinished());
        self.finished.push(std::mem::take(&mut progress.rounds));
        count_chains_worked(&mut piece);
        self.parts.finished(place, &piece, progress.rivals);
        self.problems.append(&mut self.yarns.problems);
        self.fabric.pieces.push(piece);
        self.fabric.yarns = self.yarns.list.clone();
    }

    fn lines(&mut self, piece: &mut Piece, progress: &mut Progress<'p>, lines: &'p [Line]) {
        let mut lines = lines.iter();
        while let Some(line) = lines.next() {
            if progress.lent.is_some() {
                // Pieces that lean on pieces could go through the same lines again and again.
                if self.budget.actions == 0 {
                    return;
                }
                self.budget.actions -= 1;
            }
            match line {
                Line::Round(round) => {
                    let batch = interlaced(round, &mut lines);
                    self.written_rounds(piece, progress, &batch);
                }
                Line::RepeatRounds(repeat) => {
                    let before = piece.rounds.len();
                    self.repeat_rounds(piece, progress, repeat);
                    let added = before..piece.rounds.len();
                    piece.lengths.extend(again::length(repeat, added));
                }
                Line::LikePiece(like) => self.like_piece(piece, progress, like),
                Line::Between(between) => self.between(piece, progress, between),
                Line::Prose(_) => {}
            }
        }
    }

    fn between(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        between: &pattern::Between,
    ) {
        let lent = progress.lent;
        let stays_on = lent.is_some_and(|lent| lent.stays_on);
        let reached = piece.rounds.last().map_or(0, |round| round.number);
        if lent
            .and_then(|lent| lent.only)
            .is_some_and(|(first, last)| reached < first || reached >= last)
        {
            return;
        }
        for act in &between.acts {
            match act.act {
                Act::Surface(_) => drop(self.surface(piece, progress, act, false)),
                Act::Step(kind) if kind == pattern::StepKind::FastenOff && stays_on => {}
                Act::Step(kind) => {
                    piece.steps.push(Step {
                        kind,
                        after_round: piece.rounds.len() as u32,
                        after: piece
                            .stitches
                            .len()
                            .checked_sub(1)
                            .map(|i| StitchId(i as u32)),
                        span: lent.map_or(act.span, |lent| lent.span),
                    });
                    if kind == pattern::StepKind::Flatten {
                        progress.pending.push(act.clone());
                    }
                }
                _ => progress.pending.push(act.clone()),
            }
        }
    }

    /// Rounds as written: one label's, or those of several labels that stand between each other's numbers.
    fn written_rounds(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        batch: &[&'p pattern::Round],
    ) {
        if piece.rounds.len() >= limits::ROUNDS || self.spent {
            return;
        }
        let mut order: Vec<(u32, usize, u32)> = Vec::new();
        for (line, round) in batch.iter().enumerate() {
            order.extend(
                round
                    .label
                    .each()
                    .enumerate()
                    .map(|(place, number)| (number, line, place as u32)),
            );
        }
        if batch.len() > 1 {
            order.sort();
        }
        let written = progress.written;
        progress.written += batch.len() as u32;
        for (number, line, place) in order {
            if piece.rounds.len() >= limits::ROUNDS || self.spent {
                break;
            }
            let round = batch[line];
            let lent = progress.lent;
            if let Some((first, last)) = lent.and_then(|lent| lent.only)
                && !(first..=last).contains(&number)
            {
                continue;
            }
            let body = (&round.body[..], round.doubts);
            let Some((mut items, doubts)) = self.body_of(piece, progress, body, number, place)
            else {
                let stated = round.stated.and_then(|s| s.stitches);
                progress.rivals = stated.map_or_else(Rivals::anything, Rivals::stated);
                return;
            };
            if round
                .label
                .numbers
                .last()
                .is_some_and(|run| run.1 == number)
            {
                items.extend(round.ending.iter().cloned());
            }
            if let Some(lent) = lent {
                let ends = Act::Step(pattern::StepKind::FastenOff);
                items.retain(|item| !(lent.stays_on && item.act == ends));
                pattern::place_all_at(&mut items, lent.span);
            }
            // A total after rounds that grow is that of the last.
            let grows = round.body.iter().any(|i| match i.act {
                Act::GoOn { .. } => true,
                Act::AsRounds { first, last } => first < last,
                _ => false,
            });
            let is_last = round
                .label
                .numbers
                .last()
                .is_some_and(|run| run.1 == number);
            let mut task = Task {
                round,
                number,
                span: lent.map_or(round.span, |lent| lent.span),
                items,
                words: self.words_of(round),
                offered: self.offered_by(round),
                doubts,
                stated: round.stated.filter(|_| !grows || is_last),
            };
            if self.surfaces(piece, progress, &mut task) {
                continue;
            }
            self.round(piece, progress, &task, written + line as u32);
            progress.remember(task.items);
            progress.rounds.insert(number, round);
        }
    }

    fn round(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        task: &Task<'p>,
        written: u32,
    ) {
        self.budget.actions = self.budget.actions.saturating_sub(EACH_ROUND);
        let is_first = piece.rounds.is_empty();
        let pending = std::mem::take(&mut progress.pending);
        let mut items = pending.clone();
        items.extend(task.items.iter().cloned());
        let is_row = task.round.label.is_row;
        self.turn_for_row(piece, progress, task, &items, is_first);

        let edge = piece
            .rounds
            .last()
            .map(|r| r.edge.clone())
            .unwrap_or_default();
        let below = Below::new(piece, &edge);
        let start_counts = items.iter().find_map(|item| match item.act {
            Act::StartCounts { counts, bridge } => Some((counts, bridge)),
            _ => None,
        });
        let start_is_open = start_counts.is_none() && starts_with_chain(&items);
        let mut doubts = task.doubts;
        // Words that point to an earlier round, with a total of their own.
        doubts.again = task.words.len() > 1
            && task.stated.is_some_and(|s| s.stitches.is_some())
            && has_one_repeat(&items);
        doubts.many_in_one &= task.stated.is_some_and(|s| s.stitches.is_some());
        let mut readings = Reading::all(doubts, below.has_bridges(), start_is_open);
        // Words that are worked again mean what they meant.
        let mut words = task.words.iter().filter(|_| task.doubts.around);
        let before = words.find_map(|at| self.read_around.get(at)).copied();
        if let Some(around) = before {
            readings.retain(|reading| reading.around == around);
        }

        // The same words again are the same slip again.
        let again = |words: &usize| task.words.contains(words);
        let same_words = progress.rivals.words.as_ref().is_some_and(again);
        if is_after_a_gap(piece, task) {
            progress.rivals.any = true;
        }
        let shared = Shared {
            items: &items,
            task,
            written,
            is_first,
            start_counts,
            is_row,
        };
        let onward = if same_words {
            progress.rivals.clone()
        } else {
            self.onward(piece, progress, &shared, &readings)
        };

        let ways = self.other_ways(piece, progress, &shared, &below, &pending);

        let mark = piece.mark();
        let parts = self.parts.mark();
        let usual = self.attempt(piece, progress, &shared, below.clone(), readings[0]);
        let doubtful =
            task.doubts.bigger || task.doubts.times_more || task.doubts.around && before.is_none();
        if usual.is_exact() && !doubtful || readings.len() == 1 && usual.is_exact() {
            self.accept(piece, progress, task, usual, None);
            self.hold_to(piece, &ways);
            progress.rivals = onward;
            return;
        }
        piece.back_to(&mark);
        self.parts.back_to(parts);

        let asked = match progress.rivals.any && !same_words {
            true => self.asked_edges(piece, progress, &shared, &below, &readings),
            false => Vec::new(),
        };
        for (below, others) in self.edges(piece, progress, &edge, same_words, &asked) {
            self.parts.work_others = others;
            let exact = self.exact_readings(piece, progress, &shared, &below, &readings);
            let Some(&reading) = exact.first() else {
                continue;
            };
            let trial = self.attempt(piece, progress, &shared, below, reading);
            self.parts.work_others = false;
            let other = |r: &&Reading| {
                (r.bigger, r.times_more) != (reading.bigger, reading.times_more)
                    && task.stated.is_none()
                    || r.around != reading.around
            };
            if exact.iter().any(|r| other(&r)) {
                self.problems.push(two_readings(task));
            }
            self.accept(piece, progress, task, trial, Some(reading));
            self.hold_to(piece, &ways);
            progress.rivals = onward;
            return;
        }
        self.parts.work_others = false;
        let other = (!same_words)
            .then(|| self.nearer_edge(piece, progress, &shared, &edge, readings[0]))
            .flatten()
            .or(asked.first().cloned());
        let base = other.as_ref().unwrap_or(&edge);
        let below = Below::new(piece, base);
        let mut trial = self.best_effort(piece, progress, &shared, base, &readings);
        // A round that is wrong leaves nothing to a later one.
        trial.problems.extend(self.parts.take_short(parts));
        let told = task.words.iter().any(|words| self.told.contains(words))
            || progress.rivals.any && !same_words && asked.is_empty();
        if !told {
            let has = if other.is_some() {
                "should have"
            } else {
                "has"
            };
            self.report(piece, task, &trial, &below, has);
        }
        self.told.insert(task.round.span.start);
        progress.rivals = rivals_after(piece, task, &trial, below.len());
        self.accept(piece, progress, task, trial, None);
    }

    /// What would come of a round, and how many stitches and spaces it would have; it is undone again, but what it cost is spent.
    fn tried(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        below: Below,
        reading: Reading,
    ) -> (Trial, (u32, u32)) {
        let (mark, parts) = (piece.mark(), self.parts.mark());
        let trial = self.attempt(piece, progress, shared, below, reading);
        let round = piece.rounds.last();
        let made = round.map_or((0, 0), |round| (round.count, round.spaces));
        piece.back_to(&mark);
        self.parts.back_to(parts);
        self.budget.actions = self.budget.actions.min(trial.budget.actions);
        (trial, made)
    }

    fn exact_readings(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        below: &Below,
        readings: &[Reading],
    ) -> Vec<Reading> {
        let mut exact = Vec::new();
        for &reading in readings {
            let (trial, _) = self.tried(piece, progress, shared, below.clone(), reading);
            if trial.is_exact() {
                exact.push(reading);
            }
            if self.budget.actions == 0 {
                break;
            }
        }
        exact
    }

    /// No reading comes out: the edge that the round below may have instead, if this round misses it by less than the one that is there.
    fn nearer_edge(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        edge: &[StitchId],
        reading: Reading,
    ) -> Option<Vec<StitchId>> {
        let &count = progress.rivals.counts.first()?;
        let other = resampled(progress.edge_of(edge), count as usize);
        let mut misses = |edge: &[StitchId]| {
            let below = Below::new(piece, edge);
            let (trial, _) = self.tried(piece, progress, shared, below, reading);
            trial.outcome.left + trial.outcome.overflow
        };
        (misses(&other) < misses(edge)).then_some(other)
    }

    /// No reading comes out: the usual one, on an edge that is wide enough if the round's own arithmetic is right.
    fn best_effort(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        edge: &[StitchId],
        readings: &[Reading],
    ) -> Trial {
        let mark = piece.mark();
        let parts = self.parts.mark();
        let trial = self.attempt(
            piece,
            progress,
            shared,
            Below::new(piece, edge),
            readings[0],
        );
        let short = trial.outcome.overflow;
        if short == 0 || edge.is_empty() || edge.len() + short > limits::STITCHES / 4 {
            return trial;
        }
        piece.back_to(&mark);
        self.parts.back_to(parts);
        let wider = Below::new(piece, &resampled(edge, edge.len() + short));
        let mut wide = self.attempt(piece, progress, shared, wider, readings[0]);
        wide.outcome = trial.outcome;
        wide.problems = trial.problems;
        wide
    }

    fn attempt(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        mut below: Below,
        reading: Reading,
    ) -> Trial {
        below.chains_are_stitches = reading.chains_are_stitches;
        let kind = if shared.is_row {
            RoundKind::Row
        } else {
            RoundKind::Round
        };
        piece.begin_round(shared.task.number, kind, shared.task.span, shared.written);
        let yarns = &mut self.yarns;
        let mut named = |name: &str, span: Span| yarns.named(name, span);
        let mut hook = Hook::new(
            piece,
            below,
            reading,
            progress.yarn,
            &mut named,
            &mut self.parts,
            self.budget,
        );
        hook.height = progress.height;
        hook.start_counts = shared.start_counts;
        hook.is_first = shared.is_first;
        hook.ring = progress.ring.clone();
        hook.start = start_chain(shared.items);
        hook.turning = turning_chains(shared.items);
        hook.start_moves = shared.items.iter().any(|item| item.act == Act::NewStart);
        let outcome = hook.run(shared.items);
        let (problems, yarn, ring, budget) = (
            std::mem::take(&mut hook.problems),
            hook.yarn,
            hook.ring.clone(),
            hook.budget,
        );
        let stated_fits = judge(piece, stated_by(shared, reading));
        if let Some(round) = piece.rounds.last_mut() {
            round.reading = reading;
        }
        Trial {
            outcome,
            problems,
            stated_fits,
            yarn,
            ring,
            budget,
        }
    }

    /// Takes a trial as the round's work.
    fn accept(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        task: &Task<'p>,
        trial: Trial,
        reading: Option<Reading>,
    ) {
        if trial.budget.actions == 0 && !self.spent {
            self.spent = true;
            self.problems.push(Problem::error(
                "too-many-stitches",
                task.round.span,
                format!(
                    "this pattern has more stitches than can be worked (the limit is {})",
                    limits::STITCHES
                ),
            ));
        }
        self.budget = trial.budget;
        if task.doubts.around {
            let around = piece
                .rounds
                .last()
                .is_some_and(|round| round.reading.around);
            let at = task.round.span.start;
            self.read_around.entry(at).or_insert(around);
        }
        if let Some(says) = reading.and_then(Reading::says) {
            let note = Problem::note("reading-taken", task.round.words, says);
            // Rounds worked alike say it once.
            let told = |p: &Problem| p.code == note.code && p.span == note.span;
            if !self.problems.iter().rev().take(NOTES_LOOKED_BACK).any(told) {
                self.problems.push(note);
            }
        }
        // A part that is wrong once is told once, however often it is joined.
        let mut problems = trial.problems;
        problems.retain(|problem| {
            !matches!(problem.code, "part-width" | "part-later")
                || self.told_parts.insert(problem.message.clone())
        });
        self.problems.extend(problems);
        progress.yarn = trial.yarn;
        let was_magic = trial.ring == Ring::Magic;
        progress.ring = Ring::None;
        if let (Ring::Chains(_), true) = (&trial.ring, only_chains(piece)) {
            progress.ring = trial.ring;
        }
        let only_ring = piece
            .rounds
            .last()
            .is_some_and(|round| round.is_empty() && round.number == 0);
        if only_ring && was_magic {
            // `Rnd 0: MR`: the ring belongs to the round that follows.
            piece.rounds.pop();
            progress.pending.push(Instruction {
                act: Act::MagicRing,
                span: task.span,
            });
        }
        progress.turned = trial.outcome.turned;
        progress.is_row = task.round.label.is_row;
        if let Some(round) = piece.rounds.last_mut() {
            round.wrong_side = progress.wrong_side;
        }
        if let Some(round) = piece.rounds.last().filter(|round| !round.edge.is_empty()) {
            progress.edge = round.edge.clone();
        }
        if let Some(height) = main_height(piece) {
            progress.height = height;
        }
    }

    /// Says what is wrong with a round. The round below `has` or `should have` the stitches of this edge.
    fn report(&mut self, piece: &Piece, task: &Task<'p>, trial: &Trial, below: &Below, has: &str) {
        // Where words could not be read, the arithmetic can't be held against the round; where it could not be worked, that is said.
        let told = trial
            .problems
            .iter()
            .any(|p| p.level == crate::source::Level::Error);
        if task.round.flawed || told || trial.budget.actions == 0 {
            return;
        }
        let Some(round) = piece.rounds.last() else {
            return;
        };
        let (left, short) = (trial.outcome.left, trial.outcome.overflow);
        let there = below.len();
        // The round below could not be worked: that has been said.
        if there == 0 && piece.rounds.len() > 1 {
            return;
        }
        if !trial.stated_fits
            && let Some(stated) = task.stated
        {
            self.problems.push(count_problem(
                round,
                piece,
                stated,
                left,
                short,
                (has, there),
            ));
            return;
        }
        if short > 0 {
            let span = trial.outcome.overflow_span.unwrap_or(task.round.words);
            let span = if task.span == task.round.span {
                span
            } else {
                task.span
            };
            let needed = there + short;
            self.problems.push(
                Problem::error(
                    "too-few-stitches",
                    span,
                    format!(
                        "round {} works into {needed} stitches, but the round below {has} {there}",
                        task.number
                    ),
                )
                .help("check this round's numbers and the total of the round before"),
            );
        } else if left > 0 && !turns_back(piece, task, trial) {
            let span = if task.span == task.round.span {
                task.round.words
            } else {
                task.span
            };
            let of = match there {
                0 => "chains of its starting chain".to_owned(),
                _ => format!("of the {there} stitches below"),
            };
            self.problems.push(
                Problem::error(
                    "stitches-left",
                    span,
                    format!(
                        "round {} leaves {left} {of} without saying so",
                        task.number
                    ),
                )
                .help("check this round's numbers and the total of the round before, or say `leave the rest unworked`"),
            );
        }
    }

    /// A row is worked back along the row below unless the words say that both face the same way.
    fn turn_for_row(
        &mut self,
        piece: &mut Piece,
        progress: &mut Progress<'p>,
        task: &Task<'p>,
        items: &[Instruction],
        is_first: bool,
    ) {
        let said = progress.turned || opens_with_turn(items);
        let rows = task.round.label.is_row && progress.is_row && !is_first;
        let turns = said || rows;
        if turns && !is_first {
            if let Some(last) = piece.rounds.last_mut() {
                last.edge.reverse();
            }
            progress.wrong_side = !progress.wrong_side;
        }
        if let Some(wrong_side) = task.round.label.wrong_side {
            progress.wrong_side = wrong_side;
        }
        progress.turned = false;
    }
}

/// What all attempts at one round share.
#[derive(Clone, Copy)]
struct Shared<'a, 'p> {
    items: &'a [Instruction],
    task: &'a Task<'p>,
    written: u32,
    is_first: bool,
    start_counts: Option<(bool, u32)>,
    is_row: bool,
}

/// The total that the words state, read so: a number alone at the end may be one.
fn stated_by(shared: &Shared<'_, '_>, reading: Reading) -> Option<pattern::Stated> {
    let alone = shared.items.iter().find_map(|item| match &item.act {
        Act::Repeat(repeat) => match repeat.times {
            pattern::Times::OrTotal(n) => Some((Some(n), item.span)),
            pattern::Times::Total(_) => Some((None, item.span)),
            _ => None,
        },
        _ => None,
    });
    match alone {
        Some((stitches, span)) if reading.number => stitches.map(|n| pattern::Stated {
            stitches: Some(n),
            spaces: None,
            span,
        }),
        _ => shared.task.stated,
    }
}

/// True if a row is turned before the end of the round that it is worked along: a flap.
fn turns_back(piece: &Piece, task: &Task<'_>, trial: &Trial) -> bool {
    let on_round = |round: &crate::fabric::model::Round| round.kind == RoundKind::Round;
    task.round.label.is_row
        && trial.outcome.turned
        && piece.rounds.iter().nth_back(1).is_some_and(on_round)
}

/// True if one repeat, told how often, is all that is worked.
fn has_one_repeat(items: &[Instruction]) -> bool {
    let mut worked = items.iter().filter(|item| item.act.is_worked());
    match (worked.next().map(|item| &item.act), worked.next()) {
        (Some(Act::Repeat(repeat)), None) => matches!(repeat.times, pattern::Times::Exactly(2..)),
        _ => false,
    }
}

fn two_readings(task: &Task<'_>) -> Problem {
    let what = if task.doubts.around {
        "`around` can be of the last stitch or of all that stands before it"
    } else if task.doubts.bigger {
        "a number after `inc` or `dec` can mean several of them or a bigger one"
    } else {
        "`rep from * so many times` can mean so many in all or so many more"
    };
    let span = doubtful_words(&task.items, task.doubts).unwrap_or(task.round.words);
    Problem::error(
        "two-readings",
        span,
        format!("{what}, and here both come out"),
    )
    .help("state the round's total, or write it so that only one is meant")
}

/// The words that can be read in two ways.
fn doubtful_words(items: &[Instruction], doubts: pattern::Doubts) -> Option<Span> {
    let bigger = doubts.bigger;
    items.iter().find_map(|item| match &item.act {
        Act::Work(work) if work.bare == pattern::Bare::List => Some(item.span),
        Act::Work(work) if bigger && work.bare == pattern::Bare::After => Some(item.span),
        Act::Repeat(repeat) if !bigger && matches!(repeat.times, pattern::Times::Unsure(_)) => {
            Some(item.span)
        }
        Act::Repeat(repeat) => doubtful_words(&repeat.items, doubts),
        Act::Together(group) => doubtful_words(&group.items, doubts),
        _ => None,
    })
}

/// Sets the last round's totals. True if they agree with what the words state, by either custom of counting chains.
fn judge(piece: &mut Piece, stated: Option<pattern::Stated>) -> bool {
    let Some(place) = piece.rounds.len().checked_sub(1) else {
        return true;
    };
    let edge = &piece.rounds[place].edge;
    let mut heads = 0u32;
    let mut bridges = 0u32;
    let mut spaces = 0u32;
    let mut in_space = false;
    for &id in edge {
        let bridge = piece.stitch(id).role == Role::Bridge;
        if bridge {
            bridges += 1;
            spaces += u32::from(!in_space);
        } else {
            heads += 1;
        }
        in_space = bridge;
    }
    let round = &mut piece.rounds[place];
    round.spaces = spaces;
    round.count = heads;
    round.stated = stated.map(|s| Stated {
        stitches: s.stitches,
        spaces: s.spaces,
        span: s.span,
    });
    let Some(stated) = stated else { return true };
    let stitches_fit = match stated.stitches {
        None => true,
        Some(n) if n == heads => true,
        Some(n) if n == heads + bridges => {
            round.count = n;
            true
        }
        Some(_) => false,
    };
    stitches_fit && stated.spaces.is_none_or(|n| n == spaces)
}

fn count_problem(
    round: &super::model::Round,
    piece: &Piece,
    stated: pattern::Stated,
    left: usize,
    short: usize,
    (has, there): (&str, usize),
) -> Problem {
    let heads = round
        .edge
        .iter()
        .filter(|&&id| piece.stitch(id).role != Role::Bridge)
        .count() as u32;
    let stitches = |n: u32| {
        if n == 1 {
            "1 stitch".to_owned()
        } else {
            format!("{n} stitches")
        }
    };
    let spaces = |n: u32| {
        if n == 1 {
            "1 chain space".to_owned()
        } else {
            format!("{n} chain spaces")
        }
    };
    let (made, said) = match (stated.stitches, stated.spaces) {
        (Some(n), Some(s)) => (
            format!("{} and {}", stitches(heads), spaces(round.spaces)),
            format!("{} and {}", stitches(n), spaces(s)),
        ),
        (Some(n), None) => (stitches(heads), stitches(n)),
        (None, Some(s)) => (spaces(round.spaces), spaces(s)),
        (None, None) => (stitches(heads), String::new()),
    };
    let mut message = format!(
        "round {} makes {made}, but its total says {said}",
        round.number
    );
    if short > 0 {
        message += &format!(
            "; it also works into {} stitches where the round below {has} {there}",
            there + short
        );
    } else if left > 0 {
        message += &format!("; it also leaves {left} of the {there} stitches below");
    }
    let problem = Problem::error("count", stated.span, message);
    match stated.stitches {
        Some(_) if short == 0 && left == 0 => {
            problem.help(format!("if the round is right, its total is ({})", heads))
        }
        _ => problem.help("check the round's numbers against the round below"),
    }
}

fn only_chains(piece: &Piece) -> bool {
    piece
        .stitches
        .iter()
        .all(|s| matches!(s.kind.height, Height::Chain | Height::Slip))
}

/// The height of the last round's stitches where they are all alike.
fn main_height(piece: &Piece) -> Option<Height> {
    let round = piece.rounds.last()?;
    let mut found = None;
    for (_, stitch) in piece.round_stitches(round) {
        if stitch.kind.height <= Height::Slip
            || !matches!(stitch.kind.form, Form::Plain | Form::Together(_))
        {
            continue;
        }
        if found.is_some_and(|h| h != stitch.kind.height) {
            return None;
        }
        found = Some(stitch.kind.height);
    }
    found
}
