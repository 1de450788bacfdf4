//! Patterns made for the tests, and shapes from them.

use std::fmt::Write;

use roundwright::fabric::{self, Fabric};
use roundwright::pattern;
use roundwright::shape::descent::{Descent, Limits, descend};
use roundwright::shape::mesh::Mesh;
use roundwright::shape::{Making, Vec3, Web, build, centroid, coefficients};
use roundwright::source::Source;

/// As close as tests look.
pub const CLOSE: Limits = Limits {
    tolerance: 1e-6,
    steps: 4_000,
};

/// Stitches as wide as they are high, for formulas.
pub const SQUARE: Making = Making {
    sc_height: 1.0,
    lean: 0.0,
    stuffing: 0.0,
    pressed: false,
    drawn_shut: false,
    disturbance: coefficients::DISTURBANCE,
    seed: 0,
};

/// The same, stuffed and closed.
pub const STUFFED: Making = Making {
    stuffing: coefficients::STUFFING,
    drawn_shut: true,
    ..SQUARE
};

/// A piece relaxed, in widths.
pub struct Shape {
    pub web: Web,
    pub mesh: Mesh,
    pub found: Descent,
}

impl Shape {
    pub fn new(text: &str, making: &Making) -> Shape {
        let fabric = worked(text);
        let web = Web::new(&fabric.pieces[0], making.sc_height, making.drawn_shut);
        let mesh = build::mesh(&web, making);
        let found = descend(&mesh, CLOSE);
        Shape { web, mesh, found }
    }

    pub fn points(&self) -> &[Vec3] {
        &self.found.points
    }

    /// The points of a round, counted from 1.
    pub fn round(&self, number: usize) -> Vec<Vec3> {
        let row = &self.web.rows[number - 1];
        let points = row.points.iter();
        points.map(|&point| self.points()[point as usize]).collect()
    }

    /// The middle of a round.
    pub fn middle(&self, number: usize) -> Vec3 {
        centroid(self.round(number))
    }

    /// How far it reaches along a direction.
    pub fn reach(&self, along: Vec3) -> f64 {
        let ways = self.points().iter().map(|point| point.dot(along));
        let (low, high) = ways.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at), high.max(at))
        });
        high - low
    }

    pub fn size(&self) -> [f64; 3] {
        [
            self.reach(Vec3::new(1.0, 0.0, 0.0)),
            self.reach(Vec3::new(0.0, 1.0, 0.0)),
            self.reach(Vec3::new(0.0, 0.0, 1.0)),
        ]
    }
}

/// A text without a fault, worked.
pub fn worked(text: &str) -> Fabric {
    let (pattern, slips) = pattern::read(&Source::new("made", text));
    let (fabric, miscounts) = fabric::work(&pattern);
    assert!(
        slips.is_empty() && miscounts.is_empty(),
        "{slips:?} {miscounts:?}\n{text}"
    );
    fabric
}

/// A piece in rounds of these counts, changes spread evenly.
pub fn rounds(counts: &[u32]) -> String {
    let mut text = format!("## Made\nRnd 1: {0} sc in magic ring ({0})\n", counts[0]);
    for (place, pair) in counts.windows(2).enumerate() {
        let words = even(pair[0], pair[1]);
        let _ = writeln!(text, "Rnd {}: {words} ({})", place + 2, pair[1]);
    }
    text
}

/// From one count to the next with as many plain stitches between changes as can be.
fn even(below: u32, count: u32) -> String {
    let changes = count.abs_diff(below);
    if changes == 0 {
        return "sc in each st around".to_owned();
    }
    let (each, name, takes) = match count > below {
        true => (below / changes, "inc", 1),
        false => (below / changes, "dec", 2),
    };
    let group = match each - takes {
        0 => name.to_owned(),
        plain => format!("{plain} sc, {name}"),
    };
    match below % changes {
        0 => format!("({group}) x {changes}"),
        rest => format!("({group}) x {changes}, {rest} sc"),
    }
}

/// `6` more a round to the widest, as many even rounds, 6 fewer a round.
pub fn usual_ball(steps: u32) -> Vec<u32> {
    let up = (1..=steps).map(|step| 6 * step);
    let even = std::iter::repeat_n(6 * steps, steps as usize);
    up.clone().chain(even).chain(up.rev().skip(1)).collect()
}

/// A closed tube of so many stitches round, its bottom a disc.
pub fn tube(around: u32, long: usize) -> Vec<u32> {
    let bottom = (1..around.div_ceil(6)).map(|step| 6 * step);
    bottom.chain(std::iter::repeat_n(around, long)).collect()
}
