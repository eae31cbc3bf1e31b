//! What each fault would show when air is blown in.

use std::collections::HashSet;

use serde::Serialize;

use super::bench::{AirBench, AirSetup};
use super::found::AirFound;
use crate::circuit::{Condition, Fault, Kind, PartName};
use crate::net::{Cavity, Change, SUMP_CAVITY, Strength, Term};

/// One thing that is seen or heard otherwise than on a sound block.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case", tag = "sign")]
pub enum AirSign {
    /// A piston that should stroke does not.
    Dead {
        /// The clutch, brake, servo or lock-up.
        outlet: PartName,
    },
    /// A piston that should stroke may not, or only creeps.
    Weak {
        /// The clutch, brake, servo or lock-up.
        outlet: PartName,
    },
    /// A piston strokes, or may, that should stay still.
    Strokes {
        /// The clutch, brake, servo or lock-up.
        outlet: PartName,
    },
    /// Air comes out, or louder, where it should not.
    Hisses {
        /// The last cavity it passes.
        at: String,
        /// What it comes out by.
        by: PartName,
    },
    /// Air does not come out where it should.
    Silent {
        /// The last cavity it should pass.
        at: String,
        /// What it should come out by.
        by: PartName,
    },
    /// A valve that the air should move, or should not, does otherwise.
    Valve {
        /// The valve.
        valve: PartName,
    },
}

/// What some faults have in common: all of these signs, and no other.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct AirMeaning {
    /// What is seen or heard.
    pub signs: Vec<AirSign>,
    /// The faults that show just that, as a reader would type them.
    pub faults: Vec<String>,
}

impl AirFound {
    /// What is seen or heard otherwise than on a sound block, sorted.
    #[must_use]
    pub fn signs(&self, sound: &AirFound) -> Vec<AirSign> {
        let mut signs = Vec::new();
        for outlet in &sound.strokes {
            let outlet = outlet.clone();
            if self.may_stroke.contains(&outlet) {
                signs.push(AirSign::Weak { outlet });
            } else if !self.strokes.contains(&outlet) {
                signs.push(AirSign::Dead { outlet });
            }
        }
        for outlet in self.strokes.iter().chain(&self.may_stroke) {
            if !sound.strokes.contains(outlet) && !sound.may_stroke.contains(outlet) {
                let outlet = outlet.clone();
                signs.push(AirSign::Strokes { outlet });
            }
        }
        for escape in &self.escapes {
            let (at, by) = (escape.at.clone(), escape.by.clone());
            let known = sound.escapes.iter().find(|e| e.at == at && e.by == by);
            if known.is_none_or(|known| known.how < escape.how) {
                signs.push(AirSign::Hisses { at, by });
            }
        }
        // That a leak is not heard is no sign.
        for escape in sound.escapes.iter().filter(|e| e.how > Strength::Leak) {
            let (at, by) = (escape.at.clone(), escape.by.clone());
            let known = self.escapes.iter().find(|e| e.at == at && e.by == by);
            if known.is_none_or(|known| known.how < escape.how) {
                signs.push(AirSign::Silent { at, by });
            }
        }
        let valves = sound.clicks.iter().chain(&self.clicks);
        for valve in valves.filter(|v| sound.clicks.contains(v) != self.clicks.contains(v)) {
            let valve = valve.clone();
            signs.push(AirSign::Valve { valve });
        }
        signs.sort();
        signs
    }
}

impl AirBench<'_> {
    /// What each of some faults would show in a check, those that show the same together, in the
    /// order of the faults; those that show nothing are left out.
    #[must_use]
    pub fn meanings(&self, setup: &AirSetup, faults: &[Fault]) -> Vec<AirMeaning> {
        let (sound, wet) = self.found(&self.stage(setup, &[]), setup.at);
        let felt = self.felt(&wet);
        let circuit = self.net.circuit();
        let mut meanings: Vec<AirMeaning> = Vec::new();
        let mut known: Vec<(Change, Vec<AirSign>)> = Vec::new();
        for fault in faults.iter().filter(|fault| self.has(setup, fault)) {
            let change = Change::of(self.net, std::slice::from_ref(fault));
            if !self.may_tell(&felt, fault, &change) {
                continue;
            }
            // Equal changes do the same; where a hole to the open is new, whose it is differs.
            let opens = change.joins().any(|ends| ends.contains(&SUMP_CAVITY));
            let alike = known.iter().find(|(other, _)| !opens && *other == change);
            let signs = match alike {
                Some((_, signs)) => signs.clone(),
                None => {
                    let found = self.blow(setup, std::slice::from_ref(fault));
                    let signs = found.signs(&sound);
                    known.push((change, signs.clone()));
                    signs
                }
            };
            if signs.is_empty() {
                continue;
            }
            let said = circuit.say(fault);
            match meanings.iter_mut().find(|m| m.signs == signs) {
                Some(known) => known.faults.push(said),
                None => meanings.push(AirMeaning {
                    faults: vec![said],
                    signs,
                }),
            }
        }
        meanings
    }

    /// The cavities at which a change can be felt: those the air gets to, and whatever lies beside
    /// the ends of valves that it moves.
    pub(super) fn felt(&self, wet: &[Cavity]) -> HashSet<Cavity> {
        let mut felt: HashSet<Cavity> = wet.iter().copied().collect();
        for valve in self.net.valves() {
            let rules = valve.rules.iter().flatten();
            let mut reads = rules.flat_map(|rule| rule.cavities());
            if reads.any(|c| wet.contains(&c)) || valve.ends.iter().any(|c| wet.contains(c)) {
                felt.extend(&valve.ends);
                let mut open: Vec<Cavity> = valve.ends.clone();
                while let Some(at) = open.pop() {
                    let ends = self.net.ways_at(at).flat_map(|way| way.ends);
                    let next = ends.filter(|c| *c != SUMP_CAVITY);
                    let next: Vec<Cavity> = next.filter(|c| felt.insert(*c)).collect();
                    open.extend(next);
                }
            }
        }
        felt
    }

    /// Whether a fault can change anything: without air beside it nothing of it is felt, for air
    /// is the only source.
    pub(super) fn may_tell(&self, felt: &HashSet<Cavity>, fault: &Fault, change: &Change) -> bool {
        let net = self.net;
        // What a stuck valve or a solenoid opens and shuts are its own ways; what a solenoid moves,
        // the valves whose rules read it.
        let own = |part: &PartName| {
            let mut ways = net.ways_of(part).flat_map(|way| net.ways()[way.at()].ends);
            ways.any(|end| felt.contains(&end))
        };
        let valve = |id: &str| {
            let valve = net
                .circuit()
                .valves
                .get_index_of(id)
                .map(|at| &net.valves()[at]);
            valve.is_some_and(|v| own(&v.name) || v.ends.iter().any(|end| felt.contains(end)))
        };
        match (fault.part.kind, &fault.condition) {
            (Kind::Valve, Condition::SpringSwapped(other)) => {
                return valve(&fault.part.id) || valve(other);
            }
            (Kind::Valve, _) if valve(&fault.part.id) => return true,
            (Kind::Solenoid, _) => {
                let read = net.valves().iter().any(|v| {
                    let rules = v.rules.iter().flatten().flat_map(Term::leaves);
                    let mut leaves = rules.filter(|leaf| matches!(leaf, Term::Current(_)));
                    leaves.next().is_some() && valve(&v.name.id)
                });
                return own(&fault.part) || read;
            }
            _ => {}
        }
        let ways = change.ways().flat_map(|way| net.ways()[way.at()].ends);
        let mut ends = change.joins().flatten().chain(ways);
        ends.any(|c| felt.contains(&c)) || change.plugged().iter().any(|c| felt.contains(c))
    }
}
