//! Where the stitches of a round want to be: each over the middle of what it is worked into.

/// What a slot stands on: the first and the last place, carried to the slot's own line, in mm; `None` if it has no place of its own.
pub(super) type Span = Option<(f64, f64)>;

/// Spreads that are wider than this look torn apart.
const WIDEST_FAN: f64 = 2.2;

/// One wished place for each slot.
///
/// Neighbours on the same place are fanned out about its middle. Slots without a place are spread between those that have one.
/// `gaps` are the least distances; `length` is that of a closed line.
pub(super) fn wishes(spans: &[Span], gaps: &[f64], length: Option<f64>) -> Vec<f64> {
    let total: f64 = gaps.iter().sum();
    let spans = unwrapped(spans, length);
    let stretch = room(&spans, gaps, length).map_or(1.0, |room| (room / total).max(1.0));
    let mut wanted = fanned(&spans, gaps, stretch.min(WIDEST_FAN));
    match wanted.iter().position(Option::is_some) {
        Some(first) => fill(&mut wanted, first, gaps, length),
        None => return even(gaps, stretch, length),
    }
    wanted.into_iter().map(Option::unwrap_or_default).collect()
}

/// The part of a closed line that a round takes up, in mm: all of it, unless it is worked over a part of the round below.
pub(super) fn room(spans: &[Span], gaps: &[f64], length: Option<f64>) -> Option<f64> {
    let length = length?;
    let low = spans.iter().flatten().map(|span| span.0);
    let high = spans.iter().flatten().map(|span| span.1);
    let covered = high.fold(f64::NEG_INFINITY, f64::max) - low.fold(f64::INFINITY, f64::min);
    let total: f64 = gaps.iter().sum();
    if covered.is_finite() && covered < 0.7 * length {
        Some((covered + total / gaps.len() as f64).min(length))
    } else {
        Some(length)
    }
}

/// Places that would fall back past half of the line have run over its start.
fn unwrapped(spans: &[Span], length: Option<f64>) -> Vec<Span> {
    let Some(length) = length else {
        return spans.to_vec();
    };
    let mut before: Option<f64> = None;
    spans
        .iter()
        .map(|span| {
            let (low, high) = (*span)?;
            let laps = before.map_or(0.0, |before| {
                ((before - low) / length + 0.5).floor().max(0.0)
            });
            let (low, high) = (low + laps * length, high + laps * length);
            before = Some(low);
            Some((low, high))
        })
        .collect()
}

/// Siblings side by side about the middle of what they share.
fn fanned(spans: &[Span], gaps: &[f64], stretch: f64) -> Vec<Option<f64>> {
    let mut wanted = vec![None; spans.len()];
    let mut first = 0;
    while first < spans.len() {
        let Some((low, high)) = spans[first] else {
            first += 1;
            continue;
        };
        let mut last = first;
        // Chains between siblings belong to the fan.
        for (next, span) in spans.iter().enumerate().skip(first + 1) {
            match span {
                Some(span) if *span == (low, high) => last = next,
                Some(_) => break,
                None => {}
            }
        }
        let width: f64 = gaps[first..last].iter().sum::<f64>() * stretch;
        let mut at = (low + high) / 2.0 - width / 2.0;
        for i in first..=last {
            wanted[i] = Some(at);
            at += gaps[i] * stretch;
        }
        first = last + 1;
    }
    wanted
}

/// Gives a place to those that have none: before the first, between two, and after the last.
fn fill(wanted: &mut [Option<f64>], first: usize, gaps: &[f64], length: Option<f64>) {
    let mut at = wanted[first].unwrap_or_default();
    for i in (0..first).rev() {
        at -= gaps[i];
        wanted[i] = Some(at);
    }
    let mut known = first;
    for i in first + 1..=wanted.len() {
        let next = match wanted.get(i) {
            Some(Some(next)) => *next,
            Some(None) => continue,
            None if i == known + 1 => break,
            None => match (length, wanted[0]) {
                (Some(length), Some(start)) => start + length,
                _ => wanted[known].unwrap_or_default() + gaps[known..i].iter().sum::<f64>(),
            },
        };
        let from = wanted[known].unwrap_or_default();
        let natural: f64 = gaps[known..i].iter().sum();
        let scale = if natural > 0.0 {
            (next - from) / natural
        } else {
            0.0
        };
        let mut at = from;
        for between in known + 1..i {
            at += gaps[between - 1] * scale;
            wanted[between] = Some(at);
        }
        known = i;
    }
}

/// All alike, from the start of the line on.
fn even(gaps: &[f64], stretch: f64, length: Option<f64>) -> Vec<f64> {
    let seam = gaps.last().copied().unwrap_or_default() * stretch;
    let mut at = if length.is_some() { seam / 2.0 } else { 0.0 };
    gaps.iter()
        .map(|gap| {
            let here = at;
            at += gap * stretch;
            here
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn siblings_open_about_what_they_share() {
        let spans = [Some((10.0, 10.0)), Some((10.0, 10.0)), Some((20.0, 24.0))];
        assert_eq!(wishes(&spans, &[4.0; 3], None), [8.0, 12.0, 22.0]);
    }

    #[test]
    fn those_without_a_place_stand_between_their_neighbours() {
        let spans = [Some((0.0, 0.0)), None, None, Some((9.0, 9.0)), None];
        assert_eq!(
            wishes(&spans, &[1.0, 1.0, 1.0, 1.0, 1.0], None),
            [0.0, 3.0, 6.0, 9.0, 10.0]
        );
    }

    #[test]
    fn a_round_in_a_ring_is_spread_evenly_with_its_start_at_the_seam() {
        assert_eq!(
            wishes(&[None; 4], &[1.0; 4], Some(8.0)),
            [1.0, 3.0, 5.0, 7.0]
        );
    }

    #[test]
    fn a_round_that_begins_past_the_start_runs_on_over_it() {
        let spans = [30.0, 50.0, 10.0].map(|s| Some((s, s)));
        assert_eq!(wishes(&spans, &[1.0; 3], Some(60.0)), [30.0, 50.0, 70.0]);
    }
}
