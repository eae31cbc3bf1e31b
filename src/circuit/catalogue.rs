//! The fault catalogue: which conditions each part of a circuit can be in.

use super::{Circuit, Condition, Fault, Kind, Part, PartName, PlateKind, SUMP, SolenoidKind};

/// Ways that can lie under or through a plate.
pub(super) const ON_PLATES: &[Kind] = &[Kind::Port, Kind::Orifice, Kind::Ball];
/// What a misplaced ball can lie on.
pub(super) const COVERED: &[Kind] = &[Kind::Port, Kind::Orifice];

impl Circuit {
    /// Every fault the catalogue has for one part, arguments spelled out. A swap of two parts is
    /// listed once, with the one whose id sorts first.
    #[must_use]
    pub fn faults_of(&self, part: &PartName) -> Vec<Fault> {
        self.conditions(part)
            .into_iter()
            .filter(|condition| match condition {
                Condition::Swapped(other) | Condition::SpringSwapped(other) => *other > part.id,
                _ => true,
            })
            .map(|condition| Fault {
                part: part.clone(),
                condition,
            })
            .collect()
    }

    /// Every single fault of the circuit, part by part.
    #[must_use]
    pub fn faults(&self) -> Vec<Fault> {
        self.parts()
            .flat_map(|(name, _)| self.faults_of(&name))
            .collect()
    }

    /// A fault as its reader would type it.
    #[must_use]
    pub fn say(&self, fault: &Fault) -> String {
        format!("{}:{}", self.short(&fault.part), fault.condition)
    }

    /// What can be wrong with a part, swaps with every other included.
    pub(super) fn conditions(&self, name: &PartName) -> Vec<Condition> {
        use Condition as C;
        let Some(part) = self.get(name.kind, &name.id) else {
            return Vec::new();
        };
        let mut all = Vec::new();
        match part {
            Part::Passage(_) => {
                all.extend([C::Plugged, C::Cracked]);
                all.extend(self.beside(&name.id).into_iter().map(C::Porous));
            }
            Part::Source(p) => {
                all.push(C::Worn);
                if p.pressure.is_none() {
                    all.extend([C::AirLeak, C::OilLow]);
                }
            }
            Part::Regulator(_) => all.extend([C::StuckOpen, C::StuckShut]),
            Part::Relief(_) => all.push(C::StuckOpen),
            Part::Plate(p) => {
                all.extend([C::Loose, C::LeftOut]);
                let ways = self.ways_on(&name.id, ON_PLATES).into_iter();
                all.extend(ways.map(|way| C::Wrong(vec![way])));
                if p.kind == PlateKind::Gasket {
                    let runs = p.separates.iter().flat_map(|run| pairs(run));
                    let outside = p.roofs.iter().map(|c| sorted([c, SUMP]));
                    let mut leaks: Vec<_> = runs.chain(outside).collect();
                    leaks.sort();
                    leaks.dedup();
                    all.extend(leaks.into_iter().map(C::Leaking));
                }
            }
            Part::Port(_) => all.push(C::Plugged),
            Part::Orifice(_) => all.extend([C::Plugged, C::Oversize]),
            Part::Clearance(_) => all.push(C::Worn),
            Part::Ball(p) => {
                all.extend([C::LeftOut, C::StuckSeated, C::StuckOff, C::Worn]);
                let plates = p.through.iter().filter_map(|id| self.plate(id));
                let mut near: Vec<String> = Vec::new();
                for way in plates.flat_map(|plate| self.ways_on(&plate, COVERED)) {
                    if !near.contains(&way) {
                        near.push(way);
                    }
                }
                all.extend(near.into_iter().map(C::Misplaced));
            }
            Part::Seal(_) => all.extend([C::LeftOut, C::Cut, C::Worn]),
            Part::Valve(p) => {
                all.extend(p.positions.keys().cloned().map(C::StuckIn));
                let places: Vec<&String> = p.positions.keys().collect();
                let between = places.windows(2).map(|w| sorted([w[0], w[1]]));
                all.extend(between.map(C::StuckBetween));
                let worn = self.neighbours(&name.id).into_iter();
                all.extend(worn.map(C::WornBetween));
                all.push(C::Backwards);
                if p.spring.is_some() {
                    all.extend([C::SpringBroken, C::VentPlugged]);
                    let sprung = self.valves.iter().filter(|(_, v)| v.spring.is_some());
                    let others = sprung.map(|(id, _)| id).filter(|id| **id != name.id);
                    all.extend(others.cloned().map(C::SpringSwapped));
                }
                all.extend(p.plug.then_some(C::PlugOut));
                all.extend(p.clip.then_some(C::ClipOut));
            }
            Part::Solenoid(p) => {
                all.extend([C::NoCurrent, C::StuckOn, C::StuckOff]);
                if p.kind != SolenoidKind::Plunger {
                    all.extend([C::SeatLeaking, C::SealCut, C::Blocked]);
                }
                let others = self.solenoids.keys().filter(|id| **id != name.id);
                all.extend(others.cloned().map(C::Swapped));
            }
            Part::Accumulator(_) => all.extend([C::Worn, C::Cut, C::Jammed, C::SpringBroken]),
            Part::Through(_) => all.push(C::Blocked),
            Part::Tap(_) => all.push(C::LeftOut),
            Part::Casting(_)
            | Part::Oil(_)
            | Part::Outlet(_)
            | Part::Switch(_)
            | Part::Input(_)
            | Part::State(_) => {}
        }
        all
    }

    /// The id of the plate a way says it lies on.
    fn plate(&self, mention: &str) -> Option<String> {
        Some(self.find(mention, &[Kind::Plate]).ok()?.id)
    }

    /// The short names of the ways of some kinds that lie under or through a plate.
    pub(super) fn ways_on(&self, plate: &str, kinds: &[Kind]) -> Vec<String> {
        let lies = |through: &[String], under: Option<&String>| {
            let mut on = through.iter().chain(under);
            on.any(|id| self.plate(id).is_some_and(|id| id == plate))
        };
        let mut found = Vec::new();
        for kind in kinds {
            for id in self.ids(*kind) {
                let here = match self.get(*kind, id) {
                    Some(Part::Port(p)) => lies(&p.through, p.under.as_ref()),
                    Some(Part::Orifice(p)) => lies(&p.through, p.under.as_ref()),
                    Some(Part::Ball(p)) => lies(&p.through, p.under.as_ref()),
                    _ => false,
                };
                if here {
                    found.push(self.short(&PartName::new(*kind, id)));
                }
            }
        }
        found
    }

    /// Cavities that lie next to one across a plate's rib, in order.
    fn beside(&self, cavity: &str) -> Vec<String> {
        let runs = self.plates.values().flat_map(|p| &p.separates);
        let mut found: Vec<String> = runs
            .flat_map(|run| pairs(run))
            .filter_map(|[a, b]| match cavity {
                c if c == a => Some(b),
                c if c == b => Some(a),
                _ => None,
            })
            .collect();
        found.sort();
        found.dedup();
        found
    }

    /// Neighbouring ports of a valve's bore, each pair once.
    pub(super) fn neighbours(&self, valve: &str) -> Vec<[String; 2]> {
        let mut found: Vec<_> = pairs(&self.valves[valve].bore).collect();
        found.sort();
        found.dedup();
        found
    }
}

/// Each item of a run with the next, sorted within, none with itself.
fn pairs(run: &[String]) -> impl Iterator<Item = [String; 2]> {
    run.windows(2)
        .filter(|w| w[0] != w[1])
        .map(|w| sorted([&w[0], &w[1]]))
}

fn sorted(mut pair: [&str; 2]) -> [String; 2] {
    pair.sort_unstable();
    pair.map(str::to_owned)
}
