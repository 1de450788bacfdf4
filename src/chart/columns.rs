//! Rounds unrolled into rows where an even spread would lean: the widest row is spread evenly, and from there up and down each stitch
//! stands over, or under, what it is worked with.

use super::column::stand_on;
use super::cut::{Course, Cut, kind_of};
use super::lines::{anchor_course, stretch_under, stretches};
use super::panel::Layout;
use super::slots::{SlotKind, Slots};
use super::track::Track;
use super::wishes::{Room, Span};
use crate::fabric::{Fabric, Piece, RoundKind, StitchId};

/// How far to the side stitches may lean in rows that are spread evenly, in heights of their row.
const MOST_LEAN: f64 = 1.5;

/// Where the slots of each row want to be, in mm along it.
pub(super) struct Columns {
    /// Those of the round that the panel stands on, if it has one.
    pub ground: Vec<f64>,
    /// Those of each course.
    pub courses: Vec<Vec<f64>>,
}

/// The columns of a panel; `None` where its lines are no unrolled rounds, or stand well as they are.
pub(super) fn columns(
    fabric: &Fabric,
    piece: &Piece,
    cut: &Cut,
    ground: &Track,
    tracks: &[Track],
) -> Option<Columns> {
    let courses = &cut.courses;
    let is_round = |course: &Course| {
        kind_of(piece, course.rounds.start) == RoundKind::Round && course.slots.start.is_empty()
    };
    if cut.layout != Layout::Strip || !courses.iter().all(is_round) || !run_alike(ground, tracks) {
        return None;
    }
    let anchor = anchor_course(fabric, piece, cut);
    let rows: Vec<Row> = anchor
        .iter()
        .chain(courses)
        .map(|course| Row::of(piece, course))
        .collect();
    let first = rows.len() - courses.len();
    let under = anchor
        .iter()
        .map(|anchor| stretch_under(piece, cut, anchor));
    let evens: Vec<Vec<f64>> = under
        .chain(stretches(piece, cut))
        .zip(&rows)
        .map(|(stretch, row)| row.even(stretch))
        .collect();
    let heights = anchor.iter().chain(courses).map(|course| course.height_mm);
    let heights: Vec<f64> = heights.collect();
    if !leans(piece, &rows, &evens, &heights) {
        return None;
    }
    let (widest, _) = rows
        .iter()
        .enumerate()
        .max_by(|(_, a), (_, b)| a.width_mm().total_cmp(&b.width_mm()))?;
    let mut places: Vec<Vec<f64>> = vec![Vec::new(); rows.len()];
    places[widest] = rows[widest].even(1.0);
    for k in widest + 1..rows.len() {
        let spans = rows[k].over(piece, &rows[k - 1], &places[k - 1]);
        places[k] = rows[k].near(&spans);
    }
    for k in (0..widest).rev() {
        let spans = rows[k].under(piece, &rows[k + 1], &places[k + 1]);
        places[k] = rows[k].near(&spans);
    }
    let courses = places.split_off(first);
    Some(Columns {
        ground: places.pop().unwrap_or_default(),
        courses,
    })
}

/// True if all rows are read the same way.
fn run_alike(ground: &Track, tracks: &[Track]) -> bool {
    let leftward = |track: &Track| match track {
        Track::Row(row) => Some(row.leftward),
        Track::Ring(_) => None,
    };
    let way = leftward(ground);
    way.is_some() && tracks.iter().all(|track| leftward(track) == way)
}

/// True if some stitch leans far from what it is worked into, where the slots of each row have these places.
fn leans(piece: &Piece, rows: &[Row], places: &[Vec<f64>], heights_mm: &[f64]) -> bool {
    (1..rows.len()).any(|k| {
        let spans = rows[k].over(piece, &rows[k - 1], &places[k - 1]);
        let mut beside = places[k].iter().zip(&spans);
        beside.any(|(at, span)| {
            let most = MOST_LEAN * heights_mm[k];
            span.is_some_and(|(low, high)| (at - (low + high) / 2.0).abs() > most)
        })
    })
}

/// A row while its columns are looked for.
struct Row<'a> {
    slots: &'a Slots,
    gaps: Vec<f64>,
    /// The first stitch of the last of its rounds.
    start: u32,
    /// The slot of each stitch of the first of its rounds.
    slot_of: Vec<Option<usize>>,
}

impl Row<'_> {
    fn of<'a>(piece: &Piece, course: &'a Course) -> Row<'a> {
        let rounds = &course.rounds;
        let first = &piece.rounds[rounds.start].stitches;
        let last = &piece.rounds[rounds.end - 1].stitches;
        let mut slot_of = vec![None; first.len()];
        for (i, slot) in course.slots.slots.iter().enumerate() {
            for id in slot.first().0..=slot.last().0 {
                slot_of[(id - first.start) as usize] = Some(i);
            }
        }
        Row {
            slots: &course.slots,
            gaps: course.slots.gaps(),
            start: last.start,
            slot_of,
        }
    }

    fn width_mm(&self) -> f64 {
        self.gaps.iter().sum()
    }

    /// One place after another, so many times their least distance apart.
    fn even(&self, stretch: f64) -> Vec<f64> {
        let place = |at: &mut f64, gap: &f64| {
            let here = *at;
            *at += gap * stretch;
            Some(here)
        };
        self.gaps.iter().scan(0.0, place).collect()
    }

    /// The slot that holds a stitch of the last of its rounds.
    fn slot(&self, id: StitchId) -> Option<usize> {
        let within = id.0.checked_sub(self.start)?;
        *self.slot_of.get(within as usize)?
    }

    /// For each slot, the slots of the row below that it is worked into.
    fn joins<'b>(
        &'b self,
        piece: &'b Piece,
        below: &'b Row,
    ) -> impl Iterator<Item = (usize, usize)> + 'b {
        let slots = self.slots.slots.iter().enumerate();
        slots.flat_map(move |(i, slot)| {
            let feet = match slot.kind {
                SlotKind::Stitch(id) => piece.feet(id),
                SlotKind::Column(first, _) => stand_on(piece, first),
                _ => &[],
            };
            let below = feet.iter().filter_map(|&foot| below.slot(foot));
            below.map(move |below| (i, below))
        })
    }

    /// What each slot stands on, where the slots of the row below have their places.
    fn over(&self, piece: &Piece, below: &Row, places: &[f64]) -> Vec<Span> {
        let mut spans = vec![None; self.gaps.len()];
        for (here, below) in self.joins(piece, below) {
            widen(&mut spans[here], places[below]);
        }
        spans
    }

    /// What stands on each slot, where the slots of the row above have their places.
    fn under(&self, piece: &Piece, above: &Row, places: &[f64]) -> Vec<Span> {
        let mut spans = vec![None; self.gaps.len()];
        for (above, here) in above.joins(piece, self) {
            widen(&mut spans[here], places[above]);
        }
        spans
    }

    /// One place for each slot, the nearest to the middle of its span that its neighbours allow.
    fn near(&self, spans: &[Span]) -> Vec<f64> {
        let room = Room {
            gaps: self.gaps.clone(),
            seam_mm: 0.0,
            closed: self.slots.closed(),
            length: None,
            whole: true,
            evenly: false,
            grows: false,
        };
        room.places(spans)
    }
}

fn widen(span: &mut Span, place: f64) {
    let (low, high) = span.unwrap_or((place, place));
    *span = Some((low.min(place), high.max(place)));
}
