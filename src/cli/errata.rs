//! `roundwright errata`: the corrections from one version of a pattern to another.

use super::arguments::Errata;
use super::console::{Console, clean_lines};
use super::worked::Worked;
use super::{Status, input};
use crate::queries::{self, Version};

/// Reads both versions and prints the list. [`Status::Errors`] if either has errors: what could not be worked can't be compared.
pub fn run(arguments: &Errata, console: &mut Console) -> Status {
    let mut read = |path| match input::read(path) {
        Ok(source) => Some(Worked::new(source)),
        Err(reason) => {
            console.complain(&input::name(path), &reason);
            None
        }
    };
    let (Some(old), Some(new)) = (read(&arguments.old), read(&arguments.new)) else {
        return Status::CouldNotRun;
    };
    console.print(&clean_lines(&queries::errata(
        &version(&old),
        &version(&new),
    )));
    for worked in [&old, &new] {
        if worked.status == Status::Errors {
            console.complain(
                &worked.source.name,
                &format!(
                    "{}; rounds with errors are compared as far as they could be worked",
                    worked.tally()
                ),
            );
        }
    }
    old.status.max(new.status)
}

fn version(worked: &Worked) -> Version<'_> {
    Version {
        source: &worked.source,
        pattern: &worked.pattern,
        fabric: &worked.fabric,
    }
}
