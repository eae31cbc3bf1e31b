//! Going over the cavities of a net in a good order until nothing changes.

use std::collections::VecDeque;

use fixedbitset::FixedBitSet;

use super::{Cavity, LanesAt, Net, Passes, SUMP_CAVITY, Strength, Tide};

/// Cavities waiting for their turn, in the order of one tide.
#[derive(Clone, Debug)]
pub struct Sweep<'n> {
    order: &'n [Cavity],
    place: &'n [u32],
    waiting: FixedBitSet,
    /// Where it is, and whether it goes back.
    at: usize,
    back: bool,
}

const BITS: usize = usize::BITS as usize;

impl<'n> Sweep<'n> {
    /// With no cavity waiting.
    #[must_use]
    pub fn new(net: &'n Net<'_>, tide: Tide) -> Self {
        let (order, place) = net.order(tide);
        Sweep {
            order,
            place,
            waiting: FixedBitSet::with_capacity(order.len()),
            at: 0,
            back: false,
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

    /// The next cavity waiting: onwards in the order as long as there is any, then back to its start,
    /// and so to and fro. What has to go against the order is carried as far at once as what goes
    /// with it.
    pub fn pop(&mut self) -> Option<Cavity> {
        let ahead = |sweep: &Self| match sweep.back {
            true => sweep.waiting_before(sweep.at),
            false => sweep.waiting_from(sweep.at),
        };
        let found = ahead(self).or_else(|| {
            self.back = !self.back;
            ahead(self)
        })?;
        self.waiting.remove(found);
        self.at = found;
        Some(self.order[found])
    }

    /// The first place waiting, from one on.
    fn waiting_from(&self, start: usize) -> Option<usize> {
        let blocks = self.waiting.as_slice();
        let (mut block, bit) = (start / BITS, start % BITS);
        let mut word = blocks.get(block)? & (usize::MAX << bit);
        loop {
            if word != 0 {
                return Some(block * BITS + word.trailing_zeros() as usize);
            }
            block += 1;
            word = *blocks.get(block)?;
        }
    }

    /// The last place waiting up to one.
    fn waiting_before(&self, end: usize) -> Option<usize> {
        let blocks = self.waiting.as_slice();
        let (mut block, bit) = (end / BITS, end % BITS);
        let mut word = blocks.get(block)? & (usize::MAX >> (BITS - 1 - bit));
        loop {
            if word != 0 {
                return Some((block + 1) * BITS - 1 - word.leading_zeros() as usize);
            }
            block = block.checked_sub(1)?;
            word = blocks[block];
        }
    }
}

/// Cavities in a good order to sweep them for a tide.
pub(super) fn order(net: &Net<'_>, tide: Tide) -> Vec<Cavity> {
    match tide {
        Tide::Supply => with_the_oil(net),
        Tide::Drain => against_the_oil(net),
    }
}

/// An order in which supply meets most cavities after those it comes from, near ones near each other:
/// those whose ways in are all behind them first, breadth first, and where a loop leaves none, the
/// first met.
fn with_the_oil(net: &Net<'_>) -> Vec<Cavity> {
    let count = net.cavity_count();
    let mut waits: Vec<usize> = net.cavities().map(|c| net.inward.at(c).len()).collect();
    let mut placed = vec![false; count];
    let mut order: Vec<Cavity> = Vec::with_capacity(count);
    let fed = net.sources.iter().map(|s| s.feeds);
    let mut met = fed.chain(net.cavities());
    let mut next = 0;
    while order.len() < count {
        if next == order.len() {
            let Some(cavity) = met.next() else { break };
            if !std::mem::replace(&mut placed[cavity.at()], true) {
                order.push(cavity);
            }
            continue;
        }
        for arc in net.onward.at(order[next]) {
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

/// An order for draining: from the sump against the oil, what hangs together by wide ways that pass
/// both directions in one piece, each cavity after one it hangs on. Faults let oil out anywhere: back
/// through such a piece all comes to its first cavity, and onwards from there to all of it.
fn against_the_oil(net: &Net<'_>) -> Vec<Cavity> {
    let mut placed = vec![false; net.cavity_count()];
    let mut order: Vec<Cavity> = Vec::with_capacity(net.cavity_count());
    let mut met = VecDeque::from([SUMP_CAVITY]);
    let mut others = net.cavities();
    while let Some(first) = met.pop_front().or_else(|| others.next()) {
        if std::mem::replace(&mut placed[first.at()], true) {
            continue;
        }
        let mut next = order.len();
        order.push(first);
        while let Some(at) = order.get(next).copied() {
            next += 1;
            for arc in net.inward.at(at) {
                let wide = net.ways[arc.way().at()].strength == Strength::Open;
                if at == SUMP_CAVITY || !wide || arc.passes() != Passes::Both {
                    met.push_back(arc.to);
                } else if !std::mem::replace(&mut placed[arc.to.at()], true) {
                    order.push(arc.to);
                }
            }
        }
    }
    order
}
