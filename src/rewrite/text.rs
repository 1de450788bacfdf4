//! How a text is laid out, so that what is added looks like the rest.

use crate::source::{Source, Span};

/// The layout of a text.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
    /// Its line ends.
    pub eol: &'static str,
}

impl Shape {
    /// Looks at a text.
    pub fn of(source: &Source) -> Shape {
        let eol = if source.text().contains("\r\n") {
            "\r\n"
        } else {
            "\n"
        };
        Shape { eol }
    }
}

/// The line of a byte offset, without its line end.
pub(super) fn line_of(source: &Source, at: usize) -> Span {
    source.line_span(source.line_of(at) - 1)
}

/// The line below a line.
pub(super) fn line_after(source: &Source, line: Span) -> Option<Span> {
    let next = source.line_of(line.start);
    (next < source.line_count()).then(|| source.line_span(next))
}
