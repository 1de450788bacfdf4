//! A round's instructions as they were taken: doubts decided, heights filled in, forms that mean the same made one.

use super::own::OwnStitches;
use crate::fabric::{Piece, Reading};
use crate::pattern::{
    Act, Bare, Group, Instruction, Over, Repeat, Sharing, StitchWord, Target, Times, Work,
    list_around, start_of_repeat,
};
use crate::source::Span;
use crate::terms::{Form, Height};

/// What is known of a round besides its words.
pub(super) struct Known<'a> {
    pub piece: &'a Piece,
    /// Place of its first round in the piece, if it was worked.
    pub round: Option<usize>,
    pub reading: Reading,
    /// The height that the rounds before hand down.
    pub height: Height,
    /// The pattern's own stitches, which are written under their names.
    pub own: &'a OwnStitches<'a>,
}

impl Known<'_> {
    /// How many stitches of the round these words ask for.
    fn made_by(&self, span: Span) -> u32 {
        let Some(round) = self.round.and_then(|at| self.piece.rounds.get(at)) else {
            return 0;
        };
        let of_span = self
            .piece
            .round_stitches(round)
            .filter(|(_, stitch)| stitch.span == span);
        of_span.count() as u32
    }

    /// How often a repeat of unsaid length was worked; `None` where its words do not tell.
    fn times(&self, repeat: &Repeat) -> Option<u32> {
        repeat.items.iter().find_map(|item| {
            let Act::Work(work) = &item.act else {
                return None;
            };
            let Over::Count(n) = work.over else {
                return None;
            };
            let alone = repeat.items.iter().filter(|i| i.span == item.span).count() == 1;
            let per_time = work.each * n;
            (alone && per_time > 0 && !work.stitch.picot)
                .then(|| self.made_by(item.span) / per_time)
        })
    }
}

/// The list as it was taken.
pub(super) fn settled(items: &[Instruction], known: &Known<'_>) -> Vec<Instruction> {
    let mut settled = Vec::new();
    let of_list =
        |item: &Instruction| matches!(&item.act, Act::Work(work) if work.bare == Bare::List);
    let list = known
        .reading
        .around
        .then(|| items.iter().position(of_list))
        .flatten();
    for (at, item) in items.iter().enumerate() {
        if let Some(end) = list.filter(|&end| at <= end)
            && at >= start_of_repeat(&items[..=end])
        {
            if at == end {
                let around = list_around(&items[start_of_repeat(&items[..=end])..=end]);
                let goes_on = items[at + 1..].iter().any(|item| item.act.is_worked());
                settle(&around, known, goes_on, &mut settled);
            }
            continue;
        }
        let goes_on = items[at + 1..].iter().any(|item| item.act.is_worked());
        settle(item, known, goes_on, &mut settled);
    }
    settled
}

/// The list of a whole round as it was taken.
pub(super) fn settled_round(items: &[Instruction], known: &Known<'_>) -> Vec<Instruction> {
    let mut settled = settled(items, known);
    first_is_next(&mut settled);
    settled
}

/// `sc in first st` that opens a round is `sc`.
fn first_is_next(items: &mut [Instruction]) {
    let opens = items.iter_mut().find(|item| item.act.is_worked());
    match opens.map(|item| &mut item.act) {
        Some(Act::Work(work)) if work.target == Target::First && work.over == Over::Count(1) => {
            work.target = Target::Next;
        }
        Some(Act::Repeat(repeat)) => first_is_next(&mut repeat.items),
        _ => {}
    }
}

/// `(… around) x 3` is `(…) x 3`: its first time goes all the way round.
fn one_repeat(items: Vec<Instruction>) -> Vec<Instruction> {
    match <[Instruction; 1]>::try_from(items) {
        Ok(
            [
                Instruction {
                    act:
                        Act::Repeat(Repeat {
                            items,
                            times: Times::Around,
                            last_stops_after: None,
                        }),
                    ..
                },
            ],
        ) => items,
        Ok(one) => one.into(),
        Err(items) => items,
    }
}

fn settle(item: &Instruction, known: &Known<'_>, goes_on: bool, list: &mut Vec<Instruction>) {
    let mut push = |act| {
        list.push(Instruction {
            act,
            span: item.span,
        })
    };
    match &item.act {
        Act::Work(work) => {
            for work in taken(work, known) {
                if let (Target::Earlier(number), Over::Rest) = (work.target, work.over) {
                    push(Act::IntoRound {
                        number,
                        hold: work.hold,
                    });
                    push(Act::Work(Work {
                        target: Target::Next,
                        hold: None,
                        ..work
                    }));
                } else {
                    push(Act::Work(work));
                }
            }
        }
        Act::Together(group) if !known.reading.shares(group.sharing) => {
            list.extend(settled(&group.items, known));
        }
        Act::Together(group) => push(Act::Together(Group {
            items: settled(&group.items, known),
            sharing: Sharing::Sure,
            ..group.clone()
        })),
        Act::Repeat(_) if known.own.whole(item).is_some() => push(item.act.clone()),
        Act::Repeat(repeat) => settle_repeat(repeat, item.span, known, goes_on, list),
        Act::Evenly(evenly) => {
            let mut evenly = evenly.clone();
            evenly.stitch.height.get_or_insert(known.height);
            push(Act::Evenly(evenly));
        }
        act => push(act.clone()),
    }
    ring_and_stitches(list);
}

/// `magic ring, 6 sc` is `6 sc in magic ring`.
fn ring_and_stitches(list: &mut Vec<Instruction>) {
    if let [
        ..,
        Instruction {
            act: Act::MagicRing,
            ..
        },
        Instruction {
            act: Act::Work(work),
            ..
        },
    ] = list.as_mut_slice()
        && let (Over::Count(n), Target::Next, false) = (work.over, work.target, work.stitch.picot)
        && work.stitch.height != Some(Height::Chain)
    {
        work.each *= n;
        work.over = Over::Count(1);
        work.target = Target::NewRing;
        list.remove(list.len() - 2);
    }
}

/// A work without its doubts; two where `sc inc` was a stitch and an increase.
fn taken(work: &Work, known: &Known<'_>) -> Vec<Work> {
    let reading = known.reading;
    let mut taken = work.clone();
    taken.bare = Bare::No;
    taken.stitch.height.get_or_insert(known.height);
    if let Over::Whole(n) = taken.over {
        taken.over = Over::Count(n);
    }
    match (work.bare, taken.over) {
        (Bare::Apart, _) if reading.apart => {
            let plain = Work {
                each: 1,
                stitch: StitchWord::plain(taken.stitch.height.unwrap_or(known.height)),
                ..taken.clone()
            };
            taken.over = Over::Count(1);
            return vec![plain, taken];
        }
        (Bare::After, Over::Count(n)) if reading.bigger => {
            taken.over = Over::Count(1);
            match taken.stitch.form {
                Form::Together(_) => taken.stitch = taken.stitch.together(n),
                _ => taken.each = n,
            }
        }
        (Bare::Several, Over::Count(n)) if reading.many_in_one => {
            taken.over = Over::Count(1);
            taken.each = n;
        }
        (Bare::Same(n), _) if reading.same => taken.each = n,
        (Bare::InOne, _) if reading.in_one => taken.target = Target::Next,
        _ => {}
    }
    if matches!(taken.target, Target::Ring | Target::NewRing)
        && let Over::Count(n) = taken.over
    {
        taken.each = taken.each.saturating_mul(n);
        taken.over = Over::Count(1);
    }
    vec![taken]
}

fn settle_repeat(
    repeat: &Repeat,
    span: Span,
    known: &Known<'_>,
    goes_on: bool,
    list: &mut Vec<Instruction>,
) {
    let mut items = settled(&repeat.items, known);
    if matches!(repeat.times, Times::Exactly(_) | Times::Unsure(_)) {
        items = one_repeat(items);
    }
    if let (Times::Loose(n), true) = (repeat.times, known.reading.of_all) {
        // `sc, inc x 6`, taken as six times all of it.
        let from = start_of_repeat(list);
        let mut all = list.split_off(from);
        all.extend(items);
        let times = Times::Exactly(n);
        let act = Act::Repeat(Repeat {
            items: all,
            times,
            last_stops_after: None,
        });
        list.push(Instruction { act, span });
        return;
    }
    let ends_early = repeat.last_stops_after.is_some();
    let times = match repeat.times {
        Times::Unsure(n) => Times::Exactly(n + u32::from(known.reading.times_more)),
        Times::Loose(n) => Times::Exactly(n),
        Times::OrTotal(_) if known.reading.number => Times::Around,
        Times::OrTotal(n) => Times::Exactly(n),
        Times::Total(n) => Times::Exactly(if known.reading.number { n } else { 1 }),
        // `around` with more to come, or with a last time of its own, is clearer with its number.
        Times::Around if goes_on || ends_early => {
            let last = u32::from(ends_early);
            match known.times(repeat) {
                Some(n) if n > last => Times::Exactly(n),
                _ => Times::Around,
            }
        }
        times => times,
    };
    let mut push = |items: Vec<Instruction>, times| {
        if times == Times::Exactly(1) {
            list.extend(items);
            return;
        }
        let act = merged(&items, times).unwrap_or(Act::Repeat(Repeat {
            items,
            times,
            last_stops_after: None,
        }));
        list.push(Instruction { act, span });
    };
    match (repeat.last_stops_after, times) {
        (Some(stop), Times::Exactly(n)) if n > 0 => {
            let last = settled(&repeat.items[..stop.min(repeat.items.len())], known);
            if n > 1 {
                push(items, Times::Exactly(n - 1));
            }
            list.extend(last);
        }
        (Some(_), times) => list.push(Instruction {
            act: Act::Repeat(Repeat {
                items,
                times,
                last_stops_after: repeat.last_stops_after,
            }),
            span,
        }),
        (None, times) => push(items, times),
    }
}

/// `(inc) x 6` is `inc x 6`, and `(2 sc) x 3` is `6 sc`.
fn merged(items: &[Instruction], times: Times) -> Option<Act> {
    let [
        Instruction {
            act: Act::Work(work),
            ..
        },
    ] = items
    else {
        return None;
    };
    let is_chain = work.stitch.height == Some(Height::Chain) && !work.stitch.picot;
    let in_order = matches!(
        work.target,
        Target::Next | Target::NextChain | Target::Space(_)
    );
    if is_chain || !in_order || work.through.is_some() || work.stitch.foundation {
        return None;
    }
    let over = match (work.over, times) {
        (Over::Count(n), Times::Exactly(times)) => Over::Count(n.checked_mul(times)?),
        (Over::Count(1), Times::Around)
            if work.target == Target::Next && work.stitch.form == Form::Plain =>
        {
            Over::Rest
        }
        _ => return None,
    };
    Some(Act::Work(Work {
        over,
        ..work.clone()
    }))
}

/// Calls `f` on every work of a list.
pub(super) fn each_work(items: &[Instruction], f: &mut impl FnMut(&Work)) {
    for item in items {
        match &item.act {
            Act::Work(work) => f(work),
            Act::Together(group) => each_work(&group.items, f),
            Act::Repeat(repeat) => each_work(&repeat.items, f),
            _ => {}
        }
    }
}

/// Takes the loops out of every work, once they are said for all of them.
pub(super) fn without_loops(items: &mut [Instruction]) {
    for item in items {
        match &mut item.act {
            Act::Work(work) => work.hold = None,
            Act::Together(group) => without_loops(&mut group.items),
            Act::Repeat(repeat) => without_loops(&mut repeat.items),
            _ => {}
        }
    }
}
