//! What pressures and flows expect some faults to show in one state.

use super::ground::Ground;
use super::outlook::{self, Face, Fate, Outlook};
use crate::answer::{Glance, Range, Status};
use crate::circuit::{Circuit, Kind, Shows};
use crate::net::{Cavity, Net};

/// What pressures and flows expect.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Measured {
    pub outlook: Outlook,
    /// Of each gauge, the pressure when sound and now, in Pa.
    pub pressures: Vec<[Option<Range>; 2]>,
}

/// A gauge is taken to be off by so much of what it reads, and by so much in Pa
/// (assumption, no source).
const OFF_BY: (f64, f64) = (0.05, 0.15e5);

/// The share of what it has when sound from which on something that should be off counts as on,
/// and below which it counts as off; of the highest pressure of the state (assumption, no source).
const ON: f64 = 0.2;
const OFF: f64 = 0.1;

/// A fault may be smaller than the size that stands in for it: how often that is reckoned with.
const SMALLER: f64 = 0.1;

impl Measured {
    /// What is expected where settling expects `settled`.
    pub fn of(
        circuit: &Circuit,
        ground: &Ground,
        state: usize,
        glance: &Glance,
        settled: &Outlook,
    ) -> Self {
        let mut outlook = settled.clone();
        let sounds = glance.outlets.iter().filter_map(|o| o.sound.pressure_pa);
        let highest = sounds.map(|range| range.most).fold(0.0, f64::max);
        for told in &glance.outlets {
            let Some(place) = ground.outlet(&told.outlet) else {
                continue;
            };
            let fate = match (ground.states[state].has[place], told.share) {
                (Status::On, Some(share)) => Some(fed(share)),
                (Status::Off, _) if ground.outlets[place].by_pressure => {
                    told.now.pressure_pa.map(|now| stray(now, highest))
                }
                _ => None,
            };
            if let Some(fate) = fate {
                outlook.fates[place] = fate;
            }
        }
        for (place, name) in ground.gauges.iter().enumerate() {
            let [Some(sound), Some(now)] = glance.cavities[place] else {
                continue;
            };
            outlook.faces[place] = match name.kind {
                Kind::Switch => {
                    let closes = circuit.switches[&name.id].closes_at;
                    match closes.map(|at| (now.least >= at.pa(), now.most >= at.pa())) {
                        Some((true, _)) => [0.02, 0.0, 0.98, 0.0],
                        Some((_, false)) => [0.98, 0.0, 0.02, 0.0],
                        Some(_) => [0.29, 0.0, 0.29, 0.0],
                        None => continue,
                    }
                }
                _ => face(sound, now),
            };
        }
        Measured {
            outlook,
            pressures: glance.cavities.clone(),
        }
    }

    /// The chance that a gauge reads so, in Pa.
    pub fn reads(&self, gauge: usize, pressure: f64) -> Option<f64> {
        let [sound, now] = self.pressures[gauge];
        let (sound, now) = (sound?, now?);
        let off_by = (now.most.abs() * OFF_BY.0).max(pressure.abs() * OFF_BY.0) + OFF_BY.1;
        let beyond = (now.least - pressure).max(pressure - now.most).max(0.0);
        let near = (-0.5 * (beyond / off_by).powi(2)).exp();
        let all = sound.least.min(now.least)..sound.most.max(now.most);
        let within = pressure >= all.start - off_by && pressure <= all.end + off_by;
        let smaller = if within { SMALLER } else { 0.0 };
        Some((1.0 - SMALLER) * near + smaller)
    }
}

/// The cavities that the gauges show.
pub(super) fn cavities(net: &Net<'_>, ground: &Ground) -> Vec<Cavity> {
    let circuit = net.circuit();
    let at = ground.gauges.iter().map(|name| match name.kind {
        Kind::Switch => &circuit.switches[&name.id].at,
        _ => &circuit.taps[&name.id].at,
    });
    at.map(|at| net.cavity(at).unwrap_or(crate::net::SUMP_CAVITY))
        .collect()
}

/// What a reading is called where a gauge should read `sound`, in Pa.
pub(super) fn called(pressure: f64, sound: Range) -> Shows {
    let off_by = sound.most.abs() * OFF_BY.0 + OFF_BY.1;
    match pressure {
        p if p > sound.most + off_by => Shows::High,
        p if p >= sound.least - off_by => Shows::Normal,
        p if p < OFF_BY.1 => Shows::None,
        _ => Shows::Low,
    }
}

/// How an outlet fares that keeps this share of what it has when sound. Below a fifth it counts as
/// starved and above four fifths as fine, each fading into weak.
fn fed(share: Range) -> Fate {
    let points = [share.least, (share.least + share.most) / 2.0, share.most];
    let mean = |of: &dyn Fn(f64) -> f64| points.iter().map(|s| of(*s)).sum::<f64>() / 3.0;
    let starved = mean(&|s| ((0.3 - s) / 0.2).clamp(0.0, 1.0));
    let fine = mean(&|s| ((s - 0.7) / 0.2).clamp(0.0, 1.0));
    let harsh = mean(&|s| if s > 1.2 { 0.5 } else { 0.0 });
    let weak = (1.0 - starved - fine).max(0.0);
    let smaller = (1.0 - fine) * SMALLER;
    let left = 0.97 - smaller;
    [
        left * (fine - harsh).max(0.0) + smaller * 0.7,
        left * starved,
        left * weak + smaller * 0.3,
        0.0,
        0.03,
        left * harsh,
    ]
}

/// How an outlet fares that should be off and has this pressure.
fn stray(now: Range, highest: f64) -> Fate {
    match (now.least >= ON * highest, now.most < OFF * highest) {
        (true, _) => [0.1, 0.0, 0.0, 0.85, 0.05, 0.0],
        (_, true) => outlook::OFF,
        _ => [0.29, 0.0, 0.0, 0.5, 0.2, 0.0],
    }
}

fn face(sound: Range, now: Range) -> Face {
    let mut face = [0.0; Shows::ALL.len()];
    for point in [now.least, (now.least + now.most) / 2.0, now.most] {
        face[called(point, sound) as usize] += (0.98 - SMALLER) / 3.0;
    }
    face[Shows::Normal as usize] += SMALLER;
    // What is near a border may be called either.
    face.map(|chance| chance + 0.005)
}
