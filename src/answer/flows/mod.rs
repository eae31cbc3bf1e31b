//! Pressures and flows, before and after faults.

mod agreement;
mod apply;
mod bands;
mod cases;
mod corners;
mod differ;
mod figures;
mod gathered;
mod gauges;
mod glance;
mod grid;
mod holding;
mod holds;
mod need;
mod pattern;
mod ranges;
mod rests;
mod sides;
mod signature;
mod state;
mod tally;
mod tried;
mod varied;
mod vary;
mod varying;

use super::{Answer, Depth, starve, states};
use crate::circuit::{Circuit, Fault, State};
use crate::flow::{BlockError, Oil, OilError, Running, SizeOf, Sizes};
use crate::net::Net;
use crate::units::{Density, Speed, Temperature, UnitSystem};

pub use agreement::{Agreement, CauseCount, ConditionTally, Contradiction, agreement};
pub use apply::takes_hold;
pub use bands::{BandBy, Draws, FlowsBands, SizeBand};
pub use corners::signatures;
pub use differ::Differ;
pub use figures::{
    CavityPressure, Flows, FlowsState, Gets, OutletFlow, PartDoubt, PartStands, PartStream,
    PilotPressure, Range, SizeRef, SizeUsed, Solved, ValveOverruled,
};
pub use gauges::{GaugeReading, Gauges, GaugesState, gauges};
pub use glance::{Glance, GlanceOutlet, Glances};
pub use grid::{Grid, GridAxis, GridOutlet, GridPoint, GridQuestion, GridRegion, grid};
pub use holds::{HoldTimes, HoldWord, OutletHolds, TakesHold, TakesHoldState};
pub use pattern::{Corner, Pattern, When};
pub use signature::{
    CornerRuns, ExtentPattern, FaultSignature, OutletSignature, SignatureQuestion, Signatures,
    SoundShort, StateSignature,
};
pub use tally::{Shares, Tally};
pub use varied::{Varied, VarySpan};
pub use vary::{Vary, VaryLimit, VaryOutlet, VaryPoint, VaryQuestion, vary};

use bands::Off;
use cases::{Bench, Book};
use gathered::Figures;
use sides::Settlings;

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
    /// How to draw sizes where tolerances are to widen every figure; none takes each size as it is
    /// written.
    pub bands: Option<Draws>,
}

/// Where no temperature is given: a gearbox that is warm, 80 °C.
pub const WARM: Temperature = Temperature::from_kelvin(353.15);

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
        let settlings = Settlings::of(net, state, faults);
        let mut own = Book::default();
        let sides = bench.sides(&settlings, None, &mut own);
        let off = bands::off(circuit, &own.asked, question);
        book.add(own);
        told.push((id, state, running, sides, settlings, off));
    }
    book.settle(question)?;
    let verdicts = (!faults.is_empty()).then(|| starve(net, faults, state));
    let mut off: Vec<Off> = told.iter().flat_map(|(.., off)| off.clone()).collect();
    off.sort_by(|a, b| a.0.cmp(&b.0));
    off.dedup();
    let states =
        told.into_iter()
            .enumerate()
            .map(|(i, (id, state, running, sides, settlings, off))| {
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
                if let Some(draws) = question.bands {
                    let nominal = Figures::of(net, &sides);
                    let mut figures_of = |sizes: &Sizes| {
                        let mut book = Book::default();
                        let bench = Bench { sizes, ..bench };
                        let off = bench.sides(&settlings, Some(&sides), &mut book);
                        book.right().map(|()| Figures::of(net, &off))
                    };
                    let sizes = &question.sizes;
                    let banded = bands::widen(&nominal, &off, sizes, draws, &mut figures_of)?;
                    told.widen(net, state, &banded);
                }
                Ok(told)
            });
    Ok(Flows {
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        depth: Depth::Flow,
        states: states.collect::<Result<_, FlowsError>>()?,
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
        bands: question.bands.map(|draws| FlowsBands {
            sizes: off.iter().map(SizeBand::of).collect(),
            draws,
        }),
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
    /// Whether a law could be made of every size.
    fn right(&self) -> Result<(), FlowsError> {
        if self.wrong.is_empty() {
            return Ok(());
        }
        let mut wrong = self.wrong.clone();
        wrong.sort_by(|a, b| a.part.cmp(&b.part));
        wrong.dedup();
        Err(FlowsError::Wrong(wrong))
    }

    /// Whether an answer can be given on what the book tells.
    fn settle(&self, question: &FlowsQuestion) -> Result<(), FlowsError> {
        self.right()?;
        let unused = question
            .sizes
            .set()
            .filter(|(of, _)| !self.asked.contains_key(of));
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
