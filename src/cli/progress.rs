//! A bar on the terminal for work that takes longer than a moment.

use std::io::{self, IsTerminal, Write};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use crate::shape::{self, Shapes};

use super::worked::Worked;

/// Nothing is shown before this much time has passed.
const PATIENCE: Duration = Duration::from_secs(1);
/// Signs in the bar.
const LONG: usize = 30;

/// The shapes of a pattern's pieces; a bar on standard error, where that is a terminal, if it takes longer than a second.
pub fn shapes(worked: &Worked) -> Shapes {
    let (source, pattern, fabric) = (&worked.source, &worked.pattern, &worked.fabric);
    if !io::stderr().is_terminal() {
        return shape::relax(source, pattern, fabric);
    }
    let begun = Instant::now();
    let shown: Mutex<Option<usize>> = Mutex::new(None);
    let shapes = shape::relax_watched(source, pattern, fabric, &|share| {
        let percent = (share * 100.0) as usize;
        if let Ok(mut shown) = shown.lock()
            && begun.elapsed() > PATIENCE
            && *shown != Some(percent)
        {
            *shown = Some(percent);
            show(&bar("finding the shape", percent));
        }
    });
    if shown.into_inner().is_ok_and(|shown| shown.is_some()) {
        // The line is left as it was found.
        show(&format!("\r{}\r", " ".repeat(LONG + 30)));
    }
    shapes
}

fn show(words: &str) {
    // If nobody can see it, nothing is lost.
    let _ = io::stderr().write_all(words.as_bytes());
}

fn bar(what: &str, percent: usize) -> String {
    let full = percent.min(100) * LONG / 100;
    format!(
        "\r{what} {}{} {percent:>3} %",
        "█".repeat(full),
        "░".repeat(LONG - full)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_fills_from_nothing_to_its_whole_length() {
        let full = |percent: usize| bar("x", percent).matches('█').count();
        assert_eq!([full(0), full(50), full(100), full(130)], [0, 15, 30, 30]);
    }
}
