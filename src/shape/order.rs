//! An order of the points in which their equations can be solved with little work: nested dissection.

use super::vector::Vec3;

/// Groups of points that are not parted further.
const SMALL: usize = 24;

/// All points, halves before what parts them, again and again. `neighbours` lists those of each point.
pub fn dissected(points: &[Vec3], neighbours: &[Vec<u32>]) -> Vec<u32> {
    let mut order = Vec::with_capacity(points.len());
    let mut side = vec![0; points.len()];
    let all = (0..points.len() as u32).collect();
    dissect(all, points, neighbours, &mut side, &mut 0, &mut order);
    order
}

fn dissect(
    mut group: Vec<u32>,
    points: &[Vec3],
    neighbours: &[Vec<u32>],
    side: &mut [u32],
    sides: &mut u32,
    order: &mut Vec<u32>,
) {
    if group.len() <= SMALL {
        order.extend(group);
        return;
    }
    let along = longest_axis(&group, points);
    let key = |point: &u32| points[*point as usize].dot(along);
    let middle = group.len() / 2;
    group.select_nth_unstable_by(middle, |one, other| {
        key(one).total_cmp(&key(other)).then(one.cmp(other))
    });
    let far = group.split_off(middle);
    *sides += 1;
    for &point in &far {
        side[point as usize] = *sides;
    }
    let far_side = *sides;
    let is_between = |point: &u32| {
        neighbours[*point as usize]
            .iter()
            .any(|&other| side[other as usize] == far_side)
    };
    let (mut between, mut near): (Vec<u32>, Vec<u32>) = group.into_iter().partition(is_between);
    // The choice of the middle leaves the rest in no order that may be relied on.
    between.sort_unstable();
    near.sort_unstable();
    let mut far = far;
    far.sort_unstable();
    dissect(near, points, neighbours, side, sides, order);
    dissect(far, points, neighbours, side, sides, order);
    order.extend(between);
}

/// The direction of the coordinate in which a group reaches farthest.
fn longest_axis(group: &[u32], points: &[Vec3]) -> Vec3 {
    let axes = [
        Vec3::new(1.0, 0.0, 0.0),
        Vec3::new(0.0, 1.0, 0.0),
        Vec3::new(0.0, 0.0, 1.0),
    ];
    let reach = |axis: Vec3| {
        let (low, high) = group
            .iter()
            .map(|&point| points[point as usize].dot(axis))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                (low.min(at), high.max(at))
            });
        high - low
    };
    axes.into_iter()
        .max_by(|&one, &other| reach(one).total_cmp(&reach(other)))
        .unwrap_or(axes[0])
}
