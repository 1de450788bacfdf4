use kurbo::{Point, Vec2};

use super::axes::Axes;
use super::{Symbol, chain};

/// A picot: a small loop of chains on a dot. The dot lies at `at`, the loop stands along `up`; three to
/// five chains are drawn.
pub fn picot_loop(at: Point, up: Vec2, chains: u32) -> Symbol {
    let axes = Axes::along(at, up);
    let mut drawn = Symbol::default();
    drawn.dot((0.0, 0.0), 0.6);
    let mut drawn = axes.place(drawn);
    let corners: &[(f64, f64)] = match chains {
        0..=3 => &[(0.0, 0.9), (-1.3, 3.0), (1.3, 3.0)],
        4 => &[(0.0, 0.9), (-1.5, 2.4), (0.0, 3.9), (1.5, 2.4)],
        _ => &[(0.0, 0.9), (-1.6, 2.0), (-1.0, 3.9), (1.0, 3.9), (1.6, 2.0)],
    };
    for (place, &(x, y)) in corners.iter().enumerate() {
        let (next_x, next_y) = corners[(place + 1) % corners.len()];
        let (from, to) = (axes.paper(x, y), axes.paper(next_x, next_y));
        drawn.add(chain(from.midpoint(to), to - from, (to - from).length()));
    }
    drawn
}
