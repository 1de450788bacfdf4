//! A web of points made into springs, cells and hinges.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use super::coefficients::{
    AS_FLAT, DRAWN_SHUT, EASE, FAN_GIVES, LEAST_HEIGHT, SLACK, STANDS_OUT, WIDTH,
};
use super::energy::{hinge_stiffness, volume};
use super::making::Making;
use super::mesh::{Diagonals, Hinge, Mesh, PointId, Spring};
use super::start;
use super::web::{Node, Web};

/// A way along the row below is followed no further than this: what it would span is a hole.
const FURTHEST: usize = 64;
/// What holds less than this, in cubic widths, holds no stuffing.
const LEAST_VOLUME: f64 = 1e-6;

/// The mesh of a web.
pub fn mesh(web: &Web, making: &Making) -> Mesh {
    let mut mesh = Mesh {
        start: start::points(web, making),
        stuffing: making.stuffing * web.knots.len() as f64,
        pressed: making.pressed,
        ..Mesh::default()
    };
    add_springs(&mut mesh, web, making);
    add_struts(&mut mesh, web);
    let mut is_fold = Vec::new();
    add_cells(&mut mesh, web, making, &mut is_fold);
    add_end_of_spiral(&mut mesh, web, &mut is_fold);
    add_closing(&mut mesh, web);
    is_fold.resize(mesh.cell_count(), false);
    add_hinges(&mut mesh, web, &is_fold);
    if mesh.stuffing > 0.0 && volume(&mesh, &mesh.start) < LEAST_VOLUME {
        // A thread of single stitches holds nothing.
        mesh.stuffing = 0.0;
    }
    mesh
}

fn add_springs(mesh: &mut Mesh, web: &Web, making: &Making) {
    let gives = making.stuffing == 0.0 && lies_flat(web);
    let mut on_it = vec![0; web.knots.len()];
    for &foot in web.knots.iter().flat_map(|knot| &knot.feet) {
        on_it[foot as usize] += 1;
    }
    let is_fanned = |foot: PointId| {
        let knot = &web.knots[foot as usize];
        knot.bridges || on_it[foot as usize] > 2 && knot.node != Node::Middle
    };
    for (place, knot) in web.knots.iter().enumerate() {
        let point = place as PointId;
        if let Some(next) = knot.next {
            let after = &web.knots[next as usize];
            let is_slack = knot.bridges || after.bridges;
            mesh.springs.push(Spring {
                a: point,
                b: next,
                rest: (knot.width + after.width) / 2.0,
                pull: 1.0,
                push: if is_slack { SLACK } else { 1.0 },
                ease: match gives && !is_slack {
                    true => EASE * WIDTH,
                    false => 0.0,
                },
            });
        }
        let later = knot.beside.iter().filter(|&&other| other > point);
        mesh.springs.extend(later.map(|&other| Spring {
            a: point,
            b: other,
            rest: WIDTH,
            pull: 1.0,
            push: 1.0,
            ease: 0.0,
        }));
        let rest = match knot.node {
            Node::Head(_) | Node::Rim => knot.height,
            Node::Middle => DRAWN_SHUT,
        };
        for &foot in &knot.feet {
            mesh.springs.push(Spring {
                a: foot,
                b: point,
                rest,
                pull: 1.0,
                push: 1.0,
                ease: match gives && is_fanned(foot) {
                    true => FAN_GIVES,
                    false => 0.0,
                },
            });
        }
    }
}

/// True for a piece whose rounds are all about as long as those of a flat disc, or longer. Only there does cloth lie so flat that its stitches are free
/// to give: what is bent to a tube keeps its width.
fn lies_flat(web: &Web) -> bool {
    let mut begins = 0.0;
    let mut from_start = vec![0.0; web.rows.len()];
    let mut rows = web.rows.iter().enumerate();
    web.rims.is_empty()
        && rows.all(|(place, row)| {
            let around = start::around(web, row);
            if row.is_chain {
                // Rounds go along both sides of a chain that is not joined to a ring.
                begins = if row.is_ring { around } else { 2.0 * around };
                return true;
            }
            let mut feet = row.points.iter().flat_map(|&p| &web.knots[p as usize].feet);
            let foot = feet.next().filter(|&&foot| Some(foot) != web.start);
            let below = foot.map_or(0.0, |&foot| {
                from_start[web.knots[foot as usize].row as usize]
            });
            from_start[place] = below + start::mean_height(web, row);
            row.is_ring && around - begins >= AS_FLAT * TAU * from_start[place]
        })
}

/// Chains that bridge a gap keep away from what the stitches beside the gap stand on: a slack loop stands out.
fn add_struts(mesh: &mut Mesh, web: &Web) {
    for place in 0..web.knots.len() {
        let Some(upper) = to_next_head(web, place as PointId) else {
            continue;
        };
        let [first, chains @ .., last] = &upper[..] else {
            continue;
        };
        let sides = [first, last].map(|&side| &web.knots[side as usize]);
        let feet = [sides[0].feet.last(), sides[1].feet.first()];
        for (knot, foot) in sides.into_iter().zip(feet) {
            let Some(&foot) = foot else { continue };
            mesh.springs.extend(chains.iter().map(|&chain| Spring {
                a: foot,
                b: chain,
                rest: STANDS_OUT * knot.height,
                pull: 0.0,
                push: 1.0,
                ease: 0.0,
            }));
        }
    }
}

/// The end of a spiral that was fastened off: its last stitch stands where one more, worked into the first of its last round, would hold it.
pub(super) struct SpiralEnd {
    pub last: PointId,
    /// What the last stitch is worked into, and before the first of the last round.
    pub foot: PointId,
    pub first: PointId,
}

/// How a piece ends, if it is a spiral that is left open.
pub(super) fn end_of_spiral(web: &Web) -> Option<SpiralEnd> {
    let row = web.rows.last()?;
    let (&first, &last) = (row.points.first()?, row.points.last()?);
    let &foot = web.knots[last as usize].feet.last()?;
    let is_spiral = row.is_ring
        && web.end.is_none()
        && row.points.len() > 2
        && web.knots[last as usize].next.is_none()
        && web.knots[foot as usize].next == Some(first);
    is_spiral.then_some(SpiralEnd { last, foot, first })
}

fn add_end_of_spiral(mesh: &mut Mesh, web: &Web, is_fold: &mut Vec<bool>) {
    let Some(end) = end_of_spiral(web) else {
        return;
    };
    let step = web.knots[end.first as usize].height;
    mesh.springs.push(Spring {
        a: end.first,
        b: end.last,
        rest: (WIDTH * WIDTH + step * step).sqrt(),
        pull: 1.0,
        push: 1.0,
        ease: 0.0,
    });
    let wrong_side = web.rows[web.knots[end.last as usize].row as usize].wrong_side;
    if push_cell(mesh, &[end.last], &[end.foot, end.first], wrong_side) {
        is_fold.push(web.knots[end.last as usize].folds);
    }
}

/// The cells between each row and what it is worked into.
fn add_cells(mesh: &mut Mesh, web: &Web, making: &Making, is_fold: &mut Vec<bool>) {
    for place in 0..web.knots.len() {
        let knot = &web.knots[place];
        let point = place as PointId;
        if !matches!(knot.node, Node::Head(_)) || knot.feet.is_empty() {
            continue;
        }
        let wrong_side = web.rows[knot.row as usize].wrong_side;
        // Stitches worked together span the places between their feet.
        for pair in knot.feet.windows(2) {
            if let Some(way) = way(web, pair[0], pair[1]) {
                let flipped = way.flipped.unwrap_or(wrong_side);
                if push_cell(mesh, &[point], &way.points, flipped) {
                    is_fold.push(knot.folds);
                }
            }
        }
        let Some(upper) = to_next_head(web, point) else {
            continue;
        };
        let next = &web.knots[upper[upper.len() - 1] as usize];
        let Some(way) = shortest_way(web, &knot.feet, &next.feet) else {
            continue;
        };
        if !push_cell(mesh, &upper, &way.points, wrong_side) {
            continue;
        }
        is_fold.push(knot.folds && next.folds);
        if let (&[first, last], &[foot, other]) = (&upper[..], &way.points[..]) {
            mesh.diagonals.push(Diagonals {
                corners: [foot, first, last, other],
                sheared: -4.0 * WIDTH * making.lean,
            });
        }
    }
}

/// From a head along the yarn to the next one that is worked into something: both, and the chains between.
pub(super) fn to_next_head(web: &Web, from: PointId) -> Option<Vec<PointId>> {
    let mut upper = vec![from];
    let mut at = from;
    while upper.len() <= FURTHEST {
        at = web.knots[at as usize].next?;
        upper.push(at);
        if !web.knots[at as usize].feet.is_empty() {
            return (at != from).then_some(upper);
        }
    }
    None
}

/// A way along the fabric below.
pub(super) struct Way {
    pub points: Vec<PointId>,
    /// Whether it runs against the way in which rows run on the right side; `None` if that can't be told.
    pub flipped: Option<bool>,
}

/// The shortest way from an outer foot of one stitch to an outer foot of the next.
pub(super) fn shortest_way(web: &Web, from: &[PointId], to: &[PointId]) -> Option<Way> {
    let outer = |feet: &[PointId]| [feet[feet.len() - 1], feet[0]];
    let mut best: Option<Way> = None;
    for start in outer(from) {
        for end in [to[0], to[to.len() - 1]] {
            if let Some(way) = way(web, start, end)
                && best
                    .as_ref()
                    .is_none_or(|best| way.points.len() < best.points.len())
            {
                best = Some(way);
            }
        }
    }
    best
}

/// The way from one point to another along the yarn, on or back, straight down or up one stitch, or to what lies beside it and from there up.
fn way(web: &Web, from: PointId, to: PointId) -> Option<Way> {
    let straight = |points| Way {
        points,
        flipped: None,
    };
    if from == to {
        return Some(straight(vec![from]));
    }
    let (one, other) = (&web.knots[from as usize], &web.knots[to as usize]);
    if one.feet.contains(&to) || other.feet.contains(&from) || one.beside.contains(&to) {
        return Some(straight(vec![from, to]));
    }
    if let Some(&between) = one.beside.iter().find(|beside| other.feet.contains(beside)) {
        return Some(straight(vec![from, between, to]));
    }
    // A spiral begins on the rim of another piece that was closed to a ring.
    if matches!(one.node, Node::Rim)
        && let Some(next) = one.next.filter(|next| other.feet.contains(next))
    {
        return Some(straight(vec![from, next, to]));
    }
    let is_chain = web.rows[one.row as usize].is_chain;
    let wrong_side = web.rows[one.row as usize].wrong_side;
    let (mut on, mut back) = (vec![from], vec![from]);
    for _ in 0..FURTHEST {
        for (points, is_on) in [(&mut on, true), (&mut back, false)] {
            let Some(&last) = points.last() else { continue };
            let knot = &web.knots[last as usize];
            let Some(next) = (if is_on { knot.next } else { knot.before }) else {
                continue;
            };
            points.push(next);
            if next == to {
                return Some(Way {
                    points: std::mem::take(points),
                    flipped: (!is_chain).then_some(is_on == wrong_side),
                });
            }
        }
    }
    None
}

/// Adds the cell between an upper and a lower way, both in the direction of work. False if it has no area to speak of or meets itself.
fn push_cell(mesh: &mut Mesh, upper: &[PointId], lower: &[PointId], flipped: bool) -> bool {
    let mut corners: Vec<PointId> = upper.iter().chain(lower.iter().rev()).copied().collect();
    let mut sorted = corners.clone();
    sorted.sort_unstable();
    sorted.dedup();
    if sorted.len() != corners.len() || corners.len() < 3 {
        return false;
    }
    if flipped {
        corners.reverse();
    }
    mesh.add_cell(&corners);
    true
}

/// The last hole, drawn shut: cells from its middle to each pair of heads.
fn add_closing(mesh: &mut Mesh, web: &Web) {
    let Some(end) = web.end else { return };
    let knot = &web.knots[end as usize];
    let wrong_side = web.rows[knot.row as usize].wrong_side;
    for pair in knot.feet.windows(2) {
        push_cell(mesh, &[end], pair, wrong_side);
    }
    // A spiral ends beside its own last round but one; the last gap has its head in the corner.
    let (first, last) = (knot.feet[0], knot.feet[knot.feet.len() - 1]);
    let mut lower = vec![last];
    lower.extend(web.knots[last as usize].feet.last().copied());
    if web.knots[last as usize].next == Some(first) {
        lower.truncate(1);
    }
    lower.push(first);
    push_cell(mesh, &[end], &lower, wrong_side);
}

/// Hinges where two cells meet, caps where the fabric ends.
fn add_hinges(mesh: &mut Mesh, web: &Web, is_fold: &[bool]) {
    let heights: Vec<f64> = (0..mesh.cell_count())
        .map(|cell| height(web, mesh.cell(cell)))
        .collect();
    let on_ridge = |cell: usize| {
        let mut corners = mesh.cell(cell).iter();
        corners.any(|&corner| web.rows[web.knots[corner as usize].row as usize].on_ridge)
    };
    let on_ridge: Vec<bool> = (0..mesh.cell_count()).map(on_ridge).collect();
    // Each edge of a cell from corner to corner, and the cell.
    let mut edges: BTreeMap<(PointId, PointId), u32> = BTreeMap::new();
    let mut hinges = Vec::new();
    for cell in 0..mesh.cell_count() {
        let corners = mesh.cell(cell);
        for (place, &from) in corners.iter().enumerate() {
            let to = corners[(place + 1) % corners.len()];
            // What stands on loops left free turns about them as it likes.
            if let Some(&other) = edges.get(&(to, from))
                && on_ridge[cell] == on_ridge[other as usize]
            {
                hinges.push(Hinge {
                    a: other,
                    b: cell as u32,
                    stiffness: hinge_stiffness(is_fold[cell] != is_fold[other as usize])
                        * slenderness(web, [from, to], heights[cell], heights[other as usize]),
                });
            }
            edges.entry((from, to)).or_insert(cell as u32);
        }
    }
    mesh.hinges = hinges;
    mesh.caps = caps(&edges);
}

/// How high a cell is, in widths: as its tallest stitch.
pub(super) fn height(web: &Web, corners: &[PointId]) -> f64 {
    let tall = |&point: &PointId| {
        let knot = &web.knots[point as usize];
        let stands = knot.feet.iter().any(|foot| corners.contains(foot));
        stands.then_some(knot.height)
    };
    corners.iter().filter_map(tall).fold(LEAST_HEIGHT, f64::max)
}

fn slenderness(web: &Web, edge: [PointId; 2], one: f64, other: f64) -> f64 {
    let [a, b] = edge.map(|point| &web.knots[point as usize]);
    let long = if a.feet.contains(&edge[1]) {
        a.height
    } else if b.feet.contains(&edge[0]) {
        b.height
    } else {
        WIDTH
    };
    slender(long, one, other)
}

/// What a hinge's stiffness is multiplied with, so that cloth of tall stitches is as stiff as any: the square of its length over the mean area of
/// the two cells, of which the heights are given (thin shells of triangles and their like: geometry). About 1 in single crochet.
pub(super) fn slender(long: f64, one: f64, other: f64) -> f64 {
    long * long / (WIDTH * (one + other) / 2.0)
}

/// The openings of the fabric, each as a ring of points that runs the other way from the cells beside it.
fn caps(edges: &BTreeMap<(PointId, PointId), u32>) -> Vec<Vec<PointId>> {
    let mut open: BTreeMap<PointId, Vec<PointId>> = BTreeMap::new();
    for &(from, to) in edges.keys() {
        if !edges.contains_key(&(to, from)) {
            open.entry(to).or_default().push(from);
        }
    }
    let mut caps = Vec::new();
    while let Some((&first, _)) = open.first_key_value() {
        let mut ring = vec![first];
        let mut at = first;
        while let Some(ways) = open.get_mut(&at) {
            let next = ways.pop();
            if ways.is_empty() {
                open.remove(&at);
            }
            match next {
                Some(next) if next == first => break,
                Some(next) => {
                    ring.push(next);
                    at = next;
                }
                None => break,
            }
        }
        if ring.len() > 2 {
            caps.push(ring);
        }
    }
    caps
}
