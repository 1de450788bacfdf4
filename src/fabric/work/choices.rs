//! Ways of working a round that its words offer besides the first: each has to leave what the first leaves.

use super::{Progress, Shared, Worker};
use crate::fabric::below::Below;
use crate::fabric::model::Piece;
use crate::fabric::reading::Reading;
use crate::pattern::{self, Instruction, Offered};
use crate::source::{Problem, Span};

/// How another way of working a round came out.
pub(super) struct OtherWay {
    /// It uses up the round below and gives the total that is stated.
    fits: bool,
    count: u32,
    spaces: u32,
    /// The words that offer it.
    span: Span,
}

impl<'p> Worker<'p> {
    /// The other ways of a round, and of those that its body, made last, points to.
    pub(super) fn offered_by(&self, round: &'p pattern::Round) -> Vec<&'p Offered> {
        round
            .choices
            .iter()
            .chain(self.offered.iter().copied())
            .collect()
    }

    /// Works the other ways of a round, one after another, and undoes them. `pending` is what comes before its own words.
    pub(super) fn other_ways(
        &mut self,
        piece: &mut Piece,
        progress: &Progress<'p>,
        shared: &Shared<'_, 'p>,
        below: &Below,
        pending: &[Instruction],
    ) -> Vec<OtherWay> {
        let mut ways = Vec::new();
        for offered in &shared.task.offered {
            let mut items = pending.to_vec();
            items.extend(offered.body.iter().cloned());
            let other = Shared {
                items: &items,
                ..*shared
            };
            let readings = Reading::all(offered.doubts, below.has_bridges(), false);
            let mut found = None;
            for reading in readings {
                let (trial, (count, spaces)) =
                    self.tried(piece, progress, &other, below.clone(), reading);
                let fits = trial.is_exact();
                if fits || found.is_none() {
                    found = Some(OtherWay {
                        fits,
                        count,
                        spaces,
                        span: offered.span,
                    });
                }
                if fits || self.budget.actions == 0 {
                    break;
                }
            }
            ways.extend(found);
        }
        ways
    }

    /// Says where another way leaves something else than the one that was worked.
    pub(super) fn hold_to(&mut self, piece: &Piece, ways: &[OtherWay]) {
        let Some(round) = piece.rounds.last() else {
            return;
        };
        for way in ways {
            let same = (way.count, way.spaces) == (round.count, round.spaces);
            if way.fits && same || !self.told.insert(way.span.start) {
                continue;
            }
            let message = if same {
                format!(
                    "worked this way, round {} does not use up the round below",
                    round.number
                )
            } else {
                format!(
                    "worked this way, round {} makes {}, and the other way {}",
                    round.number,
                    stitches(way.count),
                    round.count
                )
            };
            self.problems.push(
                Problem::error("choice-differs", way.span, message)
                    .help("both ways have to work into the same stitches and leave as many"),
            );
        }
    }
}

fn stitches(n: u32) -> String {
    match n {
        1 => "1 stitch".to_owned(),
        n => format!("{n} stitches"),
    }
}
