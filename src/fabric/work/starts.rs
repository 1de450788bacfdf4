//! What the first words of a round make of its start.

use crate::fabric::hook::StartChain;
use crate::pattern::{Act, Instruction, Target, Times, Work};
use crate::terms::Height;

fn goes_through_a_part(work: &Work) -> bool {
    work.target == Target::Next && work.through.as_ref().is_some_and(|t| t.part.is_some())
}

pub(super) fn starts_with_chain(items: &[Instruction]) -> bool {
    for item in items {
        match &item.act {
            Act::Work(work) if work.stitch.height == Some(Height::Chain) => return work.each > 1,
            // Slip stitches may move the hook along first.
            Act::Work(work) if work.stitch.height == Some(Height::Slip) => {}
            Act::Work(_) | Act::Together(_) | Act::Repeat(_) => return uses_hook(items),
            _ => {}
        }
    }
    false
}

/// What becomes of a chain at the start of a round, by the words after it.
pub(super) fn start_chain(items: &[Instruction]) -> StartChain {
    let mut acts = Vec::new();
    first_acts(items, &mut acts);
    let is_chain =
        |act: &&Act| matches!(act, Act::Work(w) if w.stitch.height == Some(Height::Chain));
    let Some(at) = acts.iter().position(is_chain) else {
        return StartChain::Unclear;
    };
    let counts = items
        .iter()
        .any(|item| matches!(item.act, Act::StartCounts { counts: true, .. }));
    if opens_repeat_with_chain(items) {
        return StartChain::Bridges;
    }
    // Into loops that are there already.
    if items
        .iter()
        .any(|item| matches!(item.act, Act::IntoRound { .. }))
    {
        return StartChain::BeforeRing;
    }
    let into_ring = |target: Target| matches!(target, Target::NewRing | Target::Ring);
    match acts.get(at + 1) {
        Some(Act::Skip { target, .. }) if *target != Target::First && !counts => {
            StartChain::Bridges
        }
        // `ch 4, sc in 2nd ch from hook, …`: a horn.
        Some(Act::Work(work)) if matches!(work.target, Target::Part | Target::FromHook(_)) => {
            StartChain::Bridges
        }
        Some(Act::MagicRing) => StartChain::BeforeRing,
        // Two copies of a part are joined all round.
        Some(Act::Work(work)) if into_ring(work.target) || goes_through_a_part(work) => {
            StartChain::BeforeRing
        }
        Some(Act::Together(group)) if into_ring(group.target) => StartChain::BeforeRing,
        _ => StartChain::Unclear,
    }
}

/// Chains at the hook that custom passes over, unsaid, where stitches are worked along a starting chain; none where the words
/// name the chain that is worked into (common practice, no source).
pub(super) fn turning_chains(first_on_chain: Option<&Work>) -> usize {
    match first_on_chain.map(|work| work.stitch.height) {
        Some(None | Some(Height::Single)) => 1,
        Some(Some(Height::HalfDouble)) => 2,
        Some(Some(Height::Double)) => 3,
        _ => 0,
    }
}

/// The first stitch after the chains at the start, if it goes along what is there and names no ring, space or chain of its own.
pub(super) fn first_on_chain(items: &[Instruction]) -> Option<&Work> {
    let mut acts = Vec::new();
    first_acts(items, &mut acts);
    // Chains, and the slip stitch that closes them to a ring.
    let begins = |act: &&Act| match act {
        Act::Work(work) => match work.stitch.height {
            Some(Height::Chain) => true,
            Some(Height::Slip) => !matches!(work.target, Target::FromHook(_)),
            _ => false,
        },
        act => **act == Act::Close,
    };
    let mut rest = acts.into_iter().skip_while(begins);
    match rest.next()? {
        Act::Work(work)
            if matches!(
                work.target,
                Target::Next | Target::NextChain | Target::StitchOrChain
            ) =>
        {
            Some(work)
        }
        _ => None,
    }
}

/// `(ch 5, sl st in next st) around`: the chain is a loop each time, the first time too.
fn opens_repeat_with_chain(items: &[Instruction]) -> bool {
    let first = items.iter().find(|item| item.act.is_worked());
    let Some(Act::Repeat(repeat)) = first.map(|item| &item.act) else {
        return false;
    };
    let mut inner = repeat.items.iter().filter(|item| item.act.is_worked());
    let is = |item: Option<&Instruction>, height| matches!(item.map(|item| &item.act), Some(Act::Work(work)) if work.stitch.height == Some(height));
    repeat.times != Times::Exactly(1)
        && is(inner.next(), Height::Chain)
        && is(inner.next(), Height::Slip)
}

/// The first few things that are worked, those in repeats among them.
fn first_acts<'i>(items: &'i [Instruction], acts: &mut Vec<&'i Act>) {
    const ENOUGH: usize = 8;
    for item in items {
        if acts.len() >= ENOUGH {
            return;
        }
        match &item.act {
            Act::Repeat(repeat) => first_acts(&repeat.items, acts),
            Act::StartCounts { .. } | Act::Hold(_) | Act::Yarn(_) | Act::Step(_) | Act::Turn => {}
            act => acts.push(act),
        }
    }
}

fn uses_hook(items: &[Instruction]) -> bool {
    items.iter().any(
        |item| matches!(&item.act, Act::Work(work) if matches!(work.target, Target::FromHook(_))),
    )
}

pub(super) fn opens_with_turn(items: &[Instruction]) -> bool {
    for item in items {
        match &item.act {
            Act::Turn => return true,
            Act::Work(work) if work.stitch.height == Some(Height::Chain) => {}
            Act::Hold(_) | Act::Yarn(_) | Act::Step(_) | Act::StartCounts { .. } => {}
            _ => return false,
        }
    }
    false
}
