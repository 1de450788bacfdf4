//! `roundwright explain`: the help page of a code, or all codes in one line each.

use crate::review::pages::{self, PAGES};

use super::Status;
use super::arguments::Explain;
use super::console::Console;

/// Prints what was asked for.
pub fn run(arguments: &Explain, console: &mut Console) -> Status {
    match arguments.code.and_then(pages::find) {
        Some(page) => console.print(page.text),
        None => console.print(&list()),
    }
    Status::Fine
}

fn list() -> String {
    let widest = PAGES.iter().map(|page| page.code.len()).max().unwrap_or(0);
    PAGES
        .iter()
        .map(|page| format!("{:widest$}  {}\n", page.code, page.summary()))
        .collect()
}
