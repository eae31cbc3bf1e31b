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

    pub fn way(self) -> WayId {
        WayId(self.packed & WAY)
    }

    pub fn passes(self) -> Passes {
        match self.packed >> 30 {
            0 => Passes::Both,
            1 => Passes::Forward,
            _ => Passes::Excess,
        }
    }
}

/// The arcs of every cavity (compressed sparse rows).
#[derive(Clone, Debug, Default)]
pub(super) struct Arcs {
    /// Where each cavity's arcs start; one more at the end.
    first: Vec<u32>,
    arcs: Vec<Arc>,
}

impl Arcs {
    /// Sorts arcs by the cavity they are at, keeping their order at each.
    pub fn new(cavities: usize, arcs: impl Iterator<Item = (Cavity, Arc)> + Clone) -> Self {
        let mut first = vec![0u32; cavities + 1];
        for (at, _) in arcs.clone() {
            first[at.at() + 1] += 1;
        }
        for i in 1..first.len() {
            first[i] += first[i - 1];
        }
        let mut next = first.clone();
        let total = first.last().copied().unwrap_or_default() as usize;
        let mut sorted = vec![
            Arc {
                to: Cavity(0),
                packed: 0
            };
            total
        ];
        for (at, arc) in arcs {
            sorted[next[at.at()] as usize] = arc;
            next[at.at()] += 1;
        }
        Arcs {
            first,
            arcs: sorted,
        }
    }

    pub fn at(&self, cavity: Cavity) -> &[Arc] {
        let [from, to] = [self.first[cavity.at()], self.first[cavity.at() + 1]];
        &self.arcs[from as usize..to as usize]
    }

    pub fn len(&self) -> usize {
        self.arcs.len()
    }
}
