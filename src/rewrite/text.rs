//! How a text is laid out, so that what is added looks like the rest.

use crate::pattern::{Line, Pattern};
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

/// Where what stands before the work ends: the line of the first piece's heading, or that of its first round where this heading
/// opens the text and so is its title as well.
pub(super) fn front_end(source: &Source, pattern: &Pattern) -> Option<usize> {
    // A piece that is gone on with comes after those that stand below its beginning.
    let piece = pattern.pieces.iter().min_by_key(|piece| piece.span.start)?;
    let heading = line_of(source, piece.span.start).start;
    let above = source.text()[..heading].trim_start_matches('\u{feff}');
    let work = piece.lines.iter().find_map(|line| match line {
        Line::Round(round) => Some(round.span),
        Line::RepeatRounds(repeat) => Some(repeat.span),
        Line::Between(between) => Some(between.span),
        Line::LikePiece(like) => Some(like.span),
        Line::Prose(_) => None,
    });
    Some(match work {
        Some(work) if above.trim().is_empty() => line_of(source, work.start).start,
        _ => heading,
    })
}
