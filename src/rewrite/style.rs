//! The house style: the few things that designers write each in their own way.

use crate::pattern::Pattern;
use crate::source::{Problem, Source, Span, quoted};

/// The choices. The default is `Style: Rnd, 6 sc, ( ), x 6, (18)`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// The word for a round.
    pub label: Label,
    /// Whether a number stands before its stitch.
    pub number: Number,
    /// The brackets of a repeat; one that holds another takes the other kind.
    pub brackets: Brackets,
    /// How the number of a repeat is said.
    pub times: Times,
    /// How the total at the end of a round stands.
    pub total: Total,
}

/// The word for a round; rows are always `Row`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Label {
    /// `Rnd 3:`
    #[default]
    Rnd,
    /// `R3:`
    R,
    /// `Round 3:`
    Round,
}

/// Where the number of stitches stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Number {
    /// `6 sc`
    #[default]
    Before,
    /// `sc 6`
    After,
}

/// The brackets of a repeat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Brackets {
    /// `(sc, inc)`
    #[default]
    Round,
    /// `[sc, inc]`
    Square,
}

/// The number of a repeat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Times {
    /// `x 6`
    #[default]
    Letter,
    /// `× 6`
    Sign,
    /// `6 times`
    Word,
}

/// The total of a round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Total {
    /// `(18)`
    #[default]
    Round,
    /// `[18]`
    Square,
    /// `= 18`
    Equals,
}

impl Style {
    /// The style in a pattern's header, and what could not be understood there. `None` if the header has no line `Style:`.
    pub fn of(source: &Source, pattern: &Pattern) -> (Option<Style>, Vec<Problem>) {
        let Some(entry) = pattern.header.entries.iter().find(|e| e.key == "style") else {
            return (None, Vec::new());
        };
        let mut problems = Vec::new();
        let mut style = Style::default();
        let mut at = entry.value.start;
        for choice in source.slice(entry.value).split(',') {
            let from = at + (choice.len() - choice.trim_start().len());
            let span = Span::new(from, from + choice.trim().len());
            if !style.choose(choice) {
                problems.push(
                    Problem::warning(
                        "bad-style",
                        span,
                        format!("{} is no choice of a house style", quoted(choice.trim())),
                    )
                    .help(
                        "a style is written by example, such as `Style: Rnd, 6 sc, ( ), x 6, (18)` \
                         or `Style: R, sc 6, [ ], 6 times, = 18`",
                    ),
                );
            }
            at += choice.len() + 1;
        }
        (Some(style), problems)
    }

    /// Takes one choice, written by example. False if it is none.
    fn choose(&mut self, example: &str) -> bool {
        let example = example.trim().trim_end_matches([':', '.']);
        let squeezed: String = example.split_whitespace().collect::<String>();
        match squeezed.to_lowercase().as_str() {
            "rnd" => self.label = Label::Rnd,
            "r" => self.label = Label::R,
            "round" => self.label = Label::Round,
            "()" => self.brackets = Brackets::Round,
            "[]" => self.brackets = Brackets::Square,
            other => return self.choose_by_number(other),
        }
        true
    }

    /// An example with a number in it, in lower case and without spaces.
    fn choose_by_number(&mut self, example: &str) -> bool {
        let is_digit = |c: char| c.is_ascii_digit();
        let mut shape: String = example
            .chars()
            .map(|c| if is_digit(c) { '0' } else { c })
            .collect();
        while shape.contains("00") {
            shape = shape.replace("00", "0");
        }
        match shape.as_str() {
            "x0" => self.times = Times::Letter,
            "×0" => self.times = Times::Sign,
            "0times" => self.times = Times::Word,
            "(0)" => self.total = Total::Round,
            "[0]" => self.total = Total::Square,
            "=0" => self.total = Total::Equals,
            "0sc" | "0dc" => self.number = Number::Before,
            "sc0" | "dc0" => self.number = Number::After,
            _ => return false,
        }
        true
    }

    /// Every style there is, for tests.
    pub fn all() -> impl Iterator<Item = Style> {
        (0..108usize).map(|n| Style {
            label: [Label::Rnd, Label::R, Label::Round][n % 3],
            times: [Times::Letter, Times::Sign, Times::Word][n / 3 % 3],
            total: [Total::Round, Total::Square, Total::Equals][n / 9 % 3],
            number: [Number::Before, Number::After][n / 27 % 2],
            brackets: [Brackets::Round, Brackets::Square][n / 54],
        })
    }

    /// `Rnd 3`, `Rnds 5-8`, `Row 3`, for runs of numbers.
    pub(super) fn rounds(self, is_row: bool, runs: &[(u32, u32)]) -> String {
        let several = runs.len() > 1 || runs.iter().any(|run| run.0 != run.1);
        let word = match (is_row, self.label, several) {
            (true, _, false) => "Row ",
            (true, _, true) => "Rows ",
            (false, Label::Rnd, false) => "Rnd ",
            (false, Label::Rnd, true) => "Rnds ",
            (false, Label::Round, false) => "Round ",
            (false, Label::Round, true) => "Rounds ",
            (false, Label::R, _) => "R",
        };
        let numbers: Vec<String> = runs
            .iter()
            .map(|&(first, last)| {
                if first == last {
                    first.to_string()
                } else {
                    format!("{first}-{last}")
                }
            })
            .collect();
        format!("{word}{}", numbers.join(", "))
    }

    /// `Next rnd`, `Next 3 rounds`.
    pub(super) fn next(self, is_row: bool, count: u64) -> String {
        let word = match (is_row, self.label) {
            (true, _) => "row",
            (false, Label::Round) => "round",
            (false, Label::Rnd | Label::R) => "rnd",
        };
        match count {
            1 => format!("Next {word}"),
            n => format!("Next {n} {word}s"),
        }
    }

    /// A list in brackets.
    pub(super) fn bracketed(self, list: &str) -> String {
        // Counted from the inside, every other level takes the other kind.
        let levels = depth(list);
        let round = (self.brackets == Brackets::Round) == levels.is_multiple_of(2);
        if round {
            format!("({list})")
        } else {
            format!("[{list}]")
        }
    }

    /// `x 6`, `6 times`.
    pub(super) fn times(self, n: u32) -> String {
        match self.times {
            Times::Letter => format!("x {n}"),
            Times::Sign => format!("× {n}"),
            Times::Word => format!("{n} times"),
        }
    }

    /// `(18)`, `= 18`.
    pub(super) fn total(self, words: &str) -> String {
        match self.total {
            Total::Round => format!("({words})"),
            Total::Square => format!("[{words}]"),
            Total::Equals => format!("= {words}"),
        }
    }
}

/// How many brackets stand in each other.
fn depth(words: &str) -> usize {
    let (mut depth, mut deepest) = (0usize, 0);
    for c in words.chars() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            _ => {}
        }
        deepest = deepest.max(depth);
    }
    deepest
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pattern;

    fn style(words: &str) -> (Option<Style>, Vec<Problem>) {
        let source = Source::new(
            "t",
            format!("Style: {words}\n\n## A\nRnd 1: 6 sc in MR (6)\n"),
        );
        Style::of(&source, &pattern::read(&source).0)
    }

    #[test]
    fn a_style_is_read_from_examples_in_any_order() {
        let (found, problems) = style("= 24, R, sc 4, [ ], 3 times");
        let expected = Style {
            label: Label::R,
            number: Number::After,
            brackets: Brackets::Square,
            times: Times::Word,
            total: Total::Equals,
        };
        assert_eq!((found, problems), (Some(expected), vec![]));
        assert_eq!(style("Rnd, 6 sc, ( ), x 6, (18)").0, Some(Style::default()));
    }

    #[test]
    fn what_is_no_choice_is_pointed_out_at_its_words() {
        let (found, problems) = style("R, loudly, [18]");
        assert_eq!(found.unwrap().total, Total::Square);
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].span, Span::new(10, 16));
    }
}
