//! How loose is too loose: one quantity varied, and where an outlet stops getting what it needs.

use serde::Serialize;

use super::need::Need;
use super::varying::{Got, Varying};
use super::{BandBy, FlowsBands, FlowsError, FlowsQuestion, Gets, Range, SizeUsed, VarySpan};
use crate::answer::{Answer, Depth};
use crate::circuit::{Fault, PartName, State};
use crate::net::{Net, NetOutlet};

/// What is varied, and how.
#[derive(Clone, Debug)]
pub struct VaryQuestion<'a> {
    /// What, and at which values.
    pub span: VarySpan,
    /// How the gearbox runs besides.
    pub flows: &'a FlowsQuestion,
}

/// What outlets get while one quantity is varied.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Vary {
    /// The faults, as a reader would type them.
    pub faults: Vec<String>,
    /// The state; none for a circuit that declares no states.
    pub state: Option<String>,
    /// How deep the answer looks.
    pub depth: Depth,
    /// What is varied: `part.size`, `speed` or `oil-temperature`.
    pub varied: String,
    /// The SI unit of its values: `m`, `Pa`, `m³/s`, `rad/s`, `m³/rad` or `K`.
    pub unit: String,
    /// Sizes that stand in for unknown ones.
    pub assumed: Vec<SizeUsed>,
    /// The values, rising or falling as they were asked for, with what each outlet gets.
    pub points: Vec<VaryPoint>,
    /// Each outlet whose need is known and that should have oil in the state: where it stops, or
    /// begins, to have it.
    pub limits: Vec<VaryLimit>,
    /// The tolerances that widen what outlets get; null where each size is taken as it is written.
    pub bands: Option<FlowsBands>,
    /// How it is known how far they widen it; null where they do not.
    pub band: Option<BandBy>,
}

/// What outlets get at one value.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct VaryPoint {
    /// The value, in its SI unit.
    pub value: f64,
    /// Whether the figures balance; where not, they are no answer.
    pub converged: bool,
    /// Every outlet, in file order.
    pub outlets: Vec<VaryOutlet>,
}

/// What one outlet gets at one value.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct VaryOutlet {
    /// The outlet.
    pub outlet: PartName,
    /// What it gets.
    pub gets: Gets,
}

/// Where an outlet stops, or begins, to have what it needs.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct VaryLimit {
    /// The outlet.
    pub outlet: PartName,
    /// What it needs: a pressure in Pa, where it works by pressure.
    pub needs_pa: Option<f64>,
    /// Or a flow in m³/s.
    pub needs_m3_per_s: Option<f64>,
    /// Whether it surely has that at the first value.
    pub met_at_first: bool,
    /// Between which two values that changes, each time it does, in the SI unit of the values;
    /// none where it never does within the range.
    pub changes: Vec<Range>,
    /// Whether it surely does not have that at the first value.
    pub fails_at_first: bool,
    /// Between which two values that changes: as `changes`, but where valves can stand in several
    /// places or sizes may be off.
    pub fails: Vec<Range>,
}

impl Answer for Vary {
    const NAME: &'static str = "vary";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Of the range varied over, how closely a limit is found.
const CLOSE: f64 = 1e-4;

/// Asks what outlets get in a state while one quantity is varied, and at which value each stops
/// having what it needs. Such a value is bracketed by two neighbouring points and halved down to a
/// ten-thousandth of the range; what turns twice between two points is not seen.
///
/// Where valves can stand in several places, or sizes may be off, an outlet surely has what it needs
/// where the least of what it gets is enough, and surely falls short where the most is not.
///
/// # Errors
///
/// As [`flows`](super::flows).
pub fn vary(
    net: &Net<'_>,
    faults: &[Fault],
    state: (Option<&str>, &State),
    question: &VaryQuestion<'_>,
) -> Result<Vary, FlowsError> {
    let span = &question.span;
    let mut asking = Asking {
        varying: Varying::new(net, faults, state.1, question.flows)?,
        span,
    };
    let users = asking.varying.needs();
    let (mut points, mut reached) = (Vec::new(), Vec::new());
    for value in span.values() {
        let got = asking.at(value)?;
        let outlets = users.iter().zip(got.gets);
        let outlets = outlets.map(|((outlet, _), gets)| VaryOutlet {
            outlet: outlet.name.clone(),
            gets,
        });
        points.push(VaryPoint {
            value,
            converged: got.converged,
            outlets: outlets.collect(),
        });
        reached.push((value, got.reaches));
    }
    let mut limits = Vec::new();
    for (number, user) in users.iter().enumerate() {
        if user.1.counts() {
            limits.push(asking.limit(number, user, &reached)?);
        }
    }
    let (bands, band) = asking.varying.banded();
    Ok(Vary {
        faults: faults.iter().map(|f| net.circuit().say(f)).collect(),
        state: state.0.map(str::to_owned),
        depth: Depth::Flow,
        varied: span.varied.word(net),
        unit: span.varied.unit().to_owned(),
        assumed: asking.varying.assumed(),
        points,
        limits,
        bands,
        band,
    })
}

/// A value, and what reaches each outlet at it.
type Reached = (f64, Vec<Gets>);

struct Asking<'a> {
    varying: Varying<'a>,
    span: &'a VarySpan,
}

impl Asking<'_> {
    fn at(&mut self, value: f64) -> Result<Got, FlowsError> {
        self.varying.at(&[(&self.span.varied, value)])
    }

    /// Where the need of an outlet that should have oil stops or begins to be met.
    fn limit(
        &mut self,
        number: usize,
        (outlet, need): &(&NetOutlet, Need),
        points: &[Reached],
    ) -> Result<VaryLimit, FlowsError> {
        let surely = |gets: &Gets| need.met(gets) == Some(true);
        let changes = self.changes(number, &surely, points)?;
        // Between two values at which all is sure it may yet not be, unless every figure is one.
        let one = |range: Range| range.least == range.most;
        let sure = points.iter().all(|(_, reach)| {
            let gets = &reach[number];
            gets.pressure_pa.is_none_or(one) && gets.flow_m3_per_s.is_none_or(one)
        });
        let fails = match sure {
            true => changes.clone(),
            false => self.changes(number, &|gets| need.met(gets) == Some(false), points)?,
        };
        let first = points.first().map(|(_, reach)| &reach[number]);
        Ok(VaryLimit {
            outlet: outlet.name.clone(),
            needs_pa: need.pa,
            needs_m3_per_s: need.m3_per_s,
            met_at_first: first.is_some_and(surely),
            fails_at_first: first.is_some_and(|gets| need.met(gets) == Some(false)),
            changes,
            fails,
        })
    }

    /// Where something that is said of what an outlet gets stops or begins to hold.
    fn changes(
        &mut self,
        number: usize,
        holds: &dyn Fn(&Gets) -> bool,
        points: &[Reached],
    ) -> Result<Vec<Range>, FlowsError> {
        let close = self.span.part(CLOSE);
        let mut changes = Vec::new();
        for pair in points.windows(2) {
            let [(near, before), (far, after)] = [&pair[0], &pair[1]];
            let was = holds(&before[number]);
            if was == holds(&after[number]) {
                continue;
            }
            let (mut near, mut far) = (*near, *far);
            while (far - near).abs() > close {
                let middle = (near + far) / 2.0;
                match holds(&self.at(middle)?.reaches[number]) == was {
                    true => near = middle,
                    false => far = middle,
                }
            }
            changes.push(Range {
                least: near.min(far),
                most: near.max(far),
            });
        }
        Ok(changes)
    }
}
