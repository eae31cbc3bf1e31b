//! Sparse systems solved: LDLᵀ where they are symmetric, LU where not, on one pattern.

use super::pattern::Pattern;

/// A square matrix whose entries beside the diagonal lie in pairs, as the ways of a network lay them,
/// and its factor.
///
/// Factored row by row, each the solution of a triangular system with those before (the up-looking
/// method; Davis, Direct Methods for Sparse Linear Systems, 2006, ch. 4), without pivoting: what a
/// network lays is dominated by its diagonal, or nearly.
///
/// ```
/// use oilpath::flow::sparse::Factor;
///
/// // 2x − y = 3, −x + 2y = 0
/// let mut factor = Factor::new(2, &[(0, 1)], true);
/// factor.diagonal.fill(2.0);
/// factor.forth.fill(-1.0);
/// factor.factor();
/// let x = factor.solve(&[3.0, 0.0]);
/// assert!((x[0] - 2.0).abs() < 1e-12 && (x[1] - 1.0).abs() < 1e-12);
/// ```
#[derive(Debug)]
pub struct Factor {
    pattern: Pattern,
    /// The diagonal, by unknown.
    pub diagonal: Vec<f64>,
    /// By pair: the entry in the row of its first, the column of its second.
    pub forth: Vec<f64>,
    /// The other way round; none where the matrix is symmetric.
    pub back: Option<Vec<f64>>,
    /// By place.
    pivots: Vec<f64>,
    /// Columns of L below its diagonal of ones.
    lower: Vec<f64>,
    /// Rows of U beyond the pivots; where symmetric they are pivots times `lower`.
    upper: Option<Vec<f64>>,
}

impl Factor {
    /// A matrix for pairs of unlike unknowns, each as often as it likes: what its pairs hold adds up.
    /// Nothing is laid in yet.
    ///
    /// # Panics
    ///
    /// If a pair holds an unknown beyond the last.
    #[must_use]
    pub fn new(unknowns: usize, pairs: &[(u32, u32)], symmetric: bool) -> Factor {
        let pattern = Pattern::new(unknowns, pairs);
        let fill = pattern.columns.items().len();
        Factor {
            diagonal: vec![0.0; unknowns],
            forth: vec![0.0; pairs.len()],
            back: (!symmetric).then(|| vec![0.0; pairs.len()]),
            pivots: vec![0.0; unknowns],
            lower: vec![0.0; fill],
            upper: (!symmetric).then(|| vec![0.0; fill]),
            pattern,
        }
    }

    /// Factors what was laid in. A pivot that rounding has made nothing is kept just above it: the
    /// answer is then large there, and not to be trusted to its length.
    pub fn factor(&mut self) {
        /// What is left of a diagonal by rounding alone, of what it was.
        const NOTHING: f64 = 1e-14;
        let Pattern {
            order,
            entries,
            columns,
            rows,
        } = &self.pattern;
        let reach = columns.items();
        let mut next: Vec<usize> = (0..order.len()).map(|k| columns.range(k).start).collect();
        // Of the row and the column of this place, what is not yet divided or subtracted.
        let (mut across, mut down) = (vec![0.0; order.len()], vec![0.0; order.len()]);
        for (k, node) in order.iter().enumerate() {
            let whole = self.diagonal[*node as usize];
            for entry in entries.of(k) {
                let (early, pair) = (entry.early as usize, entry.pair as usize);
                let forth = self.forth[pair];
                let back = self.back.as_ref().map_or(forth, |back| back[pair]);
                let (above, below) = if entry.forward {
                    (forth, back)
                } else {
                    (back, forth)
                };
                down[early] += above;
                across[early] += below;
            }
            let mut pivot = whole;
            for &j in rows.of(k) {
                let j = j as usize;
                let made = columns.range(j).start..next[j];
                let above = std::mem::take(&mut down[j]);
                for (i, l) in reach[made.clone()].iter().zip(&self.lower[made.clone()]) {
                    down[*i as usize] -= l * above;
                }
                let below = std::mem::take(&mut across[j]);
                let l = match &mut self.upper {
                    None => above / self.pivots[j],
                    Some(upper) => {
                        let l = below / self.pivots[j];
                        for (i, u) in reach[made.clone()].iter().zip(&upper[made]) {
                            across[*i as usize] -= u * l;
                        }
                        upper[next[j]] = above;
                        l
                    }
                };
                pivot -= l * above;
                self.lower[next[j]] = l;
                next[j] += 1;
            }
            self.pivots[k] = if pivot.abs() <= NOTHING * whole {
                NOTHING * whole
            } else {
                pivot
            };
        }
    }

    /// The unknowns for a right-hand side, after [`factor`](Factor::factor).
    ///
    /// # Panics
    ///
    /// If there are fewer right-hand sides than unknowns.
    #[must_use]
    pub fn solve(&self, right: &[f64]) -> Vec<f64> {
        let Pattern { order, columns, .. } = &self.pattern;
        let mut x: Vec<f64> = order.iter().map(|node| right[*node as usize]).collect();
        for k in 0..x.len() {
            let known = x[k];
            for (i, l) in columns.of(k).iter().zip(&self.lower[columns.range(k)]) {
                x[*i as usize] -= l * known;
            }
        }
        let mut solution = vec![0.0; x.len()];
        for k in (0..x.len()).rev() {
            let row = self.upper.as_ref().unwrap_or(&self.lower);
            let later = columns.of(k).iter().zip(&row[columns.range(k)]);
            let later: f64 = later.map(|(i, value)| value * x[*i as usize]).sum();
            x[k] = match self.upper {
                None => x[k] / self.pivots[k] - later,
                Some(_) => (x[k] - later) / self.pivots[k],
            };
            solution[order[k] as usize] = x[k];
        }
        solution
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

    /// Unknowns, pairs with what each end passes on to the other, and the right-hand side.
    type System = (usize, Vec<(u32, u32, f64, f64)>, Vec<f64>, Vec<f64>);

    fn system() -> impl Strategy<Value = System> {
        (1..60usize, 0..4usize).prop_flat_map(|(n, each)| {
            let pair = (0..n as u32, 0..n as u32, 1e-3..1.0f64, 1e-3..1.0f64);
            let unlike = pair.prop_filter("a pair", |(a, b, ..)| a != b);
            let pairs = if n == 1 { 0 } else { n * each };
            (
                Just(n),
                prop::collection::vec(unlike, pairs),
                prop::collection::vec(1e-3..1.0f64, n),
                prop::collection::vec(-1.0..1.0f64, n),
            )
        })
    }

    proptest! {
        #[test]
        fn as_gauss_on_the_full_matrix(
            (n, pairs, grounds, right) in system(),
            symmetric in any::<bool>(),
        ) {
            let ends: Vec<(u32, u32)> = pairs.iter().map(|(a, b, ..)| (*a, *b)).collect();
            let mut sparse = Factor::new(n, &ends, symmetric);
            let mut full = vec![vec![0.0; n]; n];
            for (a, g) in grounds.iter().enumerate() {
                full[a][a] = *g;
                sparse.diagonal[a] = *g;
            }
            for (i, &(a, b, there, and_back)) in pairs.iter().enumerate() {
                let and_back = if symmetric { there } else { and_back };
                sparse.forth[i] = -there;
                if let Some(back) = &mut sparse.back {
                    back[i] = -and_back;
                }
                let (a, b) = (a as usize, b as usize);
                // Columns add up to what grounds them.
                sparse.diagonal[b] += there;
                sparse.diagonal[a] += and_back;
                full[a][b] -= there;
                full[b][a] -= and_back;
                full[b][b] += there;
                full[a][a] += and_back;
            }
            let expected = dense(full, right.clone());
            // Twice, since a matrix is used again and again.
            for _ in 0..2 {
                sparse.factor();
                for (got, expected) in sparse.solve(&right).iter().zip(&expected) {
                    prop_assert!((got - expected).abs() < 1e-8 * (1.0 + expected.abs()));
                }
            }
        }
    }
}
