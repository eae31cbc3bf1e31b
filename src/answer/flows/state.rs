//! One state, measured sound and with its faults, told as plain figures.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::bands::Banded;
use super::cases::{Case, Overruled};
use super::gathered::{Figure, Figures, NOTHING, Of};
use super::need::Need;
use super::ranges::{Key, measured, stands, users};
use super::sides::Sides;
use super::{
    CavityPressure, FlowsState, OutletFlow, PartDoubt, PartStands, PartStream, PilotPressure,
    Range, Solved, ValveOverruled,
};
use crate::answer::{StarveState, Verdict};
use crate::circuit::{Kind, PartName, State};
use crate::flow::law::Stand;
use crate::flow::{Doubt, Running};
use crate::net::{Cavity, Net, SUMP_CAVITY};

/// Below this oil foams, in Pa ([`Doubt::Foaming`]).
const FOAMS: f64 = -0.3e5;

/// Shares below and above which settling and flow contradict each other.
pub(super) const LOST: f64 = 0.2;
pub(super) const KEPT: f64 = 0.8;

impl Sides<'_> {
    /// The answer of one state, each size as it is written.
    pub fn told(
        &self,
        net: &Net<'_>,
        id: Option<&str>,
        state: &State,
        running: &Running,
    ) -> FlowsState {
        let figures = Figures::of(net, self);
        FlowsState {
            state: id.map(str::to_owned),
            speed_rad_per_s: running.speed.map(|speed| speed.rad_per_s()),
            oil_temperature_k: 0.0,
            oil_doubts: Vec::new(),
            sound: solved(net, &self.sound),
            faulty: self.now.as_ref().map(|now| solved(net, now)),
            outlets: outlets(net, state, &figures, self.now.is_some()),
            cavities: cavities(net, &figures),
            streams: streams(net, &figures),
            stands: self.stands(net),
            doubts: self.doubts(net),
        }
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
        let mut parts: BTreeMap<Doubt, BTreeSet<&PartName>> = BTreeMap::new();
        for stream in cases.flat_map(|case| &case.measured.streams) {
            for doubt in &stream.doubts {
                parts.entry(*doubt).or_default().insert(&stream.part);
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
            parts.insert(Doubt::Foaming, deep.iter().collect());
        }
        let doubts = parts.into_iter().map(|(doubt, parts)| PartDoubt {
            doubt,
            parts: parts.into_iter().cloned().collect(),
        });
        doubts.collect()
    }
}

impl FlowsState {
    /// Holds what is measured against what settling says.
    pub(super) fn hold_against(&mut self, settled: &StarveState) {
        let verdicts = settled.outlets.iter().map(|v| (&v.outlet, v.verdict));
        let verdicts: HashMap<_, _> = verdicts.collect();
        for outlet in &mut self.outlets {
            outlet.settled = verdicts.get(&outlet.outlet).copied();
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

fn outlets(net: &Net<'_>, state: &State, figures: &Figures, faulty: bool) -> Vec<OutletFlow> {
    let outlets = users(net).enumerate().map(|(number, outlet)| {
        let need = Need::of(net, outlet, state);
        let sound = figures.gets(number, false);
        let now = faulty.then(|| figures.gets(number, true));
        OutletFlow {
            outlet: outlet.name.clone(),
            by_pressure: outlet.by_pressure,
            should_apply: need.should_apply,
            needs_pa: need.pa,
            needs_m3_per_s: need.m3_per_s,
            sound,
            now,
            share: figures.get(Of::Share(number), true),
            share_band: None,
            met: need.met(&figures.reaches(number, faulty)),
            settled: None,
            depths_differ: false,
            rests_on: Vec::new(),
            band: None,
        }
    });
    outlets.collect()
}

fn cavities(net: &Net<'_>, figures: &Figures) -> Vec<CavityPressure> {
    let cavities = net.cavities().filter(|cavity| *cavity != SUMP_CAVITY);
    cavities
        .map(|cavity| CavityPressure {
            cavity: net.name(cavity).to_owned(),
            sound_pa: figures.get(Of::Cavity(cavity), false),
            now_pa: figures.get(Of::Cavity(cavity), true),
            rests_on: Vec::new(),
            band: None,
        })
        .collect()
}

fn streams(net: &Net<'_>, figures: &Figures) -> Vec<PartStream> {
    let streams = figures.streams().into_iter().filter_map(|key| {
        let of = |now| figures.get(Of::Stream(key.clone()), now);
        let (sound, now) = (of(false), of(true));
        let size = |range: Option<Range>| range.map_or(0.0, |r| r.least.abs().max(r.most.abs()));
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
            band: None,
        })
    });
    streams.collect()
}

impl FlowsState {
    /// Puts figures over the tolerances of sizes in place of those of the sizes as written. What was
    /// noted of a figure stays.
    pub(super) fn widen(&mut self, net: &Net<'_>, state: &State, banded: &Banded) {
        let figures = &banded.figures;
        let by = |of: &[Of]| {
            let both = of.iter().flat_map(|of| {
                [false, true].map(|now| Figure {
                    of: of.clone(),
                    now,
                })
            });
            both.filter_map(|figure| banded.by.get(&figure).copied())
                .max()
        };
        let wide = outlets(net, state, figures, self.faulty.is_some());
        for (number, (told, wide)) in self.outlets.iter_mut().zip(wide).enumerate() {
            *told = OutletFlow {
                settled: told.settled,
                depths_differ: told.depths_differ,
                rests_on: std::mem::take(&mut told.rests_on),
                band: by(&[Of::Pressure(number), Of::Flow(number)]),
                share_band: by(&[Of::Share(number)]),
                ..wide
            };
        }
        let numbered = net.cavities().filter(|cavity| *cavity != SUMP_CAVITY);
        for ((told, wide), cavity) in self
            .cavities
            .iter_mut()
            .zip(cavities(net, figures))
            .zip(numbered)
        {
            *told = CavityPressure {
                rests_on: std::mem::take(&mut told.rests_on),
                band: by(&[Of::Cavity(cavity)]),
                ..wide
            };
        }
        let mut known = std::mem::take(&mut self.streams);
        for mut wide in streams(net, figures) {
            let same = |told: &&mut PartStream| {
                let both = [[&told.from, &told.to], [&told.to, &told.from]];
                told.part == wide.part && both.contains(&[&wide.from, &wide.to])
            };
            if let Some(told) = known.iter_mut().find(same) {
                wide.rests_on = std::mem::take(&mut told.rests_on);
            }
            let ends = [&wide.from, &wide.to].map(|id| net.cavity(id).unwrap_or(SUMP_CAVITY));
            let ends = [ends[0].min(ends[1]), ends[0].max(ends[1])];
            wide.band = by(&[Of::Stream((wide.part.clone(), ends))]);
            self.streams.push(wide);
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
