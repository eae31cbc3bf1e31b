//! Where each part lies: what is near what.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::circuit::{Kind, PartName};
use crate::net::{Cavity, Net, SUMP_CAVITY};

/// The cavities that each part lies at, the sump left out.
pub(super) struct Places<'n> {
    net: &'n Net<'n>,
    cavities: BTreeMap<PartName, BTreeSet<Cavity>>,
}

impl<'n> Places<'n> {
    pub fn of(net: &'n Net<'n>) -> Self {
        let circuit = net.circuit();
        let mut cavities: BTreeMap<PartName, BTreeSet<Cavity>> = BTreeMap::new();
        let mut on_ways: Vec<(PartName, PartName)> = Vec::new();
        for reference in circuit.references() {
            let found = circuit.find(reference.text, reference.kinds);
            let (Some(part), Ok(named)) = (reference.place.part, found) else {
                continue;
            };
            if named.kind == Kind::Passage {
                cavities
                    .entry(part)
                    .or_default()
                    .extend(net.cavity(&named.id));
            } else if Kind::WAYS.contains(&named.kind) {
                on_ways.push((part, named));
            }
        }
        for (name, _) in circuit.parts() {
            let ways = net.owned_by(&name).into_iter();
            let ends = ways.flat_map(|way| net.ways()[way.at()].ends);
            let own = (name.kind == Kind::Passage).then(|| net.cavity(&name.id));
            let all = ends.chain(own.flatten());
            cavities.entry(name).or_default().extend(all);
        }
        // A seal lies where its way does.
        for (part, way) in on_ways {
            let at = cavities.get(&way).cloned().unwrap_or_default();
            cavities.entry(part).or_default().extend(at);
        }
        for at in cavities.values_mut() {
            at.remove(&SUMP_CAVITY);
        }
        Places { net, cavities }
    }

    pub fn at(&self, part: &PartName) -> impl Iterator<Item = Cavity> {
        self.cavities.get(part).into_iter().flatten().copied()
    }

    /// Whether some cavity of the one lies in the same casting as some cavity of the other.
    pub fn share_a_casting(&self, a: &PartName, b: &PartName) -> bool {
        let castings =
            |part| -> BTreeSet<&str> { self.at(part).filter_map(|c| self.casting(c)).collect() };
        !castings(a).is_disjoint(&castings(b))
    }

    /// The casting a cavity lies in; none for the sump.
    pub fn casting(&self, cavity: Cavity) -> Option<&'n str> {
        let passage = self.net.circuit().passages.get(self.net.name(cavity))?;
        Some(&passage.casting)
    }

    /// How far every cavity is from a part.
    pub fn from(&self, part: &PartName) -> Far<'_> {
        let mut far = vec![u32::MAX; self.net.cavity_count()];
        let mut queue: VecDeque<Cavity> = self.at(part).collect();
        for cavity in &queue {
            far[cavity.number()] = 0;
        }
        while let Some(cavity) = queue.pop_front() {
            for other in self.net.ways_at(cavity).flat_map(|way| way.ends) {
                // Everything is near everything across the sump.
                if other != SUMP_CAVITY && far[other.number()] == u32::MAX {
                    far[other.number()] = far[cavity.number()] + 1;
                    queue.push_back(other);
                }
            }
        }
        Far {
            places: self,
            kind: part.kind,
            far,
        }
    }
}

/// How many ways lie between a part and each cavity, whatever stands open.
pub(super) struct Far<'p> {
    places: &'p Places<'p>,
    kind: Kind,
    far: Vec<u32>,
}

impl Far<'_> {
    /// How far another part is; one of another kind is put off a little, for it is told apart
    /// more easily.
    pub fn to(&self, part: &PartName) -> u32 {
        let cavities = self.places.at(part).map(|c| self.far[c.number()]);
        let far = cavities.min().unwrap_or(u32::MAX);
        far.saturating_add(2 * u32::from(part.kind != self.kind))
    }
}
