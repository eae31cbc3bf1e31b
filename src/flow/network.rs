//! Networks of laws, and the pressures at which every cavity balances.

use super::law::Law;
use super::ldl::Ldl;

/// A place with one pressure in a [`Network`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Node(usize);

/// A way in a [`Network`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Way(usize);

/// Nodes, some at a fixed pressure, and ways between them, each with its [`Law`].
///
/// Since every law rises with its drop, the balance of all nodes is the minimum of one convex
/// function (its *content*): there is one answer. It is found by Newton's method on the pressures,
/// started from a linear network (each law's flow at 1 bar), with a search along each step for where
/// the content stops falling. That needs its slope along the step only, which is what is out of
/// balance, so flows are all a law must give.
///
/// A regulator that spills to the sump ([`Bleed`](super::law::Bleed)) is such a law. One that reduces
/// ([`Reducing`](super::law::Reducing)) or spills elsewhere depends on more than a drop and has no
/// place in it yet.
///
/// ```
/// use oilpath::flow::{Network, Oil, law::{Hole, Orifice}};
///
/// let hot = Oil::generic().at("90 °C".parse()?)?;
/// let hole = Orifice::new(Hole::drilled("1.2 mm".parse()?, "1.5 mm".parse()?), hot)?;
/// let mut network = Network::default();
/// let (line, lube, sump) = (network.fixed(8e5), network.free(0.0), network.fixed(0.0));
/// let hop = network.way(line, lube, hole);
/// network.way(lube, sump, hole);
/// let flows = network.solve()?;
/// assert!(flows.converged);
/// // Two equal holes halve the pressure.
/// assert!((flows.pressure(lube) - 4e5).abs() < 1e-3);
/// assert!(flows.flow(hop) > 0.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Default)]
pub struct Network {
    nodes: Vec<Kind>,
    ways: Vec<(usize, usize, Box<dyn Law>)>,
}

#[derive(Clone, Copy, Debug)]
enum Kind {
    /// At this pressure.
    Fixed(f64),
    /// With this flow coming in from outside.
    Free(f64),
}

/// Pressures and flows of a [`Network`], with how well they balance.
#[derive(Clone, Debug, PartialEq)]
pub struct Flows {
    /// Pressure of each node, in Pa.
    pressures: Vec<f64>,
    /// Flow of each way, in m³/s.
    flows: Vec<f64>,
    /// What comes in at each node from outside, in m³/s: at a fixed pressure whatever it takes.
    supplies: Vec<f64>,
    /// The most that any free node is out of balance by, in m³/s.
    pub imbalance: f64,
    /// Newton steps taken.
    pub steps: usize,
    /// Whether it balances. If not, these are the best pressures found, not an answer.
    pub converged: bool,
}

impl Flows {
    /// Pressure of a node, in Pa.
    #[must_use]
    pub fn pressure(&self, node: Node) -> f64 {
        self.pressures[node.0]
    }

    /// Flow of a way, in m³/s.
    #[must_use]
    pub fn flow(&self, way: Way) -> f64 {
        self.flows[way.0]
    }

    /// What comes in at a node from outside, in m³/s; below zero, what leaves.
    #[must_use]
    pub fn supply(&self, node: Node) -> f64 {
        self.supplies[node.0]
    }
}

/// A network without an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NetworkError {
    /// No way that lets anything through joins the node to a fixed pressure: its pressure could be
    /// any.
    #[error("nothing sets the pressure of a cavity: it is trapped")]
    Trapped(Node),
}

/// A node balances when it is out by less, in m³/s.
const BALANCED: f64 = 1e-12;

/// And when its pressure moves by less in a step, in Pa.
const STILL: f64 = 1e-6;

/// The drop at which laws are made linear for the start, in Pa.
const USUAL_DROP: f64 = 1e5;

/// Steps before giving up.
const STEPS: usize = 100;

impl Network {
    /// A node at a pressure, in Pa.
    pub fn fixed(&mut self, pressure: f64) -> Node {
        self.nodes.push(Kind::Fixed(pressure));
        Node(self.nodes.len() - 1)
    }

    /// A node whose pressure is sought. `inflow` comes into it from outside, in m³/s: a pump of
    /// constant flow, or below zero a fixed demand.
    pub fn free(&mut self, inflow: f64) -> Node {
        self.nodes.push(Kind::Free(inflow));
        Node(self.nodes.len() - 1)
    }

    /// A way between two nodes.
    ///
    /// # Panics
    ///
    /// If a node is none of this network's.
    pub fn way(&mut self, from: Node, to: Node, law: impl Law + 'static) -> Way {
        assert!(
            from.max(to).0 < self.nodes.len(),
            "a node of another network"
        );
        self.ways.push((from.0, to.0, Box::new(law)));
        Way(self.ways.len() - 1)
    }

    /// Pressures and flows.
    ///
    /// # Errors
    ///
    /// [`NetworkError::Trapped`] where nothing sets a node's pressure.
    pub fn solve(&self) -> Result<Flows, NetworkError> {
        let free = |node: usize| matches!(self.nodes[node], Kind::Free(_));
        let free_pairs = self.ways.iter().map(|(a, b, _)| (*a, *b));
        let pairs = free_pairs.filter(|&(a, b)| free(a) && free(b));
        // Fixed nodes are rows of their own, so that nodes keep their numbers.
        let mut matrix = Ldl::new(self.nodes.len(), pairs);
        let mut pressures = self.start(&mut matrix)?;
        let mut out = self.excess(&pressures);
        let (mut steps, mut still) = (0, false);
        while !(still && worst(&out) < BALANCED) && steps < STEPS {
            let slopes = self
                .ways
                .iter()
                .map(|(from, to, law)| law.rate(pressures[*from] - pressures[*to]).slope);
            self.lay(&mut matrix, slopes)?;
            let step = matrix.solve(&out);
            let taken = self.search(&pressures, &out, &step);
            for (p, d) in pressures.iter_mut().zip(&step) {
                *p += taken * d;
            }
            still = worst(&step) < STILL;
            out = self.excess(&pressures);
            steps += 1;
        }
        let imbalance = worst(&out);
        Ok(Flows {
            converged: still && imbalance < BALANCED,
            flows: self.flows(&pressures).collect(),
            supplies: self.supplies(&pressures),
            pressures,
            imbalance,
            steps,
        })
    }

    /// The pressures of the linear network.
    fn start(&self, matrix: &mut Ldl) -> Result<Vec<f64>, NetworkError> {
        let zero = self.ways.iter().map(|(.., law)| law.rate(0.0).flow);
        let usual = self.ways.iter().map(|(.., law)| law.rate(USUAL_DROP).flow);
        let conductances: Vec<f64> = usual.zip(zero).map(|(u, z)| (u - z) / USUAL_DROP).collect();
        self.lay(matrix, conductances.iter().copied())?;
        let mut pressures = self.at_rest();
        let mut right = vec![0.0; self.nodes.len()];
        for (node, kind) in self.nodes.iter().enumerate() {
            if let Kind::Free(inflow) = kind {
                right[node] = *inflow;
            }
        }
        for ((from, to, law), g) in self.ways.iter().zip(&conductances) {
            let flow = law.rate(0.0).flow + g * (pressures[*from] - pressures[*to]);
            right[*from] -= flow;
            right[*to] += flow;
        }
        self.keep_free(&mut right);
        for (p, rise) in pressures.iter_mut().zip(matrix.solve(&right)) {
            *p += rise;
        }
        Ok(pressures)
    }

    fn at_rest(&self) -> Vec<f64> {
        let pressure = |kind: &Kind| match kind {
            Kind::Fixed(pressure) => *pressure,
            Kind::Free(_) => 0.0,
        };
        self.nodes.iter().map(pressure).collect()
    }

    /// Lays a conductance for each way and factors.
    fn lay(
        &self,
        matrix: &mut Ldl,
        conductances: impl Iterator<Item = f64>,
    ) -> Result<(), NetworkError> {
        matrix.clear();
        for (node, kind) in self.nodes.iter().enumerate() {
            if let Kind::Fixed(_) = kind {
                matrix.ground(node, 1.0);
            }
        }
        for ((from, to, _), g) in self.ways.iter().zip(conductances) {
            match (self.nodes[*from], self.nodes[*to]) {
                (Kind::Free(_), Kind::Free(_)) => matrix.join(*from, *to, g),
                (Kind::Free(_), Kind::Fixed(_)) => matrix.ground(*from, g),
                (Kind::Fixed(_), Kind::Free(_)) => matrix.ground(*to, g),
                (Kind::Fixed(_), Kind::Fixed(_)) => {}
            }
        }
        matrix
            .factor()
            .map_err(|node| NetworkError::Trapped(Node(node)))
    }

    fn flows(&self, pressures: &[f64]) -> impl Iterator<Item = f64> {
        let ways = self.ways.iter();
        ways.map(|(from, to, law)| law.rate(pressures[*from] - pressures[*to]).flow)
    }

    /// What leaves each node through its ways, less what comes in through them.
    fn supplies(&self, pressures: &[f64]) -> Vec<f64> {
        let mut supplies = vec![0.0; self.nodes.len()];
        for ((from, to, _), flow) in self.ways.iter().zip(self.flows(pressures)) {
            supplies[*from] += flow;
            supplies[*to] -= flow;
        }
        supplies
    }

    /// What comes into each free node and does not leave it.
    fn excess(&self, pressures: &[f64]) -> Vec<f64> {
        let mut out = self.supplies(pressures);
        for (out, kind) in out.iter_mut().zip(&self.nodes) {
            *out = match kind {
                Kind::Free(inflow) => inflow - *out,
                Kind::Fixed(_) => 0.0,
            };
        }
        out
    }

    fn keep_free(&self, values: &mut [f64]) {
        for (value, kind) in values.iter_mut().zip(&self.nodes) {
            if let Kind::Fixed(_) = kind {
                *value = 0.0;
            }
        }
    }

    /// How much of a step to take: all of it, unless the content has long begun to rise there; then
    /// the part at which it is near its least.
    fn search(&self, pressures: &[f64], out: &[f64], step: &[f64]) -> f64 {
        /// Near enough to level, of the slope the step begins with.
        const LEVEL: f64 = 0.1;
        let dot = |out: &[f64]| -> f64 { out.iter().zip(step).map(|(o, d)| o * d).sum() };
        let falls = dot(out);
        let at = |part: f64| {
            let moved = pressures.iter().zip(step).map(|(p, d)| p + part * d);
            let out = self.excess(&moved.collect::<Vec<_>>());
            (-dot(&out), worst(&out))
        };
        let (rises, off) = at(1.0);
        if rises <= LEVEL * falls || off < BALANCED {
            return 1.0;
        }
        let (mut low, mut high) = (0.0, 1.0);
        // The slope only rises along the step, so halving finds where it is level.
        for _ in 0..40 {
            let part = (low + high) / 2.0;
            let (slope, _) = at(part);
            if slope.abs() <= LEVEL * falls {
                return part;
            } else if slope > 0.0 {
                high = part;
            } else {
                low = part;
            }
        }
        low
    }
}

/// The largest, by size; what is no number is worse than any.
fn worst(values: &[f64]) -> f64 {
    let sizes = values
        .iter()
        .map(|v| if v.is_nan() { f64::INFINITY } else { v.abs() });
    sizes.fold(0.0, f64::max)
}
