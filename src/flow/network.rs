//! Networks of laws, and the pressures at which every cavity balances.

use super::law::{Between, Boost, Law, Regulator, Stand};

/// A place with one pressure in a [`Network`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Node(pub(super) usize);

/// A way in a [`Network`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Way(pub(super) usize);

/// Nodes, some at a fixed pressure, and ways between them, each with its [`Law`], or a [`Regulator`].
///
/// Since every law rises with its drop, the balance of all nodes is the minimum of one convex
/// function (its *content*): there is one answer. It is found by Newton's method on the pressures,
/// started from a linear network (each law's flow at 1 bar), with a search along each step for where
/// the content stops falling. That needs its slope along the step only, which is what is out of
/// balance, so flows are all a law must give.
///
/// A regulator between two cavities whose pressures are both sought, or one boosted by a third, has
/// no content. Networks with such are solved too, by the same steps with other ways of keeping them
/// short, and one that is not found is said not to have [`converged`](super::Flows::converged).
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
/// let flows = network.solve();
/// assert!(flows.converged);
/// // Two equal holes halve the pressure.
/// assert!((flows.pressure(lube).unwrap() - 4e5).abs() < 1e-3);
/// assert!(flows.flow(hop) > 0.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Default, PartialEq)]
pub struct Network {
    pub(super) nodes: Vec<Kind>,
    pub(super) ways: Vec<Passing>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Kind {
    /// At this pressure.
    Fixed(f64),
    /// With this flow coming in from outside.
    Free(f64),
}

/// A way and its ends.
#[derive(Debug, PartialEq)]
pub(super) struct Passing {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) through: Through,
}

#[derive(Debug, PartialEq)]
pub(super) enum Through {
    Law(Box<dyn Law>),
    Regulator {
        regulator: Regulator,
        boosts: Vec<(usize, Boost)>,
    },
}

/// The drop at which ways are made linear for a start, in Pa.
const USUAL_DROP: f64 = 1e5;

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

    /// Holds a node at a pressure, in Pa, from now on; or seeks its pressure, nothing coming into it
    /// from outside.
    pub fn hold(&mut self, node: Node, pressure: Option<f64>) {
        self.nodes[node.0] = match pressure {
            Some(pressure) => Kind::Fixed(pressure),
            None => Kind::Free(0.0),
        };
    }

    /// A way between two nodes.
    ///
    /// # Panics
    ///
    /// If a node is none of this network's.
    pub fn way(&mut self, from: Node, to: Node, law: impl Law + 'static) -> Way {
        self.pass(from, to, Through::Law(Box::new(law)))
    }

    /// A regulator between two nodes, its set pressure raised by the pressures of others: one
    /// [`Bleed`](super::law::Bleed) from the held node to each it spills to, or a
    /// [`Reducing`](super::law::Reducing) from the feed to the held node. A trapped node boosts
    /// nothing.
    ///
    /// ```
    /// use oilpath::flow::{Network, Oil};
    /// use oilpath::flow::law::{Bleed, Boost, Hole, Opening, Orifice, SEATED_LEAK, Stand};
    ///
    /// let hot = Oil::generic().at("90 °C".parse()?)?;
    /// let hole = |bore: &str| -> Result<Orifice, Box<dyn std::error::Error>> {
    ///     Ok(Orifice::new(Hole::drilled(bore.parse()?, "1 mm".parse()?), hot)?)
    /// };
    /// let mut network = Network::default();
    /// let (sump, reverse) = (network.fixed(0.0), network.fixed(9e5));
    /// let (line, converter) = (network.free(3e-4), network.free(0.0));
    /// network.way(converter, sump, hole("2 mm")?);
    /// let opening = Opening::new("8 bar".parse()?, "0.4 bar".parse()?)?;
    /// let edges = Bleed::in_order(opening, &[hole("4 mm")?, hole("5 mm")?], SEATED_LEAK)?;
    /// let boost = [(reverse, Boost::when_up("4 bar".parse()?, "6 bar".parse()?)?)];
    /// network.regulator(line, converter, edges[0], &boost);
    /// let to_sump = network.regulator(line, sump, edges[1], &boost);
    /// let flows = network.solve();
    /// assert!(flows.converged);
    /// assert!((12e5..12.4e5).contains(&flows.pressure(line).unwrap()));
    /// assert_eq!(flows.stand(to_sump), Some(Stand::Working));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Panics
    ///
    /// If a node is none of this network's.
    pub fn regulator(
        &mut self,
        from: Node,
        to: Node,
        regulator: impl Into<Regulator>,
        boosts: &[(Node, Boost)],
    ) -> Way {
        let known = boosts.iter().all(|(node, _)| node.0 < self.nodes.len());
        assert!(known, "a node of another network");
        let through = Through::Regulator {
            regulator: regulator.into(),
            boosts: boosts
                .iter()
                .map(|(node, boost)| (node.0, *boost))
                .collect(),
        };
        self.pass(from, to, through)
    }

    fn pass(&mut self, from: Node, to: Node, through: Through) -> Way {
        assert!(
            from.max(to).0 < self.nodes.len(),
            "a node of another network"
        );
        self.ways.push(Passing {
            from: from.0,
            to: to.0,
            through,
        });
        Way(self.ways.len() - 1)
    }

    /// Every node, in the order they were made.
    pub fn nodes(&self) -> impl Iterator<Item = Node> + use<> {
        (0..self.nodes.len()).map(Node)
    }
}

impl Passing {
    /// What passes at these pressures of all nodes.
    pub(super) fn rate(&self, pressures: &[f64], softness: f64) -> Between {
        let (from, to) = (pressures[self.from], pressures[self.to]);
        match &self.through {
            Through::Law(law) => {
                let rate = law.rate(from - to);
                Between::of_drop(rate.flow, rate.slope)
            }
            Through::Regulator { regulator, boosts } => {
                let boost = rise(boosts, pressures);
                regulator.widened(softness).between(from, to, boost)
            }
        }
    }

    /// A linear way that passes as much at a usual drop, at this drop; a regulator, wide open.
    pub(super) fn linear(&self, drop: f64) -> Between {
        let (standing, law): (f64, &dyn Law) = match &self.through {
            Through::Law(law) => (law.rate(0.0).flow, law),
            Through::Regulator { regulator, .. } => (0.0, regulator.wide_open()),
        };
        let conductance = (law.rate(USUAL_DROP).flow - standing) / USUAL_DROP;
        Between::of_drop(standing + conductance * drop, conductance)
    }

    pub(super) fn stand(&self, pressures: &[f64]) -> Option<Stand> {
        let (from, to) = (pressures[self.from], pressures[self.to]);
        match &self.through {
            Through::Law(law) => law.stand(from - to),
            Through::Regulator { regulator, boosts } => {
                Some(regulator.stand(from, to, rise(boosts, pressures)))
            }
        }
    }

    /// The nodes that boost it.
    pub(super) fn boosts(&self) -> &[(usize, Boost)] {
        match &self.through {
            Through::Law(_) => &[],
            Through::Regulator { boosts, .. } => boosts,
        }
    }
}

fn rise(boosts: &[(usize, Boost)], pressures: &[f64]) -> f64 {
    let rises = boosts.iter().map(|(node, b)| b.rise(pressures[*node]));
    rises.sum()
}
