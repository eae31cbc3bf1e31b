//! Faults of which it takes thought what they change: a plate off, a spool between two places.

use super::{Overlay, Spring};
use crate::circuit::{Kind, PartName, PlateKind, SUMP};
use crate::net::{SUMP_CAVITY, Strength, WayId};

impl Overlay<'_> {
    pub(super) fn empty_accumulator(&mut self, part: &PartName, strength: Strength) {
        let accumulator = &self.net.circuit().accumulators[&part.id];
        let back = accumulator.back.as_deref().unwrap_or(SUMP);
        self.join(part, [&accumulator.at, back], strength);
    }

    /// Between two places a spool opens what both open, and may open what only one does.
    pub(super) fn stick_between(&mut self, part: &PartName, places: &[String; 2]) {
        let circuit = self.net.circuit();
        let Some((number, _, valve)) = circuit.valves.get_full(&part.id) else {
            return;
        };
        let places = places.each_ref().map(|p| valve.positions.get_index_of(p));
        let [Some(one), Some(other)] = places else {
            return;
        };
        // It stands in one; the ways of the other come on top, and the ways of only one are in
        // doubt.
        self.stuck.push((number, one as u32));
        let net = self.net;
        let of = |place: usize| -> Vec<WayId> {
            let ways = net.ways_of(part);
            let stands = Some((number, place));
            ways.filter(|way| net.ways[way.at()].position() == stands)
                .collect()
        };
        let same = |a: WayId, b: WayId| {
            let [a, b] = [a, b].map(|way| &net.ways[way.at()]);
            let mut ends = [a.ends, b.ends];
            ends.iter_mut().for_each(|e| e.sort_unstable());
            ends[0] == ends[1] && a.strength == b.strength
        };
        let (here, there) = (of(one), of(other));
        let doubtful = here.iter().filter(|a| !there.iter().any(|b| same(**a, *b)));
        let doubtful: Vec<usize> = doubtful.map(|way| way.at()).collect();
        let maybe = there.iter().filter(|a| !here.iter().any(|b| same(**a, *b)));
        let maybe: Vec<usize> = maybe.map(|way| way.at()).collect();
        self.doubtful.extend(doubtful);
        self.maybe_open.extend(maybe);
    }

    pub(super) fn spoil_spring(&mut self, valve: &str, spring: Spring) {
        let valve = self.net.circuit().valves.get_index_of(valve);
        self.springs.extend(valve.map(|v| (v, spring)));
    }

    /// What a plate roofs opens to the sump; what it separates runs together.
    pub(super) fn loosen(&mut self, part: &PartName) {
        let plate = &self.net.circuit().plates[&part.id];
        for cavity in &plate.roofs {
            self.vent(part, cavity, Strength::Open);
        }
        for run in &plate.separates {
            for pair in run.windows(2) {
                self.join(part, [&pair[0], &pair[1]], Strength::Open);
            }
        }
    }

    /// Holes lie in a separator and go with it; ways under a cover go too, each end open. A gasket
    /// has neither: without it the faces only gape, as where it is loose.
    pub(super) fn leave_plate_out(&mut self, part: &PartName) {
        self.loosen(part);
        let kind = self.net.circuit().plates[&part.id].kind;
        if kind == PlateKind::Gasket {
            return;
        }
        for (name, hole_at) in self.net.lying_on(part) {
            if !kind.is_cover() {
                self.each_way(name, |overlay, way| overlay.bared.push(way));
                continue;
            }
            for way in self.net.ways_of(name) {
                self.shut.push(way.at());
                let way = self.net.ways[way.at()].clone();
                for end in way.ends {
                    let own_hole = hole_at.iter().any(|c| self.net.cavity(c) == Some(end));
                    let (strength, bore) = if own_hole {
                        (way.strength, way.bore)
                    } else {
                        (Strength::Open, None)
                    };
                    self.add(part, [end, SUMP_CAVITY], strength, bore);
                }
            }
        }
    }

    /// Opens the joint that a seal keeps tight on a way: both its ends run to the sump there.
    pub(super) fn open_joint(&mut self, part: &PartName, way: &str, strength: Strength) {
        let Ok(name) = self.net.circuit().find(way, &Kind::WAYS) else {
            return;
        };
        for way in self.net.ways_of(&name) {
            for end in self.net.ways[way.at()].ends {
                self.add(part, [end, SUMP_CAVITY], strength, None);
            }
        }
    }
}
