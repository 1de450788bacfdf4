//! Judges a laid-out panel by numbers: what a maker could take for something else, and how much paper it takes.
//!
//! What counts as an overlap is defined here and nowhere else. A symbol's ink is a set of boxes: one for each of its straight lines, as wide
//! as the pen, its curves cut into short lines and its filled shapes taken by their outlines. Where two stitches meet by nature (one stands on
//! the other, or both on one head) a small disc is left out. Two symbols overlap if any box of one touches any box of the other, but not where
//! one is worked past the other's round, and so lies over it in the work: those are counted apart.

use std::collections::BTreeSet;
use std::f64::consts::{PI, TAU};

use kurbo::{Affine, BezPath, ParamCurve, PathSeg, Point, Rect, Shape};

use super::drawn::{drawn, drawn_feet};
use super::panel::{Glyph, Ink, Layout, Panel, Placed, Words};
use crate::fabric::{Piece, Role, StitchId};
use crate::symbol::{PEN_MM, Symbol};
use crate::terms::{Form, Height, Into};
use crate::text;

/// Radius of the disc that is left out where two stitches meet by nature, in mm: a third of a stitch's width.
pub const MEETING_MM: f64 = 1.2;
/// Points that are nearer to each other than this are one, in mm.
const ONE_POINT_MM: f64 = 0.2;
/// Lines that a curve is cut into.
const CURVE_LINES: u32 = 4;

/// What a panel's layout is like.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Quality {
    /// Pairs of stitches whose symbols overlap; a stitch beside itself overlaps a mark.
    pub overlaps: Vec<[StitchId; 2]>,
    /// Pairs of stitches whose symbols overlap because one is worked past the other's round, and so lies over it in the work itself.
    pub worked_overlaps: usize,
    /// Pairs of stitches whose legs cross though the work does not.
    pub crossings: Vec<[StitchId; 2]>,
    /// Pairs of stitches that cross in the work itself, as in crossed stitches and in those worked far down.
    pub worked_crossings: usize,
    /// Words that touch a symbol, a line of another mark, or other words.
    pub hidden_words: Vec<String>,
    /// Stitches whose head lies before that of the stitch before them in the round.
    pub out_of_order: Vec<StitchId>,
    /// Stitches whose foot is farther than 0.2 mm from what they are worked into.
    pub adrift: Vec<StitchId>,
    /// Steepest lean of a plain stitch from the radius or the upright, in degrees.
    pub lean_degrees: f64,
    /// The longer side of the smallest symbol with a stem, in mm; infinite if there is none.
    pub smallest_mm: f64,
    /// Part of the page that is covered with the ink of symbols, from 0 to 1.
    pub ink: f64,
}

/// Judges a panel; `piece` is the one that it was laid out from.
pub fn quality(panel: &Panel, piece: &Piece) -> Quality {
    let inked = inked(panel);
    let (crossings, worked) = crossings(panel, piece);
    let (overlaps, lying_over) = overlaps(panel, piece, &inked, &worked);
    let mut quality = Quality {
        overlaps,
        worked_overlaps: lying_over.len(),
        worked_crossings: worked.len(),
        crossings,
        hidden_words: hidden_words(panel, &inked),
        out_of_order: out_of_order(panel, piece),
        adrift: adrift(panel, piece),
        lean_degrees: lean(panel, piece),
        smallest_mm: f64::INFINITY,
        ink: 0.0,
    };
    let mut ink_mm2 = 0.0;
    for one in &inked {
        ink_mm2 += one.area_mm2;
        let has_stem = one.placed.is_some_and(|placed| match placed.glyph {
            Glyph::Stitch { kind, .. } => kind.height > Height::Slip,
            _ => false,
        });
        if has_stem && !one.faint {
            quality.smallest_mm = quality.smallest_mm.min(one.size_mm);
        }
    }
    quality.ink = ink_mm2 / (panel.width_mm * panel.height_mm);
    quality
}

/// A straight piece of a symbol's ink.
pub type Stretch = (Point, Point);

/// The straight lines of a symbol's ink: those that the pen follows, and the outlines of filled shapes.
pub fn stretches(symbol: &Symbol) -> Vec<Stretch> {
    let mut lines = Vec::new();
    for path in [&symbol.stroke, &symbol.fill] {
        add_stretches(path, &mut lines);
    }
    lines
}

fn add_stretches(path: &BezPath, lines: &mut Vec<Stretch>) {
    for segment in path.segments() {
        let steps = match segment {
            PathSeg::Line(_) => 1,
            _ => CURVE_LINES,
        };
        let at = |step: u32| segment.eval(f64::from(step) / f64::from(steps));
        lines.extend((0..steps).map(|step| (at(step), at(step + 1))));
    }
}

/// Something drawn, in pieces.
struct Inked<'a> {
    /// The stitch; none for a mark.
    placed: Option<&'a Placed>,
    /// Belongs to the round that the panel stands on.
    faint: bool,
    lines: Vec<Stretch>,
    room: Rect,
    size_mm: f64,
    area_mm2: f64,
}

impl<'a> Inked<'a> {
    fn new(placed: Option<&'a Placed>, symbol: &Symbol) -> Inked<'a> {
        let upright = match placed.map(|placed| placed.glyph) {
            Some(Glyph::Stitch { .. }) => turned_up(placed, symbol),
            _ => symbol.ink_box(),
        };
        let drawn: f64 = symbol.stroke.segments().map(length_mm).sum();
        Inked {
            placed,
            faint: false,
            lines: stretches(symbol),
            room: symbol.ink_box(),
            size_mm: upright.width().max(upright.height()),
            area_mm2: drawn * PEN_MM + symbol.fill.area().abs(),
        }
    }
}

fn length_mm(segment: PathSeg) -> f64 {
    let at = |step: u32| segment.eval(f64::from(step) / f64::from(CURVE_LINES));
    (0..CURVE_LINES)
        .map(|step| at(step).distance(at(step + 1)))
        .sum()
}

/// The ink's box as one looks along the stem.
fn turned_up(placed: Option<&Placed>, symbol: &Symbol) -> Rect {
    let Some(placed) = placed else {
        return symbol.ink_box();
    };
    let middle = symbol.ink_box().center();
    let way = placed.head - middle;
    let turn = Affine::rotate(-libm::atan2(way.y, way.x));
    symbol.clone().transformed(turn).ink_box()
}

/// Every symbol of a panel.
fn inked(panel: &Panel) -> Vec<Inked<'_>> {
    let mut all = Vec::new();
    for (faint, placed) in [(true, &panel.anchors), (false, &panel.stitches)] {
        for (placed, symbol) in placed.iter().zip(drawn(panel, placed)) {
            if !symbol.is_empty() {
                all.push(Inked {
                    faint,
                    ..Inked::new(Some(placed), &symbol)
                });
            }
        }
    }
    for ink in panel.marks.iter().flat_map(|mark| &mark.ink) {
        if let Ink::Symbol(symbol, _) = ink {
            all.push(Inked::new(None, symbol));
        }
    }
    all.sort_by(|a, b| a.room.x0.total_cmp(&b.room.x0));
    all
}

/// Pairs of symbols that overlap: those that need not, and those of the work itself.
fn overlaps(
    panel: &Panel,
    piece: &Piece,
    inked: &[Inked],
    worked: &[[StitchId; 2]],
) -> (Vec<[StitchId; 2]>, Vec<[StitchId; 2]>) {
    let (mut needless, mut lying_over) = (Vec::new(), Vec::new());
    for (i, one) in inked.iter().enumerate() {
        for other in &inked[i + 1..] {
            if other.room.x0 > one.room.x1 {
                break;
            }
            if one.room.y0 > other.room.y1 || other.room.y0 > one.room.y1 {
                continue;
            }
            let pair = match (one.placed, other.placed) {
                (Some(a), Some(b)) => [a.id.min(b.id), a.id.max(b.id)],
                (Some(a), None) | (None, Some(a)) => [a.id, a.id],
                (None, None) => continue,
            };
            if worked.binary_search(&pair).is_ok() || !touch(panel, piece, one, other) {
                continue;
            }
            match lies_over(piece, pair) {
                true => lying_over.push(pair),
                false => needless.push(pair),
            }
        }
    }
    needless.sort();
    (needless, lying_over)
}

/// True if the later of two stitches is worked past the earlier one's round into what that one stands on, or beside it, and so lies over
/// it in the work itself.
pub fn lies_over(piece: &Piece, [first, second]: [StitchId; 2]) -> bool {
    let (passed, round) = (piece.stitch(first).round, piece.stitch(second).round);
    let mut down = piece.feet(second).iter();
    passed < round
        && down.any(|&foot| piece.stitch(foot).round < passed && stands_by(piece, first, foot))
}

/// True if a stitch stands, round by round, on another of an earlier round or on a neighbour of that.
fn stands_by(piece: &Piece, upper: StitchId, foot: StitchId) -> bool {
    let goal = piece.stitch(foot);
    let last = piece.rounds[goal.round as usize].len().saturating_sub(1);
    let mut waiting = BTreeSet::from([upper]);
    while let Some(id) = waiting.pop_last() {
        let stitch = piece.stitch(id);
        if stitch.round > goal.round {
            let feet = piece.feet(id).iter().copied();
            waiting.extend(feet.filter(|foot| *foot < id));
            continue;
        }
        let off = stitch.index.abs_diff(goal.index) as usize;
        if stitch.round == goal.round && (off <= 1 || off == last) {
            return true;
        }
    }
    false
}

/// True if the ink of two symbols touches away from where they meet by nature.
fn touch(panel: &Panel, piece: &Piece, one: &Inked, other: &Inked) -> bool {
    let meetings = match (one.placed, other.placed) {
        (Some(a), Some(b)) => meetings(panel, piece, a, b),
        _ => Vec::new(),
    };
    let near = |lines: &[Stretch], room: Rect| -> Vec<Stretch> {
        let room = room.inset(PEN_MM);
        lines
            .iter()
            .filter(|line| {
                Rect::from_points(line.0, line.1)
                    .inset(PEN_MM)
                    .overlaps(room)
            })
            .flat_map(|&line| outside(line, &meetings))
            .collect()
    };
    let (ones, others) = (near(&one.lines, other.room), near(&other.lines, one.room));
    ones.iter()
        .any(|&a| others.iter().any(|&b| boxes_touch(a, b)))
}

/// The middles of the discs where two stitches meet by nature, in mm on the panel: a head that both share or that one stands on, and the
/// feet of a stitch in a space of the other.
pub fn meetings(panel: &Panel, piece: &Piece, one: &Placed, other: &Placed) -> Vec<Point> {
    let ends = |placed: &Placed| {
        let mut ends = panel.feet(placed).to_vec();
        if matches!(placed.glyph, Glyph::Stitch { .. }) {
            ends.extend(drawn_feet(panel, placed));
        }
        ends.push(placed.head);
        ends
    };
    let (a, b) = (ends(one), ends(other));
    let is_near =
        |p: &Point, others: &[Point]| others.iter().any(|q| p.distance(*q) < ONE_POINT_MM);
    let mut middles: Vec<Point> = a.iter().copied().filter(|p| is_near(p, &b)).collect();
    for (upper, lower) in [(one, other), (other, one)] {
        let stitch = piece.stitch(upper.id);
        if stitch.into == Into::Space && piece.feet(upper.id).contains(&lower.id) {
            middles.extend(panel.feet(upper));
        }
    }
    middles
}

/// What of a line lies outside all discs of [`MEETING_MM`] about some points.
pub fn outside(line: Stretch, meetings: &[Point]) -> Vec<Stretch> {
    let way = line.1 - line.0;
    let length = way.length();
    if meetings.is_empty() || length == 0.0 {
        return vec![line];
    }
    let mut kept = vec![(0.0, 1.0)];
    for &middle in meetings {
        let along = (middle - line.0).dot(way) / length;
        let off = (middle - line.0).cross(way) / length;
        let half = MEETING_MM * MEETING_MM - off * off;
        if half <= 0.0 {
            continue;
        }
        let half = half.sqrt();
        let (low, high) = ((along - half) / length, (along + half) / length);
        kept = kept
            .into_iter()
            .flat_map(|(from, to): (f64, f64)| [(from, to.min(low)), (from.max(high), to)])
            .filter(|(from, to)| to > from)
            .collect();
    }
    kept.into_iter()
        .map(|(from, to)| (line.0 + way * from, line.0 + way * to))
        .collect()
}

/// True if the boxes of two lines, as wide as the pen, touch: no side of either separates them.
fn boxes_touch(a: Stretch, b: Stretch) -> bool {
    let axes = |line: Stretch| {
        let way = line.1 - line.0;
        let along = way / way.length().max(1e-9);
        [along, kurbo::Vec2::new(-along.y, along.x)]
    };
    let (own, others) = (axes(a), axes(b));
    own.iter().chain(&others).all(|&axis| {
        let reach = |line: Stretch, own: [kurbo::Vec2; 2]| {
            let (from, to) = (line.0.to_vec2().dot(axis), line.1.to_vec2().dot(axis));
            let wide = PEN_MM / 2.0 * own[1].dot(axis).abs();
            (from.min(to) - wide, from.max(to) + wide)
        };
        let (one, other) = (reach(a, own), reach(b, others));
        one.0 <= other.1 && other.0 <= one.1
    })
}

/// Pairs of stitches whose ways from foot to head cross: those that need not, and those of the work itself.
fn crossings(panel: &Panel, piece: &Piece) -> (Vec<[StitchId; 2]>, Vec<[StitchId; 2]>) {
    let mut legs: Vec<(StitchId, Stretch)> = Vec::new();
    for placed in &panel.stitches {
        if let Glyph::Stitch { kind, .. } = placed.glyph
            && kind.height > Height::Slip
        {
            let feet = panel.feet(placed).iter();
            legs.extend(feet.map(|&foot| (placed.id, (foot, placed.head))));
        }
    }
    let low = |line: &Stretch| line.0.x.min(line.1.x);
    let high = |line: &Stretch| line.0.x.max(line.1.x);
    legs.sort_by(|a, b| low(&a.1).total_cmp(&low(&b.1)));
    let (mut needless, mut worked) = (Vec::new(), Vec::new());
    for (i, (one, a)) in legs.iter().enumerate() {
        for (other, b) in &legs[i + 1..] {
            if low(b) > high(a) {
                break;
            }
            let apart = [a.0, a.1]
                .iter()
                .all(|p| p.distance(b.0) > 0.01 && p.distance(b.1) > 0.01);
            if one == other || !apart || crossing(*a, *b).is_none() {
                continue;
            }
            let pair = [*one.min(other), *one.max(other)];
            if cross_in_the_work(piece, pair) {
                worked.push(pair);
            } else {
                needless.push(pair);
            }
        }
    }
    for pairs in [&mut needless, &mut worked] {
        pairs.sort();
        pairs.dedup();
    }
    (needless, worked)
}

/// True if the later of two stitches is worked into what comes before the earlier one's, or if one of them reaches past a round.
fn cross_in_the_work(piece: &Piece, [first, second]: [StitchId; 2]) -> bool {
    let (one, other) = (piece.feet(first), piece.feet(second));
    let reaches_down = |id: StitchId, feet: &[StitchId]| {
        let round = piece.stitch(id).round;
        feet.iter()
            .any(|&foot| piece.stitch(foot).round + 1 < round)
    };
    if reaches_down(first, one) || reaches_down(second, other) {
        return true;
    }
    let (Some(one), Some(other)) = (one.first(), other.first()) else {
        return false;
    };
    let rounds = [first, second].map(|id| piece.stitch(id).round);
    if rounds[0] != rounds[1] {
        return false;
    }
    let edge = match piece.stitch(*one).round {
        below if below == piece.stitch(*other).round => &piece.rounds[below as usize].edge,
        _ => return false,
    };
    let place = |id: StitchId| edge.iter().position(|&other| other == id);
    let turned = piece.rounds[rounds[0] as usize].wrong_side
        != piece.rounds[piece.stitch(*one).round as usize].wrong_side;
    match (place(*one), place(*other)) {
        // Over the seam the order starts again.
        (Some(one), Some(other)) if one.abs_diff(other) * 2 <= edge.len() => {
            (one > other) != turned && one != other
        }
        _ => false,
    }
}

/// Where two lines cross.
pub fn crossing(a: Stretch, b: Stretch) -> Option<Point> {
    let (u, v, w) = (a.1 - a.0, b.1 - b.0, b.0 - a.0);
    let turn = u.cross(v);
    if turn.abs() < 1e-12 {
        return None;
    }
    let (s, t) = (w.cross(v) / turn, w.cross(u) / turn);
    let within = (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t);
    within.then(|| a.0 + u * s)
}

/// The box of words as they are drawn, in mm on the panel.
pub fn words_box(words: &Words) -> Rect {
    text::ink_box(&words.text, words.size_mm, words.weight) + words.at.to_vec2()
}

fn hidden_words(panel: &Panel, inked: &[Inked]) -> Vec<String> {
    let mut words = Vec::new();
    let mut lines: Vec<(usize, Stretch)> = Vec::new();
    for (i, mark) in panel.marks.iter().enumerate() {
        for ink in &mark.ink {
            match ink {
                Ink::Words(one) => words.push((i, one, words_box(one))),
                Ink::Line { path, .. } => {
                    let mut own = Vec::new();
                    add_stretches(path, &mut own);
                    lines.extend(own.into_iter().map(|line| (i, line)));
                }
                _ => {}
            }
        }
    }
    let mut hidden = Vec::new();
    for (i, (mark, one, room)) in words.iter().enumerate() {
        let by_words = words[i + 1..]
            .iter()
            .any(|(_, _, other)| room.overlaps(*other));
        let room = room.inset(PEN_MM / 2.0);
        let by_symbols = inked
            .iter()
            .take_while(|inked| inked.room.x0 <= room.x1)
            .filter(|inked| inked.room.overlaps(room))
            .any(|inked| inked.lines.iter().any(|&line| touches(line, room)));
        let by_lines = lines
            .iter()
            .any(|(other, line)| other != mark && touches(*line, room));
        if by_words || by_symbols || by_lines {
            hidden.push(one.text.clone());
        }
    }
    hidden
}

fn touches(line: Stretch, room: Rect) -> bool {
    let corners = [
        Point::new(room.x0, room.y0),
        Point::new(room.x1, room.y0),
        Point::new(room.x1, room.y1),
        Point::new(room.x0, room.y1),
    ];
    room.contains(line.0)
        || (0..4).any(|i| crossing(line, (corners[i], corners[(i + 1) % 4])).is_some())
}

/// The heads of a ring or row must come one after another, round the middle at most once.
fn out_of_order(panel: &Panel, piece: &Piece) -> Vec<StitchId> {
    let mut wrong = Vec::new();
    for ring in &panel.rings {
        let heads: Vec<&Placed> = panel
            .ring_stitches(ring)
            .iter()
            .filter(|placed| {
                let stitch = piece.stitch(placed.id);
                placed.glyph != Glyph::None
                    && matches!(stitch.role, Role::Head | Role::Bridge)
                    && !runs_on(piece, placed.id)
            })
            .collect();
        let middle = ring.middle;
        // How far each head lies past the one before: in radians round a middle, in mm along a row.
        let steps: Vec<f64> = heads
            .windows(2)
            .map(|pair| match panel.layout {
                Layout::Rings => turn(pair[0].head - middle, pair[1].head - middle),
                Layout::Strip => pair[1].head.x - pair[0].head.x,
            })
            .collect();
        let whole: f64 = steps.iter().sum();
        let sign = whole.signum();
        for (pair, step) in heads.windows(2).zip(&steps) {
            if step * sign <= 0.0 {
                wrong.push(pair[1].id);
            }
        }
        if panel.layout == Layout::Rings && whole.abs() > TAU {
            wrong.extend(heads.last().map(|last| last.id));
        }
    }
    wrong
}

/// True if a stitch is worked into a head of its own round: it runs on past its start.
fn runs_on(piece: &Piece, id: StitchId) -> bool {
    let stitch = piece.stitch(id);
    stitch.kind.height != Height::Chain
        && piece.feet(id).iter().any(|&foot| {
            piece.stitch(foot).round == stitch.round && piece.stitch(foot).role == Role::Head
        })
}

/// The angle from one direction to another in radians, from −π to π.
fn turn(from: kurbo::Vec2, to: kurbo::Vec2) -> f64 {
    libm::atan2(from.cross(to), from.dot(to))
}

/// Stitches that do not stand on what they are worked into, or, in a space, not under it.
fn adrift(panel: &Panel, piece: &Piece) -> Vec<StitchId> {
    let mut places: Vec<&Placed> = panel.anchors.iter().chain(&panel.stitches).collect();
    places.sort_by_key(|placed| placed.id);
    let find = |id: StitchId| {
        let place = places.binary_search_by_key(&id, |placed| placed.id);
        place.ok().map(|place| places[place])
    };
    let stands = |placed: &Placed| {
        let stitch = piece.stitch(placed.id);
        let feet = panel.feet(placed);
        let lower: Option<Vec<&Placed>> = piece
            .feet(placed.id)
            .iter()
            .map(|&foot| find(foot))
            .collect();
        let own_chain = stitch.into == Into::Chain
            && piece
                .feet(placed.id)
                .iter()
                .all(|foot| foot.0 + 1 == placed.id.0);
        match (stitch.into, lower) {
            (Into::Ring | Into::Part, _) => true,
            // A foundation stitch makes the chain that it stands on.
            _ if own_chain => true,
            (Into::Space, Some(lower)) => feet.iter().all(|&foot| is_under(foot, &lower)),
            (_, Some(lower)) => {
                feet.len() == lower.len()
                    && feet
                        .iter()
                        .zip(lower)
                        .all(|(foot, lower)| lower.head.distance(*foot) < ONE_POINT_MM)
            }
            (_, None) => false,
        }
    };
    panel
        .stitches
        .iter()
        .filter(|placed| matches!(placed.glyph, Glyph::Stitch { .. }) && !stands(placed))
        .map(|placed| placed.id)
        .collect()
}

/// True if a point lies under one of some chains, or between two of them.
fn is_under(foot: Point, chains: &[&Placed]) -> bool {
    let between = |pair: &[&Placed]| {
        let way = pair[1].head - pair[0].head;
        let along = (foot - pair[0].head).dot(way) / way.hypot2();
        (0.0..=1.0).contains(&along) && (pair[0].head + way * along).distance(foot) < 1.0
    };
    let near = |chain: &&Placed| chain.head.distance(foot) < SPACE_REACH_MM;
    chains.iter().any(near) || chains.windows(2).any(between)
}

/// Half of a chain's length and a little: how far from the middle of a chain one is still under it, in mm.
const SPACE_REACH_MM: f64 = 1.9;

/// The steepest lean of a plain stitch of a round, in degrees.
fn lean(panel: &Panel, piece: &Piece) -> f64 {
    let mut steepest: f64 = 0.0;
    for ring in &panel.rings {
        for placed in panel.ring_stitches(ring) {
            let Glyph::Stitch { kind, .. } = placed.glyph else {
                continue;
            };
            let [foot] = panel.feet(placed) else {
                continue;
            };
            let stitch = piece.stitch(placed.id);
            let feet = piece.feet(placed.id);
            // On chains that stand out from the round stitches lie on their sides.
            let on_spur = feet
                .iter()
                .any(|&foot| piece.stitch(foot).round == stitch.round);
            let shared = feet.len() != 1
                || on_spur
                || kind.form != Form::Plain
                || kind.height <= Height::Slip
                || is_sibling(piece, placed.id);
            if shared || stitch.into == Into::Ring {
                continue;
            }
            let up = ring.line.upright(*foot - ring.middle.to_vec2());
            let mut lean = turn(up, placed.head - *foot).abs();
            lean = lean.min(PI - lean);
            steepest = steepest.max(lean.to_degrees());
        }
    }
    steepest
}

/// True if a neighbour is worked into the same place.
fn is_sibling(piece: &Piece, id: StitchId) -> bool {
    let feet = piece.feet(id);
    let same =
        |other: u32| (other as usize) < piece.stitches.len() && piece.feet(StitchId(other)) == feet;
    id.0.checked_sub(1).is_some_and(same) || same(id.0 + 1)
}
