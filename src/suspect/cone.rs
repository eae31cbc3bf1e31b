//! Which faults can have a hand in something seen.

use fixedbitset::FixedBitSet;

use super::fit::{Aim, Mark};
use super::ground::Ground;
use super::measured::cavities;
use crate::circuit::{Fault, Kind};
use crate::net::{Cavity, Change, Net, SUMP_CAVITY};

/// The cavities from which something seen can be moved.
///
/// From what was seen the search goes along every way that some state can open, whichever way oil
/// passes it, and on from whatever switches such a way to what moves that. It ends at the sump
/// alone: what a source feeds can be loaded by whatever hangs on it, so that no pressure builds.
/// Faults that alone change something seen are taken in by whoever asks.
pub(super) struct Cone {
    within: FixedBitSet,
    /// Valves, by number, that switch a way there.
    valves: FixedBitSet,
}

impl Cone {
    pub fn of(net: &Net<'_>, ground: &Ground, marks: &[Mark]) -> Self {
        let mut cone = Cone {
            within: FixedBitSet::with_capacity(net.cavity_count()),
            valves: FixedBitSet::with_capacity(net.valves().len()),
        };
        let mut open: Vec<Cavity> = Vec::new();
        let gauges = cavities(net, ground);
        let outlet = |place: usize, open: &mut Vec<Cavity>| {
            let named = net.outlet(&ground.outlets[place].name).into_iter();
            open.extend(named.flat_map(|outlet| outlet.user.cavities()));
        };
        for mark in marks {
            match &mark.seen {
                Aim::Drives(_) | Aim::WorksAs(_) => {
                    let felt = ground.outlets.iter().enumerate();
                    let felt = felt.filter(|(_, o)| o.by_pressure);
                    felt.for_each(|(place, _)| outlet(place, &mut open));
                }
                Aim::Fares(place, _) => outlet(*place, &mut open),
                Aim::Shows(g, _) | Aim::Reads(g, ..) | Aim::Switch(g, _) => open.push(gauges[*g]),
                Aim::Blown(checks, _) => open.extend(checks.iter().flat_map(|ready| &ready.wet)),
                Aim::Pulled(bore, _) => open.extend(bore.pulled()),
                Aim::Nothing(_) => {}
            }
        }
        cone.close(net, open);
        cone
    }

    fn close(&mut self, net: &Net<'_>, mut open: Vec<Cavity>) {
        while let Some(at) = open.pop() {
            if at == SUMP_CAVITY || self.within.put(at.number()) {
                continue;
            }
            for way in net.ways_at(at) {
                open.extend(way.ends);
                if let Some((valve, _)) = way.position()
                    && !self.valves.put(valve)
                {
                    let moved = &net.valves()[valve];
                    open.extend(&moved.ends);
                    let rules = moved.rules.iter().flatten();
                    open.extend(rules.flat_map(|rule| rule.cavities()));
                }
            }
            for regulator in net.regulators().iter().filter(|r| r.holds == at) {
                open.extend(&regulator.boost);
            }
        }
    }

    /// Whether a fault that changes this touches it.
    pub fn holds(&self, net: &Net<'_>, fault: &Fault, change: &Change) -> bool {
        let touched = |cavity: Cavity| self.within.contains(cavity.number());
        let ways = change.ways().flat_map(|way| net.ways()[way.at()].ends);
        let joins = change.joins().flatten();
        let mut at = ways.chain(joins).chain(change.plugged().iter().copied());
        if at.any(touched) {
            return true;
        }
        match fault.part.kind {
            Kind::Valve => {
                let number = net.circuit().valves.get_index_of(&fault.part.id);
                number.is_some_and(|number| self.valves.contains(number))
            }
            // What is fed or switched by these is looked at when they are tried alone.
            Kind::Tap | Kind::Accumulator => false,
            Kind::Solenoid | Kind::Regulator | Kind::Relief | Kind::Source => true,
            _ => false,
        }
    }
}
