//! What follows from the ways of a net once all are in.

use fixedbitset::FixedBitSet;

use super::arcs::{Arc, Arcs};
use super::{Cavity, Gate, Net, Passes, SUMP_CAVITY, Setting, User, WayId};
use crate::circuit::Level;

impl Net<'_> {
    /// Levels that some part or state of the circuit can tell apart.
    pub(super) fn distinct_levels(&self) -> Vec<Level> {
        let gates = self.ways.iter().filter_map(|way| match way.gate {
            Gate::Above { leaves } => Some(leaves),
            Gate::UpTo { most } => Some(most),
            _ => None,
        });
        let regulators = self.movers.regulators.iter().map(|r| r.level);
        let reliefs = self.movers.reliefs.iter().map(|r| r.level);
        // A worn source makes low.
        let sources = self.sources.iter().flat_map(|s| [s.level, Level::Low]);
        let states = self.circuit.states.values();
        let driven = states.clone().flat_map(|s| s.levels.values().copied());
        let boosted = states.filter(|s| !s.boosts.is_empty()).map(|_| Level::Low);
        let all = gates.chain(regulators).chain(reliefs).chain(sources);
        let all: Vec<Level> = all.chain(driven).chain(boosted).collect();
        let mut levels = vec![Level::Low];
        if all.contains(&Level::Fill) {
            levels.insert(0, Level::Fill);
        }
        // A half-driven solenoid that lowers pressure leaves the rest: fill leaves low.
        if all.iter().any(|l| matches!(l, Level::Low | Level::Fill)) {
            levels.push(Level::Full);
        }
        levels
    }

    pub(super) fn link(&mut self) {
        let ways = self.ways.iter().enumerate().flat_map(|(i, way)| {
            let arc = |end: usize| Arc::new(way.ends[1 - end], WayId(i as u32), way.passes);
            let both = way.passes == Passes::Both;
            [(true, way.ends[0], arc(0)), (both, way.ends[1], arc(1))]
                .into_iter()
                .filter_map(|(goes, from, arc)| goes.then_some((from, arc)))
        });
        let back = ways.clone().map(|(from, arc)| {
            let way = &self.ways[arc.way().at()];
            (arc.to, Arc::new(from, arc.way(), way.passes))
        });
        let one_way = self.ways.iter().enumerate();
        let one_way = one_way.filter(|(_, way)| way.passes != Passes::Both);
        self.one_way = one_way.map(|(i, _)| i as u32).collect();
        let gated = self.ways.iter().enumerate();
        let gated = gated.filter(|(_, way)| !matches!(way.gate, Gate::Always));
        self.gated = gated.map(|(i, _)| i as u32).collect();
        let ungated = self.ways.iter();
        let ungated = ungated.map(|way| Setting::open(way.strength));
        self.ungated = ungated.collect();
        self.onward = Arcs::new(self.names.len(), ways);
        self.inward = Arcs::new(self.names.len(), back);
    }

    pub(super) fn consumed(&self) -> FixedBitSet {
        let mut consumed = FixedBitSet::with_capacity(self.cavity_count());
        for outlet in self.outlets.iter().filter(|o| !o.by_pressure) {
            if let User::Leaf(at) = outlet.user {
                consumed.insert(at.at());
            }
        }
        consumed
    }

    /// Cavities that pressure reaches in no state. Pumps draw through these and these alone.
    pub(super) fn suction_side(&self) -> FixedBitSet {
        let mut pressed = FixedBitSet::with_capacity(self.names.len());
        let mut queue: Vec<Cavity> = self.sources.iter().map(|s| s.feeds).collect();
        for cavity in &queue {
            pressed.insert(cavity.at());
        }
        while let Some(cavity) = queue.pop() {
            for arc in self.onward.at(cavity) {
                if arc.to != SUMP_CAVITY && !pressed.put(arc.to.at()) {
                    queue.push(arc.to);
                }
            }
        }
        pressed.toggle_range(..);
        pressed
    }
}
