//! The command line: the only part that touches files, the terminal and the arguments.
//!
//! Each command turns what was typed into calls of the stages, one pattern at a time, and answers with a [`Status`].

mod arguments;
mod cards;
mod chart;
mod check;
mod console;
mod each;
mod errata;
mod explain;
mod files;
mod input;
mod json;
mod key;
mod lengths;
mod maker;
mod names;
mod obj;
mod output;
#[cfg(feature = "pages")]
mod pages;
#[cfg(feature = "pages")]
mod photo;
mod pictures;
mod place;
mod problems;
mod progress;
mod queries;
mod runs;
mod save;
mod shape;
mod status;
mod steps;
mod table;
mod worked;
mod write;

pub use status::Status;

use std::process::ExitCode;

use clap::Parser;

use arguments::{Arguments, Command};
use console::Console;

/// Runs the program with the arguments of this process.
///
/// Standard output gets what was asked for, standard error says what went wrong. The exit code is that of the
/// returned [`Status`]; arguments that can't be understood end the process with that of [`Status::CouldNotRun`].
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let mut console = Console::new();
    let status = match &arguments.command {
        Command::Check(check) => check::run(check, &mut console),
        Command::Chart(chart) => chart::run(chart, &mut console),
        Command::Queries(queries) => queries::run(queries, &mut console),
        Command::Errata(errata) => errata::run(errata, &mut console),
        Command::Write(write) => write::run(write, &mut console),
        Command::Explain(explain) => explain::run(explain, &mut console),
        Command::Steps(steps) => steps::run(steps, &mut console),
        Command::Place(place) => place::run(place, &mut console),
        Command::Shape(shape) => shape::run(shape, &mut console),
        Command::Cards(cards) => cards::run(cards, &mut console),
        #[cfg(feature = "pages")]
        Command::Pages(pages) => pages::run(pages, &mut console),
        Command::Key(key) => key::run(key, &mut console),
    };
    status.max(console.finish()).into()
}
