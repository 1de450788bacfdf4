//! Valid patterns from dice.

use crate::dice::Dice;
use crate::model::{Hook, Kind, Lift, Loops, Made, Move, Piece, Round, Start, Toy, first_round};

/// Stitches of the widest round.
const WIDEST: u32 = 72;
const NAMES: [&str; 4] = ["Buoy", "Hull", "Lantern", "Mussel"];

pub fn toy(dice: &mut Dice) -> Toy {
    let yarns = dice.pick(&[0, 0, 2, 3]);
    let mut pieces = Vec::new();
    let part = dice.once_in(4).then(|| part(dice));
    if let Some(part) = &part {
        pieces.push(part.clone());
    }
    let bodies = dice.between(1, 2) as usize;
    for name in &NAMES[..bodies] {
        pieces.push(piece(dice, name, yarns));
    }
    if let Some(part) = part {
        pieces.push(body_with(dice, &part));
    }
    Toy { yarns, pieces }
}

/// A flat part of two layers.
fn part(dice: &mut Dice) -> Piece {
    let width = dice.between(2, 5);
    let made = first_round(Start::MagicRing, Kind::Sc, 2 * width, Lift::None, 'A');
    let mut piece = Piece {
        name: "Fin",
        make: 2,
        start: Start::MagicRing,
        joined: false,
        rounds: vec![opening(vec![plain(2 * width)], made)],
    };
    let times = dice.between(1, 4);
    push(
        &mut piece,
        Round {
            times,
            ..even(2 * width)
        },
        &mut 'A',
    );
    piece
}

/// A piece that both copies of the part are joined to.
fn body_with(dice: &mut Dice, part: &Piece) -> Piece {
    let n = part.rounds[1].count() / 2;
    let gaps = [dice.between(1, 6), dice.between(1, 6), dice.between(0, 6)];
    let count = 2 * n + gaps.iter().sum::<u32>();
    let made = first_round(Start::MagicRing, Kind::Sc, count, Lift::None, 'A');
    let mut piece = Piece {
        name: "Body",
        make: 1,
        start: Start::MagicRing,
        joined: false,
        rounds: vec![opening(vec![plain(count)], made)],
    };
    let mut moves = vec![
        plain(gaps[0]),
        Move::Join { copy: 1, n },
        plain(gaps[1]),
        Move::Join { copy: 2, n },
    ];
    if gaps[2] > 0 {
        moves.push(plain(gaps[2]));
    }
    push(&mut piece, spiral(moves), &mut 'A');
    push(&mut piece, even(count), &mut 'A');
    piece
}

fn piece(dice: &mut Dice, name: &'static str, yarns: usize) -> Piece {
    let start = dice.pick(&[
        Start::MagicRing,
        Start::MagicRing,
        Start::TwoChains,
        Start::Tube,
        Start::Row,
    ]);
    let joined = start != Start::Row && dice.once_in(3);
    let kind = if start == Start::MagicRing && joined {
        dice.pick(&[Kind::Sc, Kind::Hdc, Kind::Dc])
    } else {
        Kind::Sc
    };
    let lift = if start == Start::Tube || start == Start::TwoChains || !joined {
        Lift::None
    } else {
        lift(kind)
    };
    let count = match start {
        Start::Tube => dice.between(6, 30),
        _ => dice.between(4, 12),
    };
    let mut yarn = 'A';
    let moves = vec![Move::Plain { kind, n: count }];
    let made = first_round(start, kind, count, lift, yarn);
    let mut piece = Piece {
        name,
        make: dice.pick(&[1, 1, 2]),
        start,
        joined,
        rounds: vec![Round {
            lift,
            ..opening(moves, made)
        }],
    };
    for _ in 0..dice.between(1, 7) {
        let below = &piece.rounds[piece.rounds.len() - 1];
        let round = next_round(dice, below, &piece, yarns, yarn);
        push(&mut piece, round, &mut yarn);
    }
    piece
}

fn plain(n: u32) -> Move {
    Move::Plain { kind: Kind::Sc, n }
}

/// A first round, worked already.
fn opening(moves: Vec<Move>, made: Vec<Made>) -> Round {
    Round {
        made,
        ..spiral(moves)
    }
}

fn spiral(moves: Vec<Move>) -> Round {
    Round {
        moves,
        loops: Loops::Both,
        lift: Lift::None,
        times: 1,
        made: Vec::new(),
        counts_chains: false,
    }
}

fn even(count: u32) -> Round {
    spiral(vec![plain(count)])
}

fn lift(kind: Kind) -> Lift {
    match kind {
        Kind::Sc => Lift::Apart(1),
        Kind::Hdc => Lift::Apart(2),
        Kind::Dc => Lift::Counts,
    }
}

/// Works a round onto the piece.
fn push(piece: &mut Piece, mut round: Round, yarn: &mut char) {
    let below = piece.rounds.last_mut().expect("a first round");
    if round
        .moves
        .iter()
        .any(|one| matches!(one, Move::EachAndChains { .. }))
    {
        below.counts_chains = true;
    }
    let turned = piece.start == Start::Row;
    let (worked, after) =
        Hook::new(&below.made, turned, round.loops, *yarn).run(&round.moves, round.lift);
    assert!(worked.fits, "a generated round does not fit: {round:?}");
    round.made = worked.made;
    *yarn = after;
    piece.rounds.push(round);
}

fn next_round(dice: &mut Dice, below: &Round, piece: &Piece, yarns: usize, yarn: char) -> Round {
    let spaces = below.spaces();
    let count = below.made.iter().filter(|made| !made.bridge).count() as u32;
    let is_row = piece.start == Start::Row;
    if spaces > 0 {
        let moves = onto_net(dice, below, count);
        return Round {
            lift: if piece.joined {
                Lift::Apart(1)
            } else {
                Lift::None
            },
            ..spiral(moves)
        };
    }
    // Loops and posts of a starting chain, and lifting chains of rows, are another story.
    let on_chain = below.made.iter().any(|made| made.kind == "ch");
    let kind = if is_row {
        Kind::Sc
    } else {
        dice.pick(&[Kind::Sc, Kind::Sc, Kind::Sc, Kind::Hdc, Kind::Dc])
    };
    let mut moves = match dice.roll(10) {
        0 | 1 => vec![Move::Plain { kind, n: count }],
        2 => increases(dice, kind, count),
        3 => decreases(dice, kind, count),
        4 => nested(dice, kind, count),
        5 | 6 => uneven(dice, kind, count),
        7 if !is_row => net(dice, kind, count),
        8 if !on_chain && !is_row => posts(dice, count),
        9 if yarns > 0 => stripes(dice, kind, count, yarns),
        _ => increases(dice, kind, count),
    };
    let below_is_worked = below.made.iter().any(|made| made.kind != "ch");
    let lift = match moves.first_mut() {
        _ if is_row => Lift::Apart(1),
        _ if !piece.joined => Lift::None,
        // The chains that count are put in place of a plain dc at the start.
        Some(Move::Plain { kind: Kind::Dc, .. }) if below_is_worked => Lift::Counts,
        Some(Move::Plain { kind, .. } | Move::Inc { kind, .. } | Move::Dec { kind, .. })
            if *kind != Kind::Dc =>
        {
            lift(*kind)
        }
        _ => Lift::Apart(if kind == Kind::Sc { 1 } else { 2 }),
    };
    if moves.len() == 1 && yarns > 0 && lift != Lift::Counts && dice.once_in(3) {
        let other = (b'A' + dice.roll(yarns) as u8) as char;
        if other != yarn {
            moves.insert(0, Move::Yarn(other));
        }
    }
    let is_even = matches!(moves[..], [Move::Plain { .. }]);
    let takes_loops = !on_chain && !is_row && has_no_chains_or_posts(&moves);
    Round {
        lift,
        loops: if takes_loops && dice.once_in(4) {
            dice.pick(&[Loops::Back, Loops::Front])
        } else {
            Loops::Both
        },
        times: if is_even && lift != Lift::Counts {
            dice.pick(&[1, 1, 2, 3, 4])
        } else {
            1
        },
        counts_chains: dice.once_in(3),
        ..spiral(moves)
    }
}

fn has_no_chains_or_posts(moves: &[Move]) -> bool {
    moves.iter().all(|one| match one {
        Move::Net { .. } | Move::Post { .. } => false,
        Move::Repeat { moves, .. } => has_no_chains_or_posts(moves),
        _ => true,
    })
}

/// The numbers of repeats that a round of so many stitches parts into, each of `least` or more.
fn parts_of(count: u32, least: u32) -> Vec<u32> {
    (2..=count / least)
        .filter(|n| count.is_multiple_of(*n))
        .collect()
}

fn repeat(moves: Vec<Move>, times: u32) -> Vec<Move> {
    match times {
        1 => moves,
        _ => vec![Move::Repeat { moves, times }],
    }
}

fn increases(dice: &mut Dice, kind: Kind, count: u32) -> Vec<Move> {
    let times = parts_of(count, 1);
    let size = if dice.once_in(5) { 3 } else { 2 };
    if times.is_empty() || count * size > WIDEST {
        return vec![Move::Plain { kind, n: count }];
    }
    let times = dice.pick(&times);
    let group = count / times;
    if group == 1 {
        return vec![Move::Inc {
            kind,
            size,
            n: count,
        }];
    }
    around_it(dice, kind, Move::Inc { kind, size, n: 1 }, group - 1, times)
}

fn decreases(dice: &mut Dice, kind: Kind, count: u32) -> Vec<Move> {
    let size = if dice.once_in(6) { 3 } else { 2 };
    let times = parts_of(count, size);
    if times.is_empty() || count < 4 * size {
        return vec![Move::Plain { kind, n: count }];
    }
    let times = dice.pick(&times);
    let group = count / times;
    if group == size {
        return vec![Move::Dec {
            kind,
            size,
            n: times,
        }];
    }
    around_it(
        dice,
        kind,
        Move::Dec { kind, size, n: 1 },
        group - size,
        times,
    )
}

/// A change of one place with plain stitches before it, behind it or on both sides, so many times.
fn around_it(dice: &mut Dice, kind: Kind, change: Move, rest: u32, times: u32) -> Vec<Move> {
    let before = match dice.roll(4) {
        0 | 1 => rest,
        2 => 0,
        _ => dice.between(0, rest),
    };
    let mut moves = Vec::new();
    for (n, one) in [(before, Some(change)), (rest - before, None)] {
        if n > 0 {
            moves.push(Move::Plain { kind, n });
        }
        moves.extend(one);
    }
    repeat(moves, times)
}

/// `[(a, inc) x k, b] x r`, or a change and plain stitches where that does not part evenly.
fn nested(dice: &mut Dice, kind: Kind, count: u32) -> Vec<Move> {
    let outer: Vec<u32> = parts_of(count, 5);
    if outer.is_empty() || count > WIDEST / 2 {
        return uneven(dice, kind, count);
    }
    let times = dice.pick(&outer);
    let group = count / times;
    let a = dice.between(1, (group / 2 - 1).min(3));
    let k = dice.between(2, (group / (a + 1)).max(2));
    let mut moves = vec![Move::Repeat {
        moves: vec![
            Move::Plain { kind, n: a },
            Move::Inc {
                kind,
                size: 2,
                n: 1,
            },
        ],
        times: k,
    }];
    let rest = group - k * (a + 1);
    if rest > 0 {
        moves.push(Move::Plain { kind, n: rest });
    }
    repeat(moves, times)
}

/// A list without a rule, perhaps with a repeat in its middle.
fn uneven(dice: &mut Dice, kind: Kind, count: u32) -> Vec<Move> {
    let mut moves: Vec<Move> = Vec::new();
    let mut left = count;
    while left > 0 {
        let was_plain = matches!(moves.last(), Some(Move::Plain { .. }));
        let n = dice.between(1, left.min(8));
        let choice = dice.roll(if count < WIDEST / 2 { 5 } else { 2 });
        let (one, used) = match choice {
            0 if !was_plain => (Move::Plain { kind, n }, n),
            0 | 1 if left >= 2 && count >= 6 && dice.once_in(2) => (
                Move::Dec {
                    kind,
                    size: 2,
                    n: 1,
                },
                2,
            ),
            2 => (
                Move::Inc {
                    kind,
                    size: 2,
                    n: n.min(3),
                },
                n.min(3),
            ),
            3 => (
                Move::Inc {
                    kind,
                    size: 3,
                    n: 1,
                },
                1,
            ),
            4 if left >= 6 => {
                let moves = vec![
                    Move::Plain { kind, n: 2 },
                    Move::Inc {
                        kind,
                        size: 2,
                        n: 1,
                    },
                ];
                (Move::Repeat { moves, times: 2 }, 6)
            }
            _ if was_plain => (
                Move::Inc {
                    kind,
                    size: 2,
                    n: 1,
                },
                1,
            ),
            _ => (Move::Plain { kind, n }, n),
        };
        moves.push(one);
        left -= used;
    }
    moves
}

fn net(dice: &mut Dice, kind: Kind, count: u32) -> Vec<Move> {
    let skips: Vec<u32> = (0..=3)
        .filter(|skip| count.is_multiple_of(skip + 1))
        .collect();
    let skip = dice.pick(&skips);
    let chains = dice.between(1, 4);
    let moves = vec![Move::Net { kind, chains, skip }];
    repeat(moves, count / (skip + 1))
}

fn onto_net(dice: &mut Dice, below: &Round, count: u32) -> Vec<Move> {
    let kind = dice.pick(&[Kind::Sc, Kind::Hdc]);
    let spaces = below.spaces();
    let chains = below.made.iter().filter(|made| made.bridge).count() as u32 / spaces;
    let each = dice.between(1, 3);
    let in_space = Move::InSpace { kind, each, chains };
    let moves = match dice.roll(3) {
        0 => vec![in_space],
        1 if spaces == count => vec![Move::Plain { kind, n: 1 }, in_space],
        _ if below.made.len() as u32 <= WIDEST => return vec![Move::EachAndChains { kind }],
        _ => vec![in_space],
    };
    repeat(moves, spaces)
}

fn posts(dice: &mut Dice, count: u32) -> Vec<Move> {
    let kind = dice.pick(&[Kind::Dc, Kind::Sc]);
    if count.is_multiple_of(2) && dice.once_in(2) {
        let both = [true, false].map(|front| Move::Post { front, kind, n: 1 });
        return repeat(both.to_vec(), count / 2);
    }
    let front = dice.once_in(2);
    vec![Move::Post {
        front,
        kind,
        n: count,
    }]
}

fn stripes(dice: &mut Dice, kind: Kind, count: u32, yarns: usize) -> Vec<Move> {
    let mut moves = Vec::new();
    let mut left = count;
    let mut yarn = dice.roll(yarns);
    while left > 0 {
        let n = dice.between(1, left);
        moves.push(Move::Yarn((b'A' + yarn as u8) as char));
        moves.push(Move::Plain { kind, n });
        left -= n;
        yarn = (yarn + 1) % yarns;
    }
    moves
}
