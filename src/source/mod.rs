//! The text that everything is read from: its lines, places in it, and the problems found there.
//!
//! Spans are byte ranges of the original text. Nothing before this stage has touched the bytes, so a
//! span always points at exactly what the designer typed.

pub mod limits;
mod problem;
pub(crate) mod words;

pub use problem::{Level, Mend, Problem};

use std::ops::Range;

/// A pattern's text with the name it goes by in messages.
#[derive(Debug, Clone)]
pub struct Source {
    /// The file's name as the user gave it, or `<stdin>`.
    pub name: String,
    text: String,
    /// Byte offset of the start of each line; the first is 0.
    lines: Vec<usize>,
}

/// Why some bytes can't be a pattern at all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotText {
    /// More than [`limits::INPUT_BYTES`].
    TooLarge {
        /// Size of the input in bytes.
        bytes: u64,
    },
    /// Not UTF-8, from this byte on.
    NotUtf8 {
        /// Offset of the first byte that is not UTF-8.
        at: usize,
    },
    /// UTF-8, but with the NUL bytes of a binary file.
    Binary,
}

impl std::fmt::Display for NotText {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            NotText::TooLarge { bytes } => write!(
                f,
                "{} MB is more than a pattern can be (the limit is {} MB)",
                bytes.div_ceil(1_000_000),
                limits::INPUT_BYTES / 1_000_000
            ),
            NotText::NotUtf8 { at } => write!(
                f,
                "this is not UTF-8 text (from byte {at} on); save it as plain text, encoding UTF-8"
            ),
            NotText::Binary => f.write_str("this is a binary file, not a written pattern"),
        }
    }
}

impl std::error::Error for NotText {}

impl Source {
    /// Takes bytes as they came from a file. A byte order mark is left in place and skipped by the reader.
    ///
    /// # Errors
    /// [`NotText`] if the bytes are too many, not UTF-8, or hold NUL.
    pub fn from_bytes(name: impl Into<String>, bytes: Vec<u8>) -> Result<Source, NotText> {
        if bytes.len() > limits::INPUT_BYTES {
            return Err(NotText::TooLarge {
                bytes: bytes.len() as u64,
            });
        }
        if bytes.contains(&0) {
            return Err(NotText::Binary);
        }
        let text = String::from_utf8(bytes).map_err(|e| NotText::NotUtf8 {
            at: e.utf8_error().valid_up_to(),
        })?;
        Ok(Source::new(name, text))
    }

    /// Takes text that is already in memory.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Source {
        let text = text.into();
        let bytes = text.as_bytes();
        let mut lines = vec![0];
        for (at, &byte) in bytes.iter().enumerate() {
            let ends_line = byte == b'\n' || (byte == b'\r' && bytes.get(at + 1) != Some(&b'\n'));
            if ends_line {
                lines.push(at + 1);
            }
        }
        Source {
            name: name.into(),
            text,
            lines,
        }
    }

    /// The whole text, byte for byte.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// How many lines there are; at least 1.
    pub fn line_count(&self) -> usize {
        self.lines.len()
    }

    /// The bytes of line `index` (from 0), its line end left out.
    pub fn line_span(&self, index: usize) -> Span {
        let start = self.lines[index];
        let end = self
            .lines
            .get(index + 1)
            .copied()
            .unwrap_or(self.text.len());
        let line = &self.text[start..end];
        Span::new(start, start + line.trim_end_matches(['\n', '\r']).len())
    }

    /// The words at a span.
    pub fn slice(&self, span: Span) -> &str {
        &self.text[span.start..span.end]
    }

    /// Line and column of both ends of a span, counted from 1, columns in Unicode scalar values.
    pub fn place(&self, span: Span) -> Place {
        let (line, column) = self.line_column(span.start);
        let (end_line, end_column) = self.line_column(span.end);
        Place {
            line,
            column,
            end_line,
            end_column,
        }
    }

    /// The line of a byte offset, counted from 1.
    pub fn line_of(&self, at: usize) -> usize {
        self.lines.partition_point(|&start| start <= at)
    }

    fn line_column(&self, at: usize) -> (usize, usize) {
        let line = self.line_of(at);
        let start = self.lines[line - 1];
        (line, self.text[start..at].chars().count() + 1)
    }
}

/// A byte range of the source text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// The bytes from `start` up to `end`.
    pub fn new(start: usize, end: usize) -> Span {
        debug_assert!(start <= end);
        Span { start, end }
    }

    /// The smallest span that covers both.
    pub fn to(self, other: Span) -> Span {
        Span::new(self.start.min(other.start), self.end.max(other.end))
    }

    /// True if it covers no bytes.
    pub fn is_empty(self) -> bool {
        self.start == self.end
    }

    /// The span as a range, for slicing.
    pub fn range(self) -> Range<usize> {
        self.start..self.end
    }
}

/// Words as a message quotes them: at most 40 characters.
pub fn quoted(words: &str) -> String {
    const LONGEST: usize = 40;
    let mut shown: String = words
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if words.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    format!("`{shown}`")
}

/// A span in lines and columns, counted from 1; the end is exclusive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Line of the first character.
    pub line: usize,
    /// Column of the first character, in Unicode scalar values.
    pub column: usize,
    /// Line of the character after the last.
    pub end_line: usize,
    /// Column of the character after the last.
    pub end_column: usize,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_scalar_values_and_every_kind_of_line_end_counts_once() {
        let source = Source::new("t", "é×b\r\nc\rd\n");
        assert_eq!(source.line_count(), 4);
        let b = source.text().find('b').unwrap();
        let place = source.place(Span::new(b, b + 1));
        assert_eq!((place.line, place.column, place.end_column), (1, 3, 4));
        let d = source.text().find('d').unwrap();
        assert_eq!(source.place(Span::new(d, d)).line, 3);
        assert_eq!(source.slice(source.line_span(0)), "é×b");
        assert_eq!(source.slice(source.line_span(3)), "");
    }

    #[test]
    fn bytes_that_are_no_text_are_refused_with_the_reason() {
        let reason = |bytes: &[u8]| Source::from_bytes("t", bytes.to_vec()).unwrap_err();
        assert_eq!(reason(b"ab\xff"), NotText::NotUtf8 { at: 2 });
        assert_eq!(reason(b"a\0"), NotText::Binary);
        assert!(matches!(
            reason(&vec![b' '; limits::INPUT_BYTES + 1]),
            NotText::TooLarge { .. }
        ));
    }
}
