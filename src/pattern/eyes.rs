//! Where eyes go, as their sentence says it.

use super::tree::EyePlace;
use super::whereabouts::{apart, named_stitches, one_and_other, rounds};
use crate::source::words;

/// The place that the words of a step on eyes name: `between Rnds 8 and 9, 6 sts apart`, `through the 15th and the 22nd st`.
pub(super) fn place(text: &str) -> EyePlace {
    let told: Vec<_> = words::split(text, 0).collect();
    let other = one_and_other(&told).and_then(|(_, other)| rounds(other));
    if other.is_some_and(|other| Some(other) != rounds(&told)) {
        // Each has its own.
        return EyePlace::default();
    }
    let stitches = match named_stitches(&told)[..] {
        [one, other] if 0 < one && one < other => Some((one, other)),
        _ => None,
    };
    EyePlace {
        rounds: rounds(&told)
            .filter(|rounds| rounds.between)
            .map(|rounds| (rounds.first, rounds.last)),
        apart: apart(&told),
        stitches,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ways of telling it: common practice, no source.
    #[test]
    fn rounds_distance_and_stitches_are_read_where_they_are_told() {
        let between = EyePlace {
            rounds: Some((8, 9)),
            ..EyePlace::default()
        };
        let apart = EyePlace {
            apart: Some(6),
            ..between
        };
        assert_eq!(place("eyes between Rnds 8 and 9, 6 sts apart"), apart);
        assert_eq!(place("eyes between R8 & R9"), between);
        assert_eq!(place("eyes between the 8th and the 9th round"), between);
        let through = EyePlace {
            stitches: Some((15, 22)),
            ..apart
        };
        assert_eq!(
            place("eyes between Rnds 8 and 9, through the 15th and the 22nd st, 6 stitches apart"),
            through
        );
        let each = EyePlace {
            stitches: Some((11, 14)),
            ..between
        };
        assert_eq!(
            place(
                "the right eye between Rnds 8 and 9, through the 11th st, and the left eye between Rnds 8 and 9, through the 14th st"
            ),
            each
        );
        assert_eq!(
            place(
                "one eye between Rnds 8 and 9 at the 11th st and the other between Rnds 7 and 8 at the 14th st"
            ),
            EyePlace::default()
        );
        assert_eq!(place("eyes 3 cm apart"), EyePlace::default());
        assert_eq!(place("eyes between Rnds 9 and 12"), EyePlace::default());
        assert_eq!(
            place("eyes in the 22nd and the 15th st"),
            EyePlace::default()
        );
    }
}
