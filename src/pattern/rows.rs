//! Rows that no label calls so, and rounds that are called rows: `R2: ch 1, sc across, turn`, where `R` may be a round's or a row's.

use std::collections::BTreeSet;

use super::lex::Token;
use super::tree::*;

/// True if the words of a label leave open whether it is a round's or a row's: `R3`, `R5-R8`, `3.`
pub(super) fn is_open(label: &str) -> bool {
    let mut words = label
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty());
    words.all(|word| matches!(word, "R" | "r" | "Rs" | "rs"))
}

/// `Now work to and fro`, `back and forth in rows`: what follows are rows, if their labels leave it open.
pub(super) fn says_to_and_fro(tokens: &[Token<'_>]) -> bool {
    tokens.windows(3).any(|three| {
        let [first, and, last] = three else {
            return false;
        };
        and.is("and") && (first.is("to") && last.is("fro") || first.is("back") && last.is("forth"))
    })
}

/// Makes rows of a piece's rounds where their labels leave it open and most of them turn, with no ring and no join that closes one.
pub(super) fn settle(piece: &mut Piece, text: &str) {
    let mut rounds = 0;
    let mut turns = 0;
    let mut turned = BTreeSet::new();
    for line in &piece.lines {
        let acts = match line {
            Line::Round(round) => {
                rounds += 1;
                if turns_back(round) || is_as(round, &turned) {
                    turns += 1;
                    turned.extend(round.label.numbers.iter().map(|run| run.1));
                }
                if round.label.is_row || !is_open(&text[round.label.span.range()]) {
                    return;
                }
                &round.body
            }
            Line::Between(between) => &between.acts,
            _ => continue,
        };
        if acts.iter().any(goes_round) {
            return;
        }
    }
    let goes_along_chain = || {
        let acts = piece.lines.iter().filter_map(|line| match line {
            Line::Round(round) => Some(&round.body),
            Line::Between(between) => Some(&between.acts),
            _ => None,
        });
        let items: Vec<Instruction> = acts.flatten().cloned().collect();
        is_along_a_chain(&items)
    };
    let is_one_row = rounds == 1 && goes_along_chain();
    if !is_one_row && (turns == 0 || turns * 2 < rounds) {
        return;
    }
    for line in &mut piece.lines {
        if let Line::Round(round) = line {
            round.label.is_row = true;
        }
    }
}

/// Makes rounds of what is called rows from a ring on, or from the legs on that a round joins, until one is turned.
pub(super) fn settle_rounds(piece: &mut Piece) {
    const FEWEST: usize = 2;
    let rounds = || {
        piece.lines.iter().filter_map(|line| match line {
            Line::Round(round) => Some(round),
            _ => None,
        })
    };
    let starts_round = rounds().next().is_some_and(|first| {
        first.label.is_row
            && first
                .body
                .iter()
                .any(|item| goes_round(item) || is_of_parts(item))
    });
    let unturned = rounds().take_while(|round| !turns_back(round)).count();
    if !starts_round || unturned < FEWEST {
        return;
    }
    let rounds = piece.lines.iter_mut().filter_map(|line| match line {
        Line::Round(round) => Some(round),
        _ => None,
    });
    for round in rounds.take(unturned) {
        round.label.is_row = false;
    }
}

fn is_of_parts(item: &Instruction) -> bool {
    matches!(&item.act, Act::Work(work) if work.target == Target::Part)
}

/// True for stitches from the hook along a chain, on one side of it.
fn is_along_a_chain(items: &[Instruction]) -> bool {
    let from_hook = |item: &Instruction| matches!(&item.act, Act::Work(work) if matches!(work.target, Target::FromHook(_)));
    // `3 sc in last ch` goes round the end.
    let single = |item: &Instruction| match &item.act {
        Act::Work(work) => work.target != Target::Last || work.each == 1,
        act => !act.is_worked(),
    };
    let longer = items
        .iter()
        .any(|item| item.act.is_chain() && !item.act.is_chain_of(2));
    longer
        && items.iter().any(from_hook)
        && items.iter().all(single)
        && !items.iter().any(|item| item.act == Act::OtherSide)
}

/// `as Row 2`, which is turned.
fn is_as(round: &Round, turned: &BTreeSet<u32>) -> bool {
    let points_to_one = |item: &Instruction| match item.act {
        Act::AsRounds { last, .. } => turned.contains(&last),
        _ => false,
    };
    round.body.iter().any(points_to_one)
}

fn turns_back(round: &Round) -> bool {
    let mut acts = round.body.iter().chain(&round.ending);
    acts.any(|item| item.act == Act::Turn)
}

/// True for a ring to work into, and for what joins a round or a chain to one.
fn goes_round(item: &Instruction) -> bool {
    match &item.act {
        Act::MagicRing | Act::Close => true,
        Act::Work(work) => {
            matches!(
                work.target,
                Target::NewRing | Target::Ring | Target::FirstChain
            )
        }
        Act::Together(group) => matches!(group.target, Target::NewRing | Target::Ring),
        _ => false,
    }
}
