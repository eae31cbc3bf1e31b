//! Which unknowns of a sparse system meet when it is factored, and in what order they go.

use crate::flow::lists::Lists;

/// The pattern of a matrix, of its factor and of the order of elimination. Made once for a network:
/// its numbers change with every step, its pattern does not.
///
/// Unknowns go in the approximate minimum degree order of Amestoy, Davis & Duff (SIAM J. Matrix
/// Anal. Appl. 17, 1996), which leaves a circuit, nearly a tree, nearly as sparse as it was. What the
/// factor fills follows from the elimination tree (Liu, same journal 11, 1990).
///
/// A *place* is when an unknown goes.
#[derive(Debug)]
pub(super) struct Pattern {
    /// By place, the unknown.
    pub(super) order: Vec<u32>,
    /// By place: the earlier places it has pairs with, and which pairs.
    pub(super) entries: Lists<Entry>,
    /// By place: the later places its column of the factor reaches, rising.
    pub(super) columns: Lists<u32>,
    /// By place: the earlier places whose columns reach it, rising.
    pub(super) rows: Lists<u32>,
}

/// A pair of the matrix.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    pub(super) early: u32,
    pub(super) pair: u32,
    /// Whether the first of the pair goes first.
    pub(super) forward: bool,
}

impl Pattern {
    /// Of a matrix of unknowns that meet in these pairs; a pair may come more than once.
    pub(super) fn new(unknowns: usize, pairs: &[(u32, u32)]) -> Pattern {
        let order = minimum_degree(unknowns, pairs);
        let mut places = vec![0; unknowns];
        for (place, node) in order.iter().enumerate() {
            places[*node as usize] = place as u32;
        }
        let entries = (0..).zip(pairs).map(|(pair, (a, b))| {
            let (a, b) = (places[*a as usize], places[*b as usize]);
            let entry = Entry {
                early: a.min(b),
                pair,
                forward: a < b,
            };
            (a.max(b), entry)
        });
        let entries = Lists::new(unknowns, entries);
        let columns = fill(unknowns, &entries).turned();
        Pattern {
            order,
            entries,
            rows: columns.turned(),
            columns,
        }
    }
}

/// By place, the earlier places its row of the factor reaches, in no order: those it has pairs with,
/// and all from there up the elimination tree.
fn fill(unknowns: usize, entries: &Lists<Entry>) -> Lists<u32> {
    const NONE: u32 = u32::MAX;
    let mut parent = vec![NONE; unknowns];
    let mut seen = vec![NONE; unknowns];
    let (mut starts, mut items) = (vec![0], Vec::new());
    for place in 0..unknowns {
        let here = place as u32;
        seen[place] = here;
        for entry in entries.of(place) {
            let mut up = entry.early;
            while seen[up as usize] != here {
                seen[up as usize] = here;
                items.push(up);
                let above = &mut parent[up as usize];
                if *above == NONE {
                    *above = here;
                }
                up = *above;
            }
        }
        starts.push(items.len() as u32);
    }
    Lists { starts, items }
}

fn minimum_degree(unknowns: usize, pairs: &[(u32, u32)]) -> Vec<u32> {
    // Every unknown meets itself, and each other once.
    let own = (0..unknowns as u32).map(|node| (node, node));
    let both = pairs.iter().flat_map(|&(a, b)| [(a, b), (b, a)]);
    let mut full: Vec<(u32, u32)> = own.chain(both).collect();
    full.sort_unstable();
    full.dedup();
    let full = Lists::new(unknowns, full.into_iter());
    let signed = |list: &[u32]| -> Vec<i32> { list.iter().map(|i| *i as i32).collect() };
    let (starts, items) = (signed(&full.starts), signed(&full.items));
    let control = amd::Control::default();
    match amd::order(unknowns as i32, &starts, &items, &control) {
        Ok((order, ..)) => order.into_iter().map(|node| node as u32).collect(),
        // Any order is right; this one fills more.
        Err(_) => (0..unknowns as u32).collect(),
    }
}
