//! `roundwright write`: a pattern again, in one consistent notation.

use std::path::Path;

use crate::pattern;
use crate::rewrite::{self, Style};
use crate::source::{Level, Problem};
use crate::terms::Terms;

use super::arguments::Write;
use super::console::Console;
use super::each::{about, told};
use super::files::{Failure, replace_file};
use super::worked::Worked;
use super::{Status, input, problems};

/// The file beside a pattern that holds the style of a house.
const HOUSE_STYLE: &str = "house-style.md";

/// Writes one pattern, to standard output or in its place. What there is to say of it goes to standard error.
pub fn run(arguments: &Write, console: &mut Console) -> Status {
    let path = &arguments.pattern;
    if arguments.in_place && path == Path::new("-") {
        console.complain("<stdin>", "standard input has no place to write to");
        return Status::CouldNotRun;
    }
    told(write(arguments, console), console)
}

fn write(arguments: &Write, console: &mut Console) -> Result<Status, Failure> {
    let path = &arguments.pattern;
    let worked = input::read(path)
        .and_then(|source| Worked::with(source, &arguments.lengths.lengths, &[], &[]))
        .map_err(about(path))?;
    let (style, slips) = Style::of(&worked.source, &worked.pattern);
    let style = match style {
        Some(style) => style,
        None => house_style(path, console)?,
    };
    let terms = arguments.terms.map_or(worked.pattern.terms, Terms::from);
    let written = rewrite::write(
        &worked.source,
        &worked.pattern,
        &worked.fabric,
        &style,
        terms,
    );
    let is_told = |p: &&Problem| p.level == Level::Error || p.code == "length-open";
    let mut told: Vec<Problem> = worked.problems.iter().filter(is_told).cloned().collect();
    told.extend(slips);
    told.extend(written.problems);
    told.sort_by_key(|p| (p.span, std::cmp::Reverse(p.level)));
    console.warn(&problems::text(
        &worked.source,
        &told,
        console.colours_err(),
    ));
    if !arguments.in_place {
        console.print(&written.text);
    } else if written.text != worked.source.text() {
        replace_file(path, written.text.as_bytes())?;
    }
    Ok(worked.status)
}

/// The style in the file beside a pattern, or ours.
fn house_style(pattern: &Path, console: &mut Console) -> Result<Style, Failure> {
    let file = pattern
        .parent()
        .map_or_else(|| HOUSE_STYLE.into(), |folder| folder.join(HOUSE_STYLE));
    if pattern == Path::new("-") || !file.exists() {
        return Ok(Style::default());
    }
    let source = input::read(&file).map_err(|reason| Failure {
        path: file.clone(),
        reason,
    })?;
    let (read, _) = pattern::read(&source);
    let (style, slips) = Style::of(&source, &read);
    console.warn(&problems::text(&source, &slips, console.colours_err()));
    Ok(style.unwrap_or_default())
}
