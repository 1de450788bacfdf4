//! Rounds that are too wide for a page, cut into equal parts: sectors of rings, or stretches of rows.

use std::ops::Range;

use kurbo::{Affine, Point, Vec2};

use super::cut::{Course, Cut};
use super::panel::{Direction, Glyph, Layout};
use super::scene::{Part, Scene, Spot, Spots};
use super::slots::Slots;
use super::track::Track;
use crate::fabric::{Role, StitchId};
use crate::symbol::STITCH_WIDTH_MM;
use crate::terms::Height;

/// How many neighbours on the parts before and after are shown.
const NEIGHBOURS: usize = 2;
/// How far beyond the last stitch of a part they may stand, in mm.
const NEAR_MM: f64 = 3.0 * STITCH_WIDTH_MM;
/// An end of a side shorter than this share of a part is no part of its own.
const SHORT_END: f64 = 0.3;

/// How a scene's rounds are cut.
pub(super) struct Parting {
    /// How many parts there are.
    pub count: usize,
    /// True if they are parts of the sides of a motif with corners.
    of_sides: bool,
    /// For each course and part, the slots that lie on it.
    slots: Vec<Vec<Range<usize>>>,
    /// For each part, the chains on it that the first course starts from.
    start: Vec<Vec<StitchId>>,
    /// For each part, the stitches on it of the round that the panel stands on.
    ground: Vec<Vec<StitchId>>,
    /// For each part, its middle along the widest course, in mm.
    middles: Vec<f64>,
    /// The widest course.
    widest: usize,
}

/// The course with the most stitches, and how many that are.
pub(super) fn widest(scene: &Scene) -> Option<(usize, usize)> {
    let courses = scene.cut.courses.iter().enumerate();
    courses
        .map(|(k, course)| (k, course.slots.slots.len()))
        .max_by_key(|&(_, width)| width)
}

impl Parting {
    /// Cuts into so many parts; the widest course into equal ones.
    pub fn of(measured: &Measured, count: usize) -> Option<Parting> {
        let along = &measured.along;
        let width = along.len();
        if count < 2 || width < count {
            return None;
        }
        let bounds = (1..count)
            .map(|i| i * width / count)
            .map(|i| (along[i - 1] + along[i]) / 2.0)
            .collect();
        Some(Parting::at(measured, bounds))
    }

    /// Cuts a motif at its corners and each side into so many parts; a short end by the start stays with the side beside it.
    pub fn along_sides(measured: &Measured, count: usize) -> Option<Parting> {
        let (corners, along) = (&measured.corners, &measured.along);
        let (first, last) = (*along.first()?, *along.last()?);
        let side = corners
            .windows(2)
            .map(|pair| pair[1] - pair[0])
            .fold(0.0, f64::max);
        if side <= 0.0 {
            return None;
        }
        let longest = side / count as f64;
        let shortest = SHORT_END * longest;
        let inner = corners.iter().copied();
        let inner = inner.filter(|corner| corner - first >= shortest && last - corner >= shortest);
        let ends: Vec<f64> = [first].into_iter().chain(inner).chain([last]).collect();
        let mut bounds = Vec::new();
        for pair in ends.windows(2) {
            let parts = ((pair[1] - pair[0]) / longest - SHORT_END).ceil().max(1.0) as usize;
            let step = (pair[1] - pair[0]) / parts as f64;
            bounds.extend((1..=parts).map(|i| pair[0] + step * i as f64));
        }
        bounds.pop();
        let of_sides = true;
        (!bounds.is_empty()).then(|| Parting {
            of_sides,
            ..Parting::at(measured, bounds)
        })
    }

    /// Cuts at some places along the widest course, in mm from its first slot.
    fn at(measured: &Measured, bounds: Vec<f64>) -> Parting {
        let along = &measured.along;
        let (width, count) = (along.len(), bounds.len() + 1);
        let ends = [&[along[0]], bounds.as_slice(), &along[width - 1..]].concat();
        let middles = ends
            .windows(2)
            .map(|pair| measured.start_mm + (pair[0] + pair[1]) / 2.0);
        let courses = measured.slots.iter();
        Parting {
            count,
            of_sides: false,
            slots: courses.map(|past| share(past, &bounds)).collect(),
            start: share_ids(&measured.start, &bounds),
            ground: share_ids(&measured.ground, &bounds),
            middles: middles.collect(),
            widest: measured.widest,
        }
    }

    /// The scene of one part, turned so that its first round is the lowest.
    pub fn scene<'a>(&self, scene: &Scene<'a>, part: usize) -> Scene<'a> {
        let shown =
            |k: &usize| !self.slots[*k][part].is_empty() || *k == 0 && !self.start[part].is_empty();
        let all = 0..scene.cut.courses.len();
        let first = all.clone().find(shown).unwrap_or(0);
        let last = all.rev().find(shown).unwrap_or(0);
        let turn = Turn::of(scene, self.widest, self.middles[part]);
        let courses = (first..=last)
            .map(|k| self.course(scene, k, part))
            .collect();
        let shares = (first..=last).map(|k| self.share(scene, k, part));
        let shares: Vec<Share> = shares.collect();
        let (shown, spots) = self.collect(scene, part, first, &shares, &turn);
        let tracks = scene.tracks[first..=last].iter();
        Scene {
            fabric: scene.fabric,
            piece: scene.piece,
            hand: scene.hand,
            cut: Cut {
                paper: scene.cut.paper,
                layout: scene.cut.layout,
                direction: scene.cut.direction,
                anchor: scene.cut.anchor.filter(|_| first == 0),
                anchor_corners: None,
                hollow_mm: scene.cut.hollow_mm,
                courses,
            },
            ground: turn.track(scene.below(first)),
            tracks: tracks.map(|track| turn.track(track)).collect(),
            spots: Spots::Part(spots),
            facts: scene.facts.clone(),
            part: Some(Part {
                number: part + 1,
                of: self.count,
                of_sides: self.of_sides,
                goes_on: shares.iter().map(|share| share.goes_on).collect(),
                own: shares.into_iter().map(|share| share.own).collect(),
                ..shown
            }),
        }
    }

    /// What one part holds of a course.
    fn share(&self, scene: &Scene, k: usize, part: usize) -> Share {
        let mut share = Share::of(scene, k, &self.slots[k][part]);
        if k == 0 {
            let chains = &self.start[part];
            let runs = chains.chunk_by(|a, b| a.0 + 1 == b.0);
            let ranges = runs.map(|run| run[0].0..run[run.len() - 1].0 + 1);
            share.own.splice(0..0, ranges);
        }
        share
    }

    /// A course with the slots of one part.
    fn course(&self, scene: &Scene, k: usize, part: usize) -> Course {
        let course = &scene.cut.courses[k];
        let range = &self.slots[k][part];
        let slots = course.slots.slots[range.clone()].to_vec();
        let own = self.share(scene, k, part).own;
        let here = |id: &&StitchId| own.iter().any(|own| own.contains(&id.0));
        let some = |ids: &[StitchId]| ids.iter().filter(here).copied().collect();
        Course {
            rounds: course.rounds.clone(),
            slots: Slots {
                slots,
                start: some(&course.slots.start),
                travels: some(&course.slots.travels),
                beyond: some(&course.slots.beyond),
                crown_mm: course.slots.crown_mm,
            },
            height_mm: course.height_mm,
            length_mm: course.length_mm,
            seam_mm: course.seam_mm,
            corners: None,
        }
    }

    /// What a part shows beside its own stitches, and the places of all that it needs, turned.
    fn collect(
        &self,
        scene: &Scene,
        part: usize,
        first: usize,
        shares: &[Share],
        turn: &Turn,
    ) -> (Part, Vec<(StitchId, Spot)>) {
        let piece = scene.piece;
        let own = |id: StitchId| shares.iter().any(|share| share.owns(id));
        let ids = shares
            .iter()
            .flat_map(|share| share.own.iter().cloned().flatten());
        let ids: Vec<StitchId> = ids.map(StitchId).collect();
        let ground_ids = scene.spots.ground();
        let on_ground = |id: StitchId| ground_ids.contains(&id.0);
        let course_of = |id: StitchId| {
            let round = piece.stitch(id).round as usize;
            let courses = &scene.cut.courses;
            let k = courses.partition_point(|course| course.rounds.end <= round);
            courses
                .get(k)
                .is_some_and(|course| course.rounds.contains(&round))
                .then_some(k)
        };
        let mut ground = match first {
            0 => self.ground[part].clone(),
            _ => Vec::new(),
        };
        let mut faint: Vec<StitchId> = shares
            .iter()
            .flat_map(|share| share.neighbours.iter().copied())
            .collect();
        for &id in &ids {
            for &foot in stands_near(scene, id).iter().filter(|&&foot| !own(foot)) {
                if on_ground(foot) {
                    ground.push(foot);
                } else {
                    faint.push(foot);
                }
            }
        }
        for list in [&mut ground, &mut faint] {
            list.sort();
            list.dedup();
        }
        faint.retain(|&id| scene.spots.get(id).is_some());
        let mut needed: Vec<StitchId> = [ids.as_slice(), &ground, &faint].concat();
        needed.extend(faint.iter().flat_map(|&id| stands_near(scene, id)));
        needed.sort();
        needed.dedup();
        let spots = needed
            .into_iter()
            .filter_map(|id| Some((id, turn.spot(scene.spots.get(id)?))))
            .collect();
        let with_course = |id: StitchId| {
            let k = course_of(id)?.saturating_sub(first);
            Some((id, k.min(shares.len() - 1)))
        };
        let part = Part {
            faint: faint.into_iter().filter_map(with_course).collect(),
            ground,
            ..Part::default()
        };
        (part, spots)
    }
}

/// How far the slots of a course lie along the widest one.
struct Along {
    past: Vec<f64>,
    /// True if none lies before the one that comes before it in the order of work.
    ascends: bool,
}

/// How far along the widest course everything lies, in mm from its first slot: measured once, however the rounds are cut.
pub(super) struct Measured {
    /// The widest course.
    widest: usize,
    /// The place of its first slot along it, in mm.
    start_mm: f64,
    /// Its slots.
    along: Vec<f64>,
    /// The middles of its corners, if it has some.
    corners: Vec<f64>,
    /// The slots of each course.
    slots: Vec<Along>,
    /// The chains that the first course starts from.
    start: Vec<(StitchId, f64)>,
    /// The stitches of the round that the panel stands on.
    ground: Vec<(StitchId, f64)>,
}

impl Measured {
    pub fn of(scene: &Scene) -> Option<Measured> {
        let (widest, _) = widest(scene)?;
        let places = places(scene, &scene.cut.courses[widest].slots)?;
        let reference = Reference {
            track: scene.tracks[widest],
            start: places[0],
        };
        let courses = scene.courses();
        let along: Vec<f64> = places.iter().map(|place| place - reference.start).collect();
        let corners = scene.cut.courses[widest].corners.iter();
        let corners = corners
            .flat_map(|corners| &corners.corners)
            .map(|corner| (along[corner.slots.start] + along[corner.slots.end - 1]) / 2.0);
        Some(Measured {
            widest,
            start_mm: reference.start,
            corners: corners.collect(),
            along,
            slots: courses
                .map(|(k, course)| {
                    let past = reference.slots(scene, k, course);
                    let ascends = past.is_sorted();
                    Along { past, ascends }
                })
                .collect(),
            start: reference.ids(scene, start_chains(scene)),
            ground: reference.ids(scene, scene.spots.ground()),
        })
    }
}

/// The line that parts are measured along.
struct Reference {
    track: Track,
    /// The place of the first slot, in mm.
    start: f64,
}

impl Reference {
    /// How far past the start a place lies, measured along this line.
    fn past_start(&self, track: &Track, s: f64) -> f64 {
        track.carry(s, &self.track) - self.start
    }

    /// How far past the start the slots of a course lie, in mm.
    fn slots(&self, scene: &Scene, k: usize, course: &Course) -> Vec<f64> {
        let Some(places) = places(scene, &course.slots) else {
            return Vec::new();
        };
        let track = &scene.tracks[k];
        let laps = self.laps(self.past_start(track, places[0]));
        let past = |&s: &f64| self.past_start(track, s) - laps;
        places.iter().map(past).collect()
    }

    /// Whole turns that a start lies past this line's own, in mm.
    fn laps(&self, past: f64) -> f64 {
        match self.track.length() {
            Some(length) => (past / length).round() * length,
            None => 0.0,
        }
    }

    /// How far past the start some stitches lie, in mm.
    fn ids(&self, scene: &Scene, ids: Range<u32>) -> Vec<(StitchId, f64)> {
        let length = self.track.length();
        let past = |id: StitchId| {
            let spot = scene.spots.get(id)?;
            let past = self.past_start(&spot.track, spot.s);
            Some((id, length.map_or(past, |length| past.rem_euclid(length))))
        };
        ids.map(StitchId).filter_map(past).collect()
    }
}

/// For each part, the slots of a course that lie on it.
fn share(along: &Along, bounds: &[f64]) -> Vec<Range<usize>> {
    let past = along.past.as_slice();
    if along.ascends {
        let ends = bounds
            .iter()
            .map(|&bound| past.partition_point(|&past| past < bound));
        let mut from = 0;
        let ranges = ends.chain([past.len()]).map(|to| {
            let range = std::mem::replace(&mut from, to)..to;
            if range.is_empty() { 0..0 } else { range }
        });
        return ranges.collect();
    }
    let n = past.len();
    let parts: Vec<usize> = past.iter().map(|&past| part_at(past, bounds)).collect();
    let backward = parts.first() > parts.last();
    let mut shares = vec![0..0; bounds.len() + 1];
    let mut at = 0;
    while at < n {
        let here = parts[at];
        let ends = |other: usize| if backward { other < here } else { other > here };
        let to = parts[at..].iter().position(|&other| ends(other));
        let to = to.map_or(n, |to| at + to);
        shares[here] = at..to;
        at = to;
    }
    shares
}

/// For each part, those of some stitches that lie on it.
fn share_ids(past: &[(StitchId, f64)], bounds: &[f64]) -> Vec<Vec<StitchId>> {
    let mut shares = vec![Vec::new(); bounds.len() + 1];
    for &(id, past) in past {
        shares[part_at(past, bounds)].push(id);
    }
    shares
}

/// The part that a place lies on.
fn part_at(past: f64, bounds: &[f64]) -> usize {
    bounds.partition_point(|&bound| bound <= past)
}

/// The chains that the first course starts from: those before its first slot, so that none is shared out twice.
fn start_chains(scene: &Scene) -> Range<u32> {
    let Some(Slots { start, slots, .. }) = scene.cut.courses.first().map(|course| &course.slots)
    else {
        return 0..0;
    };
    let (Some(first), Some(last)) = (start.first(), start.last()) else {
        return 0..0;
    };
    match slots.first().map(|slot| slot.first().0) {
        Some(slot) if slot <= first.0 => 0..0,
        Some(slot) => first.0..slot.min(last.0 + 1),
        None => first.0..last.0 + 1,
    }
}

/// The places of some slots along their line, in mm; `None` if there are none.
fn places(scene: &Scene, slots: &Slots) -> Option<Vec<f64>> {
    let place = |before: &mut f64, id: StitchId| {
        *before = scene.spots.get(id).map_or(*before, |spot| spot.s);
        Some(*before)
    };
    let first = scene.spots.get(slots.slots.first()?.last())?.s;
    let ids = slots.slots.iter().map(|slot| slot.last());
    Some(ids.scan(first, place).collect())
}

/// The stitches of each round of a course that belong to some of its slots.
fn own(scene: &Scene, k: usize, slots: &Range<usize>) -> Vec<Range<u32>> {
    if slots.is_empty() {
        return Vec::new();
    }
    let course = &scene.cut.courses[k];
    let first = &scene.piece.rounds[course.rounds.start].stitches;
    let all = &course.slots.slots;
    let from = match slots.start {
        0 if k == 0 => first.start.max(start_chains(scene).end),
        0 => first.start,
        start => all[start].first().0,
    };
    let to = all.get(slots.end).map_or(first.end, |next| next.first().0);
    let rounds = course
        .rounds
        .clone()
        .map(|round| &scene.piece.rounds[round].stitches);
    rounds
        .map(|stitches| {
            let by = stitches.start - first.start;
            from + by..(to + by).min(stitches.end)
        })
        .collect()
}

/// What a stitch is worked into, where that lies by it: a round's last stitch and its first are far apart in a row, and so is what joins
/// one to the other.
fn stands_near<'a>(scene: &Scene<'a>, id: StitchId) -> &'a [StitchId] {
    let stitch = scene.piece.stitch(id);
    let joins = stitch.role == Role::Close || stitch.kind.height == Height::Chain;
    match scene.cut.layout {
        Layout::Strip if joins => &[],
        _ => scene.piece.feet(id),
    }
}

/// A part's share of a course.
struct Share {
    own: Vec<Range<u32>>,
    neighbours: Vec<StitchId>,
    goes_on: [Option<f64>; 2],
}

impl Share {
    fn of(scene: &Scene, k: usize, slots: &Range<usize>) -> Share {
        let all = &scene.cut.courses[k].slots.slots;
        let mut share = Share {
            own: own(scene, k, slots),
            neighbours: Vec::new(),
            goes_on: [None; 2],
        };
        if slots.is_empty() {
            return share;
        }
        let before = slots.start.saturating_sub(NEIGHBOURS)..slots.start;
        let after = slots.end..(slots.end + NEIGHBOURS).min(all.len());
        let place = |i: usize| scene.spots.get(all[i].last()).map(|spot| spot.s);
        let near = |i: &usize, end: usize| {
            let (place, end) = (place(*i), place(end));
            place
                .zip(end)
                .is_none_or(|(place, end)| (place - end).abs() <= NEAR_MM)
        };
        let before = before.filter(|i| near(i, slots.start));
        let after = after.filter(|i| near(i, slots.end - 1));
        for slot in before.chain(after).map(|i| &all[i]) {
            let ids = slot.first().0..=slot.last().0;
            share.neighbours.extend(ids.map(StitchId));
        }
        // Beside a neighbour that is not shown, the bound stays with the part's own stitches.
        let bound = |end: usize, other: usize| {
            let (end, other) = (place(end)?, place(other)?);
            let off = (other - end) / 2.0;
            let off = match off.abs() <= NEAR_MM / 2.0 {
                true => off,
                false => off.signum() * STITCH_WIDTH_MM / 2.0,
            };
            Some(end + off)
        };
        let starts = slots.start.checked_sub(1);
        let starts = starts.and_then(|other| bound(slots.start, other));
        let ends = (slots.end < all.len()).then(|| bound(slots.end - 1, slots.end));
        let ends = ends.flatten();
        share.goes_on = match is_backward(scene, k) {
            false => [starts, ends],
            true => [ends, starts],
        };
        share
    }

    fn owns(&self, id: StitchId) -> bool {
        self.own.iter().any(|own| own.contains(&id.0))
    }
}

/// True if a row runs against the widest one, along which parts are counted.
fn is_backward(scene: &Scene, k: usize) -> bool {
    let Some((widest, _)) = widest(scene) else {
        return false;
    };
    match (&scene.tracks[k], &scene.tracks[widest]) {
        (Track::Row(row), Track::Row(widest)) => row.leftward != widest.leftward,
        _ => false,
    }
}

/// Turns a part of a ring so that its first round is the lowest; rows lie as they are.
struct Turn {
    radians: f64,
    open: bool,
}

impl Turn {
    fn of(scene: &Scene, k: usize, middle: f64) -> Turn {
        if scene.cut.layout == Layout::Strip {
            return Turn {
                radians: 0.0,
                open: false,
            };
        }
        let up = scene.tracks[k].up(middle);
        let wanted = match scene.cut.direction {
            Direction::Outward => Vec2::new(0.0, -1.0),
            Direction::Inward => Vec2::new(0.0, 1.0),
        };
        Turn {
            radians: libm::atan2(up.cross(wanted), up.dot(wanted)),
            open: true,
        }
    }

    fn track(&self, track: &Track) -> Track {
        match *track {
            Track::Ring(mut ring) => {
                ring.turn += if ring.mirrored {
                    self.radians
                } else {
                    -self.radians
                };
                ring.open = self.open;
                Track::Ring(ring)
            }
            row => row,
        }
    }

    fn spot(&self, spot: &Spot) -> Spot {
        let turn = Affine::rotate(self.radians);
        let way = |way: Vec2| (turn * way.to_point()).to_vec2();
        let point = |point: Point| turn * point;
        Spot {
            head: point(spot.head),
            track: self.track(&spot.track),
            s: spot.s,
            glyph: match spot.glyph {
                Glyph::Dot { up } => Glyph::Dot { up: way(up) },
                Glyph::Chain {
                    centre,
                    direction,
                    length_mm,
                } => Glyph::Chain {
                    centre: point(centre),
                    direction: way(direction),
                    length_mm,
                },
                Glyph::Picot { at, up, chains } => Glyph::Picot {
                    at: point(at),
                    up: way(up),
                    chains,
                },
                glyph => glyph,
            },
        }
    }
}
