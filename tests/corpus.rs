//! Holds the program to the texts in `patterns/`, `tests/notation/` and `tests/mistakes/`.
//!
//! What is expected stands at the end of the line it belongs to, after ` ==> `, and is cut off before the text is read:
//!
//! - `18` or `12 + 6 sp` or `20 + ? sp`: what each round of this line leaves, in stitches and chain spaces (`?`: not told).
//!   `18 / 12`: what the rounds leave that this line repeats, one after the other.
//! - `yarn 4 A 4 B`, `kinds 4 hdc 14 sc`, `into 18 back-loop`: the heads of the round in the order of work, in runs.
//! - `chains 5 4 3 2 1 1 1 2 3 4`: the chain that each head is worked into, counted from the first of the piece.
//! - `joins Wing/1 4 x 2 + Wing/2 4 x 2`: the parts joined: name and copy, stitches, layers.
//! - `error count "(20)"`: a problem on this line, with the words that it points at, where they are given.
//!
//! A text gives the errors and warnings that it expects and no others; notes are only looked at where they are expected.
//! In `counts-*` and in `patterns/` every round has to state its total. To add a case, add a few lines of text.

#[path = "support/expected.rs"]
mod expected;
mod support;
#[path = "support/texts.rs"]
mod texts;

use std::fmt::Display;
use std::fs;
use std::path::Path;

use expected::{Expected, Line, Spaces};
use libtest_mimic::{Arguments, Failed, Trial};
use roundwright::fabric::{Fabric, Piece, Role, Round, StitchId};
use roundwright::source::{Level, Problem, Source};

fn main() {
    let arguments = Arguments::from_args();
    let mut trials = Vec::new();
    for folder in ["patterns", "tests/notation", "tests/mistakes"] {
        for path in texts::of(folder) {
            let name = format!("{folder}/{}", file_name(&path));
            trials.push(Trial::test(name, move || check(folder, &path)));
        }
    }
    libtest_mimic::run(&arguments, trials).exit();
}

fn file_name(path: &Path) -> String {
    path.file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}

fn check(folder: &str, path: &Path) -> Result<(), Failed> {
    let name = file_name(path);
    let (text, lines) = expected::split(&fs::read_to_string(path)?)?;
    let source = Source::new(name.clone(), text);
    let (fabric, problems) = support::check(&source);

    let mut faults = Vec::new();
    check_problems(&source, &problems, &lines, &mut faults);
    if folder == "tests/notation" {
        check_rounds(&source, &fabric, &lines, &mut faults);
    }
    if folder == "patterns" || name.starts_with("counts-") {
        check_totals(&source, &fabric, &mut faults);
    }
    if faults.is_empty() {
        return Ok(());
    }
    Err(faults.join("\n").into())
}

/// Each expected problem is there, once, and no error or warning besides.
fn check_problems(source: &Source, problems: &[Problem], lines: &[Line], faults: &mut Vec<String>) {
    let mut open: Vec<&Problem> = problems.iter().collect();
    for line in lines {
        for expected in &line.expected {
            let Expected::Problem { level, code, words } = expected else {
                continue;
            };
            let found = open.iter().position(|problem| {
                problem.level.name() == level
                    && problem.code == code
                    && source.line_of(problem.span.start) == line.number
                    && words
                        .as_ref()
                        .is_none_or(|words| source.slice(problem.span) == words)
            });
            match found {
                Some(at) => drop(open.remove(at)),
                None => faults.push(format!(
                    "line {}: no {level} {code} at {}",
                    line.number,
                    words.as_deref().unwrap_or("this line")
                )),
            }
        }
    }
    for problem in open {
        if problem.level > Level::Note {
            faults.push(format!(
                "line {}: not expected: {} {} at `{}`: {}",
                source.line_of(problem.span.start),
                problem.level.name(),
                problem.code,
                source.slice(problem.span),
                problem.message
            ));
        }
    }
}

/// Each line that expects rounds has them, as it expects them, and no other line has any.
fn check_rounds(source: &Source, fabric: &Fabric, lines: &[Line], faults: &mut Vec<String>) {
    let mut seen = vec![0; lines.len()];
    for piece in &fabric.pieces {
        for round in &piece.rounds {
            let from = source.line_of(round.span.start);
            let to = source.line_of(round.span.end);
            let line = lines
                .iter()
                .position(|line| (from..=to).contains(&line.number) && line.leaves().is_some());
            match line {
                Some(at) => {
                    faults.extend(check_round(fabric, piece, round, &lines[at], seen[at]));
                    seen[at] += 1;
                }
                // A chain that a piece starts from, on a line of its own, may stand as round 0.
                None if round.number == 0 => {}
                None => faults.push(format!(
                    "line {from}: read as round {} of {}, but none is expected",
                    round.number, piece.name
                )),
            }
        }
    }
    for (line, &seen) in lines.iter().zip(&seen) {
        let missing = match line.leaves() {
            Some([_]) => seen == 0,
            Some(several) => seen != several.len(),
            None => false,
        };
        if missing {
            faults.push(format!("line {}: {seen} rounds were read", line.number));
        }
    }
}

/// One round against its line; `seen` rounds of the line came before it.
fn check_round(
    fabric: &Fabric,
    piece: &Piece,
    round: &Round,
    line: &Line,
    seen: usize,
) -> Vec<String> {
    let mut faults = Vec::new();
    let mut compare = |what: &str, expected: &dyn Display, found: &dyn Display| {
        let (expected, found) = (expected.to_string(), found.to_string());
        if expected != found {
            faults.push(format!(
                "line {}: round {}: {what}: expected {expected}, found {found}",
                line.number, round.number
            ));
        }
    };
    for expected in &line.expected {
        match expected {
            Expected::Rounds(several) => {
                let leaves = &several[seen.min(several.len() - 1)];
                compare("stitches", &leaves.stitches, &round.count);
                if let Spaces::Known(spaces) = leaves.spaces {
                    compare("spaces", &spaces, &round.spaces);
                }
            }
            Expected::Yarn(runs) => compare("yarn", runs, &yarns(fabric, piece, round)),
            Expected::Kinds(runs) => compare("stitches", runs, &kinds(piece, round)),
            Expected::Into(runs) => compare("worked into", runs, &places(piece, round)),
            Expected::Chains(feet) => compare("chains", feet, &chains(piece, round)),
            Expected::Joins(joins) => compare("joins", joins, &joined(fabric, piece, round)),
            Expected::Problem { .. } => {}
        }
    }
    faults
}

/// Every round states its total, as in a pattern that a maker buys.
fn check_totals(source: &Source, fabric: &Fabric, faults: &mut Vec<String>) {
    for piece in &fabric.pieces {
        for round in piece.rounds.iter().filter(|round| round.number > 0) {
            if stated(round) != "its total" {
                faults.push(format!(
                    "line {}: {} round {} states {}",
                    source.line_of(round.span.start),
                    piece.name,
                    round.number,
                    stated(round)
                ));
            }
        }
    }
    if fabric.pieces.is_empty() {
        faults.push("no piece was read".to_owned());
    }
}

/// Whether the words state what the round leaves. Spaces may go unsaid.
fn stated(round: &Round) -> &'static str {
    match round.stated {
        Some(stated)
            if stated.stitches == Some(round.count)
                && stated.spaces.is_none_or(|spaces| spaces == round.spaces) =>
        {
            "its total"
        }
        Some(_) => "another total",
        None => "no total",
    }
}

fn yarns(fabric: &Fabric, piece: &Piece, round: &Round) -> String {
    runs(heads(piece, round).map(|stitch| match stitch.yarn {
        Some(yarn) => fabric.yarns[usize::from(yarn.0)].letter.clone(),
        None => "none".to_owned(),
    }))
}

fn kinds(piece: &Piece, round: &Round) -> String {
    let terms = roundwright::terms::Terms::Us;
    runs(heads(piece, round).map(|stitch| stitch.kind.abbreviation(terms).replace(' ', "-")))
}

fn places(piece: &Piece, round: &Round) -> String {
    runs(heads(piece, round).map(|stitch| stitch.into.name().replace(' ', "-")))
}

/// For each head of a first round the chain that it is worked into; chains come first in a piece.
fn chains(piece: &Piece, round: &Round) -> String {
    let is_head = |id: &StitchId| piece.stitch(*id).role == Role::Head;
    let feet = round.stitches.clone().map(StitchId).filter(is_head);
    let chains: Vec<String> = feet
        .flat_map(|id| piece.feet(id))
        .map(|foot| (foot.index() + 1).to_string())
        .collect();
    chains.join(" ")
}

fn joined(fabric: &Fabric, piece: &Piece, round: &Round) -> String {
    let place = piece
        .rounds
        .iter()
        .position(|other| std::ptr::eq(other, round));
    let joins: Vec<String> = piece
        .joins
        .iter()
        .filter(|join| Some(join.round as usize) == place)
        .map(|join| {
            let part = &fabric.pieces[join.part].name;
            format!(
                "{part}/{} {} x {}",
                join.copy,
                join.stitches.len(),
                join.layers
            )
        })
        .collect();
    joins.join(" + ")
}

fn heads<'a>(
    piece: &'a Piece,
    round: &'a Round,
) -> impl Iterator<Item = &'a roundwright::fabric::Stitch> {
    piece
        .round_stitches(round)
        .map(|(_, stitch)| stitch)
        .filter(|stitch| stitch.role == Role::Head)
}

/// Equal neighbours put together: `4 A 4 B`.
fn runs(words: impl Iterator<Item = String>) -> String {
    let mut runs: Vec<(u32, String)> = Vec::new();
    for word in words {
        match runs.last_mut() {
            Some((count, last)) if *last == word => *count += 1,
            _ => runs.push((1, word)),
        }
    }
    let runs: Vec<String> = runs
        .iter()
        .map(|(count, word)| format!("{count} {word}"))
        .collect();
    runs.join(" ")
}
