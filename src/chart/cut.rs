//! Which rounds go on one panel, and which of them share a ring.

use std::cmp::Ordering;
use std::f64::consts::PI;
use std::ops::Range;

use super::Options;
use super::corners::{self, Corners};
use super::lines::MOST_STRETCH;
use super::marks::label_room_mm;
use super::panel::{Direction, Layout};
use super::sizes::{ANCHOR_MM, HOLLOW_MM, MAGIC_RING_MM, Paper};
use super::slots::{SlotKind, Slots, is_simple};
use super::tubes;
use crate::fabric::{Fabric, Piece, Role, Round, RoundKind, Step, Stitch, StitchId};
use crate::terms::{Height, Into};

/// Stitches that stand farther apart than this many of their heights can't be drawn as worked together.
const SPARSE: f64 = 1.6;
/// The same for a single narrowing round.
const SPARSE_ALONE: f64 = 2.4;
/// How far the radius of a wide round may be from that of the round below, in heights of its stitches.
const LONGEST_STEP: f64 = 2.0;
/// How many times as wide as another a ruffled round on the same panel may be.
const MOST_RUFFLE: f64 = 2.0;

/// The rounds of one panel.
#[derive(Debug)]
pub(super) struct Cut {
    pub paper: Paper,
    pub layout: Layout,
    pub direction: Direction,
    /// The round that the first one is worked into, if it is on an earlier panel.
    pub anchor: Option<usize>,
    /// That round's corners, where it belongs to a motif that has some.
    pub anchor_corners: Option<Corners>,
    /// Radius of what the first ring stands on, where nothing is drawn there, in mm.
    pub hollow_mm: f64,
    pub courses: Vec<Course>,
}

/// Rounds that share a ring, with what their line needs.
#[derive(Debug, Default)]
pub(super) struct Course {
    /// Places in [`Piece::rounds`].
    pub rounds: Range<usize>,
    /// The first round's.
    pub slots: Slots,
    /// From the line below to the heads, in mm.
    pub height_mm: f64,
    /// Least length of the line, in mm.
    pub length_mm: f64,
    /// Room added where the round begins, for its number, in mm.
    pub seam_mm: f64,
    /// Its corners, where it belongs to a motif that has some.
    pub corners: Option<Corners>,
}

impl Course {
    /// Its corners, for a panel that stands on it.
    pub fn corners_below(&self) -> Option<Corners> {
        let corners = self.corners.as_ref();
        corners
            .filter(|corners| !corners.corners.is_empty())
            .cloned()
    }

    /// Least distance from each slot to the next, in mm, the last one's on to the first, with the room for the number.
    pub fn gaps(&self) -> Vec<f64> {
        let mut gaps = self.slots.gaps();
        let seam = gaps
            .len()
            .saturating_sub(1 + usize::from(self.slots.closed()));
        if let Some(gap) = gaps.get_mut(seam) {
            *gap += self.seam_mm;
        }
        gaps
    }
}

/// Cuts the rounds of a piece whose numbers are asked for into panels.
pub(super) fn cut(fabric: &Fabric, piece: &Piece, options: &Options) -> Vec<Cut> {
    let asked = options.rounds.as_ref();
    let paper = Paper::of(options.large);
    let tubes = match options.layout {
        None => tubes::with_joins(piece),
        Some(_) => Vec::new(),
    };
    let in_strip = options.layout == Some(Layout::Strip);
    // What goes round a chain, or round two parts, has no first and last stitch to lay out in a row.
    let stays_round = |k: usize| in_strip && encircles(piece, k);
    let at_tube = |k: usize| {
        let bounds = tubes.iter().any(|tube| tube.start == k || tube.end == k);
        bounds || stays_round(k - 1) && !stays_round(k)
    };
    let mut cuts = Vec::new();
    let mut from = 0;
    let is_asked = |k: usize| asked.is_none_or(|range| range.contains(&piece.rounds[k].number));
    for to in 1..=piece.rounds.len() {
        let parts = to == piece.rounds.len()
            || is_asked(to) != is_asked(from)
            || at_tube(to)
            || starts_afresh(piece, to);
        if parts {
            if is_asked(from) {
                let in_tube = tubes.iter().any(|tube| tube.contains(&from));
                let in_rows = in_tube || in_strip && !stays_round(to - 1);
                part(fabric, piece, from..to, in_rows, paper, &mut cuts);
            }
            from = to;
        }
    }
    for cut in &mut cuts {
        let shown: usize = cut
            .courses
            .iter()
            .map(|course| course.slots.slots.len())
            .sum();
        // A long round under a few stitches would be drawn again and again.
        cut.anchor = cut
            .anchor
            .filter(|&round| piece.rounds[round].len() <= LEAST_ANCHOR + ANCHOR_SHARE * shown);
    }
    cuts
}

/// Most stitches of an earlier round that any panel shows, and how many more for each of its own.
const LEAST_ANCHOR: usize = 64;
/// See [`LEAST_ANCHOR`].
const ANCHOR_SHARE: usize = 6;

/// True if a round can't be drawn as the ring or row next to the one before it.
pub(super) fn starts_afresh(piece: &Piece, k: usize) -> bool {
    let (before, round) = (&piece.rounds[k - 1], &piece.rounds[k]);
    if kind_of(piece, k) != kind_of(piece, k - 1) || !Slots::of(piece, before).beyond.is_empty() {
        return true;
    }
    if splits_off(piece, k) || joins_parts(piece, round) || edges_rows(piece, round) {
        return true;
    }
    match base(piece, round) {
        Base::Round(base) => base + 1 != k,
        Base::Ring => !is_chain(piece, before),
        Base::Nothing => !round.is_empty() && !before.is_empty() && !works_nothing(piece, round),
    }
}

/// What a round stands on.
enum Base {
    Round(usize),
    Ring,
    Nothing,
}

/// The round that a round is worked into: the nearest one before it, where there are several.
fn base(piece: &Piece, round: &Round) -> Base {
    let mut nearest = None;
    let mut ring = false;
    for (id, stitch) in piece.round_stitches(round) {
        if stitch.kind.height == Height::Chain || matches!(stitch.role, Role::Close | Role::Picot) {
            continue;
        }
        ring |= stitch.into == Into::Ring;
        for &foot in piece.feet(id) {
            if foot.0 < round.stitches.start {
                nearest = nearest.max(Some(piece.stitch(foot).round as usize));
            }
        }
    }
    match nearest {
        Some(round) => Base::Round(round),
        None if ring => Base::Ring,
        None => Base::Nothing,
    }
}

/// True if nothing but chains and slip stitches that move the hook is worked.
fn works_nothing(piece: &Piece, round: &Round) -> bool {
    piece
        .round_stitches(round)
        .all(|(_, stitch)| stitch.kind.height <= Height::Slip)
}

/// True if a round is a starting chain and nothing else.
pub(super) fn is_chain(piece: &Piece, round: &Round) -> bool {
    !round.is_empty()
        && piece
            .round_stitches(round)
            .all(|(_, stitch)| match stitch.role {
                Role::Foundation => stitch.kind.height == Height::Chain,
                role => role == Role::Close,
            })
}

/// A chain that is not closed goes with what is worked into it; an edge folded flat is a row.
pub(super) fn kind_of(piece: &Piece, k: usize) -> RoundKind {
    let round = &piece.rounds[k];
    if is_folded_flat(piece, round) {
        return RoundKind::Row;
    }
    if runs_round(piece) {
        return RoundKind::Round;
    }
    match piece.rounds.get(k + 1) {
        Some(next) if is_chain(piece, round) && !round.closed => next.kind,
        _ => round.kind,
    }
}

/// True if what is called rows starts from a ring and is never turned.
fn runs_round(piece: &Piece) -> bool {
    let has_rows = piece
        .rounds
        .iter()
        .any(|round| round.kind == RoundKind::Row);
    let first = piece.stitches.first();
    // Without rows there is nothing to ask, and asking looks at every stitch.
    has_rows
        && first.is_some_and(|first| first.into == Into::Ring)
        && piece
            .rounds
            .iter()
            .skip(1)
            .all(|round| !is_turned(piece, round))
}

/// True if a row is worked back over the one below.
pub(super) fn is_turned(piece: &Piece, round: &Round) -> bool {
    let ends = |is_told: fn(&Stitch) -> bool| {
        let mut below = piece
            .round_stitches(round)
            .filter(|(_, stitch)| is_told(stitch))
            .filter_map(|(id, _)| piece.feet(id).first())
            .filter(|foot| {
                foot.0 < round.stitches.start || piece.stitch(**foot).role == Role::Foundation
            });
        below.next().zip(below.last())
    };
    // Slip stitches tell it only where there is nothing else.
    let slips = |stitch: &Stitch| stitch.role == Role::Head && stitch.kind.height == Height::Slip;
    let ends = ends(|stitch| stitch.kind.height > Height::Slip).or_else(|| ends(slips));
    ends.is_none_or(|(first, last)| last < first)
}

/// True if a round is worked through both layers of the one below, folded flat.
pub(super) fn is_folded_flat(piece: &Piece, round: &Round) -> bool {
    let mut heads = 0;
    let mut doubled = 0;
    for (id, stitch) in piece.round_stitches(round) {
        if stitch.role == Role::Head && stitch.kind.height > Height::Chain {
            heads += 1;
            let through_both = is_simple(stitch.kind) && stitch.into != Into::Space;
            doubled += usize::from(through_both && piece.feet(id).len() == 2);
        }
    }
    doubled * 2 > heads
}

/// True if a round goes round a chain that it begins with and that joins parts, such as two legs.
pub(super) fn joins_parts(piece: &Piece, round: &Round) -> bool {
    let any = |is: fn(&Stitch) -> bool| piece.round_stitches(round).any(|(_, stitch)| is(stitch));
    let foundation = |stitch: &Stitch| stitch.role == Role::Foundation;
    any(|stitch| stitch.into == Into::Part) && any(foundation)
}

/// True if a round or row goes along the ends of rows.
pub(super) fn edges_rows(piece: &Piece, round: &Round) -> bool {
    piece
        .round_stitches(round)
        .any(|(_, stitch)| stitch.into == Into::RowEnd)
}

/// True if a round goes along both sides of a chain, as an oval does, round the chain between two parts, or along the ends of rows.
fn encircles(piece: &Piece, k: usize) -> bool {
    let round = &piece.rounds[k];
    if kind_of(piece, k) == RoundKind::Row {
        return false;
    }
    let stitches = piece.round_stitches(round);
    let chains = stitches.filter(|(_, stitch)| stitch.kind.height > Height::Chain);
    let feet: Vec<StitchId> = chains
        .filter(|(_, stitch)| !matches!(stitch.into, Into::Ring | Into::Space))
        .filter_map(|(id, _)| piece.feet(id).first().copied())
        .filter(|&foot| piece.stitch(foot).role == Role::Foundation)
        .collect();
    let steps = || feet.windows(2).map(|pair| pair[0].cmp(&pair[1]));
    joins_parts(piece, round)
        || edges_rows(piece, round)
        || steps().any(Ordering::is_lt) && steps().any(Ordering::is_gt)
}

/// True if a round is worked over a part of the round below and closes by itself, as a leg does.
pub(super) fn splits_off(piece: &Piece, k: usize) -> bool {
    let (Some(before), Some(next)) = (k.checked_sub(1), piece.rounds.get(k + 1)) else {
        return false;
    };
    let round = &piece.rounds[k];
    let is_own = |id: StitchId| {
        let mut feet = piece.feet(id).iter();
        feet.all(|foot| foot.0 >= round.stitches.start)
    };
    round.edge.len() * 4 < width(piece, before) * 3
        && next.kind == RoundKind::Round
        && round.kind == RoundKind::Round
        && round
            .edge
            .iter()
            .any(|&id| piece.stitch(id).role == Role::Bridge)
        && !next.is_empty()
        && next.edge.iter().all(|&id| is_own(id))
}

/// True if a row goes over less than half of the round below.
pub(super) fn is_flap(piece: &Piece, k: usize) -> bool {
    let Some(before) = k.checked_sub(1) else {
        return false;
    };
    kind_of(piece, k) == RoundKind::Row
        && kind_of(piece, before) == RoundKind::Round
        && !edges_rows(piece, &piece.rounds[k])
        && piece.rounds[k].edge.len() * 2 < width(piece, before)
}

/// Rounds that follow one another without a break, to one or more panels.
fn part(
    fabric: &Fabric,
    piece: &Piece,
    rounds: Range<usize>,
    in_rows: bool,
    paper: Paper,
    cuts: &mut Vec<Cut>,
) {
    let from = rounds.start;
    let first = &piece.rounds[from];
    let anchor = match base(piece, first) {
        Base::Round(base) => Some(base),
        Base::Ring | Base::Nothing => None,
    };
    let is_row = kind_of(piece, rounds.start) == RoundKind::Row;
    if is_row || in_rows {
        let courses = match is_row {
            true => rounds.map(|k| course(fabric, piece, k..k + 1)).collect(),
            false => folded(fabric, piece, rounds),
        };
        return cut_strip(courses, anchor, MOST_STRETCH, paper, cuts);
    }
    let in_ring = matches!(base(piece, first), Base::Ring);
    let hollow_mm = if in_ring { MAGIC_RING_MM } else { HOLLOW_MM };
    let mut outward = Outward::new(fabric, piece, anchor, hollow_mm, paper);
    let mut courses = folded(fabric, piece, rounds);
    if anchor.is_none() {
        corners::find(piece, &mut courses);
    }
    let mut courses = courses.into_iter().peekable();
    while let Some(course) = courses.next() {
        if ruffles(piece, &course, paper) {
            let before = course.rounds.start - 1;
            let mut rows = vec![course];
            while let Some(next) = courses.next_if(|next| ruffles(piece, next, paper)) {
                rows.push(next);
            }
            let last = rows.last().map_or(before, |row| row.rounds.end - 1);
            cuts.extend(outward.finish());
            cut_strip(rows, Some(before), MOST_RUFFLE, paper, cuts);
            outward = Outward::new(fabric, piece, Some(last), HOLLOW_MM, paper);
            continue;
        }
        let mut narrowing = vec![course];
        if narrows(piece, &narrowing[0]) {
            while let Some(next) = courses.next_if(|next| !widens(piece, next)) {
                narrowing.push(next);
            }
        }
        // The first of them may stand on an earlier round than the one before it.
        let before = match anchor {
            Some(base) if narrowing[0].rounds.start == from => base,
            _ => narrowing[0].rounds.start.saturating_sub(1),
        };
        let last = narrowing
            .last()
            .map_or(before, |course| course.rounds.end - 1);
        let sparse = outward.is_too_sparse_for(&narrowing);
        // What stands out from a round needs the paper around it.
        let is_smooth = narrowing.iter().all(|course| !course.slots.has_spurs());
        let closing = closes(piece, &narrowing) || sparse && courses.peek().is_none();
        if closing && is_smooth {
            cuts.extend(outward.finish());
            cut_inward(fabric, piece, narrowing, before, paper, cuts);
            outward = Outward::new(fabric, piece, Some(last), HOLLOW_MM, paper);
            continue;
        }
        if sparse {
            cuts.extend(outward.finish());
            outward = Outward::new(fabric, piece, Some(before), HOLLOW_MM, paper);
        }
        for course in narrowing {
            cuts.extend(outward.push(course));
        }
    }
    cuts.extend(outward.finish());
}

/// True if a round is too wide for any page and so much wider or narrower than the one below that, as rings, legs between the two would be far
/// longer than any stitch.
fn ruffles(piece: &Piece, course: &Course, paper: Paper) -> bool {
    let Some(below) = course.rounds.start.checked_sub(1) else {
        return false;
    };
    let own = radius_mm(course.length_mm);
    let below = radius_mm(Slots::of(piece, &piece.rounds[below]).length_mm(course.seam_mm));
    own > paper.page.width / 2.0
        && course.corners.is_none()
        && !course.slots.has_spurs()
        && course.slots.start.is_empty()
        && (own - below).abs() > LONGEST_STEP * course.height_mm
}

/// How many stitches a round leaves.
fn width(piece: &Piece, round: usize) -> usize {
    piece.rounds[round].edge.len()
}

/// True if a course is narrower than the round below. A few stitches beyond the last full round are no narrowing of the shape.
fn narrows(piece: &Piece, course: &Course) -> bool {
    let Some(before) = course.rounds.start.checked_sub(1) else {
        return false;
    };
    let (below, here) = (width(piece, before), width(piece, course.rounds.start));
    here < below && here * 10 >= below * 3
}

/// True if a course is wider than the round below, or too short to go on with a shape.
fn widens(piece: &Piece, course: &Course) -> bool {
    let Some(before) = course.rounds.start.checked_sub(1) else {
        return false;
    };
    let (below, here) = (width(piece, before), width(piece, course.rounds.start));
    here > below || here * 10 < below * 3
}

/// True if a narrowing goes on to half of its width in more than one round.
fn closes(piece: &Piece, narrowing: &[Course]) -> bool {
    let (Some(first), Some(last)) = (narrowing.first(), narrowing.last()) else {
        return false;
    };
    let Some(before) = first.rounds.start.checked_sub(1) else {
        return false;
    };
    let rounds = last.rounds.end - first.rounds.start;
    narrows(piece, first)
        && rounds >= 2
        && width(piece, last.rounds.start) * 2 <= width(piece, before)
}

/// Sorts rounds into courses, equal plain rounds into one.
fn folded(fabric: &Fabric, piece: &Piece, rounds: Range<usize>) -> Vec<Course> {
    let mut courses = Vec::new();
    let mut from = rounds.start;
    while from < rounds.end {
        let mut to = from + 1;
        if is_plain(piece, from) {
            while to < rounds.end && repeats(piece, to) {
                to += 1;
            }
        }
        courses.push(course(fabric, piece, from..to));
        from = to;
    }
    courses
}

pub(super) fn course(fabric: &Fabric, piece: &Piece, rounds: Range<usize>) -> Course {
    let slots = Slots::of(piece, &piece.rounds[rounds.start]);
    let seam_mm = label_room_mm(fabric, piece, &rounds, None);
    Course {
        height_mm: slots.height_mm(piece),
        length_mm: slots.length_mm(seam_mm),
        seam_mm,
        slots,
        rounds,
        corners: None,
    }
}

/// True if every stitch of a round is the same plain stitch in the same yarn, one in each stitch below, begun over the start below.
fn is_plain(piece: &Piece, k: usize) -> bool {
    let round = &piece.rounds[k];
    let Some(below) = k.checked_sub(1).map(|k| &piece.rounds[k]) else {
        return false;
    };
    let Some(&first) = round.edge.first() else {
        return false;
    };
    let like = piece.stitch(first);
    let over_each = below.edge.len() == round.edge.len()
        && below
            .edge
            .iter()
            .zip(&round.edge)
            .all(|(&below, &here)| piece.feet(here) == [below]);
    over_each
        && is_simple(like.kind)
        && piece.round_stitches(round).all(|(_, stitch)| {
            stitch.join.is_none()
                && stitch.yarn == like.yarn
                && match stitch.role {
                    Role::Head => stitch.kind == like.kind && stitch.into == like.into,
                    Role::Lift | Role::Close => true,
                    _ => false,
                }
        })
}

/// True if a round is worked just like the plain round before it, with nothing done in between.
fn repeats(piece: &Piece, k: usize) -> bool {
    let (before, round) = (&piece.rounds[k - 1], &piece.rounds[k]);
    let alike = before.len() == round.len()
        && piece
            .round_stitches(before)
            .zip(piece.round_stitches(round))
            .all(|((_, a), (_, b))| {
                a.kind == b.kind && a.into == b.into && a.role == b.role && a.yarn == b.yarn
            });
    let undisturbed = steps_after(piece, k).is_empty()
        && !steps_after(piece, k + 1)
            .iter()
            .any(|step| within(step.after, round));
    let mut surfaces = piece.surfaces.iter();
    let is_plain_faced = !surfaces.any(|on| on.rounds.start <= k && on.rounds.end >= k);
    alike && undisturbed && is_plain_faced && is_plain(piece, k)
}

/// What is done after a number of rounds, steps within the last of them included.
pub(super) fn steps_after(piece: &Piece, rounds: usize) -> &[Step] {
    let steps = &piece.steps;
    let from = steps.partition_point(|step| (step.after_round as usize) < rounds);
    let to = steps.partition_point(|step| step.after_round as usize <= rounds);
    &steps[from..to.max(from)]
}

/// True if something is done in the middle of a round.
fn within(after: Option<StitchId>, round: &Round) -> bool {
    after.is_some_and(|id| round.stitches.contains(&id.0) && id.0 + 1 < round.stitches.end)
}

/// Radius that a line of a length makes.
pub(super) fn radius_mm(length_mm: f64) -> f64 {
    length_mm / (2.0 * PI)
}

/// Room outside what is drawn for a round in a ring of an earlier panel.
fn anchor_mm(fabric: &Fabric, piece: &Piece, round: usize) -> f64 {
    radius_mm(course(fabric, piece, round..round + 1).length_mm).max(ANCHOR_MM)
}

/// Panels that read outward, filled course by course.
struct Outward<'a> {
    fabric: &'a Fabric,
    piece: &'a Piece,
    open: Cut,
    /// Radius of what the next course stands on, in mm.
    radius: f64,
}

impl Outward<'_> {
    fn new<'a>(
        fabric: &'a Fabric,
        piece: &'a Piece,
        anchor: Option<usize>,
        hollow_mm: f64,
        paper: Paper,
    ) -> Outward<'a> {
        let open = Cut {
            paper,
            layout: Layout::Rings,
            direction: Direction::Outward,
            anchor,
            anchor_corners: None,
            hollow_mm,
            courses: Vec::new(),
        };
        let radius = match anchor {
            Some(round) => anchor_mm(fabric, piece, round),
            None => hollow_mm,
        };
        Outward {
            fabric,
            piece,
            open,
            radius,
        }
    }

    /// Adds a course. Returns the panel that is full, if the course had to begin another.
    fn push(&mut self, course: Course) -> Option<Cut> {
        let mut full = None;
        let paper = self.open.paper;
        if outer(self.radius, &course) * reach(&course) > paper.widest_ring_mm
            && let Some(last) = self.open.courses.last()
        {
            let corners = last.corners_below();
            let last = last.rounds.end - 1;
            let mut afresh = Outward::new(self.fabric, self.piece, Some(last), HOLLOW_MM, paper);
            afresh.open.anchor_corners = corners;
            // A round that is too wide by itself gains nothing from another panel.
            if is_smaller(
                outer(afresh.radius, &course),
                outer(self.radius, &course),
                paper,
            ) {
                full = std::mem::replace(self, afresh).finish();
            }
        }
        self.radius = outer(self.radius, &course) + course.slots.crown_mm;
        self.open.courses.push(course);
        full
    }

    /// True if narrowing courses would lie on rings where stitches stand so far apart that what is worked together can't be seen to
    /// be. A single one is worth a panel of its own only where it would be worse.
    fn is_too_sparse_for(&self, narrowing: &[Course]) -> bool {
        let Some(course) = narrowing.first() else {
            return false;
        };
        let least = if narrowing.len() > 1 {
            SPARSE
        } else {
            SPARSE_ALONE
        };
        let Some(before) = course.rounds.start.checked_sub(1) else {
            return false;
        };
        let apart = 2.0 * PI * self.radius / width(self.piece, before).max(1) as f64;
        narrows(self.piece, course)
            && !self.open.courses.is_empty()
            && apart > least * course.height_mm
    }

    fn finish(self) -> Option<Cut> {
        (!self.open.courses.is_empty()).then_some(self.open)
    }
}

/// True if a radius fits a sheet or, where none can, is at least much smaller than another.
fn is_smaller(radius_mm: f64, other_mm: f64, paper: Paper) -> bool {
    radius_mm <= paper.widest_ring_mm || radius_mm < 0.75 * other_mm
}

/// Radius of a course's heads if it stands on a ring of a radius, in mm.
fn outer(radius: f64, course: &Course) -> f64 {
    (radius + course.height_mm).max(radius_mm(course.length_mm))
}

/// How far a course reaches to the sides, as a part of the radius that it would have as a circle: a square with its sides upright
/// is narrower than the circle of the same length, a hexagon that stands on a side is a little wider.
fn reach(course: &Course) -> f64 {
    let Some(corners) = &course.corners else {
        return 1.0;
    };
    let half = PI / f64::from(corners.sides);
    let across = (0..corners.sides)
        .map(|corner| libm::fabs(libm::sin(half * f64::from(2 * corner + 1))))
        .fold(0.0, f64::max);
    half / libm::sin(half) * across
}

/// Fills panels from the last round outward, so that the innermost is as small as can be.
fn cut_inward(
    fabric: &Fabric,
    piece: &Piece,
    courses: Vec<Course>,
    anchor: usize,
    paper: Paper,
    cuts: &mut Vec<Cut>,
) {
    let mut panels: Vec<Vec<Course>> = vec![Vec::new()];
    // Radius of what lies around the rings so far.
    let mut outside = 0.0;
    for course in courses.into_iter().rev() {
        let own = radius_mm(course.length_mm).max(HOLLOW_MM);
        let mut around = f64::max(outside, own) + course.height_mm;
        let below = anchor_mm(fabric, piece, course.rounds.start - 1);
        if around.max(below) > paper.widest_ring_mm
            && is_smaller(own + course.height_mm, around, paper)
            && panels.last().is_some_and(|panel| !panel.is_empty())
        {
            panels.push(Vec::new());
            around = own + course.height_mm;
        }
        outside = around;
        if let Some(panel) = panels.last_mut() {
            panel.push(course);
        }
    }
    let mut anchor = anchor;
    for mut courses in panels.into_iter().rev() {
        courses.reverse();
        let next = courses
            .last()
            .map_or(anchor, |course| course.rounds.end - 1);
        cuts.push(Cut {
            paper,
            layout: Layout::Rings,
            direction: Direction::Inward,
            anchor: Some(anchor),
            anchor_corners: None,
            hollow_mm: HOLLOW_MM,
            courses,
        });
        anchor = next;
    }
}

/// Fills panels with rows. None is so many times as wide as another on its panel.
fn cut_strip(
    courses: Vec<Course>,
    anchor: Option<usize>,
    most_stretch: f64,
    paper: Paper,
    cuts: &mut Vec<Cut>,
) {
    let mut open = Cut {
        paper,
        layout: Layout::Strip,
        direction: Direction::Outward,
        anchor,
        anchor_corners: None,
        hollow_mm: 0.0,
        courses: Vec::new(),
    };
    let mut height = 0.0;
    // Of rounds, how wide the narrowest and the widest are: one would be drawn as wide as the other.
    let mut widths: (f64, f64) = (f64::INFINITY, 0.0);
    for course in courses {
        let width = course.slots.length_mm(0.0);
        let both = (widths.0.min(width), widths.1.max(width));
        let is_sparse = both.1 > most_stretch * both.0;
        let is_tall = height + course.height_mm > paper.tallest_strip_mm;
        widths = both;
        if (is_tall || is_sparse) && !open.courses.is_empty() {
            widths = (width, width);
            let following = Cut {
                anchor: open.courses.last().map(|course| course.rounds.end - 1),
                anchor_corners: None,
                courses: Vec::new(),
                ..open
            };
            cuts.push(std::mem::replace(&mut open, following));
            height = 0.0;
        }
        height += course.height_mm + course.slots.crown_mm;
        open.courses.push(course);
    }
    if !open.courses.is_empty() {
        cuts.push(open);
    }
}

/// True if a course is nothing but chains that are not closed into a ring.
pub(super) fn is_open_chain(piece: &Piece, course: &Course) -> bool {
    let round = &piece.rounds[course.rounds.start];
    is_chain(piece, round)
        && !round.closed
        && course
            .slots
            .slots
            .iter()
            .all(|slot| matches!(slot.kind, SlotKind::Chain(_)))
}
