//! Two numbers of one round that slipped together: a count and the number of times, or one of them and the total that was added up from it.

use super::numbers::{Number, numbers};
use super::slip::{body, round_at};
use super::trial::{Key, Trials};
use crate::fabric::Fabric;
use crate::pattern::Pattern;
use crate::source::{Mend, Source, Span, limits};

/// How far from what stands there each is looked for.
const NEAR: u32 = 2;
/// Most trials for one problem.
const MOST_TRIALS: usize = 96;
/// Numbers of a round beyond which there are too many pairs to tell anything.
const MOST_NUMBERS: usize = 6;

/// Changes of two numbers in the round at a place that solve the problem and make no other. Only those of the smallest size
/// that comes out at all are offered: of two numbers, many others come out somehow.
pub(super) fn mends(trials: &mut Trials<'_>, pattern: &Pattern, problem: Key) -> Vec<Mend> {
    let Some(round) = round_at(pattern, problem.1) else {
        return Vec::new();
    };
    let numbers = numbers(trials.source, body(round));
    if !(2..=MOST_NUMBERS).contains(&numbers.len()) || trials.left() < MOST_TRIALS {
        return Vec::new();
    }
    let total = round.stated.and_then(|stated| {
        numbers
            .iter()
            .find(|number| stated.span.start <= number.span.start)
    });
    let worked = numbers.len()
        - total.map_or(0, |total| {
            numbers
                .iter()
                .filter(|n| n.span.start >= total.span.start)
                .count()
        });
    let (worked, line) = (&numbers[..worked], round.span);

    // A change of one number, and of another that is worked or of the total, which then follows from it.
    let mut changes: Vec<Vec<(&Number, u32)>> = Vec::new();
    for (place, first) in worked.iter().enumerate() {
        for one in near(first) {
            if total.is_some() {
                changes.push(vec![(first, one)]);
            }
            for second in &worked[place + 1..] {
                changes.extend(near(second).map(|other| vec![(first, one), (second, other)]));
            }
        }
    }
    changes.sort_by_key(|change| size(change));
    let mut found: Vec<(u32, Mend)> = Vec::new();
    let mut tried = 0;
    for mut change in changes {
        let larger = found
            .first()
            .is_some_and(|(smallest, _)| *smallest < size(&change));
        if larger || tried >= MOST_TRIALS || found.len() >= limits::MENDS_OFFERED {
            break;
        }
        let size = size(&change);
        if let ([_], Some(total)) = (&change[..], total) {
            tried += 1;
            let Some(changed) = trials.changed(&[mend(trials.source, &change)]) else {
                break;
            };
            let Some(made) = made_on(&changed.fabric, line) else {
                continue;
            };
            change.push((total, made));
        }
        tried += 1;
        let mend = mend(trials.source, &change);
        if trials.solves(&mend, problem) {
            found.push((size, mend));
        }
    }
    found.into_iter().map(|(_, mend)| mend).collect()
}

/// How much is changed. A total that was added up from a wrong number is one slip more, however far off it is.
fn size(change: &[(&Number, u32)]) -> u32 {
    let each = change
        .iter()
        .map(|(number, other)| number.value.abs_diff(*other));
    each.sum::<u32>() + u32::from(change.len() == 1)
}

fn near(number: &Number) -> impl Iterator<Item = u32> + use<> {
    let value = number.value;
    let near = value.saturating_sub(NEAR)..=value.saturating_add(NEAR);
    near.filter(move |&other| other != value && (1..=limits::COUNT).contains(&other))
}

/// What the last round of a line makes.
fn made_on(fabric: &Fabric, line: Span) -> Option<u32> {
    let rounds = fabric.pieces.iter().flat_map(|piece| &piece.rounds);
    rounds
        .filter(|round| round.span.start == line.start)
        .map(|round| round.count)
        .next_back()
}

/// One change of the words from the first number to the last, brackets at its ends with it.
fn mend(source: &Source, change: &[(&Number, u32)]) -> Mend {
    let text = source.text();
    let (mut start, mut end) = (change[0].0.span.start, change[0].0.span.start);
    let mut written = String::new();
    for (number, other) in change {
        written += &text[end..number.span.start];
        written += &number.written(*other);
        end = number.span.end;
    }
    if change.len() > 1 {
        if let Some(bracket) = text[..start]
            .chars()
            .next_back()
            .filter(|c| "([{".contains(*c))
        {
            start -= bracket.len_utf8();
            written.insert(0, bracket);
        }
        if let Some(bracket) = text[end..].chars().next().filter(|c| ")]}".contains(*c)) {
            end += bracket.len_utf8();
            written.push(bracket);
        }
    }
    Mend {
        span: Span::new(start, end),
        text: written,
    }
}
