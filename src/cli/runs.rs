//! The rounds of a piece as reports list them: rounds that one line asks for, and that come out alike, stand together.

use crate::fabric::{Piece, Round};

/// Rounds that follow each other in the work, from one line of the text, with equal totals.
#[derive(Debug, Clone, Copy)]
pub struct Run<'a> {
    /// The first of them; the others are like it.
    pub round: &'a Round,
    /// Number of the last of them.
    pub last: u32,
}

/// The runs of a piece, in the order of work.
pub fn runs(piece: &Piece) -> Vec<Run<'_>> {
    let mut runs: Vec<Run<'_>> = Vec::new();
    for round in &piece.rounds {
        match runs.last_mut() {
            Some(run)
                if run.last.checked_add(1) == Some(round.number) && alike(run.round, round) =>
            {
                run.last = round.number;
            }
            _ => runs.push(Run {
                round,
                last: round.number,
            }),
        }
    }
    runs
}

fn alike(a: &Round, b: &Round) -> bool {
    a.written == b.written
        && a.span == b.span
        && a.kind == b.kind
        && (a.count, a.spaces, a.stated) == (b.count, b.spaces, b.stated)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fabric::RoundKind;
    use crate::source::Span;

    #[test]
    fn rounds_of_one_line_stand_together_while_they_come_out_alike() {
        let mut piece = Piece::default();
        for (number, written, count) in [
            (1, 0, 6),
            (2, 1, 12),
            (3, 1, 12),
            (4, 2, 12),
            (5, 2, 11),
            (7, 2, 11),
        ] {
            piece.begin_round(number, RoundKind::Round, Span::default(), written);
            piece.rounds.last_mut().unwrap().count = count;
        }
        let labels: Vec<_> = runs(&piece)
            .iter()
            .map(|r| (r.round.number, r.last))
            .collect();
        assert_eq!(labels, [(1, 1), (2, 3), (4, 4), (5, 5), (7, 7)]);
    }
}
