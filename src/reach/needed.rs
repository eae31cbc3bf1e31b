//! The parts an outlet cannot do without.

use std::collections::HashSet;

use super::{Dominators, has, shortest};
use crate::circuit::{Kind, PartName};
use crate::net::{Cavity, SUMP_CAVITY, Scene, WayId};

/// What every path needs in a scene, worked out once for all cavities.
#[derive(Clone, Debug)]
pub struct Needs<'s> {
    scene: &'s Scene<'s>,
    /// Under pressure, from the sources on.
    pressure: Dominators<'s>,
    /// Before the sources, from the sump on.
    suction: Dominators<'s>,
    /// Parts that own several open ways, with those ways.
    groups: Vec<(PartName, HashSet<WayId>)>,
}

impl<'s> Needs<'s> {
    /// Works it out for a scene.
    #[must_use]
    pub fn new(scene: &'s Scene<'s>) -> Self {
        let net = scene.net();
        let groups = net.circuit().parts().filter_map(|(part, _)| {
            let open = net.owned_by(&part).into_iter();
            let open: HashSet<WayId> = open
                .filter(|way| scene.setting(*way).strength().is_some())
                .collect();
            // A plate that owns one way is as much needed as that way.
            let several = open.len() > 1 || (part.kind == Kind::Plate && !open.is_empty());
            several.then_some((part, open))
        });
        Needs {
            scene,
            pressure: Dominators::of_pressure(scene),
            suction: Dominators::of_suction(scene),
            groups: groups.collect(),
        }
    }

    /// The parts a cavity cannot do without, in the order oil meets them, its own passage last. A
    /// part with several ways (a valve, a plate, a shuttle) counts when the loss of all of them
    /// together cuts the cavity off. Empty where no supply reaches it.
    ///
    /// Only the ways of a plate count here; what it roofs and separates is for
    /// [`balance`](crate::settle::balance) to weigh.
    #[must_use]
    pub fn of(&self, cavity: Cavity) -> Vec<PartName> {
        let net = self.scene.net();
        let chain = self.pressure.chain(cavity);
        let (Some((_, first)), Some(path)) = (chain.first(), shortest(self.scene, cavity)) else {
            return Vec::new();
        };
        let passage = |c: Cavity| PartName::new(Kind::Passage, net.name(c));
        let way = |w: WayId| net.part(self.scene.way(w)).clone();
        // Places along the oil's way, so that parts with several ways can be put between.
        let mut placed: Vec<((usize, u8), PartName)> = Vec::new();
        for (i, (entry, cavity)) in chain.iter().enumerate() {
            placed.extend(entry.map(|w| ((i, 1), way(w))));
            placed.push(((i, 2), passage(*cavity)));
        }
        let single: HashSet<PartName> = placed.iter().map(|(_, part)| part.clone()).collect();
        for (part, ways) in &self.groups {
            let crossed = path.steps.iter().position(|(way, _)| ways.contains(way));
            let Some(crossed) = crossed.filter(|_| !single.contains(part)) else {
                continue;
            };
            if !self.survives(ways, cavity) {
                // It stands before the first link of the chain that oil meets behind it.
                let behind = path.steps[crossed..]
                    .iter()
                    .find_map(|(_, passed)| chain.iter().position(|(_, cavity)| cavity == passed));
                placed.push(((behind.unwrap_or(0), 0), part.clone()));
            }
        }
        placed.sort();
        let mut parts = self.before_pressure(*first);
        parts.extend(placed.into_iter().map(|(_, part)| part));
        parts
    }

    /// The source that alone feeds a cavity, and what it alone draws through.
    fn before_pressure(&self, start: Cavity) -> Vec<PartName> {
        let net = self.scene.net();
        let mut feeding = net.sources().iter().filter(|s| s.feeds == start);
        // A cavity that a way feeds too needs no source of its own.
        let fed_otherwise = self
            .scene
            .inward(start)
            .any(|link| self.pressure.reaches(link.to) && !self.pressure.dominates(start, link.to));
        let (Some(source), None, false) = (feeding.next(), feeding.next(), fed_otherwise) else {
            return Vec::new();
        };
        let mut parts = Vec::new();
        for (entry, cavity) in self.suction.chain(source.draws) {
            parts.extend(entry.map(|w| net.part(self.scene.way(w)).clone()));
            if cavity != SUMP_CAVITY {
                parts.push(PartName::new(Kind::Passage, net.name(cavity)));
            }
        }
        parts.push(source.name.clone());
        parts
    }

    /// Whether supply still reaches a cavity without some ways.
    fn survives(&self, without: &HashSet<WayId>, to: Cavity) -> bool {
        has(
            &super::flood(self.scene, |link| !without.contains(&link.way)),
            to,
        )
    }
}
