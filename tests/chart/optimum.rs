//! The spacing of a round against the optimum that a general solver for quadratic programs finds.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use roundwright::chart::spacing::around;

/// Minimises the sum of (x − wanted)² with x[i+1] − x[i] ≥ gaps[i], and x[0] + length − x[n−1] ≥ the last gap.
fn solved(wanted: &[f64], gaps: &[f64], length: f64) -> Vec<f64> {
    let n = wanted.len();
    let squares = CscMatrix::identity(n);
    let linear: Vec<f64> = wanted.iter().map(|want| -want).collect();
    let mut rows = vec![vec![0.0; n]; n];
    let mut room = vec![0.0; n];
    for i in 0..n {
        rows[i][i] += 1.0;
        rows[i][(i + 1) % n] -= 1.0;
        room[i] = -gaps[i] + if i + 1 == n { length } else { 0.0 };
    }
    let rows = CscMatrix::from(&rows);
    let settings = DefaultSettings {
        verbose: false,
        tol_gap_abs: 1e-13,
        tol_gap_rel: 1e-13,
        tol_feas: 1e-13,
        ..DefaultSettings::default()
    };
    let cones = [NonnegativeConeT(n)];
    let mut solver = DefaultSolver::new(&squares, &linear, &rows, &room, &cones, settings)
        .expect("a program of matching sizes");
    solver.solve();
    let status = solver.solution.status;
    assert!(
        matches!(status, SolverStatus::Solved | SolverStatus::AlmostSolved),
        "{status:?}"
    );
    solver.solution.x.clone()
}

/// Wishes in the order of work with some disorder, spread over more or less than the line, so that the seam presses in many cases.
fn rounds() -> impl Strategy<Value = (Vec<f64>, Vec<f64>, f64)> {
    (2usize..40, 0.02..0.6f64, 0.7..1.4f64).prop_flat_map(|(n, looseness, spread)| {
        (
            prop::collection::vec(-2.0..2.0f64, n),
            prop::collection::vec(0.5..2.0f64, n),
        )
            .prop_map(move |(off, gaps)| {
                let length = gaps.iter().sum::<f64>() * (1.0 + looseness);
                let step = length * spread / n as f64;
                let wanted = off.iter().enumerate().map(|(i, off)| i as f64 * step + off);
                (wanted.collect(), gaps, length)
            })
    })
}

#[test]
fn the_spacing_of_a_round_is_the_optimum_of_a_general_solver() {
    const CASES: u32 = 400;
    let pressed = std::cell::Cell::new(0);
    let config = Config {
        failure_persistence: None,
        ..Config::with_cases(CASES)
    };
    let mut runner = TestRunner::new_with_rng(
        config,
        proptest::test_runner::TestRng::deterministic_rng(
            proptest::test_runner::RngAlgorithm::ChaCha,
        ),
    );
    let outcome = runner.run(&rounds(), |(wanted, gaps, length)| {
        let ours = around(&wanted, &gaps, length);
        let theirs = solved(&wanted, &gaps, length);
        for (ours, theirs) in ours.iter().zip(&theirs) {
            prop_assert!((ours - theirs).abs() < 1e-6, "{ours} and {theirs}");
        }
        let n = wanted.len();
        let seam = ours[0] + length - ours[n - 1] - gaps[n - 1];
        pressed.set(pressed.get() + u32::from(seam < 1e-9));
        Ok(())
    });
    outcome.unwrap();
    assert!(
        pressed.get() * 4 > CASES,
        "the seam presses in {} of {CASES}",
        pressed.get()
    );
}
