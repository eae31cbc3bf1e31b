//! The net checks itself.

use super::{Cavity, Gate, Net, Passes, SUMP_CAVITY, User};

impl Net<'_> {
    /// Every broken invariant of the compact graph, in words. Empty unless there is a bug here:
    /// tests call it on every net they build.
    #[must_use]
    pub fn verify(&self) -> Vec<String> {
        let mut broken = Vec::new();
        let cavities = self.cavity_count();
        let inside = |c: Cavity| c.at() < cavities;
        if self.cavity(crate::circuit::SUMP) != Some(SUMP_CAVITY) {
            broken.push("the sump is not number 0".to_owned());
        }
        for cavity in self.cavities() {
            if self.cavity(self.name(cavity)) != Some(cavity) {
                broken.push(format!("`{}` does not lead back", self.name(cavity)));
            }
            for (arcs, onward) in [(&self.onward, true), (&self.inward, false)] {
                for arc in arcs.at(cavity) {
                    let (from, to) = if onward {
                        (cavity, arc.to)
                    } else {
                        (arc.to, cavity)
                    };
                    let right = self.ways.get(arc.way().at()).is_some_and(|way| {
                        let forward = way.ends == [from, to];
                        let back = way.passes == Passes::Both && way.ends == [to, from];
                        way.passes == arc.passes() && (forward || back)
                    });
                    if !right {
                        broken.push(format!("an arc of `{}` is not its way", self.name(cavity)));
                    }
                }
            }
        }
        let directions = self.ways.iter().map(|way| match way.passes {
            Passes::Both => 2,
            Passes::Forward | Passes::Excess => 1,
        });
        let directions: usize = directions.sum();
        if self.onward.len() != directions || self.inward.len() != directions {
            broken.push("not every way has its arcs".to_owned());
        }
        for (i, way) in self.ways.iter().enumerate() {
            let part = &self.parts[way.part as usize];
            if !way.ends.into_iter().all(inside) || way.ends[0] == way.ends[1] {
                broken.push(format!("way {i} of {part} has bad ends"));
            }
            if !self.ways_of(part).any(|w| w.at() == i) {
                broken.push(format!("way {i} is not among those of {part}"));
            }
            let gated = match way.gate {
                Gate::Always => true,
                Gate::Valve { valve, position } => {
                    let valve = self.circuit.valves.get_index(valve as usize);
                    valve.is_some_and(|(_, v)| v.positions.get_index(position as usize).is_some())
                }
                Gate::Above { .. } | Gate::UpTo { .. } => true,
                Gate::Shuttle { shuttle, side } => {
                    (shuttle as usize) < self.movers.shuttles.len() && side < 2
                }
                Gate::Solenoid { solenoid, .. } => {
                    (solenoid as usize) < self.circuit.solenoids.len()
                }
            };
            if !gated {
                broken.push(format!("way {i} of {part} hangs on nothing"));
            }
        }
        for outlet in &self.outlets {
            let sound = match outlet.user {
                User::Leaf(at) => inside(at),
                User::TwoSided { apply, release } => inside(apply) && inside(release),
                User::Through { inlet, way } => self
                    .ways
                    .get(way.at())
                    .is_some_and(|w| w.ends[0] == inlet && self.part(w) == &outlet.name),
            };
            if !sound {
                broken.push(format!("{} sits nowhere", outlet.name));
            }
        }
        for source in &self.sources {
            if !inside(source.feeds) || !inside(source.draws) {
                broken.push(format!("{} feeds nothing", source.name));
            }
        }
        broken
    }
}
