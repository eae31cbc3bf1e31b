//! Two quantities varied at once: on which side of which line an outlet has what it needs.

mod boundary;

use std::collections::BTreeMap;

use serde::Serialize;

use self::boundary::{Edge, edges, lines, segments};
use super::need::Need;
use super::varying::Varying;
use super::{BandBy, FlowsBands, FlowsError, FlowsQuestion, SizeUsed, VarySpan};
use crate::answer::{Answer, Depth};
use crate::circuit::{Fault, PartName, State};
use crate::net::{Net, NetOutlet};

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

/// Points of a grid at which the same outlets fall short.
#[derive(Clone, Debug, PartialEq)]
pub struct GridRegion {
    /// What it goes by on a map: `·` where nothing falls short, `?` where nothing is sure, else a
    /// letter; `+` for all that come after Z.
    pub sign: char,
    /// Outlets that do not have what they need, by their number in [`Grid::outlets`].
    pub short: Vec<usize>,
    /// Outlets of which that cannot be said.
    pub undecided: Vec<usize>,
    /// How many points there are.
    pub points: usize,
}

impl Grid {
    /// The regions of the grid, one where nothing falls short first, then the largest first; and for
    /// each row the number of the region that each of its points is in.
    #[must_use]
    pub fn regions(&self) -> (Vec<GridRegion>, Vec<Vec<usize>>) {
        let mut regions: Vec<GridRegion> = Vec::new();
        let mut at = vec![vec![0; self.along.values.len()]; self.up.values.len()];
        for (row, numbers) in at.iter_mut().enumerate() {
            for (column, number) in numbers.iter_mut().enumerate() {
                let with = |met| {
                    let outlets = self.outlets.iter().enumerate();
                    let with = outlets.filter(|(_, o)| o.met[row][column] == met);
                    with.map(|(number, _)| number).collect::<Vec<_>>()
                };
                let (short, undecided) = (with(Some(false)), with(None));
                let mut known = regions.iter();
                let known = known.position(|r| r.short == short && r.undecided == undecided);
                *number = known.unwrap_or_else(|| {
                    regions.push(GridRegion {
                        sign: '+',
                        short,
                        undecided,
                        points: 0,
                    });
                    regions.len() - 1
                });
                regions[*number].points += 1;
            }
        }
        let mut order: Vec<usize> = (0..regions.len()).collect();
        let lacks = |r: &GridRegion| !(r.short.is_empty() && r.undecided.is_empty());
        order.sort_by_key(|i| {
            (
                lacks(&regions[*i]),
                std::cmp::Reverse(regions[*i].points),
                *i,
            )
        });
        let mut place = vec![0; order.len()];
        for (now, was) in order.iter().enumerate() {
            place[*was] = now;
        }
        for number in at.iter_mut().flatten() {
            *number = place[*number];
        }
        let mut letters = 'A'..='Z';
        let regions = order.iter().map(|i| {
            let mut region = regions[*i].clone();
            region.sign = match (region.short.is_empty(), region.undecided.is_empty()) {
                (true, true) => '·',
                (true, false) => '?',
                _ => letters.next().unwrap_or('+'),
            };
            region
        });
        (regions.collect(), at)
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

/// Whether the need of each outlet is met at a point.
type Met = Vec<Option<bool>>;

struct Asking<'a> {
    varying: Varying<'a>,
    question: &'a GridQuestion<'a>,
    /// Outlets that count, with their number among those that use oil under pressure.
    counted: Vec<(usize, &'a NetOutlet, Need)>,
    unsolved: usize,
}

impl Asking<'_> {
    fn at(&mut self, point: GridPoint) -> Result<Met, FlowsError> {
        let GridQuestion { along, up, .. } = self.question;
        let values = [(&along.varied, point.along), (&up.varied, point.up)];
        let got = self.varying.at(&values)?;
        if !got.converged {
            self.unsolved += 1;
            return Ok(vec![None; self.counted.len()]);
        }
        let counted = self.counted.iter();
        let met = counted.map(|(number, _, need)| need.met(&got.gets[*number]));
        Ok(met.collect())
    }

    /// Every point of the grid, row by row, to and fro: the last measured is a neighbour.
    fn met(&mut self, [along, up]: &[Vec<f64>; 2]) -> Result<Vec<Vec<Met>>, FlowsError> {
        let mut rows = Vec::new();
        for (number, up) in up.iter().enumerate() {
            let mut row = vec![Met::new(); along.len()];
            let back = number % 2 == 1;
            for i in 0..along.len() {
                let column = if back { along.len() - 1 - i } else { i };
                let along = along[column];
                row[column] = self.at(GridPoint { along, up: *up })?;
            }
            rows.push(row);
        }
        Ok(rows)
    }

    /// The boundary of each outlet.
    fn boundaries(
        &mut self,
        values: &[Vec<f64>; 2],
        met: &[Vec<Met>],
    ) -> Result<Vec<Vec<Vec<GridPoint>>>, FlowsError> {
        let size = [values[0].len(), values[1].len()];
        let point = |[column, row]: [usize; 2]| GridPoint {
            along: values[0][column],
            up: values[1][row],
        };
        let outlets = self.counted.len();
        let mut crossings: Vec<BTreeMap<Edge, GridPoint>> = vec![BTreeMap::new(); outlets];
        for edge in edges(size) {
            let ends = edge.ends();
            let [one, other] = ends.map(|[column, row]| &met[row][column]);
            let changes = |n: &usize| sure(one[*n]) != sure(other[*n]);
            let changing: Vec<usize> = (0..outlets).filter(changes).collect();
            self.halve(ends.map(point), one, &changing, &mut |number, at| {
                crossings[number].insert(edge, at);
            })?;
        }
        let mut boundaries = Vec::new();
        for (number, crossings) in crossings.iter().enumerate() {
            let inside = |[column, row]: [usize; 2]| sure(met[row][column][number]);
            let mut parts = Vec::new();
            for row in 0..size[1] - 1 {
                for column in 0..size[0] - 1 {
                    let corners = [[column, row], [column + 1, row + 1]];
                    let centre = middle(corners.map(point));
                    let decides = || self.at(centre).map(|met| sure(met[number]));
                    parts.extend(segments([column, row], &inside, decides)?);
                }
            }
            let line = |edges: Vec<Edge>| edges.iter().map(|edge| crossings[edge]).collect();
            boundaries.push(lines(&parts).into_iter().map(line).collect());
        }
        Ok(boundaries)
    }

    /// Halves what lies between two points until it is known closely enough where the needs of these
    /// outlets begin or stop to be met.
    fn halve(
        &mut self,
        ends: [GridPoint; 2],
        met: &Met,
        changing: &[usize],
        found: &mut dyn FnMut(usize, GridPoint),
    ) -> Result<(), FlowsError> {
        let half = middle(ends);
        if changing.is_empty() {
            return Ok(());
        }
        let GridQuestion { along, up, .. } = self.question;
        if (ends[1].along - ends[0].along).abs() <= along.part(CLOSE)
            && (ends[1].up - ends[0].up).abs() <= up.part(CLOSE)
        {
            for number in changing {
                found(*number, half);
            }
            return Ok(());
        }
        let then = self.at(half)?;
        let changed = |n: &&usize| sure(met[**n]) != sure(then[**n]);
        let (before, after): (Vec<usize>, Vec<usize>) = changing.iter().partition(|n| changed(n));
        self.halve([ends[0], half], met, &before, found)?;
        self.halve([half, ends[1]], &then, &after, found)
    }
}

fn sure(met: Option<bool>) -> bool {
    met == Some(true)
}

fn middle([one, other]: [GridPoint; 2]) -> GridPoint {
    GridPoint {
        along: (one.along + other.along) / 2.0,
        up: (one.up + other.up) / 2.0,
    }
}
