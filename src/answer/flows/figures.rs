//! The answer: pressures and flows as plain figures.

use serde::Serialize;

use super::{BandBy, FlowsBands};
use crate::answer::{Depth, Verdict};
use crate::circuit::PartName;
use crate::flow::Doubt;
use crate::flow::law::Stand;

/// Pressures and flows of a circuit, state by state.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Flows {
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
    /// Each state asked about.
    pub states: Vec<FlowsState>,
    /// The tolerances that widen every figure; null where each size is taken as it is written.
    pub bands: Option<FlowsBands>,
}

/// A size that does not come from the file.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SizeUsed {
    /// The part it is of.
    pub part: PartName,
    /// What of it is measured.
    pub measure: String,
    /// The size with its unit.
    pub size: String,
}

/// Pressures and flows in one state.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct FlowsState {
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// Speed the pumps were told to turn at, in rad/s; null where each turns as its own part says.
    pub speed_rad_per_s: Option<f64>,
    /// Temperature of the oil, in K.
    pub oil_temperature_k: f64,
    /// What is unsure of the oil there.
    pub oil_doubts: Vec<Doubt>,
    /// How well the sound circuit was solved.
    pub sound: Solved,
    /// How well it was solved with the faults; null without any.
    pub faulty: Option<Solved>,
    /// Every outlet that takes oil in the state or should be on, in file order.
    pub outlets: Vec<OutletFlow>,
    /// Every cavity, in file order.
    pub cavities: Vec<CavityPressure>,
    /// What goes by each part that anything goes by.
    pub streams: Vec<PartStream>,
    /// Where each ball, relief and regulator stands.
    pub stands: Vec<PartStands>,
    /// Where laws are outside what they were made for, with the parts they are of.
    pub doubts: Vec<PartDoubt>,
}

/// How well a state was solved.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Solved {
    /// In how many places its valves can stand: the figures are ranges over all.
    pub cases: usize,
    /// Whether all balance; where not, no figure is an answer.
    pub converged: bool,
    /// The most that a cavity is out of balance by, in m³/s.
    pub imbalance_m3_per_s: f64,
    /// The most Newton steps taken.
    pub steps: usize,
    /// Pumps left out, since what they move cannot leave: the pressure there rises until something
    /// gives.
    pub dead_ended: Vec<PartName>,
    /// Valves that the pressures put elsewhere than settling did.
    pub overruled: Vec<ValveOverruled>,
    /// Whether all valves stand where the pressures put them, as far as their springs are known.
    pub agrees: bool,
}

/// A valve that pressures put elsewhere than settling did.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct ValveOverruled {
    /// The valve.
    pub valve: PartName,
    /// Where settling put it; null where it could not say.
    pub settled: Option<String>,
    /// Where the pressures put it.
    pub put: String,
    /// The pressure it moves at, in Pa.
    pub moves_at_pa: f64,
    /// The cavities its rules read, with their pressure.
    pub pilots: Vec<PilotPressure>,
}

/// The pressure of a pilot.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PilotPressure {
    /// The cavity.
    pub cavity: String,
    /// Its pressure, in Pa.
    pub pressure_pa: f64,
}

/// A figure that may lie anywhere between two.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Range {
    /// The least.
    pub least: f64,
    /// The most.
    pub most: f64,
}

/// What an outlet gets.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct OutletFlow {
    /// The outlet, filter, converter or cooler.
    pub outlet: PartName,
    /// Whether it works by pressure rather than by flow.
    pub by_pressure: bool,
    /// Whether the state should apply it.
    pub should_apply: bool,
    /// The pressure it needs, in Pa, where it works by pressure and that is known.
    pub needs_pa: Option<f64>,
    /// The flow it needs, in m³/s, where it works by flow and that is known.
    pub needs_m3_per_s: Option<f64>,
    /// When sound.
    pub sound: Gets,
    /// With the faults; null without any.
    pub now: Option<Gets>,
    /// What it keeps of what it gets when sound, 1 for all of it.
    pub share: Option<Range>,
    /// How it is known how far that may be off.
    pub share_band: Option<BandBy>,
    /// Whether its need is met with the faults, or without where there are none; null where the
    /// need is not known or it depends on where valves stand.
    pub met: Option<bool>,
    /// What settling says of it; null without faults.
    pub settled: Option<Verdict>,
    /// Whether the two depths contradict each other: it has lost more than four fifths of its oil
    /// where settling keeps it, or keeps more than that where settling starves it.
    pub depths_differ: bool,
    /// Sizes that stand in for unknown ones and on which its figure rests: a fifth more of the one
    /// changes it by a hundredth or more.
    pub rests_on: Vec<SizeRef>,
    /// How it is known how far its figures may be off; null where no tolerance moves them, or none
    /// is asked after. Where one is from draws, so it says.
    pub band: Option<BandBy>,
}

/// A size of a part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct SizeRef {
    /// The part.
    pub part: PartName,
    /// What of it is measured.
    pub measure: String,
}

/// Pressure and flow at an outlet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Gets {
    /// Its pressure, in Pa: of one with two sides apply less release; null where nothing sets it.
    pub pressure_pa: Option<Range>,
    /// What it takes, in m³/s; null where it works by pressure.
    pub flow_m3_per_s: Option<Range>,
}

/// The pressure of a cavity.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CavityPressure {
    /// The cavity.
    pub cavity: String,
    /// When sound, in Pa; null where nothing sets it: the oil in it is trapped.
    pub sound_pa: Option<Range>,
    /// With the faults; the same as sound where there are none.
    pub now_pa: Option<Range>,
    /// Sizes that stand in for unknown ones and on which its figure rests.
    pub rests_on: Vec<SizeRef>,
    /// How it is known how far its figures may be off; null where no tolerance moves them, or none
    /// is asked after. Where one is from draws, so it says.
    pub band: Option<BandBy>,
}

/// What goes by a part.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PartStream {
    /// The part.
    pub part: PartName,
    /// Cavity it comes from, where the flow is above zero.
    pub from: String,
    /// Cavity it goes to.
    pub to: String,
    /// When sound, in m³/s; null where the way is not there.
    pub sound_m3_per_s: Option<Range>,
    /// With the faults; the same as sound where there are none.
    pub now_m3_per_s: Option<Range>,
    /// Sizes that stand in for unknown ones and on which its figure rests.
    pub rests_on: Vec<SizeRef>,
    /// How it is known how far its figures may be off; null where no tolerance moves them, or none
    /// is asked after. Where one is from draws, so it says.
    pub band: Option<BandBy>,
}

/// Where a ball, a relief or one edge of a regulator stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PartStands {
    /// The part.
    pub part: PartName,
    /// Cavity it lets oil from.
    pub from: String,
    /// Cavity it lets oil to.
    pub to: String,
    /// When sound: more than one where valves can stand in several ways.
    pub sound: Vec<Stand>,
    /// With the faults; the same as sound where there are none.
    pub now: Vec<Stand>,
}

/// Where a law is outside what it was made for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PartDoubt {
    /// Why its figures are less sure than their digits look.
    pub doubt: Doubt,
    /// The parts.
    pub parts: Vec<PartName>,
}
