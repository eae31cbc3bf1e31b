//! What lies before and beyond a part.

use std::collections::{HashSet, VecDeque};

use super::Dominators;
use crate::circuit::{Kind, PartName};
use crate::net::{Cavity, Link, SUMP_CAVITY, Scene};

/// Which side of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// Between the supply and the part.
    Before,
    /// Where the part's oil can go on to.
    Beyond,
}

/// The parts oil meets on one side of some cavities and ways, nearest first, and the cavities
/// among them. Empty where no supply reaches.
///
/// No step leads back to what oil must already have passed: no path that passes nothing twice
/// could take it.
#[must_use]
pub fn side(scene: &Scene<'_>, of: &PartName, side: Side) -> Option<(Vec<PartName>, Vec<Cavity>)> {
    let net = scene.net();
    let tree = Dominators::of_pressure(scene);
    // Whether oil may go from `from` through the link to its end, on its way onward.
    let onward = |from: Cavity, to: Cavity| {
        from != SUMP_CAVITY && to != SUMP_CAVITY && tree.reaches(from) && !tree.dominates(to, from)
    };
    let mut seen: HashSet<Cavity> = HashSet::new();
    let mut queue: VecDeque<Cavity> = VecDeque::new();
    let mut met: Vec<PartName> = Vec::new();
    let mut known: HashSet<PartName> = HashSet::from([of.clone()]);
    let mut cavities = Vec::new();
    let mut reached = false;
    let mut meet = |cavity: Cavity, queue: &mut VecDeque<Cavity>, met: &mut Vec<PartName>| {
        if seen.insert(cavity) {
            let passage = PartName::new(Kind::Passage, net.name(cavity));
            if passage != *of {
                met.push(passage);
                cavities.push(cavity);
            }
            queue.push_back(cavity);
        }
    };
    match of.kind {
        Kind::Passage => {
            let cavity = net.cavity(&of.id)?;
            if tree.reaches(cavity) {
                reached = true;
                meet(cavity, &mut queue, &mut met);
            }
        }
        Kind::Source => {
            let source = net.sources().iter().find(|s| s.name == *of)?;
            if tree.reaches(source.feeds) {
                reached = true;
                if side == Side::Beyond {
                    meet(source.feeds, &mut queue, &mut met);
                }
            }
        }
        _ => {
            for way in net.owned_by(of) {
                for from in scene.way(way).ends {
                    for link in scene.onward(from).filter(|link| link.way == way) {
                        if onward(from, link.to) {
                            reached = true;
                            let next = match side {
                                Side::Beyond => link.to,
                                Side::Before => from,
                            };
                            meet(next, &mut queue, &mut met);
                        }
                    }
                }
            }
        }
    }
    while let Some(at) = queue.pop_front() {
        let next: Vec<Link> = match side {
            Side::Beyond => scene.onward(at).filter(|l| onward(at, l.to)).collect(),
            Side::Before => scene.inward(at).filter(|l| onward(l.to, at)).collect(),
        };
        for link in next {
            let part = net.part(scene.way(link.way));
            if known.insert(part.clone()) {
                met.push(part.clone());
            }
            meet(link.to, &mut queue, &mut met);
        }
        if side == Side::Before {
            for source in net.sources().iter().filter(|s| s.feeds == at) {
                if scene.rails().contains(&at) && known.insert(source.name.clone()) {
                    met.push(source.name.clone());
                }
            }
        }
    }
    reached.then_some((met, cavities))
}
