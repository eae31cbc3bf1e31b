//! How loose is too loose: one quantity varied, and where an outlet stops getting what it needs.

use serde::Serialize;

use super::cases::{Bench, Book, Case};
use super::ranges::{gets, measured, users};
use super::state::needs;
use super::{FlowsError, FlowsQuestion, Gets, Range, SizeUsed, oil, running};
use crate::answer::{Answer, Depth};
use crate::circuit::{Fault, Kind, PartName, State};
use crate::flow::{Oil, SizeOf};
use crate::net::{Net, NetOutlet, Stage};
use crate::settle::{Settled, settle};
use crate::units::{Quantity, Speed, Temperature, UnitError, UnitSystem};

/// What is varied.
#[derive(Clone, Debug, PartialEq)]
pub enum Varied {
    /// A size of a part.
    Size(SizeOf),
    /// The speed the pumps turn at.
    Speed,
    /// The temperature of the oil, and with it its viscosity.
    OilTemperature,
}

/// What is varied, and how.
#[derive(Clone, Debug)]
pub struct VaryQuestion<'a> {
    /// What.
    pub varied: Varied,
    /// From where to where, in its SI unit.
    pub over: [f64; 2],
    /// At how many values, both ends included; two at least.
    pub points: usize,
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
    /// Whether it has that at the first value.
    pub met_at_first: bool,
    /// Between which two values that changes, each time it does, in the SI unit of the values;
    /// none where it never does within the range.
    pub changes: Vec<Range>,
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
/// Where valves can stand in several places the least of what an outlet gets counts.
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
    let circuit = net.circuit();
    let (oil, _) = oil(circuit, question.flows)?;
    let stage = Stage::new(net, state.1, faults);
    let mut asking = Asking {
        net,
        faults,
        state: state.1,
        settled: settle(&stage),
        stage,
        oil,
        question,
        book: Book::default(),
    };
    let [first, last] = question.over;
    let steps = question.points.max(2) - 1;
    let value = |i: usize| first + (last - first) * i as f64 / steps as f64;
    let mut points = Vec::new();
    for i in 0..=steps {
        points.push(asking.point(value(i))?);
    }
    asking.book.settle(question.flows)?;
    let mut limits = Vec::new();
    for (number, outlet) in users(net).enumerate() {
        if let Some(limit) = asking.limit(number, outlet, &points)? {
            limits.push(limit);
        }
    }
    let stand_ins = asking.book.stand_ins.iter();
    Ok(Vary {
        faults: faults.iter().map(|f| circuit.say(f)).collect(),
        state: state.0.map(str::to_owned),
        depth: Depth::Flow,
        varied: question.varied.word(net),
        unit: question.varied.unit().to_owned(),
        assumed: stand_ins.map(|(of, si)| SizeUsed::of(of, *si)).collect(),
        points,
        limits,
    })
}

impl Varied {
    /// As a reader would type it.
    #[must_use]
    pub fn word(&self, net: &Net<'_>) -> String {
        match self {
            Varied::Size((part, measure)) => format!("{}.{measure}", net.circuit().short(part)),
            Varied::Speed => "speed".to_owned(),
            Varied::OilTemperature => "oil-temperature".to_owned(),
        }
    }

    /// Reads a value of it; in its SI unit.
    ///
    /// # Errors
    ///
    /// As for every size with its unit.
    pub fn read(&self, text: &str) -> Result<f64, UnitError> {
        match self {
            Varied::Size((_, measure)) => measure.read(text),
            Varied::Speed => text.parse::<Speed>().map(Speed::si),
            Varied::OilTemperature => text.parse::<Temperature>().map(Temperature::si),
        }
    }

    /// A value of it for the eye, from its SI unit.
    #[must_use]
    pub fn show(&self, si: f64, units: UnitSystem) -> String {
        match self {
            Varied::Size((_, measure)) => measure.show(si, units),
            Varied::Speed => Speed::from_si(si).show(units),
            Varied::OilTemperature => Temperature::from_si(si).show(units),
        }
    }

    fn unit(&self) -> &'static str {
        match self {
            Varied::Size((_, measure)) => measure.unit(),
            Varied::Speed => Speed::SPEC.si_unit(),
            Varied::OilTemperature => Temperature::SPEC.si_unit(),
        }
    }
}

struct Asking<'a> {
    net: &'a Net<'a>,
    faults: &'a [Fault],
    state: &'a State,
    stage: Stage<'a>,
    settled: Settled,
    oil: Oil,
    question: &'a VaryQuestion<'a>,
    book: Book,
}

impl<'a> Asking<'a> {
    fn cases(&mut self, value: f64) -> Result<Vec<Case<'a>>, FlowsError> {
        let mut question = self.question.flows.clone();
        match &self.question.varied {
            Varied::Size(of) => question.sizes = question.sizes.with(of.clone(), value),
            Varied::Speed => question.speed = Some(Speed::from_si(value)),
            Varied::OilTemperature => {
                question.oil_temperature = Some(Temperature::from_si(value));
            }
        }
        let running = running(self.state, &self.oil, &question)?;
        let bench = Bench {
            running: &running,
            sizes: &question.sizes,
            faults: self.faults,
        };
        let cases = bench.cases(&self.stage, &self.settled, &mut self.book);
        self.book.settle(&question)?;
        Ok(cases)
    }

    fn point(&mut self, value: f64) -> Result<VaryPoint, FlowsError> {
        let cases = self.cases(value)?;
        let outlets = users(self.net).map(|outlet| VaryOutlet {
            outlet: outlet.name.clone(),
            gets: gets(measured(&cases), outlet),
        });
        Ok(VaryPoint {
            value,
            converged: measured(&cases).all(|m| m.converged),
            outlets: outlets.collect(),
        })
    }

    /// Where the need of an outlet that should have oil stops or begins to be met.
    fn limit(
        &mut self,
        number: usize,
        outlet: &NetOutlet,
        points: &[VaryPoint],
    ) -> Result<Option<VaryLimit>, FlowsError> {
        let circuit = self.net.circuit();
        let mut applies = self.state.applies.iter();
        let applied = applies.any(|text| {
            let found = circuit.find(text, &[Kind::Outlet]);
            found.is_ok_and(|name| name == outlet.name)
        });
        let (needs_pa, needs_m3_per_s) = needs(self.net, outlet);
        let need = match outlet.by_pressure {
            true => needs_pa.filter(|_| applied),
            false => needs_m3_per_s,
        };
        let Some(need) = need else { return Ok(None) };
        let met = |gets: &Gets| {
            let range = match outlet.by_pressure {
                true => gets.pressure_pa,
                false => gets.flow_m3_per_s,
            };
            range.is_some_and(|range| range.least >= need)
        };
        let close = CLOSE * (self.question.over[1] - self.question.over[0]).abs();
        let mut changes = Vec::new();
        for pair in points.windows(2) {
            let [before, after] = [&pair[0], &pair[1]];
            let was = met(&before.outlets[number].gets);
            if was == met(&after.outlets[number].gets) {
                continue;
            }
            let (mut near, mut far) = (before.value, after.value);
            while (far - near).abs() > close {
                let middle = (near + far) / 2.0;
                let cases = self.cases(middle)?;
                match met(&gets(measured(&cases), outlet)) == was {
                    true => near = middle,
                    false => far = middle,
                }
            }
            changes.push(Range {
                least: near.min(far),
                most: near.max(far),
            });
        }
        Ok(Some(VaryLimit {
            outlet: outlet.name.clone(),
            needs_pa: needs_pa.filter(|_| outlet.by_pressure),
            needs_m3_per_s,
            met_at_first: points.first().is_some_and(|p| met(&p.outlets[number].gets)),
            changes,
        }))
    }
}
