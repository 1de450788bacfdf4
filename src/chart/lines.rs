//! The lines of a panel: rings about a middle, or rows above one another, as far apart as their stitches need.

use std::f64::consts::PI;

use super::across::{self, Across};
use super::cut::{Course, Cut, course, is_open_chain, is_turned, kind_of, radius_mm};
use super::ground::anchor_follows;
use super::marks::{Arrow, label_room_mm};
use super::oval::{is_chain_ring, oval_half_mm};
use super::panel::{Direction, Layout};
use super::sizes::{ANCHOR_MM, CHAIN_MM, OPEN_MIDDLE_MM};
use super::slots::{Slot, SlotKind, Slots};
use super::track::{Ring, Row, Track};
use crate::fabric::{Fabric, Piece, Role, RoundKind};
use crate::symbol;
use crate::terms::{Form, Hand, Into};

/// How far the ends of a row may lean outward, in heights of the row, and how far apart its stitches are drawn at most.
const STEEPEST_FAN: f64 = 1.3;

/// See [`STEEPEST_FAN`].
pub(super) const MOST_STRETCH: f64 = 4.0;

/// How much longer than usual legs may be where the rounds below can lie farther out.
const LONGEST_LEG: f64 = 1.6;

/// How much wider the middle is where a chain stands beside the one that is worked into, in mm.
const BESIDE_CHAIN_MM: f64 = 0.5;

/// Least height of stitches worked together for each mm that their outer feet lie to the side.
const STEEPEST_LEG: f64 = 1.5;
/// Most feet that such a stitch is made taller for.
const MOST_TOGETHER: usize = 5;
/// How far a fan in a row may be pushed to the side by its neighbours, in mm.
const FAN_OFF_MM: f64 = 1.8;
/// From a head to the first bar on the stem below it, in mm.
const FIRST_BAR_MM: f64 = 2.25;
/// Least distance between the bars of neighbours in a fan, from stem to stem in mm.
const BARS_APART_MM: f64 = 2.4;
/// Heights that are tried for a fan: how far apart in mm, and how many.
const FAN_STEP_MM: f64 = 0.5;
/// See [`FAN_STEP_MM`].
const FAN_STEPS: u32 = 60;
/// Radius of a motif's corners, in mm.
const CORNER_MM: f64 = 3.0;
/// How much the middle ring grows for each stitch in it past the eighth, in mm.
const RING_GROWS_MM: f64 = 0.12;

/// Gives every line room for the number that stands between it and the next, and the first one room for the arrow.
pub(super) fn widen_seams(fabric: &Fabric, piece: &Piece, cut: &mut Cut) {
    let arrow = Arrow::of(cut);
    if let Some(first) = cut.courses.first_mut() {
        first.seam_mm = label_room_mm(fabric, piece, &first.rounds, Some(arrow));
    }
    let mut next_mm: f64 = 0.0;
    for course in cut.courses.iter_mut().rev() {
        let own_mm = course.seam_mm;
        course.seam_mm = own_mm.max(next_mm);
        course.length_mm = course.slots.length_mm(course.seam_mm);
        next_mm = own_mm;
    }
}

/// The round that a panel stands on, with as much room at its start as the first course has.
pub(super) fn anchor_course(fabric: &Fabric, piece: &Piece, cut: &Cut) -> Option<Course> {
    let round = cut.anchor?;
    let mut anchor = course(fabric, piece, round..round + 1);
    anchor.corners = cut.anchor_corners.clone();
    anchor.slots.run_on(&piece.rounds[round]);
    let first_mm = cut.courses.first().map_or(0.0, |first| first.seam_mm);
    anchor.seam_mm = anchor.seam_mm.max(first_mm);
    anchor.length_mm = anchor.slots.length_mm(anchor.seam_mm);
    Some(anchor)
}

/// The rings: what the first stands on, then one for each course.
pub(super) fn rings(fabric: &Fabric, piece: &Piece, hand: Hand, cut: &Cut) -> (Track, Vec<Track>) {
    let inward = cut.direction == Direction::Inward;
    let mirrored = inward != (hand == Hand::Left);
    let half_mm = oval_half_mm(piece, cut);
    let sides = cut.courses.iter().flat_map(|course| &course.corners);
    let sides = sides.map(|corners| corners.sides).next();
    let ring = |radius_mm: f64| {
        Track::Ring(Ring {
            sides: sides.unwrap_or(2),
            ..Ring::round(half_mm, radius_mm, mirrored)
        })
    };
    let least = |course: &Course| radius_mm(course.length_mm - 4.0 * half_mm);
    let under = anchor_course(fabric, piece, cut);
    let anchor = under.as_ref().map(least);
    let courses = &cut.courses;
    if inward {
        let mut radius = OPEN_MIDDLE_MM;
        let mut tracks = Vec::with_capacity(courses.len());
        for course in courses.iter().rev() {
            radius = least(course).max(radius);
            tracks.push(ring(radius));
            radius += course.height_mm;
        }
        tracks.reverse();
        return (ring(anchor.unwrap_or(0.0).max(radius)), tracks);
    }
    let hollow = match (anchor, courses.first()) {
        (_, Some(first)) if Across::of(piece, cut, first).is_some() => across::hollow_mm(cut),
        (Some(_), Some(first)) if anchor_follows(piece, cut) => least(first).max(ANCHOR_MM),
        (Some(anchor), Some(first)) => {
            let usual = least(first) - LONGEST_LEG * first.height_mm;
            anchor.max(ANCHOR_MM).max(usual)
        }
        (None, Some(first)) if is_chain_ring(piece, first) => {
            radius_mm(first.slots.start.len() as f64 * CHAIN_MM).max(cut.hollow_mm)
        }
        (None, Some(first)) if first.slots.start.is_empty() => {
            let more = first.slots.slots.len().saturating_sub(8);
            let usual = cut.hollow_mm + more.min(24) as f64 * RING_GROWS_MM;
            // On a page the middle of a very wide ring would be far away.
            match least(first) - LONGEST_LEG * first.height_mm {
                wide if wide > cut.paper.widest_ring_mm => wide,
                _ => usual,
            }
        }
        (None, Some(first)) if half_mm == 0.0 && first.slots.start.len() > 1 => {
            cut.hollow_mm + BESIDE_CHAIN_MM
        }
        _ => cut.hollow_mm,
    };
    // Legs that were much longer than usual would lie too close where they share a foot: rounds below wide ones lie farther out.
    let mut needed: Vec<f64> = courses.iter().map(least).collect();
    for k in (1..courses.len()).rev() {
        let below = needed[k] - LONGEST_LEG * courses[k].height_mm - courses[k - 1].slots.crown_mm;
        needed[k - 1] = needed[k - 1].max(below);
    }
    if let Some(sides) = sides {
        // A panel that stands on a round with corners has them there as well.
        let under = under.filter(|under| under.corners.is_some());
        let ground = match under.as_ref().map(needed_reach_mm) {
            Some(reach) => Ring::polygon(sides, reach, CORNER_MM, mirrored),
            None => Ring {
                sides,
                ..Ring::round(0.0, hollow, mirrored)
            },
        };
        return (Track::Ring(ground), polygons(piece, courses, ground));
    }
    let mut radius = hollow;
    let tracks = courses
        .iter()
        .enumerate()
        .map(|(k, course)| {
            let starts = k == 0 && chain_alone(piece, course);
            let height = if starts { 0.0 } else { course.height_mm };
            let below = k.checked_sub(1).map_or(0, |k| courses[k].slots.slots.len());
            let spread = spread_mm(piece, course, 2.0 * PI * radius, below);
            radius = (radius + height.max(STEEPEST_LEG * spread)).max(needed[k]);
            let track = ring(radius);
            radius += course.slots.crown_mm;
            track
        })
        .collect();
    (ring(hollow), tracks)
}

/// How far to each side the outer feet of many stitches worked together lie, in mm, where so many stitches share the line below.
fn spread_mm(piece: &Piece, course: &Course, length_mm: f64, below: usize) -> f64 {
    let feet = course.slots.slots.iter().map(|slot| match slot.kind {
        SlotKind::Stitch(id) => match piece.stitch(id).kind.form {
            Form::Together(n) if n > 2 => usize::from(n),
            _ => 0,
        },
        _ => 0,
    });
    let most = feet.max().unwrap_or(0).min(MOST_TOGETHER);
    most.saturating_sub(1) as f64 / 2.0 * length_mm / below.max(1) as f64
}

/// Rounds with corners, and those round them, as polygons about a middle.
fn polygons(piece: &Piece, courses: &[Course], ground: Ring) -> Vec<Track> {
    let mirrored = ground.mirrored;
    let mut rings: Vec<Ring> = Vec::with_capacity(courses.len());
    let needed: Vec<f64> = courses.iter().map(needed_reach_mm).collect();
    let mut reach = ground.reach_mm();
    for (k, course) in courses.iter().enumerate() {
        let starts = k == 0 && chain_alone(piece, course);
        let height = if starts { 0.0 } else { course.height_mm };
        let corners = course.corners.as_ref();
        let sides = corners.map_or(2, |corners| corners.sides);
        let with_corners = corners.is_some_and(|corners| !corners.corners.is_empty());
        let on_sides = corners.is_some_and(|corners| corners.on_sides(&course.slots));
        let ring = match rings.last().or(Some(&ground)) {
            _ if with_corners && on_sides => {
                // Legs that were much longer than usual would lie too close where they share a foot.
                let next = courses.get(k + 1).map_or(0.0, |next| {
                    needed[k + 1] - LONGEST_LEG * next.height_mm - course.slots.crown_mm
                });
                reach = (reach + height).max(needed[k]).max(next);
                Ring::polygon(sides, reach, CORNER_MM, mirrored)
            }
            Some(below) if !with_corners && below.half_mm > 0.0 => {
                // Round the motif: as far out all round.
                let own = Ring {
                    radius_mm: below.radius_mm + height + reach - below.reach_mm(),
                    ..*below
                };
                let short = (course.length_mm - own.length()).max(0.0);
                let radius_mm = own.radius_mm + radius_mm(short);
                reach = own.reach_mm() + radius_mm - own.radius_mm;
                Ring { radius_mm, ..own }
            }
            _ => {
                reach = (reach + height).max(radius_mm(course.length_mm));
                Ring {
                    sides,
                    ..Ring::round(0.0, reach, mirrored)
                }
            }
        };
        rings.push(ring);
        reach += course.slots.crown_mm;
    }
    rings.into_iter().map(Track::Ring).collect()
}

/// How far from the middle the sides of a course must be for its stitches to have room, in mm.
fn needed_reach_mm(course: &Course) -> f64 {
    let Some(corners) = &course.corners else {
        return 0.0;
    };
    let bend = std::f64::consts::TAU / f64::from(corners.sides);
    let half_side = corners.side_mm(&course.gaps()) / 2.0 - CORNER_MM * bend / 2.0;
    CORNER_MM + half_side / libm::tan(bend / 2.0)
}

/// True if a course is the chain that the piece starts from.
fn chain_alone(piece: &Piece, course: &Course) -> bool {
    course.slots.slots.iter().all(|slot| match slot.kind {
        SlotKind::Chain(id) => piece.stitch(id).role == Role::Foundation,
        SlotKind::Close(_) => true,
        _ => false,
    })
}

/// The rows, each over the one before.
pub(super) fn rows(piece: &Piece, hand: Hand, cut: &Cut) -> (Track, Vec<Track>) {
    let ways = ways(piece, hand, cut);
    let stretches = stretches(piece, cut);
    let leftward = |k: usize| ways[k];
    let row = |y_mm: f64, leftward: bool| Track::Row(Row { y_mm, leftward });
    let mut y_mm = 0.0;
    let mut tracks: Vec<Track> = Vec::with_capacity(cut.courses.len());
    for (k, course) in cut.courses.iter().enumerate() {
        let starts = k == 0 && is_open_chain(piece, course);
        if !starts {
            y_mm -= course
                .height_mm
                .max(fan_height_mm(piece, course, stretches[k]));
        }
        // A starting chain is made the other way than the first row goes back over it.
        let way = if starts && k + 1 < cut.courses.len() {
            !leftward(k + 1)
        } else {
            leftward(k)
        };
        tracks.push(row(y_mm, way));
        y_mm -= course.slots.crown_mm;
    }
    // A row that is not turned stands on one that runs its own way.
    let way = match (cut.courses.first(), ways.first()) {
        (Some(first), Some(&way)) => way != is_turned(piece, &piece.rounds[first.rounds.start]),
        _ => false,
    };
    (row(0.0, way), tracks)
}

/// How tall a row must be for the bars of stitches that share a foot to keep clear of each other, in mm; 0 if no stitches with bars do.
fn fan_height_mm(piece: &Piece, course: &Course, stretch: f64) -> f64 {
    let foot = |slot: &Slot| match slot.kind {
        SlotKind::Stitch(id) if !matches!(piece.stitch(id).into, Into::Space | Into::Ring) => {
            let has_bars = piece.stitch(id).kind.height.bars() > 0;
            piece.feet(id).first().filter(|_| has_bars).copied()
        }
        _ => None,
    };
    let slots = &course.slots.slots;
    let fans = slots.chunk_by(|a, b| foot(a).is_some() && foot(a) == foot(b));
    let heights = fans.filter(|fan| fan.len() > 1 && foot(&fan[0]).is_some());
    let heights = heights.map(|fan| {
        let gap = fan[0].width_mm * stretch;
        open_fan_mm(
            gap,
            gap * (fan.len() - 1) as f64 / 2.0 + FAN_OFF_MM,
            course.height_mm,
        )
    });
    heights.fold(0.0, f64::max)
}

/// How high the heads of a fan must lie, in mm and at least so many, for the bars on its outermost legs to keep apart: heads so far apart, the
/// outermost so far to the side.
fn open_fan_mm(gap: f64, side: f64, least: f64) -> f64 {
    let apart = |height: f64| {
        let upright = height / libm::hypot(height, side);
        gap * upright * (1.0 - FIRST_BAR_MM * upright / height)
    };
    let steps = (0..FAN_STEPS).map(|step| least + f64::from(step) * FAN_STEP_MM);
    let mut heights = steps.skip_while(|&height| apart(height) < BARS_APART_MM);
    heights.next().unwrap_or(side)
}

/// How far apart the stitches of each row are drawn, in their own widths. Rounds are unrolled as wide as the widest, so that each stitch stands
/// over what it is worked into; so are rows that widen so much that their ends would lean over their neighbours.
pub(super) fn stretches(piece: &Piece, cut: &Cut) -> Vec<f64> {
    if cut.layout == Layout::Rings {
        return vec![1.0; cut.courses.len()];
    }
    let widths: Vec<f64> = cut
        .courses
        .iter()
        .map(|course| course.slots.length_mm(0.0))
        .collect();
    let fans = |k: usize| {
        (widths[k] - widths[k - 1]).abs() / 2.0 > STEEPEST_FAN * cut.courses[k].height_mm
    };
    let unrolled = is_unrolled(piece, cut);
    let under = cut.anchor.filter(|_| unrolled);
    let under = under.map(|round| Slots::of(piece, &piece.rounds[round]).length_mm(0.0));
    let widest = widths.iter().copied().chain(under).fold(0.0, f64::max);
    let is_even = !unrolled && !(1..widths.len()).any(fans);
    if is_even {
        return vec![1.0; widths.len()];
    }
    let stretch = |width: &f64| (widest / width.max(1.0)).min(MOST_STRETCH);
    widths.iter().map(stretch).collect()
}

/// The same for a starting chain of so many: as wide as the row on it where that has so many stitches more that it would fan out
/// steeply, as a curl does.
pub(super) fn stretch_of_chain(piece: &Piece, cut: &Cut, chains: usize) -> f64 {
    let usual = stretches(piece, cut)[0];
    let first = &cut.courses[0];
    let chain_mm = chains as f64 * symbol::STITCH_WIDTH_MM;
    let row_mm = first.slots.length_mm(0.0) * usual;
    match (row_mm - chain_mm) / 2.0 > STEEPEST_FAN * first.height_mm {
        true => (row_mm / chain_mm.max(1.0)).clamp(usual, MOST_STRETCH.max(usual)),
        false => usual,
    }
}

/// True if the rows of a panel are rounds.
fn is_unrolled(piece: &Piece, cut: &Cut) -> bool {
    let mut rounds = cut.courses.iter().map(|course| course.rounds.start);
    cut.layout == Layout::Strip && rounds.all(|k| kind_of(piece, k) == RoundKind::Round)
}

/// The same for the row that a strip stands on: as wide as the strip, where that is drawn wider than its stitches.
pub(super) fn stretch_under(piece: &Piece, cut: &Cut, anchor: &Course) -> f64 {
    let unrolled = is_unrolled(piece, cut);
    let widest = stretches(piece, cut).into_iter().zip(&cut.courses);
    let widest = widest
        .filter(|(stretch, _)| unrolled || *stretch > 1.0)
        .map(|(stretch, course)| stretch * course.slots.length_mm(0.0))
        .fold(0.0, f64::max);
    (widest / anchor.slots.length_mm(0.0).max(1.0)).clamp(1.0, 2.0 * MOST_STRETCH)
}

/// Which rows run leftward. Each runs against the one below if it is worked back over it; of the two ways that leaves for the whole, the one
/// that suits most rows' sides is taken.
fn ways(piece: &Piece, hand: Hand, cut: &Cut) -> Vec<bool> {
    let mut way = true;
    let mut ways = Vec::with_capacity(cut.courses.len());
    let mut suited = 0;
    for (k, course) in cut.courses.iter().enumerate() {
        way ^= k > 0 && is_turned(piece, &piece.rounds[course.rounds.start]);
        let wrong_side = piece.rounds[course.rounds.start].wrong_side;
        suited += if wrong_side != way { 1 } else { -1 };
        ways.push(way);
    }
    let flip = (suited < 0) != (hand == Hand::Left);
    ways.iter().map(|way| way ^ flip).collect()
}
