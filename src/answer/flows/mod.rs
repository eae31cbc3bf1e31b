//! Pressures and flows, before and after faults.

mod cases;
mod gauges;
mod rests;
mod state;
mod vary;

use serde::Serialize;

use super::{Answer, Depth, Verdict, starve, states};
use crate::circuit::{Circuit, Fault, PartName, State};
use crate::flow::law::Stand;
use crate::flow::{BlockError, Doubt, Oil, OilError, Running, SizeOf, Sizes};
use crate::net::Net;
use crate::units::{Density, Speed, Temperature, UnitSystem};

pub use gauges::{GaugeReading, Gauges, GaugesState, gauges};
pub use vary::{Varied, Vary, VaryLimit, VaryOutlet, VaryPoint, VaryQuestion, vary};

use cases::{Bench, Book};
use state::Sides;

/// How the gearbox runs, and what may be taken as given.
#[derive(Clone, Debug, Default)]
pub struct FlowsQuestion {
    /// Turning speed of the pumps; else as the state says, else as the pump does.
    pub speed: Option<Speed>,
    /// Temperature of the oil; else as the state says, else [`WARM`].
    pub oil_temperature: Option<Temperature>,
    /// Which of the circuit's oils; else its first, else a generic one.
    pub oil: Option<String>,
    /// Sizes instead of those of the file.
    pub sizes: Sizes,
    /// Whether something may stand in for a size that is not known.
    pub assume: bool,
}

/// Where no temperature is given: a gearbox that is warm, 80 °C.
pub const WARM: Temperature = Temperature::from_kelvin(353.15);

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

/// Why pressures and flows cannot be said.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FlowsError {
    /// Sizes are not known; with each what would stand in for it.
    #[error("{} not known", counted(.0.len()))]
    Missing(Vec<SizeUsed>),
    /// Sizes were set of which nothing here depends.
    #[error("nothing here depends on some sizes that were set")]
    Unused(Vec<SizeUsed>),
    /// Sizes of which no law can be made.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Wrong(Vec<BlockError>),
    /// The circuit has no such oil; these it has.
    #[error("the circuit has no oil `{0}`")]
    NoOil(String, Vec<String>),
    /// The oil has no viscosity at that temperature.
    #[error(transparent)]
    Oil(#[from] OilError),
}

fn counted(sizes: usize) -> String {
    match sizes {
        1 => "a size is".to_owned(),
        sizes => format!("{sizes} sizes are"),
    }
}

impl Answer for Flows {
    const NAME: &'static str = "flows";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        let outlets = |state: &FlowsState| {
            let bad = |o: &OutletFlow| o.met == Some(false) && (o.should_apply || !o.by_pressure);
            state.outlets.iter().any(bad)
        };
        self.states.iter().any(outlets)
    }
}

/// Where a file gives none: of the order of gearbox oils in use (`common practice, no source`).
const DENSITY: Density = Density::from_kg_per_m3(850.0);

/// Asks for the pressures and flows with some faults beside those of the sound circuit, in one state
/// or in all.
///
/// Valves stand where [settling](crate::settle) puts them; where it leaves several places each is
/// measured and the figures are ranges. A pilot's pressure is then held against the pressure its
/// valve moves at, where that is given, and what disagrees is moved and measured again.
///
/// # Errors
///
/// [`FlowsError`]: sizes that are not known unless something may stand in for them, sizes that
/// cannot be, an oil that is not there.
///
/// ```
/// use oilpath::{answer::{self, FlowsQuestion}, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     supply = { feeds = "line", pressure = "8 bar" }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm", thickness = "1.5 mm" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube", bore = "1.2 mm", needs = "0.5 L/min" }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let plugged = circuit.fault("hop:plugged").unwrap();
/// let answer = answer::flows(&net, &[plugged], None, &FlowsQuestion::default()).unwrap();
/// let bearing = &answer.states[0].outlets[0];
/// assert!(bearing.sound.flow_m3_per_s.unwrap().least > 0.5 / 60e3);
/// assert_eq!(bearing.met, Some(false));
/// ```
pub fn flows(
    net: &Net<'_>,
    faults: &[Fault],
    state: Option<&str>,
    question: &FlowsQuestion,
) -> Result<Flows, FlowsError> {
    let circuit = net.circuit();
    let (oil, id) = oil(circuit, question)?;
    let mut book = Book::default();
    let mut told = Vec::new();
    for (id, state) in states(circuit, state) {
        let running = running(state, &oil, question)?;
        let bench = Bench {
            running: &running,
            sizes: &question.sizes,
            faults,
        };
        let sides = Sides::of(net, state, &bench, &mut book);
        told.push((id, state, running, sides));
    }
    book.settle(question)?;
    let verdicts = (!faults.is_empty()).then(|| starve(net, faults, state));
    let states = told
        .into_iter()
        .enumerate()
        .map(|(i, (id, state, running, sides))| {
            let mut told = sides.told(net, id, state, &running);
            told.oil_temperature_k = temperature(state, question).kelvin();
            told.oil_doubts = oil.doubts(temperature(state, question));
            if let Some(verdicts) = &verdicts {
                told.hold_against(&verdicts.states[i]);
            }
            let bench = Bench {
                running: &running,
                sizes: &question.sizes,
                faults,
            };
            rests::find(net, &sides, &bench, &book, &mut told);
            told
        });
    Ok(Flows {
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        depth: Depth::Flow,
        states: states.collect(),
        set: question
            .sizes
            .set()
            .map(|(of, si)| SizeUsed::of(of, si))
            .collect(),
        assumed: book
            .stand_ins
            .iter()
            .map(|(of, si)| SizeUsed::of(of, *si))
            .collect(),
        oil: id,
    })
}

/// The oil asked for, and its id.
fn oil(circuit: &Circuit, question: &FlowsQuestion) -> Result<(Oil, Option<String>), FlowsError> {
    let found = match &question.oil {
        Some(asked) => {
            let found = circuit.oils.get_key_value(asked);
            let ids = || circuit.oils.keys().cloned().collect();
            Some(found.ok_or_else(|| FlowsError::NoOil(asked.clone(), ids()))?)
        }
        None => circuit.oils.first(),
    };
    match found {
        Some((id, oil)) => {
            let [one, other] = oil.viscosity;
            let made = Oil::new(one, other, oil.density.unwrap_or(DENSITY))?;
            Ok((made, Some(id.clone())))
        }
        None => Ok((Oil::generic(), None)),
    }
}

fn temperature(state: &State, question: &FlowsQuestion) -> Temperature {
    let asked = question.oil_temperature.or(state.oil_temperature);
    asked.unwrap_or(WARM)
}

fn running(state: &State, oil: &Oil, question: &FlowsQuestion) -> Result<Running, FlowsError> {
    let speed = question.speed.or(state.speed);
    Ok(Running::new(
        speed,
        oil.clone(),
        temperature(state, question),
    )?)
}

impl Book {
    /// Whether an answer can be given on what the book tells.
    fn settle(&self, question: &FlowsQuestion) -> Result<(), FlowsError> {
        if !self.wrong.is_empty() {
            let mut wrong = self.wrong.clone();
            wrong.sort_by(|a, b| a.part.cmp(&b.part));
            wrong.dedup();
            return Err(FlowsError::Wrong(wrong));
        }
        let unused = question
            .sizes
            .set()
            .filter(|(of, _)| !self.asked.contains(of));
        let unused: Vec<SizeUsed> = unused.map(|(of, si)| SizeUsed::of(of, si)).collect();
        if !unused.is_empty() {
            return Err(FlowsError::Unused(unused));
        }
        if !question.assume && !self.stand_ins.is_empty() {
            let missing = self.stand_ins.iter();
            let missing = missing.map(|(of, si)| SizeUsed::of(of, *si));
            return Err(FlowsError::Missing(missing.collect()));
        }
        Ok(())
    }
}

impl SizeUsed {
    fn of((part, measure): &SizeOf, si: f64) -> Self {
        SizeUsed {
            part: part.clone(),
            measure: measure.to_string(),
            size: measure.show(si, UnitSystem::Metric),
        }
    }
}
