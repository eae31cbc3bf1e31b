//! Pressures at which a network balances, by Newton's method.

use super::balance::{Balance, Point};
use super::flows::Flows;
use super::network::{Network, Node};
use super::trapped::trapped;

/// A node balances when it is out by less, in m³/s.
const BALANCED: f64 = 1e-12;

/// And when its pressure moves by less in a step, in Pa.
const STILL: f64 = 1e-6;

/// Steps before giving up.
const STEPS: usize = 100;

/// Where regulators stick, their bands are first made this share of their set pressures, then less
/// and less.
const SOFTNESS: [f64; 7] = [1.0, 0.5, 0.25, 0.12, 0.06, 0.03, 0.0];

impl Network {
    /// Pressures and flows.
    #[must_use]
    pub fn solve(&self) -> Flows {
        solve(self, None)
    }

    /// The same, begun from a pressure for each node, in Pa: those of a like network save steps.
    #[must_use]
    pub fn solve_from(&self, start: impl Fn(Node) -> f64) -> Flows {
        let start = (0..self.nodes.len()).map(|node| start(Node(node)));
        solve(self, Some(start.collect()))
    }
}

/// Pressures and flows, begun from some pressures or else from a linear network.
fn solve(network: &Network, start: Option<Vec<f64>>) -> Flows {
    let mut balance = Balance::new(network);
    let start = start.unwrap_or_else(|| balance.start());
    let mut found = attempt(&mut balance, start);
    if !found.converged && !balance.convex {
        found.point.pressures = balance.start();
        for softness in SOFTNESS {
            balance.softness = softness;
            let steps = found.steps;
            found = attempt(&mut balance, found.point.pressures);
            found.steps += steps;
        }
    }
    found.flows(network)
}

/// Where an attempt ended.
struct Found {
    point: Point,
    steps: usize,
    converged: bool,
}

fn attempt(balance: &mut Balance, start: Vec<f64>) -> Found {
    let mut found = Found {
        point: balance.begin(start),
        steps: 0,
        converged: false,
    };
    while !found.converged && found.steps < STEPS {
        let step = balance.step(&found.point);
        // What was exact but for rounding no step betters by more than this one.
        let still = worst(&step) < STILL || balanced(balance, &found.point, 0.0);
        found.point = if balance.convex {
            down_the_content(balance, &found.point, &step)
        } else {
            to_less_excess(balance, &found.point, &step)
        };
        found.steps += 1;
        found.converged = still && balanced(balance, &found.point, BALANCED);
    }
    found
}

/// Whether no more than this is out of balance, in m³/s, or no more than rounding.
fn balanced(balance: &Balance, point: &Point, within: f64) -> bool {
    worst(&point.excess) < within || balance.rounded(point)
}

/// All of a step, unless the content has long begun to rise there; then the part at which it is near
/// its least. Its slope along the step is what is out of balance, times the step.
fn down_the_content(balance: &Balance, from: &Point, step: &[f64]) -> Point {
    /// Near enough to level, of the slope the step begins with.
    const LEVEL: f64 = 0.1;
    let rises = |point: &Point| -> f64 {
        let pairs = point.excess.iter().zip(step);
        -pairs.map(|(excess, d)| excess * d).sum::<f64>()
    };
    let level = -LEVEL * rises(from);
    let mut point = balance.at(from.moved(step, 1.0));
    if rises(&point) <= level || worst(&point.excess) < BALANCED {
        return point;
    }
    let (mut low, mut high) = (0.0, 1.0);
    // The slope only rises along the step, so halving finds where it is level.
    for _ in 0..60 {
        let part = (low + high) / 2.0;
        point = balance.at(from.moved(step, part));
        let slope = rises(&point);
        if slope.abs() <= level {
            break;
        } else if slope > 0.0 {
            high = part;
        } else {
            low = part;
        }
    }
    point
}

/// All of a step, or a part of it at which less is out of balance, summed over all nodes by size. That
/// sum suits oil: what leaves one node comes into another, so a regulator moved adds to it at both ends
/// alike. Squares would let the largest flow rule.
fn to_less_excess(balance: &Balance, from: &Point, step: &[f64]) -> Point {
    /// Of the fall a step promises, what it must bring.
    const BRINGS: f64 = 0.3;
    let size = |point: &Point| point.excess.iter().map(|excess| excess.abs()).sum::<f64>();
    let before = size(from);
    let mut part = 1.0;
    loop {
        let point = balance.at(from.moved(step, part));
        let falls = size(&point) <= (1.0 - BRINGS * part) * before;
        if falls || worst(&point.excess) < BALANCED || part < 1e-9 {
            return point;
        }
        // Where the parabola is lowest that begins as the step does and passes here; a quarter where
        // what is found here is no number.
        let lowest = before * part * part / (2.0 * (size(&point) - (1.0 - part) * before));
        part = lowest.max(part / 4.0).min(part / 2.0);
    }
}

impl Found {
    fn flows(self, network: &Network) -> Flows {
        let Point {
            pressures,
            rates,
            excess,
        } = self.point;
        let mut supplies = vec![0.0; network.nodes.len()];
        for (way, rate) in network.ways.iter().zip(&rates) {
            supplies[way.from] += rate.flow;
            supplies[way.to] -= rate.flow;
        }
        let stands = network.ways.iter().map(|way| way.stand(&pressures));
        let stands = stands.collect();
        // What lets oil by at all lets more by the more its feed has.
        let trapped = trapped(network, |way| rates[way].by_from > 0.0);
        let mut pressures: Vec<Option<f64>> = pressures.into_iter().map(Some).collect();
        for node in trapped.iter().flat_map(|group| &group.nodes) {
            pressures[node.0] = None;
        }
        Flows {
            pressures,
            flows: rates.iter().map(|rate| rate.flow).collect(),
            supplies,
            stands,
            trapped,
            imbalance: worst(&excess),
            steps: self.steps,
            converged: self.converged,
        }
    }
}

/// The largest, by size; what is no number is worse than any.
fn worst(values: &[f64]) -> f64 {
    let sizes = values
        .iter()
        .map(|v| if v.is_nan() { f64::INFINITY } else { v.abs() });
    sizes.fold(0.0, f64::max)
}
