//! The gradient against finite differences, and the minimum against a general optimisation library.

use argmin::core::{CostFunction, Error, Executor, Gradient, State};
use argmin::solver::linesearch::MoreThuenteLineSearch;
use argmin::solver::quasinewton::LBFGS;

use roundwright::shape::descent::{Limits, descend};
use roundwright::shape::energy::{Workspace, energy};
use roundwright::shape::mesh::Mesh;
use roundwright::shape::{Making, TOLERANCE, Vec3, align};

use crate::made::{SQUARE, STUFFED, Shape, rounds, tube, usual_ball};

/// Five patterns of different kinds.
fn cases() -> [(&'static str, Shape); 5] {
    let open = Making {
        drawn_shut: false,
        ..STUFFED
    };
    let disc: Vec<u32> = (1..=6).map(|step| 6 * step).collect();
    let lean = Making { lean: 0.2, ..open };
    let pressed = Making {
        pressed: true,
        ..SQUARE
    };
    [
        ("ball", Shape::new(&rounds(&usual_ball(4)), &STUFFED)),
        ("tube", Shape::new(&rounds(&tube(12, 15)), &open)),
        ("disc", Shape::new(&rounds(&disc), &Making::default())),
        ("leaning tube", Shape::new(&rounds(&tube(18, 8)), &lean)),
        (
            "wing",
            Shape::new(&rounds(&[4, 6, 8, 10, 10, 10, 8]), &pressed),
        ),
    ]
}

/// Central differences (numerical analysis).
#[test]
fn the_gradient_is_that_of_the_energy() {
    for (name, shape) in cases() {
        let mut points = shape.points().to_vec();
        for (place, point) in points.iter_mut().enumerate() {
            let at = place as f64;
            *point += Vec3::new(libm::sin(at), libm::sin(2.3 * at), libm::sin(3.1 * at)) * 0.1;
        }
        let mut work = Workspace::default();
        let mut gradient = vec![Vec3::ZERO; points.len()];
        energy(&shape.mesh, &points, &mut gradient, &mut work);
        let mut unused = gradient.clone();
        let step = 1e-5;
        for place in (0..points.len()).step_by(7) {
            let axes = [
                Vec3::new(1.0, 0.0, 0.0),
                Vec3::new(0.0, 1.0, 0.0),
                Vec3::new(0.0, 0.0, 1.0),
            ];
            for axis in axes {
                let here = points[place];
                points[place] = here + axis * step;
                let above = energy(&shape.mesh, &points, &mut unused, &mut work);
                points[place] = here - axis * step;
                let below = energy(&shape.mesh, &points, &mut unused, &mut work);
                points[place] = here;
                let (found, expected) = (gradient[place].dot(axis), (above - below) / (2.0 * step));
                assert!(
                    (found - expected).abs() < 1e-6 * (1.0 + expected.abs()),
                    "{name}: {found} and {expected} at point {place}"
                );
            }
        }
    }
}

struct Problem<'a>(&'a Mesh);

impl Problem<'_> {
    fn at(&self, flat: &[f64]) -> (f64, Vec<f64>) {
        let points: Vec<Vec3> = flat
            .chunks_exact(3)
            .map(|at| Vec3::new(at[0], at[1], at[2]))
            .collect();
        let mut gradient = vec![Vec3::ZERO; points.len()];
        let value = energy(self.0, &points, &mut gradient, &mut Workspace::default());
        (value, flattened(&gradient))
    }
}

fn flattened(points: &[Vec3]) -> Vec<f64> {
    points.iter().flat_map(|at| [at.x, at.y, at.z]).collect()
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

/// The crate argmin, from the same start with its own line search and no metric, comes to the same least energy and the same shape.
#[test]
fn a_general_library_finds_the_same_shape() {
    for (name, shape) in cases() {
        let solver = LBFGS::new(MoreThuenteLineSearch::new(), 12)
            .with_tolerance_grad(1e-6)
            .and_then(|solver| solver.with_tolerance_cost(0.0))
            .expect("tolerances");
        let outcome = Executor::new(Problem(&shape.mesh), solver)
            .configure(|state| state.param(flattened(&shape.mesh.start)).max_iters(5_000))
            .run()
            .expect("a minimum");
        let best = outcome.state().get_best_param().expect("a point");
        let points: Vec<Vec3> = best
            .chunks_exact(3)
            .map(|at| Vec3::new(at[0], at[1], at[2]))
            .collect();
        let (value, gradient) = Problem(&shape.mesh).at(best);
        let norm = gradient.iter().map(|g| g * g).sum::<f64>().sqrt();
        assert!(norm < 1e-4, "{name}: the library's gradient is {norm}");
        assert!(
            shape.found.settled && shape.found.force < 1e-4,
            "{name}: ours is {}",
            shape.found.force
        );
        let apart = align::distance(shape.points(), &points);
        assert!(
            apart < 0.01 && (value - shape.found.energy).abs() < 1e-6 * (1.0 + value.abs()),
            "{name}: {apart} widths apart, energies {} and {value}",
            shape.found.energy
        );
    }
}

/// The work of a step grows with the stitches; that of a search may grow no faster than their power of 1.5, so its steps no faster than their square
/// root. Counted in steps, which are the same on every machine.
#[test]
fn steps_grow_no_faster_than_the_square_root_of_the_stitches() {
    let open = Making {
        drawn_shut: false,
        ..STUFFED
    };
    for (name, few, many, making) in [
        ("ball", usual_ball(6), usual_ball(14), STUFFED),
        ("tube of 18", tube(18, 52), tube(18, 275), open),
        ("tube of 36", tube(36, 24), tube(36, 100), open),
    ] {
        let searched = |counts: &[u32]| {
            let shape = Shape::new(&rounds(counts), &making);
            let limits = Limits {
                tolerance: TOLERANCE,
                steps: 2_000,
            };
            let found = descend(&shape.mesh, limits);
            assert!(found.settled, "{name}");
            (counts.iter().sum::<u32>(), found.steps as f64)
        };
        let ((small, quick), (large, slow)) = (searched(&few), searched(&many));
        let power = libm::log(slow / quick) / libm::log(f64::from(large) / f64::from(small));
        println!(
            "{name}: {quick} steps for {small} stitches, {slow} for {large}: power {power:.2}"
        );
        assert!(
            power <= 0.5,
            "{name}: {quick} steps for {small} stitches, {slow} for {large}"
        );
    }
}
