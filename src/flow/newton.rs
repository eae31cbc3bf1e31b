//! Pressures at which a network balances, by Newton's method.

use petgraph::unionfind::UnionFind;

use super::factor::Factor;
use super::law::Between;
use super::network::{Flows, Kind, Network, Node, Passing, Through, Trapped};

/// A node balances when it is out by less, in m³/s.
const BALANCED: f64 = 1e-12;

/// And when its pressure moves by less in a step, in Pa.
const STILL: f64 = 1e-4;

/// Steps before giving up.
const STEPS: usize = 200;

/// A step is reckoned as if every way let through this much at least, in m³/s per Pa, so that one
/// through a ball that seats perfectly has an end. Balance does not reckon with it.
const LEAST: f64 = 1e-20;

pub(super) fn solve(network: &Network, start: Option<Vec<f64>>) -> Flows {
    let mut solver = Solver::new(network);
    let mut start = start.unwrap_or_else(|| solver.start());
    for (pressure, known) in start.iter_mut().zip(&solver.known) {
        *pressure = known.unwrap_or(*pressure);
    }
    solver.run(start)
}

struct Solver<'n> {
    network: &'n Network,
    /// By node: its pressure, where it is not sought.
    known: Vec<Option<f64>>,
    /// Whether it is the gradient of a content.
    convex: bool,
    matrix: Factor,
    /// Regulators have a band of this share of their set pressure at least.
    softness: f64,
}

/// Pressures, what passes at them, and what comes into each node and does not leave it.
struct Point {
    pressures: Vec<f64>,
    rates: Vec<Between>,
    excess: Vec<f64>,
}

impl<'n> Solver<'n> {
    fn new(network: &'n Network) -> Solver<'n> {
        let mut known: Vec<Option<f64>> = network.nodes.iter().map(Kind::pressure).collect();
        // Differences within a trapped group are as if one of it had any pressure.
        for group in groups(network, |_| true) {
            known[group.nodes[0].0] = Some(0.0);
        }
        let sought = |node: usize| known[node].is_none();
        let mut pairs = Vec::new();
        let mut convex = true;
        for way in &network.ways {
            joins(way, &sought, |a, b| pairs.push((a as u32, b as u32)));
            convex &= has_content(way, &sought);
        }
        Solver {
            matrix: Factor::new(network.nodes.len(), &pairs, convex),
            network,
            known,
            convex,
            softness: 0.0,
        }
    }

    fn run(&mut self, start: Vec<f64>) -> Flows {
        let mut point = self.at(start);
        let (mut steps, mut still) = (0, false);
        while !(still && worst(&point.excess) < BALANCED) && steps < STEPS {
            let step = self.step(&point);
            // No step betters what was exact but for rounding by more than this one.
            still = worst(&step) < STILL || self.rounded(&point);
            point = self.search(&point, &step);
            steps += 1;
        }
        let converged = still && worst(&point.excess) < BALANCED;
        self.flows(point, steps, converged)
    }

    /// What passes at some pressures.
    fn at(&self, pressures: Vec<f64>) -> Point {
        let ways = self.network.ways.iter();
        let rates = ways.map(|way| way.rate(&pressures, self.softness));
        self.point(rates.collect(), pressures)
    }

    fn point(&self, rates: Vec<Between>, pressures: Vec<f64>) -> Point {
        let mut excess: Vec<f64> = self.network.nodes.iter().map(Kind::inflow).collect();
        for (way, rate) in self.network.ways.iter().zip(&rates) {
            excess[way.from] -= rate.flow;
            excess[way.to] += rate.flow;
        }
        for (excess, known) in excess.iter_mut().zip(&self.known) {
            if known.is_some() {
                *excess = 0.0;
            }
        }
        Point {
            pressures,
            rates,
            excess,
        }
    }

    /// The pressures of a linear network.
    fn start(&mut self) -> Vec<f64> {
        let known: Vec<f64> = self.known.iter().map(|p| p.unwrap_or(0.0)).collect();
        let ways = self.network.ways.iter();
        let rates = ways.map(|way| way.linear(known[way.from] - known[way.to]));
        let point = self.point(rates.collect(), known);
        let step = self.step(&point);
        moved(&point.pressures, &step, 1.0)
    }

    /// The step to where the network would balance if it were linear, as it is here.
    fn step(&mut self, point: &Point) -> Vec<f64> {
        self.lay(point);
        self.matrix.factor();
        self.matrix.solve(&point.excess)
    }

    /// Lays how the balance of each node changes with each pressure.
    fn lay(&mut self, point: &Point) {
        let Factor {
            diagonal,
            forth,
            back,
            ..
        } = &mut self.matrix;
        for (diagonal, known) in diagonal.iter_mut().zip(&self.known) {
            *diagonal = if known.is_some() { 1.0 } else { 0.0 };
        }
        let sought = |node: usize| self.known[node].is_none();
        let mut pair = 0;
        // In the order of `joins`.
        let mut lay = |value: f64, mirrored: f64| {
            forth[pair] = value;
            if let Some(back) = back {
                back[pair] = mirrored;
            }
            pair += 1;
        };
        for (way, rate) in self.network.ways.iter().zip(&point.rates) {
            let &Passing { from, to, .. } = way;
            if from == to {
                continue;
            }
            let (by_from, by_to) = (rate.by_from.max(LEAST), rate.by_to.min(-LEAST));
            if sought(from) {
                diagonal[from] += by_from;
            }
            if sought(to) {
                diagonal[to] -= by_to;
            }
            if sought(from) && sought(to) {
                lay(by_to, -by_from);
            }
            for (node, boost) in way.boosts() {
                if !sought(*node) {
                    continue;
                }
                let slope = rate.by_boost * boost.curve(point.pressures[*node]).1;
                for (end, slope) in [(from, slope), (to, -slope)] {
                    if end == *node {
                        diagonal[end] += slope;
                    } else if sought(end) {
                        lay(slope, 0.0);
                    }
                }
            }
        }
    }

    /// How much of a step to take: all of it, unless the content has long begun to rise there; then
    /// the part at which it is near its least.
    fn search(&self, from: &Point, step: &[f64]) -> Point {
        /// Near enough to level, of the slope the step begins with.
        const LEVEL: f64 = 0.1;
        let dot = |excess: &[f64]| -> f64 { excess.iter().zip(step).map(|(o, d)| o * d).sum() };
        let falls = dot(&from.excess);
        let at = |part: f64| self.at(moved(&from.pressures, step, part));
        let whole = at(1.0);
        if -dot(&whole.excess) <= LEVEL * falls || worst(&whole.excess) < BALANCED {
            return whole;
        }
        let (mut low, mut high, mut best) = (0.0, 1.0, whole);
        // The slope only rises along the step, so halving finds where it is level.
        for _ in 0..60 {
            let part = (low + high) / 2.0;
            best = at(part);
            let slope = -dot(&best.excess);
            if slope.abs() <= LEVEL * falls {
                break;
            } else if slope > 0.0 {
                high = part;
            } else {
                low = part;
            }
        }
        best
    }

    /// Whether all that is out of balance is rounding.
    fn rounded(&self, point: &Point) -> bool {
        let mut rounding = vec![0.0; point.excess.len()];
        for (way, rate) in self.network.ways.iter().zip(&point.rates) {
            let ends = [way.from, way.to].map(|node| point.pressures[node].abs());
            let unsure = rate.flow.abs() + rate.by_from * ends[0] - rate.by_to * ends[1];
            rounding[way.from] += f64::EPSILON * unsure;
            rounding[way.to] += f64::EPSILON * unsure;
        }
        let mut pairs = point.excess.iter().zip(&rounding);
        pairs.all(|(excess, rounding)| excess.abs() <= *rounding)
    }

    fn flows(&self, point: Point, steps: usize, converged: bool) -> Flows {
        let ways = &self.network.ways;
        let mut supplies = vec![0.0; self.network.nodes.len()];
        for (way, rate) in ways.iter().zip(&point.rates) {
            supplies[way.from] += rate.flow;
            supplies[way.to] -= rate.flow;
        }
        let passes = |way: usize| {
            let rate = &point.rates[way];
            rate.by_from > 0.0 || rate.by_to < 0.0
        };
        let trapped = groups(self.network, passes);
        let stands = ways.iter().map(|way| way.stand(&point.pressures));
        let stands = stands.collect();
        let mut pressures: Vec<Option<f64>> = point.pressures.into_iter().map(Some).collect();
        for node in trapped.iter().flat_map(|group| &group.nodes) {
            pressures[node.0] = None;
        }
        Flows {
            pressures,
            flows: point.rates.iter().map(|rate| rate.flow).collect(),
            supplies,
            stands,
            trapped,
            imbalance: worst(&point.excess),
            steps,
            converged,
        }
    }
}

impl Kind {
    fn pressure(&self) -> Option<f64> {
        match self {
            Kind::Fixed(pressure) => Some(*pressure),
            Kind::Free(_) => None,
        }
    }

    fn inflow(&self) -> f64 {
        match self {
            Kind::Fixed(_) => 0.0,
            Kind::Free(inflow) => *inflow,
        }
    }
}

/// The pairs of sought nodes a way joins, in the order they are laid.
fn joins(way: &Passing, sought: &impl Fn(usize) -> bool, mut join: impl FnMut(usize, usize)) {
    let ends = [way.from, way.to];
    if way.from == way.to {
        return;
    }
    if ends.into_iter().all(sought) {
        join(way.from, way.to);
    }
    for (node, _) in way.boosts() {
        for end in ends {
            if end != *node && sought(end) && sought(*node) {
                join(end, *node);
            }
        }
    }
}

/// Whether a way is the gradient of a convex content: by its law, or since only one of the pressures
/// it depends on is sought.
fn has_content(way: &Passing, sought: &impl Fn(usize) -> bool) -> bool {
    let boosted = way.boosts().iter().any(|(node, _)| sought(*node));
    matches!(way.through, Through::Law(_)) || !boosted && !(sought(way.from) && sought(way.to))
}

/// The groups of nodes that ways that pass something join with no fixed pressure.
fn groups(network: &Network, passes: impl Fn(usize) -> bool) -> Vec<Trapped> {
    let nodes = &network.nodes;
    let mut joined = UnionFind::<usize>::new(nodes.len());
    for (i, way) in network.ways.iter().enumerate() {
        if passes(i) {
            joined.union(way.from, way.to);
        }
    }
    let roots = joined.into_labeling();
    let mut set = vec![false; nodes.len()];
    for (root, kind) in roots.iter().zip(nodes) {
        set[*root] |= kind.pressure().is_some();
    }
    let mut groups: Vec<Trapped> = Vec::new();
    let mut place = vec![None; nodes.len()];
    for (node, root) in roots.into_iter().enumerate() {
        if !set[root] {
            let at = *place[root].get_or_insert_with(|| {
                groups.push(Trapped {
                    nodes: Vec::new(),
                    inflow: 0.0,
                });
                groups.len() - 1
            });
            groups[at].nodes.push(Node(node));
            groups[at].inflow += nodes[node].inflow();
        }
    }
    groups
}

fn moved(pressures: &[f64], step: &[f64], part: f64) -> Vec<f64> {
    let pairs = pressures.iter().zip(step);
    pairs.map(|(p, d)| p + part * d).collect()
}

/// The largest, by size; what is no number is worse than any.
fn worst(values: &[f64]) -> f64 {
    let sizes = values
        .iter()
        .map(|v| if v.is_nan() { f64::INFINITY } else { v.abs() });
    sizes.fold(0.0, f64::max)
}
