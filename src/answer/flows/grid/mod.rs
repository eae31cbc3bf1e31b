//! Two quantities varied at once: on which side of which line an outlet has what it needs.

mod asking;
mod boundary;
mod regions;

use serde::Serialize;

pub use regions::GridRegion;

use self::asking::Asking;
use super::varying::Varying;
use super::{BandBy, FlowsBands, FlowsError, FlowsQuestion, SizeUsed, VarySpan};
use crate::answer::{Answer, Depth};
use crate::circuit::{Fault, PartName, State};
use crate::net::Net;

/// Which two quantities are varied, and how.
#[derive(Clone, Debug)]
pub struct GridQuestion<'a> {
    /// What is varied along the grid.
    pub along: VarySpan,
    /// What is varied up the grid.
    pub up: VarySpan,
    /// How the gearbox runs besides.
    pub flows: &'a FlowsQuestion,
}

/// Where outlets have what they need while two quantities are varied.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Grid {
    /// The faults, as a reader would type them.
    pub faults: Vec<String>,
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// What is varied along the grid.
    pub along: GridAxis,
    /// What is varied up the grid.
    pub up: GridAxis,
    /// Sizes that stand in for unknown ones.
    pub assumed: Vec<SizeUsed>,
    /// At how many points the figures do not balance: nothing is said of them.
    pub unsolved: usize,
    /// How closely boundaries are found, in parts of the range of each quantity.
    pub close: f64,
    /// Each outlet whose need is known and that should have oil in the state.
    pub outlets: Vec<GridOutlet>,
    /// The tolerances that widen what outlets get; null where each size is taken as it is written.
    pub bands: Option<FlowsBands>,
    /// How it is known how far they widen it; null where they do not.
    pub band: Option<BandBy>,
}

/// One of the two quantities.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct GridAxis {
    /// What is varied: `part.size`, `speed` or `oil-temperature`.
    pub varied: String,
    /// The SI unit of its values.
    pub unit: String,
    /// Its values, rising or falling as they were asked for.
    pub values: Vec<f64>,
}

/// Where one outlet has what it needs.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct GridOutlet {
    /// The outlet.
    pub outlet: PartName,
    /// What it needs: a pressure in Pa, where it works by pressure.
    pub needs_pa: Option<f64>,
    /// Or a flow in m³/s.
    pub needs_m3_per_s: Option<f64>,
    /// Whether its need is met, for each value up a row, in it one for each value along; null where
    /// it depends on how valves stand or on how far sizes are off, or the figures do not balance.
    pub met: Vec<Vec<Option<bool>>>,
    /// The lines that part where its need is surely met from the rest; none where that never
    /// changes within the grid. The last point of a closed line is its first.
    pub boundary: Vec<Vec<GridPoint>>,
}

/// A point of a boundary, in the SI units of the two quantities.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct GridPoint {
    /// The value of what is varied along the grid.
    pub along: f64,
    /// The value of what is varied up the grid.
    pub up: f64,
}

impl Answer for Grid {
    const NAME: &'static str = "grid";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Of each range, how closely a boundary is found.
const CLOSE: f64 = 1e-3;

/// Asks where outlets have what they need in a state while two quantities are varied, and for the
/// line on one side of which each has it.
///
/// Every point of the grid is measured. Where an outlet has what it needs at one of two neighbours
/// and not at the other, the value between them is found by halving, to a thousandth of the range;
/// these are joined to lines through the cells of the grid. What turns twice between two neighbours
/// is not seen. Where valves can stand in several places, or sizes may be off, the least of what an
/// outlet gets counts for the line.
///
/// # Errors
///
/// As [`flows`](super::flows).
///
/// ```
/// use oilpath::{answer::{self, FlowsQuestion, GridQuestion, Varied, VarySpan}, net::Net, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line"] }
///     [source]
///     pump = { feeds = "line", displacement = "14 cm³/rev", leakage = "2 L/min", leaks-at = "10 bar" }
///     [outlet]
///     bearing = { kind = "bearing", at = "line", bore = "2 mm", needs = "6 L/min" }
///     [state]
///     drive = {}
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let rpm = |rpm: f64| rpm * std::f64::consts::PI / 30.0;
/// let question = GridQuestion {
///     along: VarySpan { varied: Varied::Speed, over: [rpm(300.0), rpm(900.0)], points: 7 },
///     up: VarySpan { varied: Varied::OilTemperature, over: [293.15, 393.15], points: 5 },
///     flows: &FlowsQuestion::default(),
/// };
/// let state = (Some("drive"), &circuit.states["drive"]);
/// let bearing = &answer::grid(&net, &[], state, &question).unwrap().outlets[0];
/// assert_eq!((bearing.met[0][0], bearing.met[0][6]), (Some(false), Some(true)));
/// assert_eq!(bearing.boundary.len(), 1);
/// ```
pub fn grid(
    net: &Net<'_>,
    faults: &[Fault],
    state: (Option<&str>, &State),
    question: &GridQuestion<'_>,
) -> Result<Grid, FlowsError> {
    let varying = Varying::new(net, faults, state.1, question.flows)?;
    let needs = varying.needs().into_iter().enumerate();
    let counted = needs.filter(|(_, (_, need))| need.counts());
    let counted = counted.map(|(number, (outlet, need))| (number, outlet, need));
    let counted = counted.collect();
    let mut asking = Asking {
        varying,
        question,
        counted,
        unsolved: 0,
    };
    let values = [question.along.values(), question.up.values()];
    let met = asking.met(&values)?;
    let unsolved = asking.unsolved;
    let boundaries = asking.boundaries(&values, &met)?;
    let outlets = asking.counted.iter().zip(boundaries).enumerate();
    let outlets = outlets.map(|(number, ((_, outlet, need), boundary))| GridOutlet {
        outlet: outlet.name.clone(),
        needs_pa: need.pa,
        needs_m3_per_s: need.m3_per_s,
        met: met
            .iter()
            .map(|row| row.iter().map(|point| point[number]).collect())
            .collect(),
        boundary,
    });
    let outlets = outlets.collect();
    let axis = |span: &VarySpan| GridAxis {
        varied: span.varied.word(net),
        unit: span.varied.unit().to_owned(),
        values: span.values(),
    };
    let (bands, band) = asking.varying.banded();
    Ok(Grid {
        faults: faults.iter().map(|f| net.circuit().say(f)).collect(),
        state: state.0.map(str::to_owned),
        depth: Depth::Flow,
        along: axis(&question.along),
        up: axis(&question.up),
        assumed: asking.varying.assumed(),
        unsolved,
        close: CLOSE,
        outlets,
        bands,
        band,
    })
}
