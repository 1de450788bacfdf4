//! `roundwright check`: the problems of each pattern, then its pieces and rounds.

use super::arguments::{Check, Report};
use super::console::{Console, clean};
use super::worked::Worked;
use super::{Status, input, json, problems, table};

/// Checks every pattern; one that can't be read does not keep the others from it.
pub fn run(arguments: &Check, console: &mut Console) -> Status {
    let mut status = Status::Fine;
    for path in &arguments.patterns {
        let lengths = &arguments.lengths.lengths;
        let worked = input::read(path)
            .and_then(|source| Worked::with(source, lengths, &arguments.allow, &arguments.also));
        match worked {
            Ok(worked) => {
                status = status.max(worked.status);
                match arguments.format {
                    Report::Text => console.print(&text(&worked, console.colours_out())),
                    Report::Json => console.print(&json::check_line(&worked)),
                }
            }
            Err(reason) => {
                console.complain(&input::name(path), &reason);
                status = Status::CouldNotRun;
            }
        }
    }
    status
}

fn text(worked: &Worked, colours: bool) -> String {
    let mut text = problems::text(&worked.source, &worked.problems, colours);
    text += &table::text(&worked.fabric, worked.stitch_mm());
    let tally = worked.tally();
    let tally = if tally.is_empty() {
        "no problems"
    } else {
        &tally
    };
    text += &format!("{}: {tally}\n", clean(&worked.source.name));
    text
}
