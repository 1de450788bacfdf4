use serde::Serialize;

use super::lengths::{Length, lengths};
use super::{FORMAT, rounded, safe};
use crate::cli::runs::{Run, runs};
use crate::cli::worked::Worked;
use crate::fabric::{self, RoundKind};
use crate::order::{self, What, When};
use crate::source::{self, Source};

/// What `check` found in a pattern, as one line of JSON.
pub fn check_line(worked: &Worked) -> String {
    let source = &worked.source;
    let pieces = worked.fabric.pieces.iter();
    let problems = worked.problems.iter();
    let stitch_mm = worked.stitch_mm();
    safe::line(&Report {
        format: FORMAT,
        file: &source.name,
        title: &worked.fabric.title,
        terms: worked.fabric.terms.name(),
        pieces: pieces
            .enumerate()
            .map(|(place, piece)| {
                let tasks = order::tasks(&worked.fabric, place, stitch_mm);
                Piece::new(piece, source, tasks)
            })
            .collect(),
        problems: problems
            .map(|problem| Problem::new(problem, source))
            .collect(),
    })
}

#[derive(Serialize)]
struct Report<'a> {
    format: u32,
    file: &'a str,
    title: &'a str,
    terms: &'static str,
    pieces: Vec<Piece<'a>>,
    problems: Vec<Problem<'a>>,
}

#[derive(Serialize)]
struct Piece<'a> {
    name: &'a str,
    make: u32,
    line: usize,
    stitches: usize,
    rounds: Vec<Round>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    lengths: Vec<Length>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    order: Vec<Task>,
}

impl<'a> Piece<'a> {
    fn new(piece: &'a fabric::Piece, source: &Source, tasks: Vec<order::Task>) -> Piece<'a> {
        Piece {
            name: &piece.name,
            make: piece.make,
            line: source.line_of(piece.span.start),
            stitches: piece.stitches.len(),
            rounds: runs(piece)
                .into_iter()
                .map(|run| Round::new(run, source))
                .collect(),
            lengths: lengths(piece),
            order: tasks
                .into_iter()
                .map(|task| Task::new(piece, task))
                .collect(),
        }
    }
}

/// Something to be done at its time.
#[derive(Serialize)]
struct Task {
    when: &'static str,
    round: Option<u32>,
    what: &'static str,
    part: Option<usize>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    copies: Vec<u32>,
    opening_mm: Option<f64>,
}

impl Task {
    fn new(piece: &fabric::Piece, task: order::Task) -> Task {
        let (when, place) = match task.when {
            When::First => ("before", Some(0)),
            When::Before(place) => ("before", Some(place)),
            When::After(place) => ("after", Some(place)),
        };
        let round = place.and_then(|place| piece.rounds.get(place));
        let (what, part, copies) = match task.what {
            What::Finish { part, copies } => ("finish", Some(part), copies),
            What::Eyes => ("eyes", None, Vec::new()),
            What::Stuff => ("stuff", None, Vec::new()),
            What::Close => ("close", None, Vec::new()),
        };
        Task {
            when,
            round: round.map(|round| round.number),
            what,
            part,
            copies,
            opening_mm: task.opening_mm.map(rounded),
        }
    }
}

#[derive(Serialize)]
struct Round {
    kind: &'static str,
    first: u32,
    last: u32,
    line: usize,
    stitches: u32,
    spaces: u32,
    stated: Option<Stated>,
}

impl Round {
    fn new(run: Run<'_>, source: &Source) -> Round {
        let Run { round, last } = run;
        Round {
            kind: match round.kind {
                RoundKind::Round => "round",
                RoundKind::Row => "row",
            },
            first: round.number,
            last,
            line: source.line_of(round.span.start),
            stitches: round.count,
            spaces: round.spaces,
            stated: round.stated.map(|stated| Stated {
                stitches: stated.stitches,
                spaces: stated.spaces,
            }),
        }
    }
}

#[derive(Serialize)]
struct Stated {
    stitches: Option<u32>,
    spaces: Option<u32>,
}

#[derive(Serialize)]
struct Problem<'a> {
    level: &'static str,
    code: &'static str,
    message: &'a str,
    help: Option<&'a str>,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

impl<'a> Problem<'a> {
    fn new(problem: &'a source::Problem, source: &Source) -> Problem<'a> {
        let place = source.place(problem.span);
        Problem {
            level: problem.level.name(),
            code: problem.code,
            message: &problem.message,
            help: problem.help.as_deref(),
            line: place.line,
            column: place.column,
            end_line: place.end_line,
            end_column: place.end_column,
        }
    }
}
