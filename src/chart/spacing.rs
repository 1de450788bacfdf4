//! Where things stand along a line: each as near as can be to where it wants to be, in order, none too close.
//!
//! Both functions solve their quadratic program exactly and in linear time. Substituting the cumulated gaps
//! turns "keep the gaps" into "do not fall", which pooling adjacent violators solves; on a closed line the
//! whole must also fit into one turn, which clips the pooled values to a window.

/// Places along a closed line of a given length, such as a ring.
///
/// `wanted` are the wished places in order of work, unwrapped (they may run past the length); `gaps[i]` is the least distance from
/// place `i` to the next, the last one being that from the last place on to the first. All are in one unit. Returns
/// one place for each wish: of all places that keep the order and the gaps, the seam included, those with the least sum of
/// squared distances from the wishes. Gaps that together exceed the length are shrunk evenly to fit.
pub fn around(wanted: &[f64], gaps: &[f64], length: f64) -> Vec<f64> {
    debug_assert_eq!(wanted.len(), gaps.len());
    let total: f64 = gaps.iter().sum();
    let shrink = if total > length { length / total } else { 1.0 };
    let slack = (length - total).max(0.0);
    let offsets = offsets(gaps, shrink);
    let blocks = pool(wanted, &offsets);
    let window = window(&blocks, slack);
    spread(&blocks, &offsets, window)
}

/// Places along an open line. `gaps[i]` is the least distance from place `i` to place `i + 1`; a last entry past that is not looked at.
pub fn along(wanted: &[f64], gaps: &[f64]) -> Vec<f64> {
    let offsets = offsets(gaps, 1.0);
    let blocks = pool(wanted, &offsets);
    spread(&blocks, &offsets, None)
}

/// Where each place would be if all stood as close as they may, the first at 0.
fn offsets(gaps: &[f64], shrink: f64) -> Vec<f64> {
    let mut at = 0.0;
    gaps.iter()
        .map(|gap| {
            let here = at;
            at += gap * shrink;
            here
        })
        .collect()
}

/// Neighbours that stand as close as they may, moved as one.
#[derive(Debug, Clone, Copy)]
struct Block {
    sum: f64,
    count: usize,
}

impl Block {
    fn mean(self) -> f64 {
        self.sum / self.count as f64
    }
}

/// Isotonic regression: pools adjacent violators.
fn pool(wanted: &[f64], offsets: &[f64]) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::with_capacity(wanted.len());
    for (want, offset) in wanted.iter().zip(offsets) {
        let mut block = Block {
            sum: want - offset,
            count: 1,
        };
        while let Some(before) = blocks.pop_if(|before| before.mean() >= block.mean()) {
            block.sum += before.sum;
            block.count += before.count;
        }
        blocks.push(block);
    }
    blocks
}

/// The window `[a, a + slack]` that the means are clipped to, if their range exceeds the slack. The residuals of the
/// clipped values must sum to zero; that sum rises with `a`, in pieces that are straight between the events below.
fn window(blocks: &[Block], slack: f64) -> Option<(f64, f64)> {
    let lowest = blocks.first()?.mean();
    let highest = blocks.last()?.mean();
    if highest - lowest <= slack {
        return None;
    }
    let mut upper = blocks.partition_point(|b| b.mean() <= lowest + slack);
    let mut lower = 0;
    let (mut low_count, mut low_sum) = (0.0, 0.0);
    let mut high_count: f64 = blocks[upper..].iter().map(|b| b.count as f64).sum();
    let mut high_sum: f64 = blocks[upper..].iter().map(|b| b.sum).sum();
    loop {
        let enters = blocks.get(lower).map_or(f64::INFINITY, |b| b.mean());
        let leaves = blocks
            .get(upper)
            .map_or(f64::INFINITY, |b| b.mean() - slack);
        if low_count + high_count > 0.0 {
            let a = (low_sum + high_sum - high_count * slack) / (low_count + high_count);
            if a <= enters.min(leaves) {
                return Some((a, a + slack));
            }
        }
        if enters <= leaves {
            let block = blocks.get(lower)?;
            low_count += block.count as f64;
            low_sum += block.sum;
            lower += 1;
        } else {
            let block = blocks.get(upper)?;
            high_count -= block.count as f64;
            high_sum -= block.sum;
            upper += 1;
        }
    }
}

fn spread(blocks: &[Block], offsets: &[f64], window: Option<(f64, f64)>) -> Vec<f64> {
    let mut places = Vec::with_capacity(offsets.len());
    for block in blocks {
        let mut mean = block.mean();
        if let Some((low, high)) = window {
            mean = mean.clamp(low, high);
        }
        let from = places.len();
        places.extend(offsets[from..from + block.count].iter().map(|o| mean + o));
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Wishes, gaps and a length that holds the gaps.
    fn problems() -> impl Strategy<Value = (Vec<f64>, Vec<f64>, f64)> {
        (1usize..24, 0.0..1.0f64).prop_flat_map(|(n, looseness)| {
            (
                prop::collection::vec(-2.0..12.0f64, n),
                prop::collection::vec(0.0..1.5f64, n),
                Just(looseness),
            )
                .prop_map(|(wanted, gaps, looseness)| {
                    let length = gaps.iter().sum::<f64>() * (1.0 + looseness) + 0.01;
                    (wanted, gaps, length)
                })
        })
    }

    fn cost(wanted: &[f64], places: &[f64]) -> f64 {
        wanted
            .iter()
            .zip(places)
            .map(|(w, p)| (w - p) * (w - p))
            .sum()
    }

    /// Slack of every gap, the seam last.
    fn slacks(places: &[f64], gaps: &[f64], length: f64) -> Vec<f64> {
        let n = places.len();
        (0..n)
            .map(|i| {
                let next = if i + 1 < n {
                    places[i + 1]
                } else {
                    places[0] + length
                };
                next - places[i] - gaps[i]
            })
            .collect()
    }

    proptest! {
        #[test]
        fn order_and_gaps_are_kept_round_the_seam((wanted, gaps, length) in problems()) {
            let places = around(&wanted, &gaps, length);
            for slack in slacks(&places, &gaps, length) {
                prop_assert!(slack > -1e-9, "a gap is short by {}", -slack);
            }
        }

        /// Karush–Kuhn–Tucker: the pull on each place is the difference of the pushes through its two gaps; pushes are never
        /// negative, and a gap with room left pushes nothing. For a convex program that proves the optimum.
        #[test]
        fn no_other_places_are_nearer_to_the_wishes((wanted, gaps, length) in problems()) {
            let places = around(&wanted, &gaps, length);
            let n = places.len();
            let slacks = slacks(&places, &gaps, length);
            // Push through the seam is unknown up to a constant; the least that keeps all of them at zero or more is the right one.
            let mut pushes = Vec::with_capacity(n);
            let mut push = 0.0;
            for i in 0..n {
                push += wanted[i] - places[i];
                pushes.push(push);
            }
            prop_assert!(push.abs() < 1e-7, "the residuals sum to {push}");
            let least = pushes.iter().copied().fold(f64::INFINITY, f64::min);
            for (push, slack) in pushes.iter().zip(&slacks) {
                prop_assert!((push - least) * slack < 1e-6, "push {} through a gap with {} left", push - least, slack);
            }
        }

        /// The same by brute force: no step of any one place, or of any run of neighbours, is an improvement.
        #[test]
        fn moving_any_run_of_neighbours_does_not_help((wanted, gaps, length) in problems()) {
            let places = around(&wanted, &gaps, length);
            let best = cost(&wanted, &places);
            let n = places.len();
            for first in 0..n {
                for last in first..n {
                    for step in [-0.01, 0.01] {
                        let mut moved = places.clone();
                        for place in &mut moved[first..=last] {
                            *place += step;
                        }
                        if slacks(&moved, &gaps, length).iter().all(|&s| s >= 0.0) {
                            prop_assert!(cost(&wanted, &moved) >= best - 1e-9);
                        }
                    }
                }
            }
        }

        #[test]
        fn settled_places_stay((wanted, gaps, length) in problems()) {
            let once = around(&wanted, &gaps, length);
            let twice = around(&once, &gaps, length);
            for (a, b) in once.iter().zip(&twice) {
                prop_assert!((a - b).abs() < 1e-7);
            }
        }

        #[test]
        fn an_open_line_is_a_closed_one_with_endless_room((wanted, gaps, _) in problems()) {
            let open = along(&wanted, &gaps);
            let closed = around(&wanted, &gaps, 1e6);
            for (a, b) in open.iter().zip(&closed) {
                prop_assert!((a - b).abs() < 1e-7);
            }
        }
    }

    #[test]
    fn two_that_want_one_place_stand_evenly_beside_it() {
        assert_eq!(around(&[5.0, 5.0], &[2.0, 2.0], 20.0), [4.0, 6.0]);
    }

    #[test]
    fn gaps_that_do_not_fit_shrink_evenly() {
        let places = around(&[0.0, 0.0, 0.0, 0.0], &[2.0; 4], 4.0);
        for pair in places.windows(2) {
            assert!((pair[1] - pair[0] - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn nothing_to_place_is_no_trouble() {
        assert!(around(&[], &[], 3.0).is_empty());
        assert!(along(&[], &[]).is_empty());
    }
}
