//! A symmetric positive matrix with few entries, factored as L Lᵀ to solve with it many times.

use super::vector::Vec3;

/// The factor L, its rows and columns in an order that keeps it sparse.
#[derive(Debug)]
pub struct Factor {
    /// The row that stands at each place of the order.
    order: Vec<u32>,
    /// Where each column begins; the diagonal entry comes first.
    starts: Vec<usize>,
    rows: Vec<u32>,
    values: Vec<f64>,
}

/// No parent in the tree of elimination.
const NONE: u32 = u32::MAX;

impl Factor {
    /// Factors the matrix with this diagonal and these entries beside it, each `(row, column, value)` once for both places. `order` lists
    /// all rows, each once.
    pub fn new(diagonal: &[f64], entries: &[(u32, u32, f64)], order: Vec<u32>) -> Factor {
        let upper = Upper::new(diagonal.len(), entries, &order);
        let parents = upper.parents();
        let starts = upper.column_starts(&parents);
        let size = diagonal.len();
        let mut factor = Factor {
            rows: vec![0; starts[size]],
            values: vec![0.0; starts[size]],
            starts,
            order,
        };
        factor.fill(diagonal, &upper, &parents);
        factor
    }

    /// One row of L after another.
    fn fill(&mut self, diagonal: &[f64], upper: &Upper, parents: &[u32]) {
        let size = diagonal.len();
        let mut ends: Vec<usize> = self.starts[..size].to_vec();
        let mut row = vec![0.0; size];
        let mut reach = Reach::new(size);
        for k in 0..size {
            let mut pivot = diagonal[self.order[k] as usize];
            for &(column, value) in upper.row(k) {
                row[column as usize] = value;
            }
            for &column in reach.of(k, upper, parents) {
                let column = column as usize;
                let start = self.starts[column];
                let entry = row[column] / self.values[start];
                row[column] = 0.0;
                for at in start + 1..ends[column] {
                    row[self.rows[at] as usize] -= self.values[at] * entry;
                }
                pivot -= entry * entry;
                self.rows[ends[column]] = k as u32;
                self.values[ends[column]] = entry;
                ends[column] += 1;
            }
            self.rows[ends[k]] = k as u32;
            // A matrix with a dominant diagonal keeps its pivots positive; rounding may not make one vanish.
            self.values[ends[k]] = pivot.max(1e-12).sqrt();
            ends[k] += 1;
        }
    }

    /// Solves for three right-hand sides at once, in place.
    pub fn solve(&self, sides: &mut [Vec3], scratch: &mut Vec<Vec3>) {
        scratch.clear();
        scratch.extend(self.order.iter().map(|&row| sides[row as usize]));
        let size = self.order.len();
        for column in 0..size {
            let (start, end) = (self.starts[column], self.starts[column + 1]);
            let x = scratch[column] * (1.0 / self.values[start]);
            scratch[column] = x;
            for at in start + 1..end {
                scratch[self.rows[at] as usize] -= x * self.values[at];
            }
        }
        for column in (0..size).rev() {
            let (start, end) = (self.starts[column], self.starts[column + 1]);
            let mut x = scratch[column];
            for at in start + 1..end {
                x -= scratch[self.rows[at] as usize] * self.values[at];
            }
            scratch[column] = x * (1.0 / self.values[start]);
        }
        for (&row, &x) in self.order.iter().zip(scratch.iter()) {
            sides[row as usize] = x;
        }
    }
}

/// The entries above the diagonal, by column of the reordered matrix.
struct Upper {
    starts: Vec<usize>,
    entries: Vec<(u32, f64)>,
}

impl Upper {
    fn new(size: usize, entries: &[(u32, u32, f64)], order: &[u32]) -> Upper {
        let mut places = vec![0; size];
        for (place, &row) in order.iter().enumerate() {
            places[row as usize] = place as u32;
        }
        let placed = |&(row, column, value): &(u32, u32, f64)| {
            let (row, column) = (places[row as usize], places[column as usize]);
            (row.max(column), row.min(column), value)
        };
        let mut sorted: Vec<_> = entries.iter().map(placed).collect();
        sorted.sort_by_key(|&(high, low, _)| (high, low));
        let mut merged: Vec<(u32, u32, f64)> = Vec::with_capacity(sorted.len());
        for (high, low, value) in sorted {
            match merged.last_mut() {
                Some(last) if (last.0, last.1) == (high, low) => last.2 += value,
                _ => merged.push((high, low, value)),
            }
        }
        let mut starts = vec![0; size + 1];
        for &(high, _, _) in &merged {
            starts[high as usize + 1] += 1;
        }
        for place in 0..size {
            starts[place + 1] += starts[place];
        }
        let entries = merged.into_iter().map(|(_, low, value)| (low, value));
        Upper {
            starts,
            entries: entries.collect(),
        }
    }

    fn row(&self, row: usize) -> &[(u32, f64)] {
        &self.entries[self.starts[row]..self.starts[row + 1]]
    }

    /// The tree of elimination: for each column the first row below its diagonal.
    fn parents(&self) -> Vec<u32> {
        let size = self.starts.len() - 1;
        let mut parents = vec![NONE; size];
        let mut roots = vec![NONE; size];
        for k in 0..size {
            for &(low, _) in self.row(k) {
                let mut at = low;
                while at != NONE && (at as usize) < k {
                    let up = roots[at as usize];
                    roots[at as usize] = k as u32;
                    if up == NONE {
                        parents[at as usize] = k as u32;
                    }
                    at = up;
                }
            }
        }
        parents
    }

    fn column_starts(&self, parents: &[u32]) -> Vec<usize> {
        let size = parents.len();
        let mut counts = vec![1usize; size];
        let mut reach = Reach::new(size);
        for k in 0..size {
            for &column in reach.of(k, self, parents) {
                counts[column as usize] += 1;
            }
        }
        let mut starts = vec![0; size + 1];
        for column in 0..size {
            starts[column + 1] = starts[column] + counts[column];
        }
        starts
    }
}

/// Finds the columns in which a row of L has entries, in an order in which they can be worked out.
struct Reach {
    seen: Vec<u32>,
    path: Vec<u32>,
    found: Vec<u32>,
}

impl Reach {
    fn new(size: usize) -> Reach {
        Reach {
            seen: vec![NONE; size],
            path: Vec::new(),
            found: vec![0; size],
        }
    }

    fn of(&mut self, k: usize, upper: &Upper, parents: &[u32]) -> &[u32] {
        let size = self.found.len();
        let mut top = size;
        self.seen[k] = k as u32;
        for &(low, _) in upper.row(k) {
            let mut at = low;
            self.path.clear();
            while at != NONE && self.seen[at as usize] != k as u32 {
                self.path.push(at);
                self.seen[at as usize] = k as u32;
                at = parents[at as usize];
            }
            while let Some(column) = self.path.pop() {
                top -= 1;
                self.found[top] = column;
            }
        }
        &self.found[top..]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_solution_solves_the_equations() {
        // A ladder of 7 rungs, its diagonal just dominant.
        let entries: Vec<(u32, u32, f64)> = (0..14)
            .flat_map(|i| [(i, i + 2, -1.0), (i, i + 1, -0.5)])
            .filter(|&(_, to, _)| to < 14)
            .collect();
        let mut diagonal = vec![0.1; 14];
        for &(row, column, value) in &entries {
            diagonal[row as usize] -= value;
            diagonal[column as usize] -= value;
        }
        let order = vec![3, 0, 12, 5, 7, 1, 2, 4, 6, 8, 13, 11, 10, 9];
        let factor = Factor::new(&diagonal, &entries, order);
        let wanted: Vec<Vec3> = (0..14)
            .map(|i| Vec3::new(f64::from(i), 1.0, f64::from(i * i) - 3.0))
            .collect();
        let mut sides: Vec<Vec3> = (0..14).map(|i| wanted[i] * diagonal[i]).collect();
        for &(row, column, value) in &entries {
            sides[row as usize] += wanted[column as usize] * value;
            sides[column as usize] += wanted[row as usize] * value;
        }
        factor.solve(&mut sides, &mut Vec::new());
        for (found, wanted) in sides.iter().zip(&wanted) {
            assert!((*found - *wanted).length() < 1e-9);
        }
    }
}
