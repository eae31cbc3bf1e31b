//! What makes, holds, limits and uses pressure.

use super::Laying;
use super::way::{boxed, mm};
use crate::circuit::{Condition, Kind, Needs, PartName, Regulator, Relief, Work};
use crate::flow::law::{
    self, Bleed, Boost, Film, Opening, Pump, Reducing, SEATED_LEAK, SHARP_EDGED,
};
use crate::flow::network::Node;
use crate::flow::sizes::Measure;
use crate::net::{Cavity, NetSource, SUMP_CAVITY, User};
use crate::units::{Displacement, Flow, Length, Pressure, Quantity, Speed};

/// Stand-ins for sizes that a file does not give (`common practice, no source`).
const LINE: Pressure = bar(10.0);
const RELIEF: Pressure = bar(20.0);
const LEAKS_AT: Pressure = bar(10.0);
const BOOST: Pressure = bar(5.0);
const SPILLS: Length = mm(8.0);
const REDUCES: Length = mm(4.0);
const RELIEF_PORT: Length = mm(6.0);
/// A pilot raises a regulator by all it can from this pressure on.
const PILOT_UP: Pressure = bar(2.0);
/// No regulator works in a narrower band.
const NARROWEST: Pressure = Pressure::from_pa(200.0);
/// Band of a regulator and rise of a relief, of what they are set to.
const BAND: f64 = 0.05;
const RISE: f64 = 0.1;
/// 1500 rpm.
const SPEED: Speed = Speed::from_rad_per_s(50.0 * std::f64::consts::PI);
/// 20 cm³ a turn.
const DISPLACEMENT: Displacement = Displacement::from_m3_per_rad(10e-6 / std::f64::consts::PI);
/// What a pump that draws air still moves.
const WITH_AIR: f64 = 0.5;
/// What leaks back through a worn pump, of all it moves, at 10 bar.
const WORN: f64 = 0.3;
/// A user of oil without sizes takes what it needs at this pressure.
const USES_AT: Pressure = bar(1.0);
const USER: Length = mm(1.0);

const fn bar(bar: f64) -> Pressure {
    Pressure::from_pa(bar * 1e5)
}

impl Laying<'_> {
    /// Bearings, gears and whatever else uses oil up.
    pub(super) fn lay_users(&mut self) {
        for outlet in self.net.outlets().iter().filter(|o| !o.by_pressure) {
            let User::Leaf(cavity) = outlet.user else {
                continue;
            };
            let body = &self.circuit.outlets[&outlet.name.id];
            let usual = match body.needs {
                Some(Needs::Flow(flow)) => self.hole_for(flow, USES_AT),
                _ => USER,
            };
            let bore = self
                .asked
                .need(&outlet.name, Measure::Bore, body.bore, usual);
            let law = self.hole(bore, None);
            self.run(&outlet.name, [cavity, SUMP_CAVITY], law);
        }
    }

    /// The sharp-edged hole that lets a flow by at a pressure, as if oil had no viscosity.
    fn hole_for(&self, flow: Flow, at: Pressure) -> Length {
        let speed = (2.0 * at.pa() / self.running.fluid.density().kg_per_m3()).sqrt();
        let area = flow.m3_per_s() / (SHARP_EDGED * speed);
        Length::from_m((4.0 * area / std::f64::consts::PI).sqrt())
    }

    /// What leaks from port to port past the lands of a sound valve, where its fit is known.
    pub(super) fn lay_leaks_of_valves(&mut self) {
        for (number, (id, valve)) in self.circuit.valves.iter().enumerate() {
            let part = PartName::new(Kind::Valve, id);
            let diameter = self.asked.may(&part, Measure::Diameter, valve.diameter);
            let clearance = self.asked.may(&part, Measure::Clearance, valve.clearance);
            let land = self.asked.may(&part, Measure::Land, valve.land);
            let (Some(diameter), Some(clearance), Some(land)) = (diameter, clearance, land) else {
                continue;
            };
            let position = self.standing.held.valves[number];
            let joined = position.and_then(|at| valve.positions.get_index(at as usize));
            for pair in valve.bore.windows(2) {
                let ends = [&pair[0], &pair[1]].map(|id| self.cavity(id));
                let open = joined.is_some_and(|(_, position)| {
                    let mut joins = position.joins.iter();
                    joins.any(|join| pair.iter().all(|port| join.cavities.contains(port)))
                });
                if ends[0] != ends[1] && !open {
                    let fluid = self.running.fluid;
                    let film = boxed(Film::annulus(diameter, clearance, 0.0, land, fluid));
                    self.run(&part, ends, film);
                }
            }
        }
    }

    pub(super) fn lay_controls(&mut self) {
        for id in self.circuit.regulators.keys() {
            self.lay_regulator(&PartName::new(Kind::Regulator, id));
        }
        for id in self.circuit.reliefs.keys() {
            self.lay_relief(&PartName::new(Kind::Relief, id));
        }
        // Last, for a pump must know whether what it moves can leave.
        for source in self.net.sources() {
            if self.circuit.sources[&source.name.id].pressure.is_none() {
                self.lay_pump(source);
            }
        }
    }

    /// The pressure of a source that holds one.
    pub(super) fn fixed_pressure(&mut self, source: &NetSource) -> Option<Pressure> {
        let given = self.circuit.sources[&source.name.id].pressure?;
        if !self.scene.rails().contains(&source.feeds) {
            return None;
        }
        let pressure = self.asked.may(&source.name, Measure::At, Some(given))?;
        Some(match self.is(&source.name, |_| true) {
            true => {
                let half = Pressure::from_pa(WITH_AIR * pressure.pa());
                self.asked.need(&source.name, Measure::At, None, half)
            }
            false => pressure,
        })
    }

    fn lay_pump(&mut self, source: &NetSource) {
        // One that cannot draw, or has nowhere to pump to, moves nothing.
        if !self.scene.rails().contains(&source.feeds) {
            return;
        }
        let (part, body) = (&source.name, &self.circuit.sources[&source.name.id]);
        let moves = self
            .asked
            .need(part, Measure::Displacement, body.displacement, DISPLACEMENT);
        let air = self.is(part, |c| {
            matches!(c, Condition::AirLeak | Condition::OilLow)
        });
        let moves = match air {
            true => {
                let half = Displacement::from_si(WITH_AIR * moves.si());
                self.asked.need(part, Measure::StillMoves, None, half)
            }
            false => moves,
        };
        let speed = match self.running.speed {
            Some(speed) => speed,
            None => self.asked.need(part, Measure::Speed, body.speed, SPEED),
        };
        let leakage = match self.is(part, |c| *c == Condition::Worn) {
            true => {
                let usual = Flow::from_m3_per_s(WORN * moves.si() * speed.si());
                let worn = body.worn_leakage;
                Some(self.asked.need(part, Measure::WornLeakage, worn, usual))
            }
            false => self.asked.may(part, Measure::Leakage, body.leakage),
        };
        let mut pump = Pump::new(moves, speed);
        if let Some(leakage) = leakage {
            let at = self
                .asked
                .need(part, Measure::LeaksAt, body.leaks_at, LEAKS_AT);
            pump = pump.and_then(|pump| pump.leaking(leakage, at));
        }
        // One that cannot leak back, and feeds what nothing leaves, bursts something: no pressure
        // answers for it.
        let leaks = leakage.is_some_and(|leakage| leakage.m3_per_s() > 0.0);
        if !leaks && self.network.is_cut_off(self.at(source.feeds)) {
            self.dead_ended.push(part.clone());
            return;
        }
        self.run(part, [source.draws, source.feeds], boxed(pump));
    }

    pub(super) fn bore_of_regulator(&mut self, part: &PartName, body: &Regulator) -> Length {
        let usual = match body.work {
            Work::Spills(_) => SPILLS,
            Work::Reduces(_) => REDUCES,
        };
        self.asked.need(part, Measure::Bore, body.bore, usual)
    }

    fn lay_regulator(&mut self, part: &PartName) {
        let body = &self.circuit.regulators[&part.id];
        let (stuck_open, stuck_shut) = (
            self.is(part, |c| *c == Condition::StuckOpen),
            self.is(part, |c| *c == Condition::StuckShut),
        );
        if stuck_shut || (stuck_open && matches!(body.work, Work::Spills(_))) {
            return;
        }
        let bore = self.bore_of_regulator(part, body);
        let Some(wide_open) = self.sized(part, self.orifice(bore, None)) else {
            return;
        };
        let held = self.cavity(&body.holds);
        if stuck_open && let Work::Reduces(from) = &body.work {
            let ends = [self.cavity(from), held];
            self.run(part, ends, Ok(Box::new(wide_open)));
            return;
        }
        let at = self.asked.need(part, Measure::At, body.at, LINE);
        let usual = Pressure::from_pa((BAND * at.pa()).max(NARROWEST.pa()));
        let band = self.asked.need(part, Measure::Band, body.band, usual);
        let Some(opening) = self.sized(part, Opening::new(at, band)) else {
            return;
        };
        let Some(boosts) = self.boosts(part, body) else {
            return;
        };
        match &body.work {
            Work::Spills(to) => {
                let edges = vec![wide_open; to.len()];
                let edges = self.sized(part, Bleed::in_order(opening, &edges, SEATED_LEAK));
                for (to, edge) in to.iter().zip(edges.into_iter().flatten()) {
                    let to = self.cavity(to);
                    self.regulate(part, [held, to], edge.into(), &boosts);
                }
            }
            Work::Reduces(from) => {
                let from = self.cavity(from);
                let law = Reducing::new(opening, wide_open, SEATED_LEAK);
                if let Some(law) = self.sized(part, law) {
                    self.regulate(part, [from, held], law.into(), &boosts);
                }
                // It has a third way, to the sump, for what is too much behind it: else what leaks
                // past it shut would raise a dead end to the pressure of its feed. That gearboxes
                // have such valves is common practice, no source.
                let edge = Bleed::new(opening, wide_open, SEATED_LEAK);
                if let Some(edge) = self.sized(part, edge) {
                    self.regulate(part, [held, SUMP_CAVITY], edge.into(), &boosts);
                }
            }
        }
    }

    fn regulate(
        &mut self,
        part: &PartName,
        ends: [Cavity; 2],
        law: law::Regulator,
        boosts: &[(Node, Boost)],
    ) {
        if ends.into_iter().any(|cavity| self.is_plugged(cavity)) {
            return;
        }
        let [from, to] = ends.map(|cavity| self.at(cavity));
        let way = self.network.regulator(from, to, law, boosts);
        self.note(part, ends, [from, to], way);
    }

    /// What raises a regulator; none where a size is wrong.
    fn boosts(&mut self, part: &PartName, body: &Regulator) -> Option<Vec<(Node, Boost)>> {
        let mut boosts = Vec::new();
        for (cavity, by) in &body.boost {
            let by = self.asked.need(part, Measure::Boost, *by, BOOST);
            let boost = self.sized(part, Boost::when_up(by, PILOT_UP))?;
            boosts.push((self.at(self.cavity(cavity)), boost));
        }
        Some(boosts)
    }

    pub(super) fn bore_of_relief(&mut self, part: &PartName, body: &Relief) -> Length {
        self.asked.need(part, Measure::Bore, body.bore, RELIEF_PORT)
    }

    fn lay_relief(&mut self, part: &PartName) {
        if self.is(part, |c| *c == Condition::StuckOpen) {
            return;
        }
        let body = &self.circuit.reliefs[&part.id];
        let at = self.asked.need(part, Measure::At, body.at, RELIEF);
        let usual = Pressure::from_pa(RISE * at.pa());
        let rise = self.asked.need(part, Measure::Rise, body.rise, usual);
        let bore = self.bore_of_relief(part, body);
        let whole = Pressure::from_pa(at.pa() + rise.pa());
        let law = self.orifice(bore, None).and_then(|port| {
            let flow = Flow::from_m3_per_s(law::Law::rate(&port, whole.pa()).flow);
            law::Relief::new(at, rise, flow, SEATED_LEAK)
        });
        let ends = [
            self.cavity(&body.on),
            body.to.as_deref().map_or(SUMP_CAVITY, |to| self.cavity(to)),
        ];
        self.run(part, ends, boxed(law));
    }

    fn cavity(&self, id: &str) -> Cavity {
        // The circuit has no problems, so every mention resolves.
        self.net.cavity(id).unwrap_or(SUMP_CAVITY)
    }
}
