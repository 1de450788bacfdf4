//! Places of several kinds worked as they come: `sc in each sc and 4 sc in each ch-4 sp around`.

use super::Hook;
use crate::pattern::{Act, Bare, Instruction, Over, Target, Work};
use crate::terms::Height;

/// The instructions at the front of a list that each go into every place of a kind, if some of them go into spaces.
pub(super) fn every_kind(items: &[Instruction]) -> Option<&[Instruction]> {
    let count = items
        .iter()
        .take_while(|item| kind_of(item).is_some())
        .count();
    let kinds = &items[..count];
    let spaces = kinds
        .iter()
        .any(|item| matches!(kind_of(item).map(|w| w.target), Some(Target::Space(_))));
    (count > 1 && spaces).then_some(kinds)
}

fn kind_of(item: &Instruction) -> Option<&Work> {
    match &item.act {
        Act::Work(work)
            if work.over == Over::Rest
                && work.through.is_none()
                && !work.stitch.picot
                && work.stitch.height != Some(Height::Chain)
                && matches!(
                    work.target,
                    Target::Next | Target::StitchOrSpace | Target::Space(_)
                ) =>
        {
            Some(work)
        }
        _ => None,
    }
}

/// How well words for a kind of place fit one, which is a stitch or a space of so many chains.
fn fits(target: Target, space: Option<u32>) -> u32 {
    match (target, space) {
        (Target::Space(Some(n)), Some(chains)) if n == chains => 3,
        (Target::Space(None), Some(_)) | (Target::Next, None) => 2,
        (Target::StitchOrSpace, _) => 1,
        _ => 0,
    }
}

impl Hook<'_> {
    /// Works along the round below and into each place what is said of its kind.
    pub(super) fn each_by_kind(&mut self, kinds: &[Instruction]) {
        if self.below.is_empty() {
            if let Some(first) = kinds.first() {
                self.nothing_below(first.span);
            }
            return;
        }
        while let Some(space) = self.below.ahead() {
            if self.spent() {
                return;
            }
            let best = kinds
                .iter()
                .filter_map(|item| Some((fits(kind_of(item)?.target, space), item)))
                .filter(|(fit, _)| *fit > 0)
                .max_by_key(|(fit, _)| *fit);
            let before = self.below.position();
            match best.and_then(|(_, item)| Some((kind_of(item)?, item.span))) {
                Some((work, span)) => {
                    let each = match work.bare {
                        Bare::Same(n) if self.reading.same => n,
                        _ => work.each,
                    };
                    let once = Work {
                        each,
                        over: Over::Count(1),
                        bare: Bare::No,
                        ..work.clone()
                    };
                    self.work(&once, span);
                }
                None => {
                    self.below.next_or_space();
                }
            }
            if self.below.position() == before {
                return;
            }
        }
        self.state.laces = true;
    }
}
