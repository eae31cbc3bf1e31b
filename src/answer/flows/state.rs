//! One state, measured sound and with its faults, told as plain figures.

use std::collections::BTreeMap;

use super::cases::{Bench, Book, Case, Overruled};
use super::glance::kept;
use super::ranges::{Key, flows, gets, measured, pressures, stands, users};
use super::{
    CavityPressure, FlowsState, OutletFlow, PartDoubt, PartStands, PartStream, PilotPressure,
    Range, Solved, ValveOverruled,
};
use crate::answer::{StarveState, Verdict};
use crate::circuit::{Kind, Needs, PartName, State};
use crate::flow::law::Stand;
use crate::flow::{Doubt, Running};
use crate::net::{Cavity, Net, NetOutlet, SUMP_CAVITY, Stage};
use crate::settle::settle;

/// Flows below this are nothing, in m³/s: a drop an hour.
pub(super) const NOTHING: f64 = 1e-11;

/// A pressure below which a share of it says nothing, in Pa.
pub(super) const NO_PRESSURE: f64 = 1e3;

/// Below this oil foams, in Pa ([`Doubt::Foaming`]).
const FOAMS: f64 = -0.3e5;

/// Shares below and above which settling and flow contradict each other.
const LOST: f64 = 0.2;
const KEPT: f64 = 0.8;

/// A state measured sound and with its faults.
pub(super) struct Sides<'n> {
    pub sound: Vec<Case<'n>>,
    pub now: Option<Vec<Case<'n>>>,
}

impl<'n> Sides<'n> {
    pub fn of(net: &'n Net<'n>, state: &State, bench: &Bench<'_>, book: &mut Book) -> Self {
        let stage = Stage::new(net, state, &[]);
        let sound = Bench {
            faults: &[],
            ..*bench
        };
        let sound = sound.cases(&stage, &settle(&stage), book);
        let now = (!bench.faults.is_empty()).then(|| {
            let stage = stage.with(bench.faults);
            bench.cases(&stage, &settle(&stage), book)
        });
        Sides { sound, now }
    }

    /// The cases that hold now: those with the faults, if there are any.
    pub fn present(&self) -> &[Case<'n>] {
        self.now.as_ref().unwrap_or(&self.sound)
    }

    pub fn told(
        &self,
        net: &Net<'_>,
        id: Option<&str>,
        state: &State,
        running: &Running,
    ) -> FlowsState {
        FlowsState {
            state: id.map(str::to_owned),
            speed_rad_per_s: running.speed.map(|speed| speed.rad_per_s()),
            oil_temperature_k: 0.0,
            oil_doubts: Vec::new(),
            sound: solved(net, &self.sound),
            faulty: self.now.as_ref().map(|now| solved(net, now)),
            outlets: users(net)
                .map(|outlet| self.outlet(net, outlet, state))
                .collect(),
            cavities: self.cavities(net),
            streams: self.streams(net),
            stands: self.stands(net),
            doubts: self.doubts(net),
        }
    }

    fn outlet(&self, net: &Net<'_>, outlet: &NetOutlet, state: &State) -> OutletFlow {
        let circuit = net.circuit();
        let applies = state.applies.iter();
        let mut applies = applies.filter_map(|text| circuit.find(text, &[Kind::Outlet]).ok());
        let should_apply = applies.any(|name| name == outlet.name);
        let (needs_pa, needs_m3_per_s) = needs(net, outlet);
        let sound = gets(measured(&self.sound), outlet);
        let now = self.now.as_ref().map(|now| gets(measured(now), outlet));
        let present = now.unwrap_or(sound);
        let met = match outlet.by_pressure {
            true => needs_pa.filter(|_| should_apply).zip(present.pressure_pa),
            false => needs_m3_per_s.zip(present.flow_m3_per_s),
        };
        let met = met.and_then(
            |(need, gets)| match (gets.least >= need, gets.most >= need) {
                (true, _) => Some(true),
                (_, false) => Some(false),
                _ => None,
            },
        );
        let share = now.and_then(|now| kept(outlet.by_pressure, sound, now));
        OutletFlow {
            outlet: outlet.name.clone(),
            by_pressure: outlet.by_pressure,
            should_apply,
            needs_pa,
            needs_m3_per_s,
            sound,
            now,
            share,
            met,
            settled: None,
            depths_differ: false,
            rests_on: Vec::new(),
        }
    }

    fn cavities(&self, net: &Net<'_>) -> Vec<CavityPressure> {
        let cavities = net.cavities().filter(|cavity| *cavity != SUMP_CAVITY);
        cavities
            .map(|cavity| CavityPressure {
                cavity: net.name(cavity).to_owned(),
                sound_pa: pressures(measured(&self.sound), cavity),
                now_pa: pressures(measured(self.present()), cavity),
                rests_on: Vec::new(),
            })
            .collect()
    }

    fn streams(&self, net: &Net<'_>) -> Vec<PartStream> {
        let (sound, now) = (
            flows(measured(&self.sound)),
            flows(measured(self.present())),
        );
        let mut keys: Vec<&Key> = sound.keys().chain(now.keys()).collect();
        keys.sort_unstable();
        keys.dedup();
        let streams = keys.into_iter().filter_map(|key| {
            let (sound, now) = (sound.get(key).copied(), now.get(key).copied());
            let size =
                |range: Option<Range>| range.map_or(0.0, |r| r.least.abs().max(r.most.abs()));
            if size(sound).max(size(now)) < NOTHING {
                return None;
            }
            let (part, ends) = key;
            let leads = sound.filter(|_| size(sound) >= NOTHING).or(now);
            let back = leads.is_some_and(|r| r.least + r.most < 0.0);
            let [from, to] = match back {
                true => [ends[1], ends[0]],
                false => *ends,
            };
            let turned = |range: Range| if back { range.turned() } else { range };
            Some(PartStream {
                part: part.clone(),
                from: net.name(from).to_owned(),
                to: net.name(to).to_owned(),
                sound_m3_per_s: sound.map(turned),
                now_m3_per_s: now.map(turned),
                rests_on: Vec::new(),
            })
        });
        streams.collect()
    }

    fn stands(&self, net: &Net<'_>) -> Vec<PartStands> {
        let (sound, now) = (stands(&self.sound), stands(self.present()));
        let mut keys: Vec<&Key> = sound.keys().chain(now.keys()).collect();
        keys.sort_unstable();
        keys.dedup();
        let of =
            |stands: &BTreeMap<Key, Vec<Stand>>, key| stands.get(key).cloned().unwrap_or_default();
        let told = keys.into_iter().map(|key| PartStands {
            part: key.0.clone(),
            from: net.name(key.1[0]).to_owned(),
            to: net.name(key.1[1]).to_owned(),
            sound: of(&sound, key),
            now: of(&now, key),
        });
        told.collect()
    }

    fn doubts(&self, net: &Net<'_>) -> Vec<PartDoubt> {
        let cases = self.sound.iter().chain(self.now.iter().flatten());
        let mut parts: BTreeMap<Doubt, Vec<PartName>> = BTreeMap::new();
        for stream in cases.flat_map(|case| &case.measured.streams) {
            for doubt in &stream.doubts {
                let known = parts.entry(*doubt).or_default();
                if !known.contains(&stream.part) {
                    known.push(stream.part.clone());
                }
            }
        }
        let deep = |cavity: &Cavity| {
            let cases = self.sound.iter().chain(self.now.iter().flatten());
            let mut pressures = cases.map(|case| case.measured.pressures[cavity.number()]);
            pressures.any(|pressure| pressure.is_some_and(|pa| pa < FOAMS))
        };
        let deep = net.cavities().filter(deep);
        let deep = deep.map(|cavity| PartName::new(Kind::Passage, net.name(cavity)));
        let deep: Vec<PartName> = deep.collect();
        if !deep.is_empty() {
            parts.insert(Doubt::Foaming, deep);
        }
        let doubts = parts.into_iter().map(|(doubt, mut parts)| {
            parts.sort_unstable();
            PartDoubt { doubt, parts }
        });
        doubts.collect()
    }
}

impl FlowsState {
    /// Holds what is measured against what settling says.
    pub(super) fn hold_against(&mut self, settled: &StarveState) {
        for outlet in &mut self.outlets {
            let mut verdicts = settled.outlets.iter().filter(|v| v.outlet == outlet.outlet);
            outlet.settled = verdicts.next().map(|v| v.verdict);
            let on = outlet.should_apply || !outlet.by_pressure;
            outlet.depths_differ = on
                && match (outlet.settled, outlet.share) {
                    (Some(Verdict::Starved), Some(share)) => share.least > KEPT,
                    (Some(Verdict::Kept), Some(share)) => share.most < LOST,
                    _ => false,
                };
        }
    }
}

fn solved(net: &Net<'_>, cases: &[Case<'_>]) -> Solved {
    let overruled = cases.iter().flat_map(|case| &case.overruled);
    let mut told: Vec<ValveOverruled> = Vec::new();
    for valve in overruled.map(|valve| overrule(net, valve)) {
        if !told.contains(&valve) {
            told.push(valve);
        }
    }
    let mut dead_ended: Vec<PartName> =
        measured(cases).flat_map(|m| m.dead_ended.clone()).collect();
    dead_ended.sort_unstable();
    dead_ended.dedup();
    Solved {
        dead_ended,
        cases: cases.len(),
        converged: measured(cases).all(|m| m.converged),
        imbalance_m3_per_s: measured(cases).map(|m| m.imbalance).fold(0.0, f64::max),
        steps: measured(cases).map(|m| m.steps).max().unwrap_or_default(),
        agrees: cases.iter().all(|case| case.agrees),
        overruled: told,
    }
}

fn overrule(net: &Net<'_>, valve: &Overruled) -> ValveOverruled {
    let (_, body) = &net
        .circuit()
        .valves
        .get_index(valve.valve)
        .expect("it is one of the net's");
    let place = |at: u32| {
        body.positions
            .get_index(at as usize)
            .map(|(id, _)| id.clone())
    };
    let pilots = valve.pilots.iter().map(|(cavity, pressure)| PilotPressure {
        cavity: net.name(*cavity).to_owned(),
        pressure_pa: *pressure,
    });
    ValveOverruled {
        valve: net.valves()[valve.valve].name.clone(),
        settled: valve.from.and_then(place),
        put: place(valve.to).unwrap_or_default(),
        moves_at_pa: body.moves_at.map_or(0.0, |at| at.pa()),
        pilots: pilots.collect(),
    }
}

/// What an outlet needs: a pressure in Pa, or a flow in m³/s.
pub(super) fn needs(net: &Net<'_>, outlet: &NetOutlet) -> (Option<f64>, Option<f64>) {
    let circuit = net.circuit();
    let id = outlet.name.id.as_str();
    let through = match outlet.name.kind {
        Kind::Filter => circuit.filters.get(id),
        Kind::Converter => circuit.converters.get(id),
        Kind::Cooler => circuit.coolers.get(id),
        _ => None,
    };
    match circuit
        .outlets
        .get(id)
        .filter(|_| through.is_none())
        .and_then(|o| o.needs)
    {
        Some(Needs::Pressure(pressure)) => (Some(pressure.pa()), None),
        Some(Needs::Flow(flow)) => (None, Some(flow.m3_per_s())),
        None => (
            None,
            through.and_then(|t| t.needs).map(|flow| flow.m3_per_s()),
        ),
    }
}
