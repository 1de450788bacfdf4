//! How long a shape takes to be found, and how long a general library takes on the same energy: `cargo bench --bench shape`.
//!
//! What to look for, on two cores: a piece of 1,000 stitches in 150 ms and of 5,000 in 1.5 s, balls and long tubes alike, and a time that grows
//! no faster than the stitches to the power of 1.5. Ours ends at the tolerance of the program (`shape::TOLERANCE`), the library
//! when its gradient is as small as ours is then, or after 5,000 steps. Nothing here fails if it takes longer.

use std::fmt::Write;
use std::time::Instant;

use argmin::core::{CostFunction, Error, Executor, Gradient, State};
use argmin::solver::linesearch::MoreThuenteLineSearch;
use argmin::solver::quasinewton::LBFGS;

use roundwright::shape::descent::{Limits, descend};
use roundwright::shape::energy::{Workspace, energy};
use roundwright::shape::mesh::Mesh;
use roundwright::shape::{Making, TOLERANCE, Vec3, Web, build, coefficients};
use roundwright::source::Source;
use roundwright::{fabric, pattern};

fn main() {
    println!("piece             stitches   ours ms  steps   library ms  steps  ratio");
    let mut times = Vec::new();
    for (name, counts) in [
        ("ball", ball(9)),
        ("ball", ball(20)),
        ("tube of 18", tube(18, 52)),
        ("tube of 18", tube(18, 275)),
        ("tube of 36", tube(36, 24)),
        ("tube of 36", tube(36, 135)),
    ] {
        let mesh = mesh(&counts);
        let stitches: u32 = counts.iter().sum();
        let limits = Limits {
            tolerance: TOLERANCE,
            steps: 2_000,
        };
        let mut ours = f64::INFINITY;
        let mut found = descend(&mesh, limits);
        for _ in 0..3 {
            let start = Instant::now();
            found = descend(&mesh, limits);
            ours = ours.min(start.elapsed().as_secs_f64() * 1e3);
        }
        let start = Instant::now();
        let steps = by_library(&mesh, norm(&mesh, &found.points));
        let library = start.elapsed().as_secs_f64() * 1e3;
        println!(
            "{name:<16} {stitches:>9} {ours:>9.1} {:>6} {library:>12.1} {steps:>6} {:>6.1}",
            found.steps,
            library / ours
        );
        times.push((f64::from(stitches), ours));
    }
    for pair in times.chunks_exact(2) {
        let [(few, quick), (many, slow)] = pair else {
            continue;
        };
        let power = (slow / quick).ln() / (many / few).ln();
        println!("from {few} to {many} stitches the time grows with the power {power:.2}");
    }
}

fn norm(mesh: &Mesh, points: &[Vec3]) -> f64 {
    let mut gradient = vec![Vec3::ZERO; points.len()];
    energy(mesh, points, &mut gradient, &mut Workspace::default());
    gradient
        .iter()
        .map(|pull| pull.square())
        .sum::<f64>()
        .sqrt()
}

fn mesh(counts: &[u32]) -> Mesh {
    let (pattern, _) = pattern::read(&Source::new("bench", text(counts)));
    let (fabric, problems) = fabric::work(&pattern);
    assert!(problems.is_empty(), "{problems:?}");
    let making = Making {
        stuffing: coefficients::STUFFING,
        ..Making::default()
    };
    build::mesh(
        &Web::new(&fabric.pieces[0], making.sc_height, false),
        &making,
    )
}

/// 6 more a round, as many even rounds, 6 fewer a round.
fn ball(steps: u32) -> Vec<u32> {
    let up = (1..=steps).map(|step| 6 * step);
    let even = std::iter::repeat_n(6 * steps, steps as usize);
    up.clone().chain(even).chain(up.rev().skip(1)).collect()
}

fn tube(around: u32, long: usize) -> Vec<u32> {
    let bottom = (1..around / 6).map(|step| 6 * step);
    bottom.chain(std::iter::repeat_n(around, long)).collect()
}

fn text(counts: &[u32]) -> String {
    let mut text = format!("## Piece\nRnd 1: {0} sc in magic ring ({0})\n", counts[0]);
    for (place, pair) in counts.windows(2).enumerate() {
        let plain = |each: u32, change: &str| match each {
            0 => format!("{change} x 6"),
            each => format!("({each} sc, {change}) x 6"),
        };
        let words = match pair[1].cmp(&pair[0]) {
            std::cmp::Ordering::Equal => "sc in each st around".to_owned(),
            std::cmp::Ordering::Greater => plain(pair[0] / 6 - 1, "inc"),
            std::cmp::Ordering::Less => plain(pair[0] / 6 - 2, "dec"),
        };
        let _ = writeln!(text, "Rnd {}: {words} ({})", place + 2, pair[1]);
    }
    text
}

struct Problem<'a>(&'a Mesh);

impl Problem<'_> {
    fn at(&self, flat: &[f64]) -> (f64, Vec<f64>) {
        let points = flat
            .chunks_exact(3)
            .map(|at| Vec3::new(at[0], at[1], at[2]));
        let points: Vec<Vec3> = points.collect();
        let mut gradient = vec![Vec3::ZERO; points.len()];
        let value = energy(self.0, &points, &mut gradient, &mut Workspace::default());
        (
            value,
            gradient.iter().flat_map(|at| [at.x, at.y, at.z]).collect(),
        )
    }
}

impl CostFunction for Problem<'_> {
    type Param = Vec<f64>;
    type Output = f64;
    fn cost(&self, param: &Vec<f64>) -> Result<f64, Error> {
        Ok(self.at(param).0)
    }
}

impl Gradient for Problem<'_> {
    type Param = Vec<f64>;
    type Gradient = Vec<f64>;
    fn gradient(&self, param: &Vec<f64>) -> Result<Vec<f64>, Error> {
        Ok(self.at(param).1)
    }
}

/// Steps that the crate argmin takes to a gradient of this norm, from the same start.
fn by_library(mesh: &Mesh, norm: f64) -> u64 {
    let solver = LBFGS::new(MoreThuenteLineSearch::new(), 12)
        .with_tolerance_grad(norm)
        .and_then(|solver| solver.with_tolerance_cost(0.0))
        .expect("tolerances");
    let start: Vec<f64> = mesh
        .start
        .iter()
        .flat_map(|at| [at.x, at.y, at.z])
        .collect();
    let outcome = Executor::new(Problem(mesh), solver)
        .configure(|state| state.param(start).max_iters(5_000))
        .run()
        .expect("a shape");
    outcome.state().get_iter()
}
