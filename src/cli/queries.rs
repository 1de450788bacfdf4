//! `roundwright queries`: the query sheet of a pattern, and its mends put into the text.

use std::path::{Path, PathBuf};

use super::arguments::{Choices, Queries, Report};
use super::console::{Console, clean, clean_lines};
use super::worked::Worked;
use super::{Status, input, json, save};
use crate::queries;
use crate::source::Source;

/// Prints the sheet, or writes the pattern with the mends that were accepted.
pub fn run(arguments: &Queries, console: &mut Console) -> Status {
    let path = &arguments.pattern;
    let source = match input::read(path) {
        Ok(source) => source,
        Err(reason) => {
            console.complain(&input::name(path), &reason);
            return Status::CouldNotRun;
        }
    };
    let worked = Worked::new(source);
    let Some(choices) = &arguments.accept else {
        print_sheet(&worked, arguments.format, console);
        return worked.status;
    };
    match mend(&worked, arguments, choices) {
        Ok((path, mended)) => {
            let tally = mended.tally();
            let left = if tally.is_empty() {
                "no problems"
            } else {
                &tally
            };
            console.print(&format!(
                "{}: mended; {left}\n",
                clean(&path.to_string_lossy())
            ));
            mended.status
        }
        Err((path, reason)) => {
            console.complain(&path.to_string_lossy(), &reason);
            Status::CouldNotRun
        }
    }
}

fn print_sheet(worked: &Worked, format: Report, console: &mut Console) {
    let queries = queries::queries(
        &worked.source,
        &worked.pattern,
        &worked.fabric,
        &worked.problems,
        &worked.offers,
    );
    match format {
        Report::Text => {
            let sheet = queries::sheet(&worked.source, &worked.fabric.title, &queries);
            console.print(&clean_lines(&sheet));
        }
        Report::Json => console.print(&json::queries_line(&worked.source, &queries)),
    }
}

/// Writes the pattern with the accepted mends, or nothing: then the file that it is about and why.
fn mend(
    worked: &Worked,
    arguments: &Queries,
    choices: &Choices,
) -> Result<(PathBuf, Worked), (PathBuf, String)> {
    let path = &arguments.pattern;
    let about = |path: &Path, reason: String| (path.to_owned(), reason);
    let source = &worked.source;
    let text = queries::accept(source, &worked.problems, &worked.offers, &choices.0)
        .map_err(|reason| about(Path::new(&source.name), reason))?;
    let is_piped = path == Path::new("-");
    let target = match &arguments.out {
        Some(out) => out.clone(),
        None if is_piped => {
            let reason = "say with --out where the mended pattern goes";
            return Err(about(Path::new(&source.name), reason.to_owned()));
        }
        None if arguments.in_place => path.clone(),
        None => beside(path),
    };
    let saved = match arguments.in_place {
        true => save::replace(&target, source.text().as_bytes(), text.as_bytes()),
        false => save::create(&target, text.as_bytes()),
    };
    saved.map_err(|reason| about(&target, reason))?;
    let name = target.to_string_lossy().into_owned();
    Ok((target, Worked::new(Source::new(name, text))))
}

/// `float-mended.md` for `float.md`.
fn beside(path: &Path) -> PathBuf {
    let mut name = path.file_stem().unwrap_or_default().to_owned();
    name.push("-mended.");
    name.push(path.extension().unwrap_or("md".as_ref()));
    path.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mended_pattern_stands_beside_the_old_one() {
        assert_eq!(
            beside(Path::new("a/float.txt")),
            Path::new("a/float-mended.txt")
        );
        assert_eq!(beside(Path::new("float")), Path::new("float-mended.md"));
    }
}
