//! Going over the cavities of a net in a good order until nothing changes.

use fixedbitset::FixedBitSet;

use super::{Cavity, Net, Tide};

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
