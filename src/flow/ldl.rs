//! Sparse symmetric systems: LDLᵀ in an order that keeps the factor sparse.

use std::collections::BTreeSet;

/// A symmetric positive definite matrix with the pattern of a graph, factored in place.
///
/// Unknowns are eliminated smallest degree first (Tinney's second scheme, 1967), which leaves a
/// circuit, nearly a tree, nearly as sparse as it was.
#[derive(Debug)]
pub(super) struct Ldl {
    /// Which unknown is eliminated when.
    order: Vec<usize>,
    /// When an unknown is eliminated.
    place: Vec<usize>,
    /// By place: the later places its column reaches, rising.
    reach: Vec<Vec<usize>>,
    diagonal: Vec<f64>,
    /// Beside `reach`.
    column: Vec<Vec<f64>>,
}

impl Ldl {
    /// An empty matrix for unknowns joined in these pairs.
    pub(super) fn new(unknowns: usize, pairs: impl Iterator<Item = (usize, usize)>) -> Ldl {
        let mut neighbours = vec![BTreeSet::new(); unknowns];
        for (a, b) in pairs.filter(|(a, b)| a != b) {
            neighbours[a].insert(b);
            neighbours[b].insert(a);
        }
        let mut queue: BTreeSet<(usize, usize)> =
            neighbours.iter().map(BTreeSet::len).zip(0..).collect();
        let mut order = Vec::with_capacity(unknowns);
        let mut place = vec![0; unknowns];
        let mut columns = Vec::with_capacity(unknowns);
        while let Some((_, node)) = queue.pop_first() {
            place[node] = order.len();
            order.push(node);
            // Eliminating it joins all its neighbours with each other.
            let left = std::mem::take(&mut neighbours[node]);
            for &a in &left {
                queue.remove(&(neighbours[a].len(), a));
                neighbours[a].remove(&node);
                neighbours[a].extend(left.iter().filter(|b| **b != a));
                queue.insert((neighbours[a].len(), a));
            }
            columns.push(left);
        }
        let reach: Vec<Vec<usize>> = columns
            .into_iter()
            .map(|column| {
                let places: BTreeSet<usize> = column.into_iter().map(|n| place[n]).collect();
                places.into_iter().collect()
            })
            .collect();
        Ldl {
            column: reach.iter().map(|r| vec![0.0; r.len()]).collect(),
            diagonal: vec![0.0; unknowns],
            order,
            place,
            reach,
        }
    }

    pub(super) fn clear(&mut self) {
        self.diagonal.fill(0.0);
        self.column.iter_mut().for_each(|column| column.fill(0.0));
    }

    /// A conductance between an unknown and a known one.
    pub(super) fn ground(&mut self, a: usize, conductance: f64) {
        self.diagonal[self.place[a]] += conductance;
    }

    /// A conductance between two unknowns, of a pair named at the start.
    pub(super) fn join(&mut self, a: usize, b: usize, conductance: f64) {
        if a != b {
            self.ground(a, conductance);
            self.ground(b, conductance);
            let (a, b) = (self.place[a], self.place[b]);
            self.subtract(a.min(b), a.max(b), conductance);
        }
    }

    /// From the entry of two places, earlier first.
    fn subtract(&mut self, early: usize, late: usize, value: f64) {
        if let Ok(at) = self.reach[early].binary_search(&late) {
            self.column[early][at] -= value;
        }
    }

    /// Factors what was laid in.
    ///
    /// # Errors
    ///
    /// An unknown that nothing holds: it has no conductance to anything known.
    pub(super) fn factor(&mut self) -> Result<(), usize> {
        /// What is left of a diagonal by rounding alone, of what it was.
        const NOTHING: f64 = 1e-14;
        let whole = self.diagonal.clone();
        for (k, whole) in whole.into_iter().enumerate() {
            let pivot = self.diagonal[k];
            if pivot <= NOTHING * whole {
                return Err(self.order[k]);
            }
            let (reach, mut column) = (self.reach[k].clone(), std::mem::take(&mut self.column[k]));
            for (a, &i) in reach.iter().enumerate() {
                let scaled = column[a] / pivot;
                self.diagonal[i] -= scaled * column[a];
                for (b, &j) in reach.iter().enumerate().skip(a + 1) {
                    self.subtract(i, j, scaled * column[b]);
                }
            }
            column.iter_mut().for_each(|value| *value /= pivot);
            self.column[k] = column;
        }
        Ok(())
    }

    /// The unknowns for a right-hand side, after [`factor`](Ldl::factor).
    pub(super) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut x: Vec<f64> = self.order.iter().map(|&node| right[node]).collect();
        for k in 0..x.len() {
            for (&i, l) in self.reach[k].iter().zip(&self.column[k]) {
                x[i] -= l * x[k];
            }
        }
        for k in (0..x.len()).rev() {
            let later = self.reach[k].iter().zip(&self.column[k]);
            x[k] = x[k] / self.diagonal[k] - later.map(|(&i, l)| l * x[i]).sum::<f64>();
        }
        self.place.iter().map(|&place| x[place]).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The obvious rival: Gauss on the full matrix.
    fn dense(mut rows: Vec<Vec<f64>>, mut right: Vec<f64>) -> Vec<f64> {
        let n = right.len();
        for k in 0..n {
            for i in k + 1..n {
                let by = rows[i][k] / rows[k][k];
                let pivot = rows[k].clone();
                for (value, above) in rows[i].iter_mut().zip(pivot) {
                    *value -= by * above;
                }
                right[i] -= by * right[k];
            }
        }
        for k in (0..n).rev() {
            let known: f64 = (k + 1..n).map(|j| rows[k][j] * right[j]).sum();
            right[k] = (right[k] - known) / rows[k][k];
        }
        right
    }

    proptest! {
        #[test]
        fn as_gauss_on_the_full_matrix(
            joins in prop::collection::vec((0..30usize, 0..30usize, 1e-3..1.0f64), 0..90),
            grounds in prop::collection::vec(1e-3..1.0f64, 30),
            right in prop::collection::vec(-1.0..1.0f64, 30),
        ) {
            let n = right.len();
            let mut full = vec![vec![0.0; n]; n];
            let mut sparse = Ldl::new(n, joins.iter().map(|(a, b, _)| (*a, *b)));
            // Twice, since a matrix is used again and again.
            for _ in 0..2 {
                sparse.clear();
                full.iter_mut().for_each(|row| row.fill(0.0));
                for (a, g) in grounds.iter().enumerate() {
                    sparse.ground(a, *g);
                    full[a][a] += g;
                }
                for &(a, b, g) in joins.iter().filter(|(a, b, _)| a != b) {
                    sparse.join(a, b, g);
                    full[a][a] += g;
                    full[b][b] += g;
                    full[a][b] -= g;
                    full[b][a] -= g;
                }
                prop_assert_eq!(sparse.factor(), Ok(()));
            }
            let (got, expected) = (sparse.solve(&right), dense(full, right));
            for (got, expected) in got.iter().zip(&expected) {
                prop_assert!((got - expected).abs() < 1e-9 * (1.0 + expected.abs()));
            }
        }
    }

    #[test]
    fn an_unknown_that_nothing_holds_is_named() {
        let mut alone = Ldl::new(3, [(0, 1)].into_iter());
        alone.ground(0, 1.0);
        alone.join(0, 1, 1.0);
        assert_eq!(alone.factor(), Err(2));
    }
}
