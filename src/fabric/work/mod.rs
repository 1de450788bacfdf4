//! Pattern → fabric: pieces and rounds, and which reading of a round's words is taken.

mod again;
mod chains_worked;
mod choices;
mod going_on;
mod onward;
mod report;
mod starts;
mod surface;
mod trial;
mod written;
mod yarns;

use std::collections::{BTreeMap, BTreeSet};

use self::again::Numbered;
use self::chains_worked::count_chains_worked;
use self::going_on::History;
use self::onward::{is_after_a_gap, rivals_after};
use self::report::two_readings;
use self::starts::{opens_with_turn, starts_with_chain};
use self::trial::{Shared, Trial};
use self::yarns::Yarns;
use super::below::Below;
use super::hook::{Budget, Ring};
use super::model::{Fabric, Piece, StitchId, Yarn, YarnId};
use super::parts::Parts;
use super::reading::Reading;
use super::rivals::Rivals;
use crate::pattern::{self, Act, Instruction, Pattern};
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
        doubts.all_round = is_first
            && !is_row
            && task.stated.is_some_and(|s| s.stitches.is_some())
            && starts_with_chain(&items)
            && !items.iter().any(|item| item.act == Act::OtherSide);
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

/// True if one repeat, told how often, is all that is worked.
fn has_one_repeat(items: &[Instruction]) -> bool {
    let mut worked = items.iter().filter(|item| item.act.is_worked());
    match (worked.next().map(|item| &item.act), worked.next()) {
        (Some(Act::Repeat(repeat)), None) => matches!(repeat.times, pattern::Times::Exactly(2..)),
        _ => false,
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
