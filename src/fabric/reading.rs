//! Doubtful words: the readings that they allow, ranked by custom.

use crate::pattern::{Doubts, Sharing};
use crate::source::limits;

/// How the doubtful words of one round are read. The default is the usual reading of all of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Reading {
    /// `inc 3` is one increase of three.
    pub bigger: bool,
    /// `rep from * 5 times` is five times more.
    pub times_more: bool,
    /// `3 sc` inside a repeat is three in one stitch.
    pub many_in_one: bool,
    /// `sc, inc x 6` is six times the whole list.
    pub of_all: bool,
    /// `sc inc` is a stitch and an increase.
    pub apart: bool,
    /// `2 sc in next 2 sts` is two in each; `12 sc in each st` is one in each.
    pub same: bool,
    /// `1 sc, 2 sc in same st` is two in the next stitch.
    pub in_one: bool,
    /// `sc, hdc around` is the list around.
    pub around: bool,
    /// The repeat of an earlier round is worked as often as it fits.
    pub again: bool,
    /// Work along a starting chain goes on along its other side, though no words say so.
    pub all_round: bool,
    /// Stitches with one place behind the last of them share it where that is unusual, and do not where it is usual.
    pub sharing: bool,
    /// A number alone at the end is the other thing than custom has it: after a bracket the total, after a dash how often.
    pub number: bool,
    /// Bridging chains are worked as stitches.
    pub chains_are_stitches: bool,
    /// The chain at the start counts the other way than custom has it.
    pub start_the_other_way: bool,
}

impl Reading {
    /// True if a group's stitches share a place, and false if each has its own.
    pub fn shares(self, sharing: Sharing) -> bool {
        match sharing {
            Sharing::Sure => true,
            Sharing::Usual => !self.sharing,
            Sharing::Unusual => self.sharing,
        }
    }

    /// All readings that the doubts allow, the usual one first, then those that differ in less.
    pub(super) fn all(doubts: Doubts, has_bridges: bool, start_is_open: bool) -> Vec<Reading> {
        let mut readings = vec![Reading::default()];
        let mut fork = |open: bool, change: fn(&mut Reading)| {
            if open {
                let changed: Vec<Reading> = readings
                    .iter()
                    .map(|&reading| {
                        let mut other = reading;
                        change(&mut other);
                        other
                    })
                    .collect();
                readings.extend(changed);
            }
        };
        fork(has_bridges, |r| r.chains_are_stitches = true);
        fork(start_is_open, |r| r.start_the_other_way = true);
        fork(doubts.of_all, |r| r.of_all = true);
        fork(doubts.apart, |r| r.apart = true);
        fork(doubts.same, |r| r.same = true);
        fork(doubts.in_one, |r| r.in_one = true);
        fork(doubts.around, |r| r.around = true);
        fork(doubts.again, |r| r.again = true);
        fork(doubts.all_round, |r| r.all_round = true);
        fork(doubts.sharing, |r| r.sharing = true);
        fork(doubts.number, |r| r.number = true);
        fork(doubts.times_more, |r| r.times_more = true);
        fork(doubts.bigger, |r| r.bigger = true);
        fork(doubts.many_in_one, |r| r.many_in_one = true);
        readings.sort_by_key(|r| r.oddness());
        readings.truncate(limits::READINGS);
        readings
    }

    /// How far it is from custom. `inc 3` and `rep from * 5 times` have no custom to differ from.
    fn oddness(self) -> u32 {
        u32::from(self.chains_are_stitches)
            + u32::from(self.start_the_other_way)
            + u32::from(self.of_all)
            + u32::from(self.apart)
            + 2 * u32::from(self.same)
            + 2 * u32::from(self.in_one)
            + 2 * u32::from(self.sharing)
            + 2 * u32::from(self.number)
            + u32::from(self.around)
            + 2 * u32::from(self.again)
            + 2 * u32::from(self.all_round)
            + u32::from(self.times_more)
            + u32::from(self.bigger)
            + 4 * u32::from(self.many_in_one)
    }

    /// What a note says about the reading taken, where it is not the usual one.
    pub(super) fn says(self) -> Option<&'static str> {
        if self.many_in_one {
            Some(
                "the numbers only come out if a number of stitches goes into one stitch, and so it is read",
            )
        } else if self.of_all {
            Some(
                "the numbers only come out if the number of times is of all that stands before it, and so it is read",
            )
        } else if self.around {
            Some(
                "the numbers only come out if all that stands before `around` is worked again and again, and so it is read",
            )
        } else if self.again {
            Some(
                "the numbers only come out if the earlier round is repeated as often as it fits, and not as often as there, and so it is read",
            )
        } else if self.all_round {
            Some(
                "the numbers only come out if the work goes on along the other side of the chain, and so it is read",
            )
        } else if self.sharing {
            Some(
                "the numbers only come out if these stitches share one place, or if each has its own, and so it is read",
            )
        } else if self.number {
            Some(
                "the numbers only come out if the number at the end is not the total but how often, or the other way round, and so it is read",
            )
        } else if self.same {
            Some(
                "the numbers only come out if so many stitches go into all of these, not into each, or the other way round, and so it is read",
            )
        } else if self.in_one {
            Some(
                "the numbers only come out if `in same st` means that these stitches share the next one, and so it is read",
            )
        } else if self.times_more {
            Some(
                "the numbers only come out if the repeat is worked so many times more, and so it is read",
            )
        } else if self.bigger {
            Some(
                "the numbers only come out if the number after the stitch makes it bigger, and so it is read",
            )
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_doubt_at_once_gives_no_more_readings_than_the_limit() {
        let doubts = Doubts {
            bigger: true,
            times_more: true,
            many_in_one: true,
            apart: true,
            same: true,
            in_one: true,
            of_all: true,
            number: true,
            around: true,
            again: true,
            all_round: true,
            sharing: true,
        };
        let readings = Reading::all(doubts, true, true);
        assert_eq!(readings.len(), limits::READINGS);
        assert_eq!(readings[0], Reading::default());
        let odd = |pair: &[Reading]| pair[0].oddness() <= pair[1].oddness();
        assert!(readings.windows(2).all(odd), "the usual ones are kept");
        assert_eq!(
            Reading::all(Doubts::default(), false, false),
            [Reading::default()]
        );
    }
}
