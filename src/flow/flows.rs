//! Pressures and flows of a network.

use super::Doubt;
use super::law::Stand;
use super::network::{Network, Node, Passing, Through, Way};
use super::trapped::Trapped;

/// Pressures and flows of a [`Network`], with how well they balance.
#[derive(Clone, Debug, PartialEq)]
pub struct Flows {
    /// Pressure of each node, in Pa; none where it is trapped.
    pub(super) pressures: Vec<Option<f64>>,
    /// Flow of each way, in m³/s.
    pub(super) flows: Vec<f64>,
    /// What comes in at each node from outside, in m³/s: at a fixed pressure whatever it takes.
    pub(super) supplies: Vec<f64>,
    pub(super) stands: Vec<Option<Stand>>,
    /// Groups of nodes whose pressure nothing sets, by their first node. All else is solved.
    pub trapped: Vec<Trapped>,
    /// The most that any free node is out of balance by, in m³/s.
    pub imbalance: f64,
    /// Newton steps taken.
    pub steps: usize,
    /// Whether it balances. If not, these are the best pressures found, not an answer.
    pub converged: bool,
}

impl Flows {
    /// Pressure of a node, in Pa; none where it is [trapped](Flows::trapped).
    #[must_use]
    pub fn pressure(&self, node: Node) -> Option<f64> {
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

    /// Where a ball, a relief or a regulator stands; none for a way that does not move.
    #[must_use]
    pub fn stand(&self, way: Way) -> Option<Stand> {
        self.stands[way.0]
    }
}

impl Network {
    /// Where the law of a way is outside what it was made for, at these flows.
    ///
    /// # Panics
    ///
    /// If the flows or the way are of another network.
    #[must_use]
    pub fn doubts(&self, way: Way, flows: &Flows) -> Vec<Doubt> {
        let Passing { from, to, through } = &self.ways[way.0];
        match (flows.pressures[*from], flows.pressures[*to], through) {
            (Some(from), Some(to), Through::Law(law)) => law.doubts(from - to),
            (Some(from), Some(to), Through::Regulator { regulator, .. }) => {
                regulator.doubts(from, to)
            }
            // Nothing passes where oil is trapped.
            _ => Vec::new(),
        }
    }
}
