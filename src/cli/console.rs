//! The terminal: what was asked for goes to standard output, what went wrong to standard error.

use std::borrow::Cow;
use std::io::{self, IsTerminal, Write};

use super::Status;
use super::input::reason;

/// Standard output and standard error of this run.
pub struct Console {
    out: io::BufWriter<io::Stdout>,
    /// What writing to standard output came to, once it failed. Nothing is written after that.
    failed: Option<io::Error>,
}

impl Console {
    /// The console of this process.
    pub fn new() -> Console {
        Console {
            out: io::BufWriter::new(io::stdout()),
            failed: None,
        }
    }

    /// Writes to standard output. A reader who has left is no error: the run goes on in silence.
    pub fn print(&mut self, text: &str) {
        if self.failed.is_none() {
            self.failed = self.out.write_all(text.as_bytes()).err();
        }
    }

    /// Writes to standard error, after what was printed so far. If that fails there is nobody left to tell.
    pub fn warn(&mut self, text: &str) {
        if self.failed.is_none() {
            self.failed = self.out.flush().err();
        }
        let _ = io::stderr().write_all(text.as_bytes());
    }

    /// One line on standard error about a file, or about the whole run.
    pub fn complain(&mut self, about: &str, reason: &str) {
        self.warn(&format!(
            "roundwright: {}: {}\n",
            clean(about),
            clean(reason)
        ));
    }

    /// True if standard output shows colours.
    pub fn colours_out(&self) -> bool {
        shows_colours(&io::stdout())
    }

    /// True if standard error shows colours.
    pub fn colours_err(&self) -> bool {
        shows_colours(&io::stderr())
    }

    /// Writes out what is left. [`Status::CouldNotRun`], with a line that says why, if anything was lost other than to a reader who left.
    pub fn finish(mut self) -> Status {
        let flushed = self.out.flush();
        match self.failed.take().or(flushed.err()) {
            Some(error) if error.kind() != io::ErrorKind::BrokenPipe => {
                self.complain("standard output", &reason(&error));
                Status::CouldNotRun
            }
            _ => Status::Fine,
        }
    }
}

/// Colours are for terminals, and only where nobody has asked for none (`NO_COLOR`, a dumb terminal).
fn shows_colours(stream: &impl IsTerminal) -> bool {
    let set = |name| std::env::var_os(name).unwrap_or_default();
    stream.is_terminal() && set("NO_COLOR").is_empty() && set("TERM") != "dumb"
}

/// The text with a stand-in for each character that could move the cursor, change the terminal's state, or turn the order of the text about.
pub fn clean(text: &str) -> Cow<'_, str> {
    if text.chars().any(is_unsafe) {
        let safe = |c| if is_unsafe(c) { '\u{fffd}' } else { c };
        Cow::Owned(text.chars().map(safe).collect())
    } else {
        Cow::Borrowed(text)
    }
}

/// The same for a text of several lines, whose line ends stay.
pub fn clean_lines(text: &str) -> String {
    let lines: Vec<Cow<'_, str>> = text.split('\n').map(clean).collect();
    lines.join("\n")
}

/// Control characters but the tab, and those that change the direction of text.
pub fn is_unsafe(c: char) -> bool {
    (c.is_control() && c != '\t')
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_could_steer_a_terminal_is_replaced_and_the_rest_kept() {
        assert_eq!(clean("6 sc × 2, é\tü"), "6 sc × 2, é\tü");
        assert_eq!(
            clean("a\u{1b}[31mb\u{9b}c\u{202e}d\n"),
            "a\u{fffd}[31mb\u{fffd}c\u{fffd}d\u{fffd}"
        );
    }
}
