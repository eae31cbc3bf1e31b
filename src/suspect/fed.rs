//! What has its oil from each source, straight or because oil moves a valve: of no more than that
//! can it be said that a source fails it.

use fixedbitset::FixedBitSet;

use super::ground::Ground;
use super::measured::cavities;
use crate::circuit::PartName;
use crate::net::{Cavity, Net, SUMP_CAVITY};

/// What one source can have a hand in.
pub(super) struct Fed {
    pub source: PartName,
    /// Outlets and gauges, by their place in the ground.
    pub outlets: FixedBitSet,
    pub gauges: FixedBitSet,
}

impl Fed {
    /// What each source can have a hand in, wherever valves stand.
    pub fn each(net: &Net<'_>, ground: &Ground) -> Vec<Fed> {
        let gauges = cavities(net, ground);
        let sources = net.sources().iter().map(|source| {
            let within = within(net, source.feeds);
            let fed = |cavity: Cavity| within.contains(cavity.number());
            let outlets = ground.outlets.iter().map(|outlet| {
                let mut named = net.outlet(&outlet.name).into_iter();
                named.any(|outlet| outlet.user.cavities().any(fed))
            });
            Fed {
                source: source.name.clone(),
                outlets: those(outlets),
                gauges: those(gauges.iter().map(|at| fed(*at))),
            }
        });
        sources.collect()
    }
}

/// The cavities that oil of one can get to, or in which it has a hand by what it moves.
fn within(net: &Net<'_>, from: Cavity) -> FixedBitSet {
    let mut within = FixedBitSet::with_capacity(net.cavity_count());
    let mut open = vec![from];
    loop {
        while let Some(at) = open.pop() {
            if at != SUMP_CAVITY && !within.put(at.number()) {
                open.extend(net.ways_at(at).flat_map(|way| way.ends));
            }
        }
        let holds = |cavity: &Cavity| within.contains(cavity.number());
        let valves = net.valves().iter().enumerate();
        let moved = valves.filter(|(_, valve)| {
            let mut rules = valve.rules.iter().flatten();
            rules.any(|rule| rule.cavities().iter().any(holds))
        });
        let moved: Vec<usize> = moved.map(|(number, _)| number).collect();
        let switched = net.ways().iter().filter(|way| {
            let valve = way.position().map(|(valve, _)| valve);
            valve.is_some_and(|valve| moved.contains(&valve))
        });
        open.extend(switched.flat_map(|way| way.ends));
        let raised = net.regulators().iter();
        let raised = raised.filter(|regulator| regulator.boost.iter().any(holds));
        open.extend(raised.map(|regulator| regulator.holds));
        open.retain(|at| *at != SUMP_CAVITY && !holds(at));
        if open.is_empty() {
            return within;
        }
    }
}

fn those(held: impl Iterator<Item = bool>) -> FixedBitSet {
    held.enumerate()
        .filter_map(|(place, held)| held.then_some(place))
        .collect()
}
