//! What is out of balance at some pressures, and the step to where it would not be.

use super::law::Between;
use super::network::{Kind, Network, Passing, Through};
use super::sparse::Factor;
use super::trapped::trapped;

/// A step is reckoned as if every way let through this much at least, in m³/s per Pa, so that one
/// through a ball that seats perfectly has an end. Balance does not reckon with it.
const LEAST: f64 = 1e-20;

/// The balance of a network.
pub(super) struct Balance<'n> {
    network: &'n Network,
    /// By node: its pressure, where it is not sought.
    known: Vec<Option<f64>>,
    /// Whether it is the gradient of a convex content.
    pub(super) convex: bool,
    /// Regulators have a band of this share of their set pressure at least.
    pub(super) softness: f64,
    matrix: Factor,
}

/// Pressures, what passes at them, and what comes into each node and does not leave it.
pub(super) struct Point {
    pub(super) pressures: Vec<f64>,
    pub(super) rates: Vec<Between>,
    pub(super) excess: Vec<f64>,
}

impl<'n> Balance<'n> {
    pub(super) fn new(network: &'n Network) -> Balance<'n> {
        let pressure = |kind: &Kind| match kind {
            Kind::Fixed(pressure) => Some(*pressure),
            Kind::Free(_) => None,
        };
        let mut known: Vec<Option<f64>> = network.nodes.iter().map(pressure).collect();
        // Differences within a trapped group are as if one of it had any pressure.
        for group in trapped(network, |_| true) {
            known[group.nodes[0].0] = Some(0.0);
        }
        let sought = |node: usize| known[node].is_none();
        let mut pairs = Vec::new();
        let mut convex = true;
        for way in &network.ways {
            joins(way, &sought, |a, b| pairs.push((a as u32, b as u32)));
            convex &= has_content(way, &sought);
        }
        Balance {
            matrix: Factor::new(network.nodes.len(), &pairs, convex),
            network,
            known,
            convex,
            softness: 0.0,
        }
    }

    /// Pressures to start from, those that are known put right.
    pub(super) fn begin(&self, mut pressures: Vec<f64>) -> Point {
        for (pressure, known) in pressures.iter_mut().zip(&self.known) {
            *pressure = known.unwrap_or(*pressure);
        }
        self.at(pressures)
    }

    /// What passes at some pressures.
    pub(super) fn at(&self, pressures: Vec<f64>) -> Point {
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
    pub(super) fn start(&mut self) -> Vec<f64> {
        let known: Vec<f64> = self.known.iter().map(|p| p.unwrap_or(0.0)).collect();
        let ways = self.network.ways.iter();
        let rates = ways.map(|way| way.linear(known[way.from] - known[way.to]));
        let point = self.point(rates.collect(), known);
        let step = self.step(&point);
        point.moved(&step, 1.0)
    }

    /// The step to where the network would balance if it were linear, as it is here.
    pub(super) fn step(&mut self, point: &Point) -> Vec<f64> {
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

    /// Whether all that is out of balance is rounding.
    pub(super) fn rounded(&self, point: &Point) -> bool {
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
}

impl Point {
    /// The pressures part of a step on.
    pub(super) fn moved(&self, step: &[f64], part: f64) -> Vec<f64> {
        let pairs = self.pressures.iter().zip(step);
        pairs.map(|(p, d)| p + part * d).collect()
    }
}

impl Kind {
    /// What comes into it from outside, where that is given.
    pub(super) fn inflow(&self) -> f64 {
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
    let both = sought(way.from) && sought(way.to);
    matches!(way.through, Through::Law(_)) || !(boosted || both)
}
