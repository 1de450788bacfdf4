//! Places of several kinds worked as they come: `sc in each sc and 4 sc in each ch-4 sp around`.

use super::Hook;
use crate::pattern::{Act, Bare, Instruction, Over, Target};
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
        .any(|item| matches!(kind_of(item), Some(Target::Space(_) | Target::Corner)));
    (count > 1 && spaces).then_some(kinds)
}

/// The kind of place that an instruction goes into each of.
fn kind_of(item: &Instruction) -> Option<Target> {
    let (over, target) = match &item.act {
        Act::Work(work)
            if work.through.is_none()
                && !work.stitch.picot
                && work.stitch.height != Some(Height::Chain) =>
        {
            (work.over, work.target)
        }
        Act::Together(group) => (group.over, group.target),
        _ => return None,
    };
    let is_kind = matches!(
        target,
        Target::Next | Target::StitchOrSpace | Target::Space(_) | Target::Corner
    );
    (over == Over::Rest && is_kind).then_some(target)
}

/// An instruction for each place, worked in one of them.
pub(super) fn once(item: &Instruction, same: bool) -> Instruction {
    let mut item = item.clone();
    match &mut item.act {
        Act::Work(work) => {
            if let (Bare::Same(n), true) = (work.bare, same) {
                work.each = n;
            }
            work.over = Over::Count(1);
            work.bare = Bare::No;
        }
        Act::Together(group) => group.over = Over::Count(1),
        _ => {}
    }
    item
}

/// How well words for a kind of place fit one, which is a stitch or a space of so many chains.
fn fits(target: Target, space: Option<u32>, is_corner: bool) -> u32 {
    match (target, space) {
        (Target::Corner, _) if is_corner => 4,
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
        let corners = kinds
            .iter()
            .find(|item| kind_of(item) == Some(Target::Corner));
        if let Some(item) = corners.filter(|_| !self.below.corner_left()) {
            self.next_corner(item.span);
        }
        while let Some(space) = self.below.ahead() {
            if self.spent() {
                return;
            }
            let is_corner = self.below.at_corner();
            let best = kinds
                .iter()
                .filter_map(|item| Some((fits(kind_of(item)?, space, is_corner), item)))
                .filter(|(fit, _)| *fit > 0)
                .max_by_key(|(fit, _)| *fit);
            let before = self.below.position();
            match best {
                Some((_, item)) => self.act(&once(item, self.reading.same)),
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
