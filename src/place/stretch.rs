//! Stitches side by side in a round.

/// Stitches of one round that lie side by side, by their numbers from 1. Where they run over the start of the round, the last comes before the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// Number of the first, in the order of work.
    pub first: u32,
    /// Number of the last.
    pub last: u32,
    /// How many stitches the round has.
    pub of: u32,
}

impl Stretch {
    /// How many stitches it has, at least one.
    pub fn count(self) -> u32 {
        self.after_first(self.last) + 1
    }

    /// True if the two share a stitch; of different rounds, if they share a number.
    pub fn meets(self, other: Stretch) -> bool {
        self.after_first(other.first) < self.count()
            || other.after_first(self.first) < other.count()
    }

    /// The shortest stretch that has both.
    pub(super) fn with(self, other: Stretch) -> Stretch {
        let (one, two) = (self.up_to(other), other.up_to(self));
        if two.count() < one.count() { two } else { one }
    }

    /// From its first to its own last or that of another, whichever comes later.
    fn up_to(self, other: Stretch) -> Stretch {
        let whole = self.of.max(1);
        let count = (self.after_first(other.first) + other.count()).clamp(self.count(), whole);
        Stretch {
            last: (self.first + count - 2) % whole + 1,
            ..self
        }
    }

    /// How many stitches after its first another comes, round and round.
    fn after_first(self, number: u32) -> u32 {
        (number + self.of - self.first) % self.of.max(1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stretch(first: u32, last: u32) -> Stretch {
        Stretch {
            first,
            last,
            of: 30,
        }
    }

    #[test]
    fn stitches_are_counted_over_the_start_of_the_round() {
        assert_eq!(stretch(4, 7).count(), 4);
        assert_eq!(stretch(29, 2).count(), 4);
        assert_eq!(stretch(1, 30).count(), 30);
        assert_eq!(stretch(5, 4).count(), 30);
        assert_eq!(stretch(9, 9).count(), 1);
    }

    #[test]
    fn two_meet_where_they_share_a_stitch() {
        assert!(stretch(29, 2).meets(stretch(2, 5)));
        assert!(stretch(2, 5).meets(stretch(29, 2)));
        assert!(!stretch(29, 2).meets(stretch(3, 28)));
        assert!(stretch(1, 30).meets(stretch(12, 13)));
        assert!(stretch(12, 13).meets(stretch(1, 30)));
    }

    #[test]
    fn two_become_the_shortest_that_has_both() {
        assert_eq!(stretch(25, 30).with(stretch(1, 6)), stretch(25, 6));
        assert_eq!(stretch(1, 6).with(stretch(25, 30)), stretch(25, 6));
        assert_eq!(stretch(1, 6).with(stretch(4, 10)), stretch(1, 10));
        assert_eq!(stretch(4, 10).with(stretch(1, 6)), stretch(1, 10));
        assert_eq!(stretch(4, 10).with(stretch(5, 6)), stretch(4, 10));
        assert_eq!(stretch(29, 3).with(stretch(30, 1)), stretch(29, 3));
        assert_eq!(stretch(1, 20).with(stretch(15, 4)).count(), 30);
    }
}
