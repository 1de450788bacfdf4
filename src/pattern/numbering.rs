//! The numbers of a piece's rounds: none missing, none twice, in order.

use std::collections::BTreeMap;

use crate::source::{Problem, Span};

/// The numbers seen so far in one piece.
#[derive(Debug, Default)]
pub(super) struct Numbering {
    highest: u32,
    started: bool,
    /// The words above say that the work goes to and fro from here on.
    pub in_rows: bool,
    /// Rounds whose number is not known came last: any number may follow.
    open: bool,
    /// The label before repeated numbers: it most likely stands for so many that come next.
    repeated: u32,
    /// By their first numbers.
    gaps: BTreeMap<u32, Gap>,
}

/// Numbers that were left out.
#[derive(Debug)]
struct Gap {
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
                let gap = Gap {
                    last: first - 1,
                    span,
                    in_list: place > 0,
                };
                self.gaps.insert(self.next(), gap);
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
        let Some((gap_first, gap)) = self
            .gap_at(first)
            .and_then(|at| self.gaps.remove_entry(&at))
        else {
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
            (gap_first, first.saturating_sub(1)),
            (last.saturating_add(1), gap.last),
        ] {
            if first <= last {
                self.gaps.insert(first, Gap { last, ..gap });
            }
        }
    }

    /// The first number of the gap that a number lies in.
    fn gap_at(&self, number: u32) -> Option<u32> {
        let (&first, gap) = self.gaps.range(..=number).next_back()?;
        (number <= gap.last).then_some(first)
    }

    /// At the end of the piece: what is still missing.
    pub fn finish(&mut self, problems: &mut Vec<Problem>) {
        for (first, gap) in std::mem::take(&mut self.gaps) {
            let missing = if first == gap.last {
                format!("round {first} is missing")
            } else {
                format!("rounds {first} to {} are missing", gap.last)
            };
            problems.push(
                Problem::error(
                    "round-missing",
                    gap.span,
                    format!("{missing}: round {} stands here next", gap.last + 1),
                )
                .help("put in what is missing, or number the rounds without a gap"),
            );
        }
        *self = Numbering::default();
    }
}
