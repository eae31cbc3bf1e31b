//! Ways with how wide they are, in many scenes at once.

use super::{Lanes, Pack, Tide};
use crate::net::{Cavity, Passes, Strength};
use crate::units::Length;

/// How much a way lets through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Width {
    /// All there is.
    Open,
    /// What its hole does; none where the bore is not known.
    Metered(Option<Length>),
}

impl Width {
    fn of(strength: Strength, bore: Option<Length>) -> Option<Self> {
        match strength {
            Strength::Open => Some(Width::Open),
            Strength::Metered => Some(Width::Metered(bore)),
            Strength::Leak => None,
        }
    }
}

impl Pack<'_> {
    /// Calls `visit` for each way, leaks left out, by which a tide comes to a cavity, with where from
    /// and the scenes in which it gets through.
    pub(crate) fn comes_by(
        &self,
        tide: Tide,
        to: Cavity,
        mut visit: impl FnMut(Cavity, Width, Lanes),
    ) {
        let net = self.net();
        let (arcs, back) = match tide {
            Tide::Supply => (net.inward.at(to), Tide::Drain),
            Tide::Drain => (net.onward.at(to), Tide::Supply),
        };
        for arc in arcs {
            let way = &net.ways()[arc.way().at()];
            let (open, bare) = match self.faults.slot(arc.way()) {
                Some(slot) => (self.ways[slot].open, self.ways[slot].bare),
                None => (self.opens(arc.way()), Lanes::NONE),
            };
            visit(arc.to, Width::Open, bare);
            // What only lets excess by never drains what it comes from.
            let passes = tide == Tide::Supply || arc.passes() != Passes::Excess;
            if let (true, Some(width)) = (passes, Width::of(way.strength, way.bore)) {
                visit(arc.to, width, open & !bare);
            }
        }
        if self.faults.added.len() > 0 {
            for link in self.faults.added.at(to) {
                if let Some(width) = Width::of(link.strength, link.bore) {
                    visit(link.to, width, link.lanes);
                }
            }
        }
        let turned = &self.faults.turned[back as usize];
        if turned.len() > 0 {
            for link in turned.at(to) {
                visit(link.to, Width::Open, self.ways[link.slot as usize].bare);
            }
        }
    }
}
