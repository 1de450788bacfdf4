//! The fabric as points, springs and cells: what the energy is made of.

use std::ops::Range;

use super::coefficients::EASED;
use super::vector::Vec3;

/// Place of a point in [`Mesh::start`].
pub type PointId = u32;

/// Two points that hold each other at a distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spring {
    /// One end.
    pub a: PointId,
    /// The other end.
    pub b: PointId,
    /// The distance at which it does nothing, in widths.
    pub rest: f64,
    /// How much of its strength it has against being pulled apart.
    pub pull: f64,
    /// How much of its strength it has against being pushed together.
    pub push: f64,
    /// How far it gives either way, with hardly any of that strength, before it resists; in widths.
    pub ease: f64,
}

impl Spring {
    /// What it stores when it is so much longer than at rest, in widths.
    pub fn energy(&self, stretch: f64) -> f64 {
        let beyond = self.beyond(stretch);
        0.5 * self.strength(stretch) * (EASED * stretch * stretch + (1.0 - EASED) * beyond * beyond)
    }

    /// How hard it pulls then; negative if it pushes.
    pub fn force(&self, stretch: f64) -> f64 {
        self.strength(stretch) * (EASED * stretch + (1.0 - EASED) * self.beyond(stretch))
    }

    fn strength(&self, stretch: f64) -> f64 {
        if stretch < 0.0 { self.push } else { self.pull }
    }

    /// How far a stretch is beyond its ease.
    fn beyond(&self, stretch: f64) -> f64 {
        stretch - stretch.clamp(-self.ease, self.ease)
    }
}

/// A cell's two diagonals: `a` to `c` and `b` to `d`, in their order round it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Diagonals {
    /// The corners.
    pub corners: [PointId; 4],
    /// |ac|² − |bd|² at rest, in square widths.
    pub sheared: f64,
}

/// Two cells that meet along an edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hinge {
    /// One cell: a place in [`Mesh::cells`].
    pub a: u32,
    /// The other.
    pub b: u32,
    /// Its stiffness: × (1 − cos).
    pub stiffness: f64,
}

/// A piece that another one goes on from, within the mesh of both: it holds its stuffing by itself.
#[derive(Debug, Clone)]
pub struct Bag {
    /// Its cells: places in [`Mesh::cells`].
    pub cells: Range<usize>,
    /// Its openings, as in [`Mesh::caps`].
    pub caps: Vec<Vec<PointId>>,
    /// Strength of its stuffing.
    pub stuffing: f64,
}

/// A fabric ready to be relaxed. Lengths are in stitch widths.
#[derive(Debug, Clone, Default)]
pub struct Mesh {
    /// Where each point starts.
    pub start: Vec<Vec3>,
    /// What holds points at a distance.
    pub springs: Vec<Spring>,
    /// What keeps four-sided cells from shearing.
    pub diagonals: Vec<Diagonals>,
    /// The corners of all cells, one cell after another, each counter-clockwise as seen from outside.
    pub corners: Vec<PointId>,
    /// Where each cell's corners begin in `corners`; one more entry than cells.
    pub cells: Vec<u32>,
    /// Where cells meet.
    pub hinges: Vec<Hinge>,
    /// Openings, each closed by a cap round its middle: their points, in the order that closes the surface.
    pub caps: Vec<Vec<PointId>>,
    /// Strength of the stuffing: −this × log(volume). 0 for none.
    pub stuffing: f64,
    /// The pieces that it goes on from, whose cells come after its own.
    pub limbs: Vec<Bag>,
    /// True if it is pressed flat, towards the plane y = 0.
    pub pressed: bool,
}

impl Mesh {
    /// How many cells there are.
    pub fn cell_count(&self) -> usize {
        self.cells.len().saturating_sub(1)
    }

    /// How many of them are its own.
    pub fn own_cells(&self) -> usize {
        let first = self.limbs.first();
        first.map_or(self.cell_count(), |limb| limb.cells.start)
    }

    /// The corners of a cell.
    pub fn cell(&self, cell: usize) -> &[PointId] {
        &self.corners[self.cells[cell] as usize..self.cells[cell + 1] as usize]
    }

    /// Adds a cell.
    pub fn add_cell(&mut self, corners: &[PointId]) {
        if self.cells.is_empty() {
            self.cells.push(0);
        }
        self.corners.extend_from_slice(corners);
        self.cells.push(self.corners.len() as u32);
    }
}
