//! A grid as a map: which outlets fall short at which points.

use super::Grid;

/// Points of a grid at which the same outlets fall short.
#[derive(Clone, Debug, PartialEq)]
pub struct GridRegion {
    /// What it goes by on a map: `·` where nothing falls short, `?` where nothing is sure, else a
    /// letter; `+` for all that come after Z.
    pub sign: char,
    /// Outlets that do not have what they need, by their number in [`Grid::outlets`].
    pub short: Vec<usize>,
    /// Outlets of which that cannot be said.
    pub undecided: Vec<usize>,
    /// How many points there are.
    pub points: usize,
}

impl Grid {
    /// The regions of the grid, one where nothing falls short first, then the largest first; and for
    /// each row the number of the region that each of its points is in.
    #[must_use]
    pub fn regions(&self) -> (Vec<GridRegion>, Vec<Vec<usize>>) {
        let mut regions: Vec<GridRegion> = Vec::new();
        let mut at = vec![vec![0; self.along.values.len()]; self.up.values.len()];
        for (row, numbers) in at.iter_mut().enumerate() {
            for (column, number) in numbers.iter_mut().enumerate() {
                let with = |met| {
                    let outlets = self.outlets.iter().enumerate();
                    let with = outlets.filter(|(_, o)| o.met[row][column] == met);
                    with.map(|(number, _)| number).collect::<Vec<_>>()
                };
                let (short, undecided) = (with(Some(false)), with(None));
                let mut known = regions.iter();
                let known = known.position(|r| r.short == short && r.undecided == undecided);
                *number = known.unwrap_or_else(|| {
                    regions.push(GridRegion {
                        sign: '+',
                        short,
                        undecided,
                        points: 0,
                    });
                    regions.len() - 1
                });
                regions[*number].points += 1;
            }
        }
        let mut order: Vec<usize> = (0..regions.len()).collect();
        let lacks = |r: &GridRegion| !(r.short.is_empty() && r.undecided.is_empty());
        order.sort_by_key(|i| {
            (
                lacks(&regions[*i]),
                std::cmp::Reverse(regions[*i].points),
                *i,
            )
        });
        let mut place = vec![0; order.len()];
        for (now, was) in order.iter().enumerate() {
            place[*was] = now;
        }
        for number in at.iter_mut().flatten() {
            *number = place[*number];
        }
        let mut letters = 'A'..='Z';
        let regions = order.iter().map(|i| {
            let mut region = regions[*i].clone();
            region.sign = match (region.short.is_empty(), region.undecided.is_empty()) {
                (true, true) => '·',
                (true, false) => '?',
                _ => letters.next().unwrap_or('+'),
            };
            region
        });
        (regions.collect(), at)
    }
}
