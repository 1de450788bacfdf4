//! Places the stitches of a panel: lines first, then round by round each stitch over what it is worked into.

use kurbo::{Line, ParamCurveNearest, Point, Vec2};

use super::cut::{
    Course, Cut, course, is_folded_flat, is_open_chain, is_turned, radius_mm, splits_off,
};
use super::marks::{Arrow, label_room_mm};
use super::panel::{Direction, Glyph, Layout};
use super::scene::{Scene, Spot, Spots};
use super::sheet::under_space;
use super::sizes::{ANCHOR_MM, CHAIN_MM, HOLLOW_MM, OPEN_MIDDLE_MM, PICOT_HEIGHT_MM};
use super::slots::{HIGHEST_ARCH_MM, Slot, SlotKind, Slots, makes_own_chain};
use super::track::{Ring, Row, Track};
use super::wishes::{Room, Span};
use crate::fabric::{Fabric, Piece, Role, StitchId};
use crate::symbol::{self, PEN_MM};
use crate::terms::{Hand, Height, Into};

/// From the middle of a slip stitch's dot to its head, in mm.
const DOT_DROP_MM: f64 = 0.9;
/// How far the ends of a row may lean outward, in heights of the row, and how far apart its stitches are drawn at most.
const STEEPEST_FAN: f64 = 1.3;
/// See [`STEEPEST_FAN`].
const MOST_STRETCH: f64 = 4.0;
/// How much longer than usual legs may be where the rounds below can lie farther out.
const LONGEST_LEG: f64 = 1.6;
/// How much wider the middle is where a chain stands beside the one that is worked into, in mm.
const BESIDE_CHAIN_MM: f64 = 0.5;
/// A round that covers less of the round below than this is worked over a part of it.
const WHOLE: f64 = 0.7;
/// How far legs keep off a chain that they stand on.
const OFF_CHAIN_MM: f64 = 0.75;
/// How far a column of chains keeps off the middle ring, in mm.
const OFF_RING_MM: f64 = 0.4;
/// The same beside its ends.
const HALF_CHAIN_MM: f64 = 1.4;
/// Where the dot of a slip stitch that moves the hook may stand, from a head that it is worked into: before it, in mm.
const TRAVEL_BACK_MM: [f64; 15] = [
    1.1, 1.4, 1.75, 0.7, -1.1, -1.4, -1.75, -0.7, 0.0, 2.2, 2.8, 3.4, -2.2, -2.8, -3.4,
];
/// See [`TRAVEL_BACK_MM`]: above it, in mm.
const TRAVEL_ABOVE_MM: [f64; 4] = [0.85, 1.2, 1.6, 0.6];
/// Radius of a slip stitch's dot, in mm.
const DOT_MM: f64 = 0.62;
/// From the middle of a slip stitch's dot, more room than this is no better, in mm.
const ENOUGH_MM: f64 = 1.1;
/// Half of an oval's width with its line, and half of the bar at a head, in mm.
const HALF_OVAL_MM: f64 = 0.86;
/// See [`HALF_OVAL_MM`].
const HALF_BAR_MM: f64 = 1.3;
/// How much the middle ring grows for each stitch in it past the eighth, in mm.
const RING_GROWS_MM: f64 = 0.12;

/// Places everything that a panel shows.
pub(super) fn place<'a>(
    fabric: &'a Fabric,
    piece: &'a Piece,
    hand: Hand,
    mut cut: Cut,
) -> Scene<'a> {
    widen_seams(fabric, piece, &mut cut);
    let (ground, tracks) = match cut.layout {
        Layout::Rings => rings(fabric, piece, hand, &cut),
        Layout::Strip => rows(piece, hand, &cut),
    };
    let spots = Spots::new(piece, &cut);
    let follows = anchor_follows(piece, &cut);
    let mut scene = Scene {
        fabric,
        piece,
        hand,
        cut,
        ground,
        tracks,
        spots,
    };
    if !follows {
        place_anchor(&mut scene);
    }
    for k in 0..scene.cut.courses.len() {
        place_start(&mut scene, k);
        place_course(&mut scene, k);
        if follows && k == 0 {
            place_anchor_under(&mut scene);
        }
        place_repeats(&mut scene, k);
    }
    scene
}

/// Gives every line room for the number that stands between it and the next, and the first one room for the arrow.
fn widen_seams(fabric: &Fabric, piece: &Piece, cut: &mut Cut) {
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
fn anchor_course(fabric: &Fabric, piece: &Piece, cut: &Cut) -> Option<Course> {
    let round = cut.anchor?;
    let mut anchor = course(fabric, piece, round..round + 1);
    let first_mm = cut.courses.first().map_or(0.0, |first| first.seam_mm);
    anchor.seam_mm = anchor.seam_mm.max(first_mm);
    anchor.length_mm = anchor.slots.length_mm(anchor.seam_mm);
    Some(anchor)
}

/// The rings: what the first stands on, then one for each course.
fn rings(fabric: &Fabric, piece: &Piece, hand: Hand, cut: &Cut) -> (Track, Vec<Track>) {
    let inward = cut.direction == Direction::Inward;
    let mirrored = inward != (hand == Hand::Left);
    let half_mm = oval_half_mm(piece, cut);
    let ring = |radius_mm: f64| {
        Track::Ring(Ring {
            half_mm,
            radius_mm,
            mirrored,
        })
    };
    let least = |course: &Course| radius_mm(course.length_mm - 4.0 * half_mm);
    let anchor = anchor_course(fabric, piece, cut).map(|anchor| least(&anchor));
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
            cut.hollow_mm + more.min(24) as f64 * RING_GROWS_MM
        }
        (None, Some(first)) if half_mm == 0.0 && first.slots.start.len() > 1 => {
            cut.hollow_mm + BESIDE_CHAIN_MM
        }
        _ => cut.hollow_mm,
    };
    // Legs that were much longer than usual would lie too close where they share a foot: rounds below wide ones lie farther out.
    let mut needed: Vec<f64> = courses.iter().map(least).collect();
    for k in (1..courses.len()).rev() {
        let below =
            needed[k] - LONGEST_LEG * courses[k].height_mm - courses[k - 1].slots.crown_mm();
        needed[k - 1] = needed[k - 1].max(below);
    }
    let mut radius = hollow;
    let tracks = courses
        .iter()
        .enumerate()
        .map(|(k, course)| {
            let starts = k == 0 && chain_alone(piece, course);
            let height = if starts { 0.0 } else { course.height_mm };
            radius = (radius + height).max(needed[k]);
            let track = ring(radius);
            radius += course.slots.crown_mm();
            track
        })
        .collect();
    (ring(hollow), tracks)
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
fn rows(piece: &Piece, hand: Hand, cut: &Cut) -> (Track, Vec<Track>) {
    let ways = ways(piece, hand, cut);
    let leftward = |k: usize| ways[k];
    let row = |y_mm: f64, leftward: bool| Track::Row(Row { y_mm, leftward });
    let mut y_mm = 0.0;
    let mut tracks: Vec<Track> = Vec::with_capacity(cut.courses.len());
    for (k, course) in cut.courses.iter().enumerate() {
        let starts = k == 0 && is_open_chain(piece, course);
        if !starts {
            y_mm -= course.height_mm;
        }
        // A starting chain is made the other way than the first row goes back over it.
        let way = if starts && k + 1 < cut.courses.len() {
            !leftward(k + 1)
        } else {
            leftward(k)
        };
        tracks.push(row(y_mm, way));
        y_mm -= course.slots.crown_mm();
    }
    // A row that is not turned stands on one that runs its own way.
    let way = match (cut.courses.first(), ways.first()) {
        (Some(first), Some(&way)) => way != is_turned(piece, &piece.rounds[first.rounds.start]),
        _ => false,
    };
    (row(0.0, way), tracks)
}

/// How far apart the stitches of each row are drawn, in their own widths. Where rows widen so much that their ends would lean over their neighbours,
/// all are drawn as wide as the widest.
fn stretches(cut: &Cut) -> Vec<f64> {
    let widths: Vec<f64> = cut
        .courses
        .iter()
        .map(|course| course.slots.length_mm(0.0))
        .collect();
    let fans = |k: usize| {
        (widths[k] - widths[k - 1]).abs() / 2.0 > STEEPEST_FAN * cut.courses[k].height_mm
    };
    let widest = widths.iter().copied().fold(0.0, f64::max);
    if cut.layout == Layout::Rings || !(1..widths.len()).any(fans) {
        return vec![1.0; widths.len()];
    }
    let stretch = |width: &f64| (widest / width.max(1.0)).min(MOST_STRETCH);
    widths.iter().map(stretch).collect()
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

/// The stitches of a starting chain that a first round is worked round: those that something is worked into, in the order in which
/// that happens.
fn worked_chains(piece: &Piece, cut: &Cut) -> Vec<StitchId> {
    let mut worked: Vec<StitchId> = Vec::new();
    let Some(first) = cut.courses.first() else {
        return worked;
    };
    let opens = is_open_chain(piece, first);
    let Some(over) = cut.courses.get(usize::from(opens)) else {
        return worked;
    };
    let chains = if opens {
        piece.rounds[first.rounds.start].stitches.clone()
    } else {
        match (first.slots.start.first(), first.slots.start.last()) {
            (Some(first), Some(last)) => first.0..last.0 + 1,
            _ => return worked,
        }
    };
    if is_chain_ring(piece, first) {
        return worked;
    }
    let mut seen = vec![false; chains.len()];
    for (id, stitch) in piece.round_stitches(&piece.rounds[over.rounds.start]) {
        if stitch.kind.height == Height::Chain || stitch.into == Into::Ring {
            continue;
        }
        for &foot in piece.feet(id) {
            if chains.contains(&foot.0)
                && !std::mem::replace(&mut seen[(foot.0 - chains.start) as usize], true)
            {
                worked.push(foot);
            }
        }
    }
    worked
}

/// True if a course is worked round a chain that it closes into a ring first.
fn is_chain_ring(piece: &Piece, course: &Course) -> bool {
    let start = &course.slots.start;
    start.iter().any(|&id| piece.stitch(id).role == Role::Close)
}

/// Half of the length of the level line that an oval goes round, in mm.
fn oval_half_mm(piece: &Piece, cut: &Cut) -> f64 {
    if cut.anchor.is_some() || cut.layout == Layout::Strip {
        return 0.0;
    }
    let worked = worked_chains(piece, cut).len();
    worked.saturating_sub(1) as f64 * symbol::STITCH_WIDTH_MM / 2.0
}

/// The round that the panel stands on, spread evenly.
fn place_anchor(scene: &mut Scene) {
    let Some(anchor) = anchor_course(scene.fabric, scene.piece, &scene.cut) else {
        return;
    };
    let spans = vec![None; anchor.slots.slots.len()];
    let ground = scene.ground;
    settle(scene, &anchor, &ground, &ground, &spans, 1.0);
}

/// True if what the panel stands on is placed under its first round, not the other way round: a fold lies in two layers, and a leg stands on
/// a part of the round below.
pub(super) fn anchor_follows(piece: &Piece, cut: &Cut) -> bool {
    let Some(first) = cut.courses.first() else {
        return false;
    };
    let k = first.rounds.start;
    cut.anchor.is_some() && (is_folded_flat(piece, &piece.rounds[k]) || splits_off(piece, k))
}

/// Those stitches of the round below that the first round is worked into, each straight under the first that is worked into it.
fn place_anchor_under(scene: &mut Scene) {
    let piece = scene.piece;
    let ground = scene.ground;
    let round = &piece.rounds[scene.cut.courses[0].rounds.start];
    for (id, stitch) in piece.round_stitches(round) {
        let Some(spot) = scene.spots.get(id).copied() else {
            continue;
        };
        if stitch.kind.height == Height::Chain {
            continue;
        }
        let s = spot.track.carry(spot.s, &ground);
        for &foot in piece.feet(id) {
            let below = piece.stitch(foot);
            if foot.0 >= round.stitches.start || scene.spots.get(foot).is_some() {
                continue;
            }
            // One symbol stands for both layers of a fold.
            let is_first = piece.feet(id).first() == Some(&foot);
            let glyph = if is_first {
                Glyph::Stitch {
                    kind: below.kind,
                    into: Into::Stitch,
                    clear_mm: 0.0,
                }
            } else {
                Glyph::None
            };
            let head = ground.at(s, 0.0);
            let track = ground;
            scene.spots.set(
                foot,
                Spot {
                    head,
                    track,
                    s,
                    glyph,
                },
            );
        }
    }
}

/// Chains that a first round is worked into: on the middle line of the rings, or as the lowest row.
fn place_start(scene: &mut Scene, k: usize) {
    if k > 0 {
        return;
    }
    let piece = scene.piece;
    let course = &scene.cut.courses[0];
    let chains: Vec<StitchId> = if is_open_chain(piece, course) {
        if scene.cut.layout == Layout::Strip {
            return;
        }
        piece
            .round_stitches(&piece.rounds[course.rounds.start])
            .map(|(id, _)| id)
            .collect()
    } else {
        course.slots.start.clone()
    };
    let glyph = |centre: Point, direction: Vec2| Glyph::Chain {
        centre,
        direction,
        length_mm: CHAIN_MM,
    };
    let ground = scene.ground;
    if scene.cut.layout == Layout::Strip {
        for (i, &id) in chains.iter().enumerate() {
            let s = i as f64 * symbol::STITCH_WIDTH_MM;
            let head = ground.at(s, 0.0);
            let spot = Spot {
                head,
                track: ground,
                s,
                glyph: glyph(head, ground.along(s)),
            };
            scene.spots.set(id, spot);
        }
        return;
    }
    let worked = worked_chains(piece, &scene.cut);
    let half = oval_half_mm(piece, &scene.cut);
    let level = Track::Ring(Ring {
        half_mm: half,
        radius_mm: 0.0,
        mirrored: matches!(ground, Track::Ring(Ring { mirrored: true, .. })),
    });
    for (i, &id) in worked.iter().enumerate() {
        let s = i as f64 * symbol::STITCH_WIDTH_MM;
        let x = (s - half) * level.along(0.0).x;
        let head = Point::new(x, 0.0);
        let spot = Spot {
            head,
            track: level,
            s,
            glyph: glyph(head, Vec2::new(1.0, 0.0)),
        };
        scene.spots.set(id, spot);
    }
    // Chains that only lift the hook stand at the start; a chain ring lies round the middle.
    let rest: Vec<StitchId> = chains
        .into_iter()
        .filter(|id| !worked.contains(id))
        .collect();
    let ring = worked.is_empty();
    let seam = match ground {
        Track::Ring(ring) if half > 0.0 => {
            let opening = match scene.cut.courses.get(1) {
                Some(over) if is_open_chain(piece, course) => &over.slots,
                _ => &course.slots,
            };
            Oval::of(scene, opening).seam(&ring)
        }
        _ => 0.0,
    };
    // Beyond the side of the single chain in the middle, or the end of an oval's.
    let beside_mm = if half > 0.0 { 1.6 } else { 0.9 };
    let ground_mm = match ground {
        Track::Ring(ring) => ring.radius_mm,
        Track::Row(_) => 0.0,
    };
    let length = ground.length().unwrap_or_default();
    for (i, &id) in rest.iter().enumerate() {
        let (head, s, direction) = if ring {
            let s = length * (i as f64 + 0.5) / rest.len() as f64;
            (ground.at(s, 0.0), s, ground.along(s))
        } else {
            let lift = beside_mm + CHAIN_MM * (i as f64 + 0.5) - ground_mm;
            (ground.at(seam, lift), seam, ground.up(seam))
        };
        let is_chain = piece.stitch(id).kind.height == Height::Chain;
        let spot = Spot {
            head,
            track: ground,
            s,
            glyph: if is_chain {
                glyph(head, direction)
            } else {
                Glyph::None
            },
        };
        scene.spots.set(id, spot);
    }
}

fn place_course(scene: &mut Scene, k: usize) {
    if k == 0
        && scene.cut.layout == Layout::Rings
        && is_open_chain(scene.piece, &scene.cut.courses[0])
    {
        return;
    }
    let (track, below) = (scene.tracks[k], *scene.below(k));
    let stretch = stretches(&scene.cut)[k];
    let course = std::mem::take(&mut scene.cut.courses[k]);
    let spans = if k == 0 && anchor_follows(scene.piece, &scene.cut) {
        vec![None; course.slots.slots.len()]
    } else {
        spans(scene, &course.slots, &track)
    };
    settle(scene, &course, &track, &below, &spans, stretch);
    place_travels(scene, &course.slots);
    place_beyond(scene, &course, &track);
    scene.cut.courses[k] = course;
}

/// What each slot stands on, carried to its own line.
fn spans(scene: &Scene, slots: &Slots, track: &Track) -> Vec<Span> {
    let mut oval = Oval::of(scene, slots);
    slots
        .slots
        .iter()
        .map(|slot| {
            let feet = match slot.kind {
                SlotKind::Stitch(id) if scene.piece.stitch(id).into == Into::Ring => return None,
                SlotKind::Stitch(id) if makes_own_chain(scene.piece, id) => return None,
                SlotKind::Stitch(id) => scene.piece.feet(id),
                SlotKind::Column(first, _) => stand_on(scene.piece, first),
                SlotKind::Chain(_) | SlotKind::Close(_) | SlotKind::Picot(..) => return None,
            };
            let places = feet.iter().filter_map(|&foot| {
                let spot = scene.spots.get(foot)?;
                match (&spot.track, track) {
                    (Track::Ring(level), Track::Ring(ring)) if level.radius_mm == 0.0 => {
                        oval.place(spot.s, level, ring)
                    }
                    _ => Some(spot.track.carry(spot.s, track)),
                }
            });
            places.fold(None, |span: Span, s| match span {
                Some((low, high)) => Some((low.min(s), high.max(s))),
                None => Some((s, s)),
            })
        })
        .collect()
}

/// Follows a round round the chain that it is worked into: along one side, about the end, and back.
#[derive(Default)]
struct Oval {
    turned: bool,
    returned: bool,
    /// Stitches in the chain at the start, when the round begins and when it comes back.
    first: usize,
    last: usize,
}

impl Oval {
    fn of(scene: &Scene, slots: &Slots) -> Oval {
        let is_at_start = |slot: &&Slot| {
            let SlotKind::Stitch(id) = slot.kind else {
                return true;
            };
            let feet = scene.piece.feet(id).iter();
            feet.filter_map(|&foot| scene.spots.get(foot))
                .all(|spot| spot.s < symbol::STITCH_WIDTH_MM / 2.0)
        };
        let slots = &slots.slots;
        Oval {
            first: slots.iter().take_while(is_at_start).count(),
            last: slots.iter().rev().take_while(is_at_start).count(),
            ..Oval::default()
        }
    }

    /// Where a round's last stitch and its first are parted, in mm along its line.
    fn seam(&self, ring: &Ring) -> f64 {
        let share = self.first as f64 / (self.first + self.last).max(1) as f64;
        -std::f64::consts::PI * ring.radius_mm * share
    }

    /// Where a stitch in the chain at `s` of the level line wants to be; `None` round a single chain, where all stitches spread evenly.
    fn place(&mut self, s: f64, level: &Ring, ring: &Ring) -> Option<f64> {
        let line = 2.0 * level.half_mm;
        if line <= 0.0 {
            return None;
        }
        let half_circle = std::f64::consts::PI * ring.radius_mm;
        let at_end = s > line - symbol::STITCH_WIDTH_MM / 2.0;
        let at_start = s < symbol::STITCH_WIDTH_MM / 2.0;
        self.returned |= self.turned && at_start;
        // Those round the start share its half circle evenly.
        let share = half_circle / (self.first + self.last).max(1) as f64;
        Some(if at_end {
            self.turned = true;
            line + half_circle / 2.0
        } else if self.returned {
            2.0 * line + half_circle + share * self.last as f64 / 2.0
        } else if self.turned {
            line + half_circle + (line - s)
        } else if at_start {
            -share * self.first as f64 / 2.0
        } else {
            s
        })
    }
}

/// What a column of chains stands over: the stitch that it grows from or, where that is a slip stitch, what the slip stitch goes into.
fn stand_on(piece: &Piece, first: StitchId) -> &[StitchId] {
    if piece.stitch(first).role == Role::Lift {
        return &[];
    }
    let feet = piece.feet(first);
    match feet {
        [foot] if matches!(piece.stitch(*foot).role, Role::Close | Role::Travel) => {
            piece.feet(*foot)
        }
        _ => feet,
    }
}

/// Finds the places of a course's slots and sets its stitches there, so many of their widths apart at least.
fn settle(
    scene: &mut Scene,
    course: &Course,
    track: &Track,
    below: &Track,
    spans: &[Span],
    stretch: f64,
) {
    let slots = &course.slots.slots;
    let room = Room {
        gaps: course
            .slots
            .gaps()
            .iter()
            .map(|gap| gap * stretch)
            .collect(),
        seam_mm: course.seam_mm,
        closed: course.slots.closed(),
        length: track.length(),
        whole: is_whole(scene.piece, &course.slots),
        evenly: !matches!(track, Track::Ring(ring) if ring.half_mm > 0.0),
    };
    let places = room.places(spans);
    let arches = arches(&course.slots, &places);
    for (i, slot) in slots.iter().enumerate() {
        let s = places[i];
        match slot.kind {
            SlotKind::Stitch(id) | SlotKind::Close(id) => set_stitch(scene, id, track, s),
            SlotKind::Chain(id) => {
                let (rise, slope) = arches[i];
                let head = track.at(s, rise);
                let direction = track.along(s) + track.up(s) * slope;
                let glyph = Glyph::Chain {
                    centre: head,
                    direction,
                    length_mm: slot.width_mm,
                };
                let track = *track;
                scene.spots.set(
                    id,
                    Spot {
                        head,
                        track,
                        s,
                        glyph,
                    },
                );
            }
            SlotKind::Column(first, count) => {
                let base_s = column_base(scene, first, count, track, below, &places[i..]);
                let on_chains = !course.slots.start.is_empty();
                set_column(
                    scene,
                    (first, count),
                    (track, s),
                    (below, base_s),
                    on_chains,
                );
            }
            SlotKind::Picot(first, count) => set_picot(scene, first, count, track, s),
        }
    }
}

/// True if a round goes all round the one below it.
fn is_whole(piece: &Piece, slots: &Slots) -> bool {
    let mut first = None;
    let mut before = 0;
    let mut laps = 0;
    let mut reached = 0.0;
    for slot in &slots.slots {
        let SlotKind::Stitch(id) = slot.kind else {
            continue;
        };
        for &foot in piece.feet(id) {
            let stitch = piece.stitch(foot);
            let edge = &piece.rounds[stitch.round as usize].edge;
            let index = |id: Option<&StitchId>| id.map_or(0, |&id| piece.stitch(id).index);
            let (one, other) = (index(edge.first()), index(edge.last()));
            let (low, length) = (one.min(other), one.abs_diff(other) + 1);
            let here = stitch.index.saturating_sub(low);
            // What falls back by half has run over the start.
            if before > here + length / 2 {
                laps += 1;
            }
            before = here;
            let at = f64::from(laps) + f64::from(here) / f64::from(length);
            let end = at + 1.0 / f64::from(length);
            reached = f64::max(reached, end - *first.get_or_insert(at));
        }
    }
    first.is_none() || reached >= WHOLE
}

/// For each slot, how far a bridging chain is lifted off its line, in mm, and how steeply it rises there: a run of them is an arch.
fn arches(slots: &Slots, places: &[f64]) -> Vec<(f64, f64)> {
    use std::f64::consts::PI;
    let mut lifts = vec![(0.0, 0.0); places.len()];
    let is_chain = |slot: &Slot| matches!(slot.kind, SlotKind::Chain(_));
    let mut first = 0;
    for run in slots.slots.chunk_by(|a, b| is_chain(a) == is_chain(b)) {
        let last = first + run.len() - 1;
        let whole = run.len() + usize::from(slots.closed()) >= places.len();
        if is_chain(&run[0]) && run.len() > 1 && !whole {
            let from = places[first] - CHAIN_MM / 2.0;
            let span = places[last] + CHAIN_MM / 2.0 - from;
            let height = (0.35 * (last - first) as f64).min(HIGHEST_ARCH_MM);
            for i in first..=last {
                let turn = PI * (places[i] - from) / span;
                lifts[i] = (
                    height * libm::sin(turn),
                    height * PI / span * libm::cos(turn),
                );
            }
        }
        first = last + 1;
    }
    lifts
}

fn set_stitch(scene: &mut Scene, id: StitchId, track: &Track, s: f64) {
    let stitch = scene.piece.stitch(id);
    let wrong_side = scene.piece.rounds[stitch.round as usize].wrong_side;
    let into = symbol::seen_from_right_side(stitch.into, wrong_side);
    let head = track.at(s, 0.0);
    let feet = scene.piece.feet(id).iter();
    let off_feet = feet.map(|&foot| off_chain(scene, stitch.into, foot, head));
    let off_feet = off_feet.fold(0.0, f64::max);
    let clear_mm = match stitch.into {
        Into::Ring if !scene.piece.feet(id).is_empty() => OFF_CHAIN_MM,
        Into::Ring | Into::Part => 0.0,
        Into::Chain if makes_own_chain(scene.piece, id) => OFF_CHAIN_MM,
        _ => off_feet,
    };
    let glyph = if stitch.kind.height == Height::Slip {
        Glyph::Dot { up: track.up(s) }
    } else {
        Glyph::Stitch {
            kind: stitch.kind,
            into,
            clear_mm,
        }
    };
    scene.spots.set(
        id,
        Spot {
            head: track.at(s, 0.0),
            track: *track,
            s,
            glyph,
        },
    );
}

/// How far a stitch's symbol keeps off a foot, in mm: beyond the edge of a chain's oval on the side of the head.
fn off_chain(scene: &Scene, into: Into, foot: StitchId, head: Point) -> f64 {
    let Some(spot) = scene.spots.get(foot) else {
        return 0.0;
    };
    match spot.glyph {
        Glyph::Chain {
            centre, direction, ..
        } if centre == spot.head => {
            if into == Into::Space {
                return OFF_CHAIN_MM;
            }
            let way = (head - centre).normalize();
            let along = way.dot(direction.normalize()) / HALF_CHAIN_MM;
            let across = way.cross(direction.normalize()) / OFF_CHAIN_MM;
            1.0 / libm::sqrt(along * along + across * across)
        }
        _ => 0.0,
    }
}

/// True if a stitch is drawn as an oval about its head.
fn lies_along(scene: &Scene, id: StitchId) -> bool {
    scene.spots.get(id).is_some_and(
        |spot| matches!(spot.glyph, Glyph::Chain { centre, .. } if centre == spot.head),
    )
}

/// Where on the line below a column of chains starts: straight under its head or, where it only lifts the hook, so that it runs beside the leg of
/// the next stitch. `places` are its own and those after it.
fn column_base(
    scene: &Scene,
    first: StitchId,
    count: u32,
    track: &Track,
    below: &Track,
    places: &[f64],
) -> f64 {
    let straight = track.carry(places[0], below);
    let lifts = scene.piece.stitch(first).role == Role::Lift;
    let next = StitchId(first.0 + count);
    let leg = places.get(1).and_then(|&next_s| {
        if scene.piece.stitch(next).into == Into::Ring {
            return None;
        }
        let foot = scene.piece.feet(next).first()?;
        let spot = scene.spots.get(*foot)?;
        let lean = spot.track.carry(spot.s, below) - track.carry(next_s, below);
        Some(match below.length() {
            Some(length) => lean - (lean / length).round() * length,
            None => lean,
        })
    });
    match leg {
        Some(lean) if lifts => straight + lean,
        _ => straight,
    }
}

/// Sets a column: its first chain and how many, the line of its head and the place on it, the line it starts from and the place there.
fn set_column(
    scene: &mut Scene,
    (first, count): (StitchId, u32),
    (track, s): (&Track, f64),
    (below, base_s): (&Track, f64),
    on_chains: bool,
) {
    let on_chain = stand_on(scene.piece, first)
        .first()
        .is_some_and(|&foot| lies_along(scene, foot));
    let from_middle = *below == scene.ground && scene.cut.anchor.is_none();
    let clear = match (on_chain, from_middle) {
        (true, _) => OFF_CHAIN_MM,
        (_, true) if on_chains => OFF_CHAIN_MM + 0.6,
        (_, true) => OFF_RING_MM,
        _ if scene.piece.stitch(first).role == Role::Lift => 0.6,
        _ => 0.0,
    };
    let base = below.at(base_s, 0.0);
    let out = track.at(s, 0.0) - base;
    let base = base + out * (clear / out.length().max(1.0));
    let way = track.at(s, 0.0) - base;
    let whole = way.length();
    let last = StitchId(first.0 + count - 1);
    // Chains that stand for a stitch reach its head; those that only lift need not.
    let stands = scene.piece.stitch(last).role == Role::Head;
    let reach = if stands {
        whole
    } else {
        whole.min(f64::from(count) * CHAIN_MM)
    };
    let step = way * (reach / whole.max(1e-9) / f64::from(count));
    for i in 0..count {
        let centre = base + step * (f64::from(i) + 0.5);
        let glyph = Glyph::Chain {
            centre,
            direction: step,
            length_mm: reach / f64::from(count),
        };
        scene.spots.set(
            StitchId(first.0 + i),
            Spot {
                head: base + step * f64::from(i + 1),
                track: *track,
                s,
                glyph,
            },
        );
    }
}

/// Slip stitches that move the hook along, each on what it is worked into: of the places about it, where most paper is free.
fn place_travels(scene: &mut Scene, slots: &Slots) {
    let mut dots: Vec<Point> = Vec::new();
    for &id in &slots.travels {
        let feet = scene.piece.feet(id);
        let under: Vec<Spot> = feet
            .iter()
            .filter_map(|&foot| scene.spots.get(foot))
            .copied()
            .collect();
        let Some(first) = under.first().copied() else {
            continue;
        };
        let up = match scene.cut.direction {
            Direction::Outward => first.track.up(first.s),
            Direction::Inward => -first.track.up(first.s),
        };
        let ink = ink_near(scene, slots, &first);
        let mut best = (first.head, f64::NEG_INFINITY);
        for spot in &under {
            for back in TRAVEL_BACK_MM {
                for above in TRAVEL_ABOVE_MM {
                    let at = spot.head - spot.track.along(spot.s) * back + up * above;
                    let lines = ink
                        .iter()
                        .map(|(line, half_mm)| line.nearest(at, 1e-3).distance_sq.sqrt() - half_mm);
                    let others = dots.iter().map(|dot| dot.distance(at) - DOT_MM);
                    let clear = lines.chain(others).fold(ENOUGH_MM, f64::min);
                    if clear > best.1 + 0.01 {
                        best = (at, clear);
                    }
                }
            }
        }
        dots.push(best.0);
        scene.spots.set(
            id,
            Spot {
                head: best.0 + up * DOT_DROP_MM,
                glyph: Glyph::Dot { up },
                ..first
            },
        );
    }
}

/// The ink about a place between a round and the one below, roughly: lines, each with half of its width in mm.
fn ink_near(scene: &Scene, slots: &Slots, about: &Spot) -> Vec<(Line, f64)> {
    const NEAR_MM: f64 = 16.0;
    let mut ink = Vec::new();
    let mut add = |spot: &Spot, feet: &[Point]| {
        if spot.head.distance(about.head) > NEAR_MM {
            return;
        }
        match spot.glyph {
            Glyph::Chain {
                centre, direction, ..
            } => {
                let half = direction.normalize() * (HALF_CHAIN_MM - HALF_OVAL_MM);
                ink.push((Line::new(centre - half, centre + half), HALF_OVAL_MM));
            }
            Glyph::Stitch { .. } => {
                let along = spot.track.along(spot.s) * HALF_BAR_MM;
                let bar = spot.head - spot.track.up(spot.s) * 0.5;
                ink.push((Line::new(bar - along, bar + along), PEN_MM / 2.0));
                let legs = feet.iter().map(|&foot| Line::new(foot, spot.head));
                ink.extend(legs.map(|leg| (leg, PEN_MM / 2.0)));
            }
            Glyph::Dot { up } => {
                let dot = spot.head - up * DOT_DROP_MM;
                ink.push((Line::new(dot, dot), DOT_MM));
            }
            Glyph::Picot { .. } | Glyph::None => {}
        }
    };
    let below = &scene.piece.rounds[about_round(scene, slots)];
    for (id, _) in scene.piece.round_stitches(below) {
        if let Some(spot) = scene.spots.get(id) {
            add(spot, &[]);
        }
    }
    for slot in &slots.slots {
        for id in slot.first().0..=slot.last().0 {
            if let Some(spot) = scene.spots.get(StitchId(id)) {
                add(spot, &standing(scene, StitchId(id)));
            }
        }
    }
    ink
}

/// Where a stitch stands: on the heads that it is worked into, or under its space.
fn standing(scene: &Scene, id: StitchId) -> Vec<Point> {
    let feet = scene.piece.feet(id);
    if scene.piece.stitch(id).into == Into::Space {
        return under_space(scene, id, feet).into_iter().collect();
    }
    let spots = feet.iter().filter_map(|&foot| scene.spots.get(foot));
    spots.map(|spot| spot.head).collect()
}

/// The round that the first of a round's travelling slip stitches is worked into.
fn about_round(scene: &Scene, slots: &Slots) -> usize {
    let foot = slots
        .travels
        .first()
        .and_then(|&id| scene.piece.feet(id).first());
    foot.map_or(0, |&foot| scene.piece.stitch(foot).round as usize)
}

/// Stitches past the start of their own round stand on its first ones.
fn place_beyond(scene: &mut Scene, course: &Course, track: &Track) {
    let Track::Ring(ring) = track else {
        return;
    };
    let outside = match scene.cut.direction {
        Direction::Outward => ring.radius_mm + course.height_mm,
        Direction::Inward => ring.radius_mm - course.height_mm,
    };
    let next = Track::Ring(Ring {
        radius_mm: outside.max(HOLLOW_MM),
        ..*ring
    });
    for &id in &course.slots.beyond {
        let feet = scene.piece.feet(id).iter();
        let places: Vec<f64> = feet
            .filter_map(|&foot| scene.spots.get(foot))
            .map(|spot| spot.track.carry(spot.s, &next))
            .collect();
        if let (Some(first), Some(last)) = (places.first(), places.last()) {
            set_stitch(scene, id, &next, (first + last) / 2.0);
        }
    }
}

/// A picot on its own place: the chains run up one side of the loop and down the other.
fn set_picot(scene: &mut Scene, first: StitchId, count: u32, track: &Track, s: f64) {
    let up = track.up(s);
    let along = track.along(s);
    let at = track.at(s, 0.6);
    let is_chain = |id: u32| scene.piece.stitch(StitchId(id)).kind.height == Height::Chain;
    let stitches = first.0..first.0 + count;
    let chains = stitches.clone().filter(|&id| is_chain(id)).count() as u32;
    let radius = (PICOT_HEIGHT_MM - 1.2) / 2.0;
    let mut made = 0;
    for id in stitches {
        let head = if is_chain(id) {
            made += 1;
            let turn = std::f64::consts::TAU * f64::from(made) / f64::from(chains + 1);
            at + up * (radius * (1.0 - libm::cos(turn))) - along * (radius * libm::sin(turn))
        } else {
            at
        };
        let glyph = if id == first.0 {
            Glyph::Picot { at, up, chains }
        } else {
            Glyph::None
        };
        let track = *track;
        scene.spots.set(
            StitchId(id),
            Spot {
                head,
                track,
                s,
                glyph,
            },
        );
    }
}

/// Rounds that share the ring of the first: each stitch lies where its like lies.
fn place_repeats(scene: &mut Scene, k: usize) {
    let piece = scene.piece;
    let rounds = scene.cut.courses[k].rounds.clone();
    let first = piece.rounds[rounds.start].stitches.clone();
    for round in rounds.skip(1) {
        for (like, id) in first.clone().zip(piece.rounds[round].stitches.clone()) {
            if let Some(spot) = scene.spots.get(StitchId(like)).copied() {
                let glyph = Glyph::None;
                scene.spots.set(StitchId(id), Spot { glyph, ..spot });
            }
        }
    }
}
