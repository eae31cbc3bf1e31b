//! The net checks itself.

use super::{Cavity, Gate, Net, SUMP_CAVITY, User};

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
            for arc in self.arcs_at(cavity) {
                match self.ways.get(arc.way.at()) {
                    Some(way) if way.ends == ends(cavity, arc.to, arc.forward) => {}
                    _ => broken.push(format!("an arc of `{}` is not its way", self.name(cavity))),
                }
            }
        }
        if self.arcs.len() != 2 * self.ways.len() {
            broken.push("not every way has two arcs".to_owned());
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

fn ends(here: Cavity, there: Cavity, forward: bool) -> [Cavity; 2] {
    if forward {
        [here, there]
    } else {
        [there, here]
    }
}
