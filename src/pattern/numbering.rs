//! The numbers of a piece's rounds: none missing, none twice, in order.

use crate::source::{Problem, Span};

/// The numbers seen so far in one piece.
#[derive(Debug, Default)]
pub(super) struct Numbering {
    highest: u32,
    started: bool,
    /// Rounds whose number is not known came last: any number may follow.
    open: bool,
    /// The label before repeated numbers: it most likely stands for so many that come next.
    repeated: u32,
    gaps: Vec<Gap>,
}

/// Numbers that were left out.
#[derive(Debug)]
struct Gap {
    first: u32,
    last: u32,
    /// The label after it.
    span: Span,
    /// It lies inside a list such as `Rnds 8, 10, 12`: another label is expected to fill it.
    in_list: bool,
}

impl Numbering {
    /// The highest number so far.
    pub fn highest(&self) -> u32 {
        self.highest
    }

    /// The number that should come next.
    fn next(&self) -> u32 {
        self.highest.saturating_add(1)
    }

    /// True if a round of this number goes on with the piece.
    pub fn continues_at(&self, number: u32) -> bool {
        self.started
            && (number == self.next() && number > 1
                || self.open && number > self.highest.max(1)
                || self.gap_at(number).is_some())
    }

    /// Takes in a label's runs of numbers.
    pub fn add(&mut self, runs: &[(u32, u32)], span: Span, problems: &mut Vec<Problem>) {
        for (place, &(first, last)) in runs.iter().enumerate() {
            let repeated = std::mem::take(&mut self.repeated);
            if repeated > 0 && first == self.next().saturating_add(repeated) {
                self.highest = first - 1;
            }
            if !self.started {
                self.started = true;
            } else if first <= self.highest {
                self.add_below(first, last, span, problems);
            } else if first > self.next() && !self.open {
                self.gaps.push(Gap {
                    first: self.next(),
                    last: first - 1,
                    span,
                    in_list: place > 0,
                });
            }
            self.highest = self.highest.max(last);
            self.open = false;
        }
    }

    /// Rounds that were worked outside any label.
    pub fn advance(&mut self, rounds: u32) {
        self.highest = self.highest.saturating_add(rounds);
    }

    /// Rounds of another piece were worked, up to this number.
    pub fn lean(&mut self, last: u32) {
        self.started = true;
        self.highest = self.highest.max(last);
    }

    /// Rounds were worked outside any label until something was reached.
    pub fn leave_open(&mut self) {
        self.open = true;
    }

    /// Numbers at or below the highest: they fill a gap, or stand there twice.
    fn add_below(&mut self, first: u32, last: u32, span: Span, problems: &mut Vec<Problem>) {
        let next = self.next();
        let Some(at) = self.gap_at(first) else {
            problems.push(
                Problem::error(
                    "round-twice",
                    span,
                    format!("round {first} stands here a second time"),
                )
                .help(format!("the next round is {next}")),
            );
            if last == self.highest {
                self.repeated = last - first.min(last) + 1;
            }
            return;
        };
        let gap = self.gaps.remove(at);
        if !gap.in_list {
            problems.push(
                Problem::error(
                    "round-order",
                    span,
                    format!("round {first} comes after round {}", next - 1),
                )
                .help(format!("move it before round {}", gap.last + 1)),
            );
        }
        for (first, last) in [
            (gap.first, first.saturating_sub(1)),
            (last.saturating_add(1), gap.last),
        ] {
            if first <= last {
                self.gaps.push(Gap { first, last, ..gap });
            }
        }
    }

    fn gap_at(&self, number: u32) -> Option<usize> {
        self.gaps
            .iter()
            .position(|gap| (gap.first..=gap.last).contains(&number))
    }

    /// At the end of the piece: what is still missing.
    pub fn finish(&mut self, problems: &mut Vec<Problem>) {
        for gap in std::mem::take(&mut self.gaps) {
            let missing = if gap.first == gap.last {
                format!("round {} is missing", gap.first)
            } else {
                format!("rounds {} to {} are missing", gap.first, gap.last)
            };
            problems.push(Problem::error(
                "round-missing",
                gap.span,
                format!("{missing}: round {} stands here next", gap.last + 1),
            ));
        }
        *self = Numbering::default();
    }
}
