use kurbo::{Point, Vec2};

use super::Symbol;
use super::axes::Axes;

/// Radius of the dot and how high its middle stands over the stitch, in mm.
const DOT: f64 = 0.6;
const DOT_LIFT: f64 = 0.6;
/// Half of an oval's width, in mm.
const HALF_WIDTH: f64 = 0.5;
/// What an oval leaves free of its side of the loop, in mm.
const CLEAR: f64 = 1.3;

/// A picot: a small loop of chains on a dot. The dot stands on `at`, the loop along `up`; three to five
/// chains are drawn.
pub fn picot_loop(at: Point, up: Vec2, chains: u32) -> Symbol {
    let axes = Axes::along(at, up);
    let mut dot = Symbol::default();
    dot.dot((0.0, DOT_LIFT), DOT);
    let mut drawn = axes.place(dot);
    for side in sides(chains) {
        let [from, to] = side.map(|(x, y)| axes.paper(x, y));
        let way = to - from;
        let mut oval = Symbol::default();
        oval.open_oval((0.0, 0.0), HALF_WIDTH, (way.length() - CLEAR) / 2.0);
        drawn.add(Axes::along(from.midpoint(to), way).place(oval));
    }
    drawn
}

/// The sides of the loop, in axes that start at its foot.
fn sides(chains: u32) -> impl Iterator<Item = [(f64, f64); 2]> {
    let corners: &[(f64, f64)] = match chains {
        0..=3 => &[(0.0, 1.0), (-1.65, 3.85), (1.65, 3.85)],
        4 => &[(0.0, 1.0), (-2.0, 3.0), (0.0, 5.0), (2.0, 3.0)],
        _ => &[(0.0, 1.0), (-2.2, 2.6), (-1.4, 5.2), (1.4, 5.2), (2.2, 2.6)],
    };
    let count = corners.len();
    (0..count).map(move |side| [corners[side], corners[(side + 1) % count]])
}
