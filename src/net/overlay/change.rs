//! The changes that faults are made of: ways added, shut and opened.

use super::Overlay;
use crate::circuit::{PartName, SUMP};
use crate::net::{Cavity, Gate, Passes, SUMP_CAVITY, Strength, Way};
use crate::units::Length;

impl Overlay<'_> {
    /// A pump whose inlet has a hole draws air with its oil.
    pub(super) fn draw_air(&mut self) {
        for (i, source) in self.net.sources.iter().enumerate() {
            let holed = |way: &Way| way.ends.contains(&source.draws);
            if source.draws != SUMP_CAVITY && self.added.iter().any(holed) {
                self.weak.push(i);
            }
        }
    }

    /// Shuts every way at a plugged cavity, those of other faults included. Once all are in.
    pub(super) fn plug(&mut self) {
        for cavity in self.plugged.clone() {
            self.shut_in(cavity);
            self.added.retain(|way| !way.ends.contains(&cavity));
        }
    }

    pub(super) fn each_way(&mut self, part: &PartName, change: impl Fn(&mut Self, usize)) {
        for way in self.net.ways_of(part) {
            change(self, way.at());
        }
    }

    /// Adds a way between two cavities, blamed on a part.
    pub(super) fn join(&mut self, part: &PartName, ends: [&str; 2], strength: Strength) {
        let ends = ends.map(|id| self.net.cavity(id).unwrap_or(SUMP_CAVITY));
        self.add(part, ends, strength, None);
    }

    pub(super) fn vent(&mut self, part: &PartName, cavity: &str, strength: Strength) {
        self.join(part, [cavity, SUMP], strength);
    }

    pub(super) fn add(
        &mut self,
        part: &PartName,
        mut ends: [Cavity; 2],
        strength: Strength,
        bore: Option<Length>,
    ) {
        ends.sort_unstable();
        if ends[0] != ends[1] {
            self.added.push(Way {
                ends,
                passes: Passes::Both,
                strength,
                bore,
                part: self.net.number_of(part),
                gate: Gate::Always,
            });
        }
    }

    /// Shuts every way at a cavity but leaves the cavity itself.
    pub(super) fn shut_in(&mut self, cavity: Cavity) {
        for arcs in [&self.net.onward, &self.net.inward] {
            let ways = arcs.at(cavity).iter().map(|arc| arc.way().at());
            self.shut.extend(ways);
        }
    }
}
