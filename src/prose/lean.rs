//! How far the heads of plain stitches lean, by the pattern's header.

use super::words;
use crate::pattern::Pattern;
use crate::source::Source;
use crate::terms::Hand;

/// How much differs from maker to maker: 0.15 to 0.5 of a stitch a round has been seen (common practice, no source).
const USUAL: (f64, f64) = (0.15, 0.5);

/// Stitches a round by which heads stand back against the direction of work from their feet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lean {
    /// So many, by `Lean: 5 sts right in 20 rnds`; none where stitches are worked yarn under, which stand nearly straight
    /// (blog.irarott.com).
    Told(f64),
    /// Nothing tells: between so many and so many.
    Open(f64, f64),
}

impl Default for Lean {
    fn default() -> Lean {
        Lean::Open(USUAL.0, USUAL.1)
    }
}

impl Lean {
    /// True if the pattern tells it.
    pub fn is_told(self) -> bool {
        matches!(self, Lean::Told(_))
    }

    /// What positions are counted with: the lean that is told, or none.
    pub(crate) fn counted(self) -> f64 {
        match self {
            Lean::Told(stitches) => stitches,
            Lean::Open(..) => 0.0,
        }
    }
}

/// The lean that the header tells: `Lean: 5 sts right in 20 rnds`, `Lean: 0.2 st per rnd`, `Sc: yarn under`. Right and left are those of the hand that
/// the pattern is written for.
pub(crate) fn lean(source: &Source, pattern: &Pattern) -> Lean {
    let hand = hand(pattern);
    let entries = &pattern.header.entries;
    let value = |key: &str| {
        let entry = entries.iter().find(|entry| entry.key == key)?;
        Some(words::split(source.slice(entry.value), entry.value.start).collect::<Vec<_>>())
    };
    if let Some(lean) = value("lean").and_then(|told| stitches_a_round(&told, hand)) {
        return Lean::Told(lean);
    }
    let is_under = entries
        .iter()
        .filter(|entry| {
            matches!(
                &*entry.key,
                "sc" | "dc" | "single crochet" | "double crochet"
            )
        })
        .any(|entry| {
            source
                .slice(entry.value)
                .to_lowercase()
                .contains("yarn under")
        });
    if is_under {
        Lean::Told(0.0)
    } else {
        Lean::default()
    }
}

/// The hand that a pattern is written for.
pub(crate) fn hand(pattern: &Pattern) -> Hand {
    pattern
        .header
        .hand
        .as_ref()
        .map_or(Hand::Right, |hand| hand.value)
}

fn stitches_a_round(told: &[words::Word<'_>], hand: Hand) -> Option<f64> {
    let mut numbers = told.iter().filter_map(words::Word::number);
    let stitches = numbers.next()?;
    let rounds = numbers.next().unwrap_or(1.0);
    let lean = stitches / rounds;
    if !lean.is_finite() || rounds <= 0.0 || lean > 2.0 {
        return None;
    }
    // A right-hander works to the left, so heads that stand to the right stand back.
    let is_forward = match hand {
        Hand::Right => told.iter().any(|word| word.is("left")),
        Hand::Left => told.iter().any(|word| word.is("right")),
    };
    Some(if is_forward { -lean } else { lean })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(header: &str) -> Lean {
        let source = Source::new(
            "lean.md",
            format!("# Buoy\n\n{header}\n\n## Body\nRnd 1: 6 sc in MR (6)\n"),
        );
        let (pattern, _) = crate::pattern::read(&source);
        lean(&source, &pattern)
    }

    #[test]
    fn heads_that_stand_back_against_the_work_lean_positively() {
        assert_eq!(told("Lean: 5 sts right in 20 rnds"), Lean::Told(0.25));
        assert_eq!(told("Lean: 5 sts left in 20 rnds"), Lean::Told(-0.25));
        assert_eq!(
            told("Hand: left\nLean: 5 sts left in 20 rnds"),
            Lean::Told(0.25)
        );
        assert_eq!(told("Lean: 0.2 st per rnd"), Lean::Told(0.2));
        assert_eq!(told("Sc: yarn under"), Lean::Told(0.0));
        assert_eq!(told("Terms: US"), Lean::default());
    }
}
