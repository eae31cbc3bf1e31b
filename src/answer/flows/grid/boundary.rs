//! Lines through the cells of a grid that part the points inside from those outside: cells are
//! crossed one by one (marching squares, from memory); where two opposite corners are inside, the
//! middle of the cell decides.

use std::collections::{BTreeMap, BTreeSet};

/// Between two neighbours of a grid: the column and row of the one, and whether the other lies in
/// the next row or in the next column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Edge {
    row: usize,
    rises: bool,
    column: usize,
}

impl Edge {
    /// Its two points, each by column and row.
    pub fn ends(self) -> [[usize; 2]; 2] {
        let (column, row) = (self.column, self.row);
        let end = match self.rises {
            true => [column, row + 1],
            false => [column + 1, row],
        };
        [[column, row], end]
    }
}

/// Every edge of a grid of so many columns and rows.
pub(super) fn edges([columns, rows]: [usize; 2]) -> impl Iterator<Item = Edge> {
    let in_row =
        move |row, rises, columns| (0..columns).map(move |column| Edge { row, rises, column });
    (0..rows).flat_map(move |row| {
        let rising = if row + 1 < rows { columns } else { 0 };
        in_row(row, false, columns - 1).chain(in_row(row, true, rising))
    })
}

/// What lines cross a cell, named by its lower left point: each from one edge of it to another.
///
/// # Errors
///
/// That of the middle, which is asked only where it decides.
pub(super) fn segments<E>(
    [column, row]: [usize; 2],
    inside: &dyn Fn([usize; 2]) -> bool,
    middle: impl FnOnce() -> Result<bool, E>,
) -> Result<Vec<[Edge; 2]>, E> {
    let edge = |column, row, rises| Edge { row, rises, column };
    let (bottom, left) = (edge(column, row, false), edge(column, row, true));
    let (top, right) = (edge(column, row + 1, false), edge(column + 1, row, true));
    let crossed = [bottom, right, top, left].into_iter().filter(|edge| {
        let [one, other] = edge.ends();
        inside(one) != inside(other)
    });
    let crossed: Vec<Edge> = crossed.collect();
    Ok(match crossed[..] {
        [one, other] => vec![[one, other]],
        [_, _, _, _] if inside([column, row]) == middle()? => vec![[bottom, right], [top, left]],
        [_, _, _, _] => vec![[bottom, left], [top, right]],
        _ => Vec::new(),
    })
}

/// Segments that meet at edges, joined. A line that closes ends with the edge it begins with.
pub(super) fn lines(segments: &[[Edge; 2]]) -> Vec<Vec<Edge>> {
    let mut beside: BTreeMap<Edge, BTreeSet<Edge>> = BTreeMap::new();
    for [one, other] in segments {
        beside.entry(*one).or_default().insert(*other);
        beside.entry(*other).or_default().insert(*one);
    }
    let mut lines = Vec::new();
    // Those that end at the border first: what is left then closes.
    let begin = |beside: &BTreeMap<Edge, BTreeSet<Edge>>| {
        let border = beside.iter().find(|(_, next)| next.len() == 1);
        border.or(beside.first_key_value()).map(|(edge, _)| *edge)
    };
    while let Some(first) = begin(&beside) {
        let mut line = vec![first];
        let mut at = first;
        while let Some(next) = beside.get(&at).and_then(|next| next.first().copied()) {
            for (edge, other) in [(at, next), (next, at)] {
                if let Some(known) = beside.get_mut(&edge) {
                    known.remove(&other);
                    if known.is_empty() {
                        beside.remove(&edge);
                    }
                }
            }
            line.push(next);
            at = next;
        }
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(rows: &[&str], middle: bool) -> Vec<Vec<Edge>> {
        let inside = |[column, row]: [usize; 2]| rows[row].as_bytes()[column] == b'#';
        let mut parts = Vec::new();
        for row in 0..rows.len() - 1 {
            for column in 0..rows[0].len() - 1 {
                let middle = || Ok::<bool, ()>(middle);
                parts.extend(segments([column, row], &inside, middle).unwrap());
            }
        }
        let size = [rows[0].len(), rows.len()];
        let found = lines(&parts);
        // Every edge whose ends differ is crossed, by one line and once.
        let crossed = |edge: &Edge| {
            let [one, other] = edge.ends();
            inside(one) != inside(other)
        };
        let mut passed: Vec<Edge> = found.iter().flat_map(|line| line.iter().copied()).collect();
        passed.sort_unstable();
        passed.dedup();
        let mut should: Vec<Edge> = edges(size).filter(crossed).collect();
        should.sort_unstable();
        assert_eq!(passed, should);
        found
    }

    #[test]
    fn a_line_goes_from_border_to_border() {
        let found = drawn(&["..#", "..#", ".##"], false);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].len(), 4);
        assert_ne!(found[0].first(), found[0].last());
    }

    #[test]
    fn an_island_is_closed() {
        let found = drawn(&["....", ".##.", "...."], false);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].first(), found[0].last());
        assert_eq!(found[0].len(), 7);
    }

    #[test]
    fn the_middle_decides_which_corners_belong_together() {
        let apart = drawn(&["....", ".#..", "..#.", "...."], false);
        assert_eq!(apart.len(), 2);
        let joined = drawn(&["....", ".#..", "..#.", "...."], true);
        assert_eq!(joined.len(), 1);
    }

    #[test]
    fn where_nothing_changes_there_is_no_line() {
        assert!(drawn(&["###", "###"], true).is_empty());
    }
}
