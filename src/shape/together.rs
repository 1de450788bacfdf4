//! A piece with those that it goes on from, such as a body with its legs: they are relaxed together, for each bends the others.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::fabric::{Fabric, Join, Piece, RoundKind, StitchId};
use crate::source::limits;

use super::build::{self, slender};
use super::coefficients::WIDTH;
use super::energy::hinge_stiffness;
use super::making::Making;
use super::mesh::{Bag, Diagonals, Hinge, Mesh, PointId, Spring};
use super::said::Filling;
use super::vector::{Vec3, centroid};
use super::web::{Node, Web};

/// Pieces that go on from pieces that go on from pieces … are followed so far.
const DEEPEST: usize = 8;

/// The open end of a copy of a piece that another one goes on from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Opening<'a> {
    /// The piece: a place in the fabric.
    pub part: usize,
    /// Which copy of it, from 1.
    pub copy: u32,
    /// Its last round.
    pub edge: &'a [StitchId],
    /// The round of the other piece that stands on it.
    round: u32,
}

impl Opening<'_> {
    /// The joins of the other piece that are worked into it.
    pub fn joins<'p>(&self, onto: &'p Piece) -> impl Iterator<Item = &'p Join> + use<'p> {
        let own = (self.part, self.copy, self.round);
        let joins = onto.joins.iter();
        joins.filter(move |join| {
            (join.part, join.copy, join.round) == own && stands_on_part(onto, join)
        })
    }
}

/// True if a join's stitches are worked into the part's last round and nothing else.
fn stands_on_part(piece: &Piece, join: &Join) -> bool {
    join.layers < 2 && join.border.is_none() && piece.stands_on(join)
}

/// The openings that a piece goes on from: those of the first round that goes round any. A part that only hangs on some of its stitches is not gone
/// on from.
fn openings<'f>(fabric: &'f Fabric, piece: &Piece) -> Vec<Opening<'f>> {
    let mut found: Vec<Opening<'f>> = Vec::new();
    for join in &piece.joins {
        let is_known = found
            .iter()
            .any(|old| (old.part, old.copy) == (join.part, join.copy));
        let is_later = found.first().is_some_and(|old| old.round != join.round);
        let last = fabric
            .pieces
            .get(join.part)
            .and_then(|part| part.rounds.last());
        let Some(last) = last.filter(|_| !is_known && !is_later && stands_on_part(piece, join))
        else {
            continue;
        };
        let opening = Opening {
            part: join.part,
            copy: join.copy,
            edge: &last.edge,
            round: join.round,
        };
        let taken: usize = opening.joins(piece).map(Join::places).sum();
        if last.kind == RoundKind::Round && last.edge.len() > 2 && 2 * taken > last.edge.len() {
            found.push(opening);
        }
    }
    found
}

/// A piece ready to be relaxed together with all that it goes on from.
pub(super) struct Together {
    /// The piece's own points.
    pub web: Web,
    /// Its own springs and cells.
    pub mesh: Mesh,
    /// Those of all, if it goes on from any; its own points come first.
    pub all: Option<Mesh>,
    /// What it goes on from.
    pub limbs: Vec<Limb>,
}

/// A copy of a piece that another one goes on from.
pub(super) struct Limb {
    pub piece: usize,
    pub copy: u32,
    pub filling: Filling,
    pub web: Web,
    pub mesh: Mesh,
    /// For each of its points, that of all.
    pub points: Vec<PointId>,
}

/// Puts pieces together.
pub(super) struct Joiner<'a> {
    fabric: &'a Fabric,
    /// Most stitches of all that a piece goes on from.
    room: usize,
    made: &'a Made<'a>,
}

/// How a piece is filled and made; with a filling, how it is where it opens into what is filled so.
pub(super) type Made<'a> = dyn Fn(usize, Option<Filling>) -> (Filling, Making) + Sync + 'a;

impl<'a> Joiner<'a> {
    pub fn new(fabric: &'a Fabric, made: &'a Made<'a>) -> Joiner<'a> {
        let goes_on = |piece: &&Piece| !openings(fabric, piece).is_empty();
        let hosts = fabric.pieces.iter().filter(goes_on).count();
        Joiner {
            fabric,
            room: limits::LIMB_STITCHES / hosts.max(1),
            made,
        }
    }

    /// A piece with all that it goes on from, and how it is filled and made.
    pub fn whole(&self, piece: usize) -> (Together, Filling, Making) {
        let (filling, making) = (self.made)(piece, None);
        let mut room = self.room;
        let whole = self.joined(piece, filling, &making, DEEPEST, &mut room);
        (whole, filling, making)
    }

    fn joined(
        &self,
        piece: usize,
        filling: Filling,
        making: &Making,
        deep: usize,
        room: &mut usize,
    ) -> Together {
        let worked = &self.fabric.pieces[piece];
        let mut parts = Vec::new();
        // What is pressed flat has no room for what is not.
        let is_open = deep > 0 && !making.pressed;
        for opening in openings(self.fabric, worked)
            .into_iter()
            .filter(|_| is_open)
        {
            let size = self.fabric.pieces[opening.part].stitches.len();
            let (filling, making) = (self.made)(opening.part, Some(filling));
            if size > *room || making.pressed {
                continue;
            }
            *room -= size;
            let part = self.joined(opening.part, filling, &making, deep - 1, room);
            let rim = opening.edge.iter();
            let rim = rim.map(|stitch| part.web.of_stitch[stitch.index()]);
            if let Some(rim) = rim.collect() {
                parts.push(Part {
                    opening,
                    filling,
                    rim,
                    whole: part,
                });
            }
        }
        let openings: Vec<Opening<'_>> = parts.iter().map(|part| part.opening).collect();
        let web = Web::on(&openings, worked, making.sc_height, making.drawn_shut);
        let mesh = build::mesh(&web, making);
        let mut together = Together {
            web,
            mesh,
            all: None,
            limbs: Vec::new(),
        };
        if !parts.is_empty() {
            together.join(parts);
        }
        together
    }
}

/// One that is to be joined.
struct Part<'a> {
    opening: Opening<'a>,
    filling: Filling,
    /// The points of its opening.
    rim: Vec<PointId>,
    whole: Together,
}

impl Together {
    /// Joins what the piece goes on from to the rims that it stands on.
    fn join(&mut self, parts: Vec<Part<'_>>) {
        let rims = self.web.rims.clone();
        let mut is_rim = vec![false; self.web.knots.len()];
        for &point in rims.iter().flatten() {
            is_rim[point as usize] = true;
        }
        let mut all = self.mesh.clone();
        // Along a rim, its own piece has them already.
        all.springs.retain(|spring| {
            let one = &self.web.knots[spring.a as usize];
            let along = one.next == Some(spring.b) || one.before == Some(spring.b);
            !(along && is_rim[spring.a as usize] && is_rim[spring.b as usize])
        });
        let seam = Seam::of(&self.web, &self.mesh);
        for (part, rim) in parts.into_iter().zip(&rims) {
            let first_cell = all.cell_count();
            let theirs = part.whole.all.as_ref().unwrap_or(&part.whole.mesh);
            let ids = placed(&mut all, theirs, &part.rim, rim);
            take_in(&mut all, theirs, &ids);
            let own = 0..part.whole.mesh.cell_count();
            let heights =
                own.map(|cell| build::height(&part.whole.web, part.whole.mesh.cell(cell)));
            seam.close(&mut all, first_cell, heights);
            let of_all = |&point: &PointId| ids[point as usize];
            self.limbs.push(Limb {
                piece: part.opening.part,
                copy: part.opening.copy,
                filling: part.filling,
                points: (0..part.whole.web.knots.len()).map(|at| ids[at]).collect(),
                web: part.whole.web,
                mesh: part.whole.mesh,
            });
            let inner = part.whole.limbs.into_iter();
            self.limbs.extend(inner.map(|limb| Limb {
                points: limb.points.iter().map(of_all).collect(),
                ..limb
            }));
        }
        self.all = Some(all);
    }
}

/// Sets the points of another mesh beside those of all, its opening turned and moved to the rim there: their places among all.
fn placed(all: &mut Mesh, theirs: &Mesh, opening: &[PointId], rim: &[PointId]) -> Vec<PointId> {
    let of = |mesh: &Mesh, points: &[PointId]| -> Vec<Vec3> {
        points.iter().map(|&at| mesh.start[at as usize]).collect()
    };
    let (from, to) = (of(theirs, opening), of(all, rim));
    let (from_middle, to_middle) = (centroid(from.iter().copied()), centroid(to.iter().copied()));
    let (mut along, mut across) = (0.0, 0.0);
    for (&from, &to) in from.iter().zip(&to) {
        let (from, to) = (from - from_middle, to - to_middle);
        along += from.x * to.x + from.y * to.y;
        across += from.x * to.y - from.y * to.x;
    }
    let turn = libm::atan2(across, along);
    let put = |at: Vec3| (at - from_middle).turned_about_z(turn) + to_middle;
    let mut ids: Vec<Option<PointId>> = vec![None; theirs.start.len()];
    for (&own, &point) in opening.iter().zip(rim) {
        ids[own as usize] = Some(point);
    }
    let ids = ids.into_iter().zip(&theirs.start).map(|(id, &at)| {
        id.unwrap_or_else(|| {
            all.start.push(put(at));
            all.start.len() as PointId - 1
        })
    });
    ids.collect()
}

/// Takes all that another mesh has into that of all.
fn take_in(all: &mut Mesh, theirs: &Mesh, ids: &[PointId]) {
    let id = |point: PointId| ids[point as usize];
    let ring = |ring: &Vec<PointId>| ring.iter().map(|&point| id(point)).collect();
    all.springs
        .extend(theirs.springs.iter().map(|spring| Spring {
            a: id(spring.a),
            b: id(spring.b),
            ..*spring
        }));
    all.diagonals
        .extend(theirs.diagonals.iter().map(|cell| Diagonals {
            corners: cell.corners.map(id),
            ..*cell
        }));
    let first = all.cell_count();
    for cell in 0..theirs.cell_count() {
        let corners: Vec<PointId> = theirs.cell(cell).iter().map(|&point| id(point)).collect();
        all.add_cell(&corners);
    }
    let moved = |cells: Range<usize>| first + cells.start..first + cells.end;
    all.hinges.extend(theirs.hinges.iter().map(|hinge| Hinge {
        a: first as u32 + hinge.a,
        b: first as u32 + hinge.b,
        ..*hinge
    }));
    all.limbs.push(Bag {
        cells: moved(0..theirs.own_cells()),
        caps: theirs.caps.iter().map(ring).collect(),
        stuffing: theirs.stuffing,
    });
    all.limbs.extend(theirs.limbs.iter().map(|limb| Bag {
        cells: moved(limb.cells.clone()),
        caps: limb.caps.iter().map(ring).collect(),
        stuffing: limb.stuffing,
    }));
}

/// Where the cells of a piece end at rims: each edge from point to point, with the cell and how high it is.
struct Seam {
    edges: BTreeMap<(PointId, PointId), (u32, f64)>,
}

impl Seam {
    fn of(web: &Web, mesh: &Mesh) -> Seam {
        let is_rim = |point: PointId| web.knots[point as usize].node == Node::Rim;
        let mut edges = BTreeMap::new();
        for cell in 0..mesh.cell_count() {
            let high = build::height(web, mesh.cell(cell));
            for (from, to) in
                sides(mesh.cell(cell)).filter(|&(from, to)| is_rim(from) && is_rim(to))
            {
                edges.insert((from, to), (cell as u32, high));
            }
        }
        Seam { edges }
    }

    /// Hinges between these cells and those of a limb that begin at a place among all, and are so high.
    fn close(&self, all: &mut Mesh, first_cell: usize, heights: impl Iterator<Item = f64>) {
        for (place, high) in heights.enumerate() {
            let cell = first_cell + place;
            let across = sides(all.cell(cell)).filter_map(|(from, to)| self.edges.get(&(to, from)));
            let hinges = across.map(|&(own, own_high)| Hinge {
                a: own,
                b: cell as u32,
                stiffness: hinge_stiffness(false) * slender(WIDTH, own_high, high),
            });
            let hinges: Vec<Hinge> = hinges.collect();
            all.hinges.extend(hinges);
        }
    }
}

/// From each corner of a cell to the next.
fn sides(corners: &[PointId]) -> impl Iterator<Item = (PointId, PointId)> + '_ {
    let next = corners.iter().cycle().skip(1);
    corners.iter().copied().zip(next.copied())
}
