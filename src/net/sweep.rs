//! Going over the cavities of a net in a good order until nothing changes.

use fixedbitset::FixedBitSet;

use super::{Cavity, LanesAt, Net, SUMP_CAVITY, Tide};

/// Cavities waiting for their turn, in the order of one tide.
#[derive(Clone, Debug)]
pub struct Sweep<'n> {
    order: &'n [Cavity],
    place: &'n [u32],
    waiting: FixedBitSet,
    next: usize,
}

impl<'n> Sweep<'n> {
    /// With no cavity waiting.
    #[must_use]
    pub fn new(net: &'n Net<'_>, tide: Tide) -> Self {
        let (order, place) = net.order(tide);
        Sweep {
            order,
            place,
            waiting: FixedBitSet::with_capacity(order.len()),
            next: 0,
        }
    }

    /// With every cavity waiting that something has reached in some scene.
    #[must_use]
    pub fn over(net: &'n Net<'_>, tide: Tide, reached: &LanesAt) -> Self {
        let mut sweep = Self::new(net, tide);
        for cavity in net.cavities().filter(|c| reached.any(*c)) {
            sweep.push(cavity);
        }
        sweep
    }

    /// Has a cavity wait.
    pub fn push(&mut self, cavity: Cavity) {
        self.waiting.insert(self.place[cavity.at()] as usize);
    }

    /// The next cavity waiting: onwards in the order, then from its start again.
    pub fn pop(&mut self) -> Option<Cavity> {
        let found = self
            .waiting_from(self.next)
            .or_else(|| self.waiting_from(0))?;
        self.waiting.remove(found);
        self.next = found + 1;
        Some(self.order[found])
    }

    fn waiting_from(&self, start: usize) -> Option<usize> {
        let blocks = self.waiting.as_slice();
        let bits = usize::BITS as usize;
        let (mut block, bit) = (start / bits, start % bits);
        let mut word = blocks.get(block)? & (usize::MAX << bit);
        loop {
            if word != 0 {
                return Some(block * bits + word.trailing_zeros() as usize);
            }
            block += 1;
            word = *blocks.get(block)?;
        }
    }
}

/// Cavities in an order in which a tide meets most of them after those it comes from, near ones
/// near each other: those whose ways in are all behind them first, breadth first, and where a
/// loop leaves none, the first met.
pub(super) fn order(net: &Net<'_>, tide: Tide) -> Vec<Cavity> {
    let (onward, inward) = match tide {
        Tide::Supply => (&net.onward, &net.inward),
        Tide::Drain => (&net.inward, &net.onward),
    };
    let count = net.cavity_count();
    let mut waits: Vec<usize> = net.cavities().map(|c| inward.at(c).len()).collect();
    let mut placed = vec![false; count];
    let mut order: Vec<Cavity> = Vec::with_capacity(count);
    let mut met: Vec<Cavity> = match tide {
        Tide::Supply => net.sources.iter().map(|s| s.feeds).collect(),
        Tide::Drain => vec![SUMP_CAVITY],
    };
    met.extend(net.cavities());
    let mut next_met = 0;
    let mut next = 0;
    while order.len() < count {
        if next == order.len() {
            let cavity = met[next_met];
            next_met += 1;
            if !std::mem::replace(&mut placed[cavity.at()], true) {
                order.push(cavity);
            }
            continue;
        }
        for arc in onward.at(order[next]) {
            let waits = &mut waits[arc.to.at()];
            *waits = waits.saturating_sub(1);
            if *waits == 0 && !std::mem::replace(&mut placed[arc.to.at()], true) {
                order.push(arc.to);
            }
        }
        next += 1;
    }
    order
}
