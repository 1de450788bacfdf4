//! Words about rounds in lines that have no label of their own: `Rep Rnds 8 and 9 twice`.

use super::style::Style;
use crate::source::{Source, Span};

/// The numbers of rounds in a line, each with the words that the style has for them.
pub(super) fn labels(source: &Source, line: Span, style: Style) -> Vec<(Span, String)> {
    let text = source.slice(line);
    let mut labels = Vec::new();
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let opens = at == 0 || !text[..at].ends_with(char::is_alphanumeric);
        let found = opens.then(|| label(&text[at..])).flatten();
        match found.filter(|(_, _, taken)| !says_how_often(&text[at + taken..])) {
            Some((is_row, runs, taken)) => {
                let start = line.start + at;
                let span = Span::new(start, start + taken);
                labels.push((span, style.rounds(is_row, &runs)));
                at += taken;
            }
            None => at += c.len_utf8(),
        }
    }
    labels
}

/// True after the number of `the last round 3 times`, which is no round's.
fn says_how_often(rest: &str) -> bool {
    let mut words = rest
        .split_whitespace()
        .map(|word| word.trim_end_matches(['.', ',', ';', ')']))
        .skip_while(|&word| word == "more");
    words.next() == Some("times")
}

type Runs = Vec<(u32, u32)>;

/// The label that a text opens with: whether it is of rows, its numbers, and its length in bytes.
fn label(text: &str) -> Option<(bool, Runs, usize)> {
    let mut words = Words { text, at: 0 };
    let is_row = words.word()?;
    let first = words.number()?;
    let mut runs = vec![(first, first)];
    loop {
        let before = words.at;
        let joined = words.joint();
        let again = words.at;
        if words.word().is_none() {
            words.at = again;
        }
        let (Some(is_run), Some(number)) = (joined, words.number()) else {
            return Some((is_row, runs, before));
        };
        let (first, last) = *runs.last()?;
        let goes_on = is_run && first == last && number > last;
        if goes_on || number == last.saturating_add(1) {
            *runs.last_mut()? = (first, number);
        } else {
            runs.push((number, number));
        }
    }
}

/// A text being read from its start.
struct Words<'t> {
    text: &'t str,
    at: usize,
}

impl Words<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn skip_spaces(&mut self) {
        self.at += self.rest().len() - self.rest().trim_start_matches(' ').len();
    }

    /// `Rnds`: whether it says rows.
    fn word(&mut self) -> Option<bool> {
        let length = self.rest().find(|c: char| !c.is_ascii_alphabetic());
        let length = length.unwrap_or(self.rest().len());
        let is_row = match &*self.rest()[..length].to_ascii_lowercase() {
            "rnd" | "rnds" | "round" | "rounds" | "rd" | "rds" | "r" => false,
            "row" | "rows" => true,
            _ => return None,
        };
        self.at += length;
        if self.rest().starts_with('.') {
            self.at += 1;
        }
        Some(is_row)
    }

    fn number(&mut self) -> Option<u32> {
        self.skip_spaces();
        let length = self.rest().find(|c: char| !c.is_ascii_digit());
        let length = length.unwrap_or(self.rest().len());
        let number = self.rest()[..length].parse().ok()?;
        self.at += length;
        // `2nd`
        (!self.rest().starts_with(char::is_alphabetic)).then_some(number)
    }

    /// What joins two numbers: true for a run from one to the other.
    fn joint(&mut self) -> Option<bool> {
        const JOINTS: [(&str, bool); 7] = [
            ("-", true),
            ("–", true),
            ("—", true),
            ("to ", true),
            ("and ", false),
            ("& ", false),
            ("&", false),
        ];
        self.skip_spaces();
        let (joint, is_run) = *JOINTS
            .iter()
            .find(|(joint, _)| self.rest().starts_with(joint))?;
        self.at += joint.len();
        self.skip_spaces();
        Some(is_run)
    }
}

#[cfg(test)]
mod tests {
    use super::super::style::Label;
    use super::*;

    fn written(line: &str, label: Label) -> String {
        let source = Source::new("t", line);
        let style = Style {
            label,
            ..Style::default()
        };
        let mut written = line.to_owned();
        let all = Span::new(0, line.len());
        for (span, words) in labels(&source, all, style).into_iter().rev() {
            written.replace_range(span.range(), &words);
        }
        written
    }

    #[test]
    fn numbers_of_rounds_are_written_in_the_style_and_nothing_else() {
        for (line, rnd, r) in [
            (
                "Rep Rnds 8 and 9 twice.",
                "Rep Rnds 8-9 twice.",
                "Rep R8-9 twice.",
            ),
            (
                "repeat rounds 5–7 3 times",
                "repeat Rnds 5-7 3 times",
                "repeat R5-7 3 times",
            ),
            (
                "Rep rnd. 4 & rnd. 6 once",
                "Rep Rnds 4, 6 once",
                "Rep R4, 6 once",
            ),
            (
                "rep R5 to R6, 2 more times",
                "rep Rnds 5-6, 2 more times",
                "rep R5-6, 2 more times",
            ),
            (
                "Repeat rows 2-3 and turn",
                "Repeat Rows 2-3 and turn",
                "Repeat Rows 2-3 and turn",
            ),
            (
                "Rep last round once more",
                "Rep last round once more",
                "Rep last round once more",
            ),
            (
                "Repeat the last round 3 times.",
                "Repeat the last round 3 times.",
                "Repeat the last round 3 times.",
            ),
            (
                "for 5 rnds - 12 sts, ground 3",
                "for 5 rnds - 12 sts, ground 3",
                "for 5 rnds - 12 sts, ground 3",
            ),
        ] {
            assert_eq!(written(line, Label::Rnd), rnd);
            assert_eq!(written(line, Label::R), r);
        }
    }
}
