//! The order of work: which parts must be finished before which round, when eyes, stuffing and closing come, and how wide the last opening still is
//! then. `Fabric` in, [`Task`]s out.

mod opening;

pub(crate) use opening::{Opening, closes};

use std::collections::BTreeSet;

use crate::fabric::{Fabric, Piece, RoundKind, StepKind, StitchId};

/// Millimetres in a centimetre.
const CM_MM: f64 = 10.0;

/// Something to be done at its time.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// When it is done.
    pub when: When,
    /// What is done.
    pub what: What,
    /// How many mm the opening is across then, round and not pressed flat, where the piece has no other.
    pub opening_mm: Option<f64>,
}

/// A time in the work on a piece; the round is a place in [`Piece::rounds`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum When {
    /// Before any round.
    First,
    /// When a round has been worked.
    After(usize),
    /// Before a round is begun.
    Before(usize),
}

/// What is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// Copies of a part (a place in [`Fabric::pieces`]) are finished, for they are joined here.
    Finish {
        /// The part.
        part: usize,
        /// Which copies, from 1.
        copies: Vec<u32>,
    },
    /// The eyes are put in.
    Eyes,
    /// The piece is stuffed.
    Stuff,
    /// The last opening is drawn shut.
    Close,
}

/// The tasks of a piece (a place in [`Fabric::pieces`]) in the order of work. Stitches are so many mm wide.
pub fn tasks(fabric: &Fabric, piece: usize, stitch_mm: f64) -> Vec<Task> {
    let worked = &fabric.pieces[piece];
    let mut tasks = parts(worked);
    let opening = Opening::of(worked);
    for step in &worked.steps {
        let what = match step.kind {
            StepKind::Eyes(_) => What::Eyes,
            StepKind::Stuff => What::Stuff,
            StepKind::CloseHole => What::Close,
            _ => continue,
        };
        let rounds = (step.after_round as usize).min(worked.rounds.len());
        let task = Task {
            when: rounds.checked_sub(1).map_or(When::First, When::After),
            what,
            opening_mm: opening
                .as_ref()
                .and_then(|opening| opening.diameter_mm(rounds, stitch_mm)),
        };
        if tasks.last() != Some(&task) {
            tasks.push(task);
        }
    }
    tasks.sort_by_key(|task| match task.when {
        When::First => (0, 0),
        When::After(round) => (round + 1, 0),
        When::Before(round) => (round, 1),
    });
    tasks.dedup();
    tasks
}

/// The parts that rounds join, each where it is needed first.
fn parts(piece: &Piece) -> Vec<Task> {
    let mut tasks: Vec<Task> = Vec::new();
    let mut seen = BTreeSet::new();
    for join in &piece.joins {
        if !seen.insert((join.part, join.copy)) {
            continue;
        }
        let when = When::Before(join.round as usize);
        let before = tasks.iter_mut().rev().take_while(|task| task.when == when);
        let same = before.into_iter().find_map(|task| match &mut task.what {
            What::Finish { part, copies } if *part == join.part => Some(copies),
            _ => None,
        });
        match same {
            Some(copies) => copies.push(join.copy),
            None => tasks.push(Task {
                when,
                what: What::Finish {
                    part: join.part,
                    copies: vec![join.copy],
                },
                opening_mm: None,
            }),
        }
    }
    tasks
}

impl Task {
    /// In words: `Before round 17: have Wing 1 and 2 finished.`
    pub fn says(&self, fabric: &Fabric, piece: usize) -> String {
        let worked = &fabric.pieces[piece];
        let round = |place: usize| match worked.rounds.get(place) {
            Some(round) if round.kind == RoundKind::Row => format!("row {}", round.number),
            Some(round) => format!("round {}", round.number),
            None => "the last round".to_owned(),
        };
        let when = match self.when {
            When::First => "Before the first round".to_owned(),
            When::After(place) => format!("After {}", round(place)),
            When::Before(place) => format!("Before {}", round(place)),
        };
        let what = match &self.what {
            What::Finish { part, copies } => {
                let free = free(fabric, *part, copies);
                format!("have {} finished{free}", named(fabric, *part, copies))
            }
            What::Eyes => "put in the eyes".to_owned(),
            What::Stuff => "stuff".to_owned(),
            What::Close => "close the hole".to_owned(),
        };
        let opening = self.opening_mm.map_or(String::new(), opening_says);
        format!("{when}: {what}{opening}.")
    }
}

fn opening_says(mm: f64) -> String {
    format!("; the opening is {} across", length(mm))
}

/// What joins leave of the edges of a part's copies, in words.
fn free(fabric: &Fabric, part: usize, copies: &[u32]) -> String {
    let left = |copy: &u32| free_stitches(fabric, part, *copy);
    let edge = if copies.len() > 1 {
        "each edge"
    } else {
        "its edge"
    };
    match copies.iter().map(left).max() {
        None | Some(0) => String::new(),
        Some(1) => format!("; 1 stitch of {edge} stays free"),
        Some(count) => format!("; {count} stitches of {edge} stay free"),
    }
}

/// How many stitches of the edge that a part's last round leaves open no join takes.
fn free_stitches(fabric: &Fabric, part: usize, copy: u32) -> usize {
    let joins = fabric.pieces.iter().flat_map(|piece| &piece.joins);
    let mut own = joins
        .filter(|join| join.part == part && join.copy == copy)
        .peekable();
    let edge = fabric.pieces.get(part).and_then(|part| part.rounds.last());
    let Some(edge) = edge.filter(|_| own.peek().is_some_and(|join| join.border.is_none())) else {
        return 0;
    };
    let taken: BTreeSet<StitchId> = own
        .flat_map(|join| join.stitches.iter().flat_map(|(_, taken)| taken))
        .copied()
        .collect();
    edge.edge.iter().filter(|id| !taken.contains(id)).count()
}

/// `5.2 cm`, or below one `9 mm`.
pub fn length(mm: f64) -> String {
    if mm < CM_MM {
        format!("{mm:.0} mm")
    } else {
        format!("{:.1} cm", mm / CM_MM)
    }
}

/// `Wing 1 and 2`; without numbers where only one is made.
fn named(fabric: &Fabric, part: usize, copies: &[u32]) -> String {
    let (name, make) = match fabric.pieces.get(part) {
        Some(part) if !part.name.trim().is_empty() => (part.name.trim(), part.make),
        Some(part) => ("the part", part.make),
        None => ("the part", 1),
    };
    if make < 2 {
        return name.to_owned();
    }
    let numbers: Vec<String> = copies.iter().map(u32::to_string).collect();
    match numbers.split_last() {
        Some((last, before)) if !before.is_empty() => {
            format!("{name} {} and {last}", before.join(", "))
        }
        _ => format!("{name} {}", numbers.concat()),
    }
}
