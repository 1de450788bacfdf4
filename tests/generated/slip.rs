//! One number of a round changed, so that its arithmetic no longer comes out.

use crate::model::{Hook, Lift, Move, Start, Toy};
use crate::spell::Slip;

/// The slip number `which` of all that the toy has room for.
pub fn of(toy: &Toy, which: usize, up: bool) -> Option<Slip> {
    let mut slips = Vec::new();
    for (piece, of) in toy.pieces.iter().enumerate() {
        for (round, pair) in of.rounds.windows(2).enumerate() {
            let (below, round_of) = (&pair[0], &pair[1]);
            // Whether chains count as a stitch is up to custom; a part's edge matters to every join.
            let open = matches!(round_of.lift, Lift::Apart(2..) | Lift::Counts);
            if open || of.make == 2 && of.name == "Fin" {
                continue;
            }
            let stated = round_of.count();
            let slip = |moves: Vec<Move>, stated| Slip {
                piece,
                round: round + 1,
                moves,
                stated,
            };
            let all = round_of.made.len() as u32;
            let heads = all - round_of.made.iter().filter(|made| made.bridge).count() as u32;
            let wrong = changed(stated, up);
            if wrong != all && wrong != heads {
                slips.push(slip(round_of.moves.clone(), wrong));
            }
            for number in 0..numbers(&round_of.moves) {
                let mut moves = round_of.moves.clone();
                change(&mut moves, number, up);
                // The chains at the start stand for a stitch that is not counted in the words.
                if round_of.lift == Lift::Counts && moves.first() != round_of.moves.first() {
                    continue;
                }
                let turned = of.start == Start::Row;
                let hook = Hook::new(&below.made, turned, round_of.loops, 'A');
                let (worked, _) = hook.run(&moves, round_of.lift);
                let chains = worked.made.iter().filter(|made| made.bridge).count() as u32;
                let all = worked.made.len() as u32;
                let stays = stated == all || stated == all - chains;
                if !(worked.fits && stays) {
                    slips.push(slip(moves, stated));
                }
            }
        }
    }
    if slips.is_empty() {
        return None;
    }
    Some(slips.swap_remove(which % slips.len()))
}

fn changed(number: u32, up: bool) -> u32 {
    if up || number < 3 {
        number + 1
    } else {
        number - 1
    }
}

fn numbers(moves: &[Move]) -> usize {
    let inner = |one: &Move| match one {
        Move::Repeat { moves, .. } => numbers(moves),
        _ => 0,
    };
    moves.iter().map(|one| 1 + inner(one)).sum()
}

/// Changes the number with this place in the order of the words.
fn change(moves: &mut [Move], mut number: usize, up: bool) {
    for one in moves {
        let inner = match one {
            Move::Repeat { moves, .. } => numbers(moves),
            _ => 0,
        };
        if number > inner {
            number -= inner + 1;
            continue;
        }
        match one {
            Move::Repeat { moves, .. } if number < inner => change(moves, number, up),
            Move::Repeat { times, .. } => *times = changed(*times, up),
            Move::Plain { n, .. }
            | Move::Post { n, .. }
            | Move::Join { n, .. }
            | Move::Inc { n, .. }
            | Move::Dec { n, .. } => *n = changed(*n, up),
            Move::Net { skip, .. } => *skip += 1,
            Move::InSpace { each, .. } => *each = changed(*each, up),
            Move::EachAndChains { .. } | Move::Yarn(_) => {}
        }
        return;
    }
}
