//! How much a pattern asks of its maker, by what it uses.

use std::collections::BTreeSet;

use crate::fabric::{Fabric, StepKind};
use crate::terms::{Form, Height, Into};

/// A level, easiest first. The steps are the trade's usual four; where each begins is our own judgement, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Chains and one kind of stitch, increases and decreases among them.
    Basic,
    /// More kinds of stitch, a change of yarn between rounds, parts sewn on.
    Easy,
    /// Parts joined as one goes, changes of yarn within a round, loops and posts.
    Intermediate,
    /// Several of those at once, or clusters and spikes with them.
    Complex,
}

impl Level {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Level::Basic => "Basic",
            Level::Easy => "Easy",
            Level::Intermediate => "Intermediate",
            Level::Complex => "Complex",
        }
    }
}

/// The level of a pattern, and what makes it so, in words.
pub fn level(fabric: &Fabric) -> (Level, Vec<&'static str>) {
    let mut easy: BTreeSet<&'static str> = BTreeSet::new();
    let mut harder: BTreeSet<&'static str> = BTreeSet::new();
    let mut heights: BTreeSet<Height> = BTreeSet::new();
    for piece in &fabric.pieces {
        for stitch in &piece.stitches {
            if !matches!(stitch.kind.height, Height::Chain | Height::Slip) {
                heights.insert(stitch.kind.height);
            }
            match stitch.kind.form {
                Form::Bobble(_) | Form::Popcorn(_) | Form::Puff(_) => {
                    harder.insert("stitches that are drawn together at the top");
                }
                Form::Spike => {
                    harder.insert("spike stitches");
                }
                Form::Reverse => {
                    harder.insert("a round worked backwards");
                }
                Form::Loop => {
                    harder.insert("loop stitches");
                }
                _ => {}
            }
            match stitch.into {
                Into::FrontPost | Into::BackPost => {
                    harder.insert("stitches round the post");
                }
                Into::FrontLoop | Into::BackLoop => {
                    easy.insert("stitches into one loop");
                }
                _ => {}
            }
        }
        if !piece.joins.is_empty() {
            harder.insert("parts that are joined as you go");
        }
        if piece.steps.iter().any(|step| step.kind == StepKind::Sew) {
            easy.insert("parts that are sewn on");
        }
        for round in &piece.rounds {
            let mut yarns = piece.round_stitches(round).map(|(_, stitch)| stitch.yarn);
            let first = yarns.next().flatten();
            if yarns.any(|yarn| yarn != first) {
                harder.insert("changes of yarn within a round");
            }
        }
        let yarns: BTreeSet<_> = piece.stitches.iter().map(|stitch| stitch.yarn).collect();
        if yarns.len() > 1 {
            easy.insert("changes of yarn");
        }
    }
    if heights.len() > 1 {
        easy.insert("stitches of several heights");
    }
    if harder.contains("changes of yarn within a round") {
        easy.remove("changes of yarn");
    }
    let level = match (easy.len(), harder.len()) {
        (0, 0) => Level::Basic,
        (_, 0) => Level::Easy,
        (_, 1 | 2) => Level::Intermediate,
        _ => Level::Complex,
    };
    (level, harder.into_iter().chain(easy).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Source;

    fn of(text: &str) -> Level {
        let (pattern, _) = crate::pattern::read(&Source::new("t", text));
        level(&crate::fabric::work(&pattern).0).0
    }

    #[test]
    fn what_is_used_makes_the_level() {
        let ball = "## Ball\nRnd 1: 6 sc in magic ring (6)\nRnd 2: inc x 6 (12)\n";
        assert_eq!(of(ball), Level::Basic);
        assert_eq!(
            of(&format!("{ball}Rnd 3: hdc in each st around (12)\n")),
            Level::Easy
        );
        assert_eq!(
            of(&format!("{ball}Rnd 3: FPdc around each st (12)\n")),
            Level::Intermediate
        );
    }
}
