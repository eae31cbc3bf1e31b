//! From rows that have a bit for each scene to one scene bit by bit.

use crate::net::{LANES, Lanes};

/// One scene of some rows, bit by bit.
pub(super) type Column = Box<[u64]>;

const WORDS: usize = LANES / 64;

/// Some scenes of some rows.
pub(super) struct Columns {
    /// For each 64 rows and each 64 scenes a square, by scene.
    squares: Vec<[[u64; 64]; WORDS]>,
}

impl Columns {
    /// Turns rows into columns.
    pub fn of<'r>(rows: impl Iterator<Item = &'r Lanes>) -> Self {
        let mut squares: Vec<[[u64; 64]; WORDS]> = Vec::new();
        for (i, row) in rows.enumerate() {
            if i % 64 == 0 {
                squares.push([[0; 64]; WORDS]);
            }
            for (square, word) in squares[i / 64].iter_mut().zip(row.words()) {
                square[i % 64] = word;
            }
        }
        squares.iter_mut().flatten().for_each(turn);
        Columns { squares }
    }

    /// One scene.
    pub fn get(&self, lane: usize) -> Column {
        let squares = self.squares.iter();
        squares.map(|s| s[lane / 64][lane % 64]).collect()
    }
}

/// Swaps the rows and columns of a square of bits (H. S. Warren, *Hacker's Delight*, 2002): halves
/// across, then quarters in each, and so on.
fn turn(square: &mut [u64; 64]) {
    let mut width = 32;
    let mut mask = u64::from(u32::MAX);
    while width > 0 {
        for i in (0..64).filter(|i| i & width == 0) {
            let swapped = ((square[i] >> width) ^ square[i + width]) & mask;
            square[i] ^= swapped << width;
            square[i + width] ^= swapped;
        }
        width /= 2;
        mask ^= mask << width;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scenes_come_out_of_rows() {
        let rows: Vec<Lanes> = (0..150)
            .map(|i| {
                let mut row = Lanes::NONE;
                let lanes = (0..LANES).filter(|lane| (lane * 31 + i * 17) % 7 < 3);
                lanes.for_each(|lane| row.insert(lane));
                row
            })
            .collect();
        let columns = Columns::of(rows.iter());
        for lane in 0..LANES {
            let column = columns.get(lane);
            for (i, row) in rows.iter().enumerate() {
                let bit = column[i / 64] >> (i % 64) & 1 == 1;
                assert_eq!(bit, row.contains(lane), "{lane} {i}");
            }
        }
    }
}
