//! Changes to a text, gathered in any order and made all at once.

use crate::source::Span;

/// A list of changes.
#[derive(Debug, Clone, Default)]
pub(super) struct Edits {
    list: Vec<(Span, String)>,
}

impl Edits {
    /// Puts words in the place of others. A change that overlaps an earlier one is left out when they are made.
    pub fn replace(&mut self, span: Span, words: impl Into<String>) {
        self.list.push((span, words.into()));
    }

    /// Puts words in at a place.
    pub fn insert(&mut self, at: usize, words: impl Into<String>) {
        self.replace(Span::new(at, at), words);
    }

    /// The changed text.
    pub fn made(mut self, text: &str) -> String {
        // What is put in at a place stands before what takes the place of the words there. Stable: of two insertions at one
        // place the first stays first.
        self.list.sort_by_key(|(span, _)| (span.start, span.end));
        let mut made = String::with_capacity(text.len());
        let mut at = 0;
        for (span, words) in &self.list {
            if span.start < at {
                continue;
            }
            made += &text[at..span.start];
            made += words;
            at = span.end;
        }
        made + &text[at..]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_are_made_in_the_order_of_the_text() {
        let mut edits = Edits::default();
        edits.replace(Span::new(4, 7), "two");
        edits.replace(Span::new(0, 3), "one");
        edits.insert(0, "> ");
        assert_eq!(edits.made("abc def ghi"), "> one two ghi");
    }
}
