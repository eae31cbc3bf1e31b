//! What lies before and beyond a part.

use std::collections::{HashSet, VecDeque};

use super::Dominators;
use crate::circuit::{Kind, PartName};
use crate::net::{Cavity, Link, SUMP_CAVITY, Scene};

/// Which side of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// Between the supply and the part.
    Before,
    /// Where the part's oil can go on to.
    Beyond,
}

/// The parts oil meets on one side of a part, in the order it meets them, and the cavities among
/// them. None where no supply reaches the part.
///
/// No step leads back to what oil must already have passed: no path that passes nothing twice
/// could take it. What a pump draws through counts as before it.
#[must_use]
pub fn side(scene: &Scene<'_>, of: &PartName, side: Side) -> Option<(Vec<PartName>, Vec<Cavity>)> {
    let mut walk = Walk::new(scene, side);
    let starts = walk.starts(of);
    if starts.is_empty() {
        return None;
    }
    walk.known.insert(of.clone());
    for start in starts {
        walk.meet(start);
    }
    walk.run();
    let Walk { mut met, seen, .. } = walk;
    if side == Side::Before {
        // Found from the part back; told from the supply on.
        let mut onward = Walk::new(scene, Side::Beyond);
        onward.meet(SUMP_CAVITY);
        onward.run();
        let back: HashSet<PartName> = met.drain(..).collect();
        met = onward.met;
        met.retain(|part| back.contains(part));
    }
    let mut cavities: Vec<Cavity> = seen.into_iter().filter(|c| *c != SUMP_CAVITY).collect();
    cavities.sort_unstable();
    Some((met, cavities))
}

struct Walk<'s> {
    scene: &'s Scene<'s>,
    side: Side,
    pressure: Dominators<'s>,
    suction: Dominators<'s>,
    seen: HashSet<Cavity>,
    queue: VecDeque<Cavity>,
    known: HashSet<PartName>,
    met: Vec<PartName>,
}

impl<'s> Walk<'s> {
    fn new(scene: &'s Scene<'s>, side: Side) -> Self {
        Walk {
            scene,
            side,
            pressure: Dominators::of_pressure(scene),
            suction: Dominators::of_suction(scene),
            seen: HashSet::new(),
            queue: VecDeque::new(),
            known: HashSet::new(),
            met: Vec::new(),
        }
    }

    /// Whether oil may go from one cavity into the next on its way onward.
    fn onward(&self, from: Cavity, to: Cavity) -> bool {
        let drawn = self.scene.net().draws_through(to);
        let tree = if drawn { &self.suction } else { &self.pressure };
        tree.reaches(from) && tree.reaches(to) && !tree.dominates(to, from)
    }

    fn name(&mut self, part: PartName) {
        if self.known.insert(part.clone()) {
            self.met.push(part);
        }
    }

    fn meet(&mut self, cavity: Cavity) {
        if self.seen.insert(cavity) {
            if cavity != SUMP_CAVITY {
                let passage = self.scene.net().name(cavity);
                self.name(PartName::new(Kind::Passage, passage));
            }
            self.queue.push_back(cavity);
        }
    }

    /// The cavities next to a part on the side asked about, or its own cavity; empty where no
    /// supply reaches it.
    fn starts(&self, of: &PartName) -> Vec<Cavity> {
        let net = self.scene.net();
        match of.kind {
            Kind::Passage => {
                let cavity = net.cavity(&of.id);
                let supplied = |c: &Cavity| self.pressure.reaches(*c) || self.suction.reaches(*c);
                cavity.filter(supplied).into_iter().collect()
            }
            Kind::Source => {
                let source = net.sources().iter().find(|s| s.name == *of);
                let works = source.filter(|s| self.scene.rails().contains(&s.feeds));
                let next = works.map(|source| match self.side {
                    Side::Beyond => source.feeds,
                    Side::Before => source.draws,
                });
                next.into_iter().collect()
            }
            _ => {
                let ways = net.owned_by(of).into_iter();
                let ends = ways.flat_map(|way| {
                    let ends = self.scene.way(way).ends;
                    let links = ends.into_iter().flat_map(move |from| {
                        let links = self.scene.onward(from).filter(move |l| l.way == way);
                        links.map(move |link| (from, link.to))
                    });
                    links.collect::<Vec<_>>()
                });
                let used = ends.filter(|(from, to)| self.onward(*from, *to));
                used.map(|(from, to)| match self.side {
                    Side::Beyond => to,
                    Side::Before => from,
                })
                .collect()
            }
        }
    }

    fn run(&mut self) {
        let net = self.scene.net();
        while let Some(at) = self.queue.pop_front() {
            let next: Vec<Link> = match self.side {
                Side::Beyond => {
                    let links = self.scene.onward(at);
                    links.filter(|l| self.onward(at, l.to)).collect()
                }
                Side::Before => {
                    let links = self.scene.inward(at);
                    links.filter(|l| self.onward(l.to, at)).collect()
                }
            };
            for link in next {
                self.name(net.part(self.scene.way(link.way)).clone());
                self.meet(link.to);
            }
            for source in net.sources() {
                let (from, to) = match self.side {
                    Side::Beyond => (source.draws, source.feeds),
                    Side::Before => (source.feeds, source.draws),
                };
                if from == at && self.scene.rails().contains(&source.feeds) {
                    self.name(source.name.clone());
                    self.meet(to);
                }
            }
        }
    }
}
