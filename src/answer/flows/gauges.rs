//! What gauges and switches should show, state by state.

use serde::Serialize;

use super::ranges::users;
use super::{CavityPressure, Flows, FlowsError, FlowsQuestion, Range, SizeRef, SizeUsed, flows};
use crate::answer::{Answer, Depth, states};
use crate::circuit::{Access, Fault, Kind, Level, PartName};
use crate::net::{Cavity, Net, Stage};
use crate::reach::Dominators;
use crate::settle::settle;
use crate::units::Pressure;

/// How far a clutch's gauge reads under line before its circuit is taken to leak: 8 psi; 15 and
/// more are as plain (`common practice, no source`).
const LEAKS_FROM: f64 = 8.0 * Pressure::PSI.pa();

/// What every gauge and switch should show.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Gauges {
    /// The faults, as a reader would type them. None is the sound circuit.
    pub faults: Vec<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// The oil, by its id in the file; none where a generic one stands in.
    pub oil: Option<String>,
    /// Sizes that were set instead of those of the file.
    pub set: Vec<SizeUsed>,
    /// Sizes that are not known, and what stands in for each.
    pub assumed: Vec<SizeUsed>,
    /// The cavity that the first source feeds: line.
    pub line: Option<String>,
    /// Each state asked about.
    pub states: Vec<GaugesState>,
}

/// What gauges and switches should show in one state.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct GaugesState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// Speed the pumps were told to turn at, in rad/s; null where each turns as its own part says.
    pub speed_rad_per_s: Option<f64>,
    /// Temperature of the oil, in K.
    pub oil_temperature_k: f64,
    /// Whether the figures balance; where not, they are no answer.
    pub converged: bool,
    /// Every tap and switch, in file order.
    pub readings: Vec<GaugeReading>,
}

/// What one gauge or switch should show.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct GaugeReading {
    /// The tap or switch.
    pub at: PartName,
    /// The cavity it shows.
    pub cavity: String,
    /// How hard it is to reach: `outside`, `pan-off`, `bench`.
    pub access: String,
    /// When sound, in Pa; null where nothing sets it.
    pub sound_pa: Option<Range>,
    /// With the faults; the same as sound where there are none.
    pub now_pa: Option<Range>,
    /// Of a switch: whether it is closed, where the pressure at which it closes is known.
    pub closed: Option<bool>,
    /// Clutches and the like that the state applies and whose oil all passes its cavity.
    pub applied: Vec<PartName>,
    /// How far it reads under line, in Pa, where something applied has its oil from its cavity.
    pub under_line_pa: Option<Range>,
    /// Sizes that stand in for unknown ones and on which its figure rests.
    pub rests_on: Vec<SizeRef>,
    /// Whether it reads so far under line that its circuit is taken to leak.
    pub points_to_leak: bool,
}

impl Answer for Gauges {
    const NAME: &'static str = "gauges";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Asks what every gauge and switch should show, with some faults beside the sound circuit.
///
/// # Errors
///
/// As [`flows`].
pub fn gauges(
    net: &Net<'_>,
    faults: &[Fault],
    state: Option<&str>,
    question: &FlowsQuestion,
) -> Result<Gauges, FlowsError> {
    let circuit = net.circuit();
    let measured = flows(net, faults, state, question)?;
    let line = net.sources().first().map(|source| source.feeds);
    let asked = states(circuit, state);
    let states = measured
        .states
        .iter()
        .zip(asked)
        .map(|(state, (_, driven))| {
            let stage = Stage::new(net, driven, &[]);
            let scene = stage.scene(settle(&stage).held(), Level::Low);
            let ways = Dominators::of_pressure(&scene);
            let look = |at: PartName, text: &str, access: Access| {
                let cavity = net.cavity(text)?;
                let applied = state.outlets.iter().zip(users(net));
                let applied = applied.filter(|(told, outlet)| {
                    told.should_apply && ways.dominates(cavity, outlet.user.feed())
                });
                let applied: Vec<PartName> = applied.map(|(told, _)| told.outlet.clone()).collect();
                let pressure = |of: Cavity| of.number().checked_sub(1).map(|i| &state.cavities[i]);
                let shown = pressure(cavity)?;
                let line = line.filter(|line| !applied.is_empty() && *line != cavity);
                let under = |of: fn(&CavityPressure) -> Option<Range>| {
                    let (line, shown) = (of(pressure(line?)?)?, of(shown)?);
                    Some(Range {
                        least: line.least - shown.most,
                        most: line.most - shown.least,
                    })
                };
                let now = under(|c| c.now_pa);
                let leaks = |range: Option<Range>| range.is_some_and(|r| r.least >= LEAKS_FROM);
                let closes_at = circuit
                    .switches
                    .get(&at.id)
                    .filter(|_| at.kind == Kind::Switch);
                let closes_at = closes_at.and_then(|switch| switch.closes_at);
                let closed = closes_at.zip(shown.now_pa).and_then(|(at, now)| {
                    match (now.least >= at.pa(), now.most >= at.pa()) {
                        (true, _) => Some(true),
                        (_, false) => Some(false),
                        _ => None,
                    }
                });
                Some(GaugeReading {
                    cavity: net.name(cavity).to_owned(),
                    access: access.to_string(),
                    sound_pa: shown.sound_pa,
                    now_pa: shown.now_pa,
                    rests_on: shown.rests_on.clone(),
                    points_to_leak: leaks(now),
                    under_line_pa: now,
                    closed,
                    applied,
                    at,
                })
            };
            let taps = circuit.taps.iter();
            let taps = taps.map(|(id, tap)| (PartName::new(Kind::Tap, id), &*tap.at, tap.access));
            let switches = circuit.switches.iter();
            let switches =
                switches.map(|(id, s)| (PartName::new(Kind::Switch, id), &*s.at, s.access));
            GaugesState {
                state: state.state.clone(),
                speed_rad_per_s: state.speed_rad_per_s,
                oil_temperature_k: state.oil_temperature_k,
                converged: state.sound.converged
                    && state.faulty.as_ref().is_none_or(|f| f.converged),
                readings: taps
                    .chain(switches)
                    .filter_map(|(at, text, access)| look(at, text, access))
                    .collect(),
            }
        });
    let states = states.collect();
    let Flows {
        faults,
        depth,
        oil,
        set,
        assumed,
        ..
    } = measured;
    Ok(Gauges {
        faults,
        depth,
        oil,
        set,
        assumed,
        line: line.map(|line| net.name(line).to_owned()),
        states,
    })
}
