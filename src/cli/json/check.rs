use serde::Serialize;

use super::lengths::{Length, lengths};
use super::{FORMAT, safe};
use crate::cli::runs::{Run, runs};
use crate::cli::worked::Worked;
use crate::fabric::{self, RoundKind};
use crate::source::{self, Source};

/// What `check` found in a pattern, as one line of JSON.
pub fn check_line(worked: &Worked) -> String {
    let source = &worked.source;
    let pieces = worked.fabric.pieces.iter();
    let problems = worked.problems.iter();
    safe::line(&Report {
        format: FORMAT,
        file: &source.name,
        title: &worked.fabric.title,
        terms: worked.fabric.terms.name(),
        pieces: pieces.map(|piece| Piece::new(piece, source)).collect(),
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
}

impl<'a> Piece<'a> {
    fn new(piece: &'a fabric::Piece, source: &Source) -> Piece<'a> {
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
