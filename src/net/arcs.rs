//! Who is next to whom: the ways at each cavity, side by side in memory.

use super::{Cavity, Passes, WayId};

/// One end of a way, as seen from the cavity at its other end. Eight bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Arc {
    pub to: Cavity,
    /// The way's number below, what it passes in the top two bits.
    packed: u32,
}

const WAY: u32 = (1 << 30) - 1;

impl Arc {
    pub fn new(to: Cavity, way: WayId, passes: Passes) -> Self {
        let passes = match passes {
            Passes::Both => 0,
            Passes::Forward => 1,
            Passes::Excess => 2,
        };
        Arc {
            to,
            packed: (way.0 & WAY) | (passes << 30),
        }
    }

    #[inline]
    pub fn way(self) -> WayId {
        WayId(self.packed & WAY)
    }

    #[inline]
    pub fn passes(self) -> Passes {
        match self.packed >> 30 {
            0 => Passes::Both,
            1 => Passes::Forward,
            _ => Passes::Excess,
        }
    }
}

/// The arcs of every cavity.
pub(super) type Arcs = Rows<Arc>;

/// What lies at each cavity, side by side in memory (compressed sparse rows).
#[derive(Clone, Debug)]
pub(super) struct Rows<T> {
    /// Where each cavity's row starts; one more at the end.
    first: Vec<u32>,
    items: Vec<T>,
}

impl<T> Default for Rows<T> {
    fn default() -> Self {
        Rows {
            first: Vec::new(),
            items: Vec::new(),
        }
    }
}

impl<T: Copy> Rows<T> {
    /// Sorts items by the cavity they are at, keeping their order at each.
    pub fn new(cavities: usize, items: impl Iterator<Item = (Cavity, T)> + Clone) -> Self {
        let mut first = vec![0u32; cavities + 1];
        let Some((_, filler)) = items.clone().next() else {
            let items = Vec::new();
            return Rows { first, items };
        };
        for (at, _) in items.clone() {
            first[at.at() + 1] += 1;
        }
        for i in 1..first.len() {
            first[i] += first[i - 1];
        }
        let mut next = first.clone();
        let total = first.last().copied().unwrap_or_default() as usize;
        let mut sorted = vec![filler; total];
        for (at, item) in items {
            sorted[next[at.at()] as usize] = item;
            next[at.at()] += 1;
        }
        Rows {
            first,
            items: sorted,
        }
    }

    #[inline]
    pub fn at(&self, cavity: Cavity) -> &[T] {
        let [from, to] = [self.first[cavity.at()], self.first[cavity.at() + 1]];
        &self.items[from as usize..to as usize]
    }

    pub fn len(&self) -> usize {
        self.items.len()
    }

    /// Everything with the cavity it is at.
    pub fn iter(&self) -> impl Iterator<Item = (Cavity, &T)> {
        let starts = (0..).map(Cavity).zip(self.first.windows(2));
        starts.flat_map(|(at, row)| {
            let row = &self.items[row[0] as usize..row[1] as usize];
            row.iter().map(move |item| (at, item))
        })
    }
}
