//! Where the stitches of a round want to be: each over the middle of what it is worked into.

use super::spacing;

/// What a slot stands on: the first and the last place, carried to the slot's own line, in mm; `None` if it has no place of its own.
pub(super) type Span = Option<(f64, f64)>;

/// Spreads that are wider than this look torn apart.
const WIDEST_FAN: f64 = 1.8;
/// A line with this much room for each mm that is needed is sparse.
const SPARSE: f64 = 2.6;
/// How far a round is drawn from where it wants to be towards an even spread, so that what increases crowd eases round by round.
const EVENING: f64 = 0.5;
/// How far a round that grows is spread evenly at least: what it adds to would else stand in a heap on a ring with much room.
const GROWING: f64 = 0.6;
/// How much of its even share of a line each stitch keeps at least, however near its neighbours would like to come.
const EVEN_SHARE: f64 = 0.85;
/// The room on a round's line.
#[derive(Debug, Clone)]
pub(super) struct Room {
    /// Least distance from each slot to the next, the last one's on to the first, in mm.
    pub gaps: Vec<f64>,
    /// Free room in mm after the last slot but a closing one, for the round's number.
    pub seam_mm: f64,
    /// True if the last slot closes the round.
    pub closed: bool,
    /// Length of a closed line, in mm.
    pub length: Option<f64>,
    /// False if the round is worked over a part of the round below.
    pub whole: bool,
    /// True if a round should fill its line evenly, as round a circle.
    pub evenly: bool,
    /// True if a round has more stitches than it is worked into.
    pub grows: bool,
}

impl Room {
    /// One place for each slot, in mm along the line: the nearest to its wish that its neighbours allow.
    pub fn places(&self, spans: &[Span]) -> Vec<f64> {
        if self.gaps.is_empty() {
            return Vec::new();
        }
        let spans = unwrapped(spans, self.length);
        let stretch = self.stretch(&spans);
        let wanted = self.wishes(spans, stretch);
        let share = EVEN_SHARE * self.evenness(stretch);
        let mut gaps: Vec<f64> = self
            .gaps
            .iter()
            .map(|gap| gap * (share * stretch).max(1.0))
            .collect();
        match self.length {
            Some(length) => {
                if let Some(gap) = gaps.get_mut(self.seam()) {
                    *gap += self.seam_mm;
                }
                spacing::around(&wanted, &gaps, length)
            }
            None => spacing::along(&wanted, &self.gaps),
        }
    }

    /// One place for each slot, as near as can be to a wish of its own.
    pub fn near(&self, wanted: &[f64]) -> Vec<f64> {
        let mut gaps = self.gaps.clone();
        match (self.length, gaps.get_mut(self.seam())) {
            (Some(length), Some(gap)) => {
                *gap += self.seam_mm;
                spacing::around(wanted, &gaps, length)
            }
            _ => spacing::along(wanted, &gaps),
        }
    }

    /// How much room there is for each mm of room that is needed, the room for the number set aside; at least 1.
    fn stretch(&self, spans: &[Span]) -> f64 {
        let Some(length) = self.length else {
            return 1.0;
        };
        let total: f64 = self.gaps.iter().sum();
        let room = match covered(spans) {
            Some((low, high)) if !self.whole => (high - low + self.mean_gap()).min(length),
            _ => length - self.seam_mm,
        };
        (room / total).max(1.0)
    }

    /// How far a round should be spread evenly, from 0 to 1: on a ring with much room each stitch rather stands straight.
    fn evenness(&self, stretch: f64) -> f64 {
        let least = match self.grows {
            true => GROWING,
            false => 0.0,
        };
        match self.evenly {
            true => (SPARSE - stretch).clamp(least, 1.0),
            false => 0.0,
        }
    }

    fn mean_gap(&self) -> f64 {
        self.gaps.iter().sum::<f64>() / self.gaps.len() as f64
    }

    /// The gap that holds the number.
    fn seam(&self) -> usize {
        (self.gaps.len() - 1).saturating_sub(usize::from(self.closed))
    }

    /// One wished place for each slot. Neighbours on the same place are fanned out about its middle; slots without a place are spread
    /// between those that have one.
    fn wishes(&self, mut spans: Vec<Span>, stretch: f64) -> Vec<f64> {
        let groups = groups(&spans);
        let (Some(first), Some(last)) = (groups.first(), groups.last()) else {
            return self.even(stretch);
        };
        self.fill_line(&mut spans, first, last, stretch);
        let fan = stretch.min(WIDEST_FAN);
        let mut wanted = vec![None; spans.len()];
        for group in &groups {
            let Some((low, high)) = spans[group.start] else {
                continue;
            };
            let mut at = (low + high - self.width(group) * fan) / 2.0;
            for i in group.clone() {
                wanted[i] = Some(at);
                at += self.gaps[i] * fan;
            }
        }
        self.fill(&mut wanted, first.start);
        let mut wanted: Vec<f64> = wanted.into_iter().map(Option::unwrap_or_default).collect();
        if self.whole && self.length.is_some() {
            let even = self.even(stretch);
            let off = wanted.iter().zip(&even).map(|(want, even)| want - even);
            let shift = off.sum::<f64>() / wanted.len() as f64;
            for (want, even) in wanted.iter_mut().zip(&even) {
                *want += (even + shift - *want) * EVENING * self.evenness(stretch);
            }
        }
        if let (true, Some(length)) = (self.closed, self.length) {
            let last = wanted.len() - 1;
            wanted[last] = wanted[0] + length - self.gaps[last];
        }
        wanted
    }

    /// From the first slot of a group to its last, in mm.
    fn width(&self, group: &std::ops::Range<usize>) -> f64 {
        self.gaps[group.start..group.end - 1].iter().sum()
    }

    /// Draws a whole round apart or together about its middle so that it fills the line but for the seam: the room for the number is as
    /// wide on a large ring as on a small one.
    fn fill_line(
        &self,
        spans: &mut [Span],
        first: &std::ops::Range<usize>,
        last: &std::ops::Range<usize>,
        stretch: f64,
    ) {
        let (Some(length), Some((low, high))) = (self.length, covered(spans)) else {
            return;
        };
        if !(self.evenly && self.whole) || first.start == last.start || high <= low {
            return;
        }
        let over_seam: f64 = self.gaps[last.end - 1..]
            .iter()
            .chain(&self.gaps[..first.start])
            .sum();
        let fans = (self.width(first) + self.width(last)) / 2.0;
        let free = (over_seam + fans) * stretch + self.seam_mm;
        let middle = (low + high) / 2.0;
        let scale = ((length - free) / (high - low)).clamp(0.75, 1.35);
        for (low, high) in spans.iter_mut().flatten() {
            *low = middle + (*low - middle) * scale;
            *high = middle + (*high - middle) * scale;
        }
    }

    /// Gives a place to those that have none: before the first, between two, and after the last.
    fn fill(&self, wanted: &mut [Option<f64>], first: usize) {
        let mut at = wanted[first].unwrap_or_default();
        for i in (0..first).rev() {
            at -= self.gaps[i];
            wanted[i] = Some(at);
        }
        let mut known = first;
        for i in first + 1..=wanted.len() {
            let natural: f64 = match wanted.get(i) {
                Some(None) => continue,
                _ if i == known + 1 => {
                    known = i;
                    continue;
                }
                _ => self.gaps[known..i].iter().sum(),
            };
            let from = wanted[known].unwrap_or_default();
            let to = match (wanted.get(i), self.length, wanted[0]) {
                (Some(Some(next)), ..) => *next,
                (_, Some(length), Some(start)) => start + length,
                _ => from + natural,
            };
            let scale = if natural > 0.0 {
                (to - from) / natural
            } else {
                0.0
            };
            let mut at = from;
            for (want, gap) in wanted[known + 1..i].iter_mut().zip(&self.gaps[known..]) {
                at += gap * scale;
                *want = Some(at);
            }
            known = i;
        }
    }

    /// All alike, the room for the number at the start of the line.
    fn even(&self, stretch: f64) -> Vec<f64> {
        let seam = self.seam();
        let mut at = 0.0;
        if self.length.is_some() {
            let closing: f64 = self.gaps[seam + 1..].iter().sum();
            at = (self.gaps[seam] * stretch + self.seam_mm) / 2.0 + closing * stretch;
        }
        let mut places = Vec::with_capacity(self.gaps.len());
        for (i, gap) in self.gaps.iter().enumerate() {
            places.push(at);
            at += gap * stretch;
            if i == seam && self.length.is_some() {
                at += self.seam_mm;
            }
        }
        places
    }
}

/// The first and the last place that a round stands on.
fn covered(spans: &[Span]) -> Option<(f64, f64)> {
    spans
        .iter()
        .flatten()
        .copied()
        .reduce(|all, span| (all.0.min(span.0), all.1.max(span.1)))
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

/// Neighbours on one place, with what lies between them; slots without a place belong to no other group.
fn groups(spans: &[Span]) -> Vec<std::ops::Range<usize>> {
    let mut groups: Vec<std::ops::Range<usize>> = Vec::new();
    for (i, span) in spans.iter().enumerate() {
        if span.is_none() {
            continue;
        }
        match groups.last_mut() {
            Some(group) if spans[group.start] == *span => group.end = i + 1,
            _ => groups.push(i..i + 1),
        }
    }
    groups
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(gaps: &[f64], length: Option<f64>) -> Room {
        Room {
            gaps: gaps.to_vec(),
            seam_mm: 0.0,
            closed: false,
            length,
            whole: true,
            evenly: true,
            grows: false,
        }
    }

    fn over(places: &[f64]) -> Vec<Span> {
        places.iter().map(|&s| Some((s, s))).collect()
    }

    #[test]
    fn siblings_open_about_what_they_share() {
        let spans = [Some((10.0, 10.0)), Some((10.0, 10.0)), Some((20.0, 24.0))];
        assert_eq!(room(&[4.0; 3], None).places(&spans), [8.0, 12.0, 22.0]);
    }

    #[test]
    fn those_without_a_place_stand_between_their_neighbours() {
        let spans = [Some((0.0, 0.0)), None, None, Some((9.0, 9.0)), None];
        assert_eq!(
            room(&[1.0; 5], None).places(&spans),
            [0.0, 3.0, 6.0, 9.0, 10.0]
        );
    }

    #[test]
    fn a_round_in_a_ring_is_spread_evenly_with_its_number_at_the_start() {
        let mut room = room(&[1.0; 4], Some(10.0));
        room.seam_mm = 2.0;
        assert_eq!(room.places(&[None; 4]), [2.0, 4.0, 6.0, 8.0]);
    }

    #[test]
    fn a_round_that_begins_past_the_start_runs_on_over_it() {
        let places = room(&[1.0; 3], Some(60.0)).places(&over(&[30.0, 50.0, 10.0]));
        assert!(places[2] > 60.0, "{places:?}");
    }

    /// The slip stitch that joins comes last, next to the first stitch, and the number before it.
    #[test]
    fn a_closing_slot_stands_by_the_first() {
        let room = Room {
            gaps: vec![4.0, 4.0, 3.0, 3.0],
            seam_mm: 2.0,
            closed: true,
            length: Some(60.0),
            whole: true,
            evenly: true,
            grows: false,
        };
        let mut spans = over(&[10.0, 30.0, 50.0]);
        spans.push(None);
        let places = room.places(&spans);
        let (before, after) = (places[3] - places[2], places[0] + 60.0 - places[3]);
        assert!(before > after + 2.0, "{places:?}");
    }
}
