//! Cavities whose pressure nothing sets.

use petgraph::unionfind::UnionFind;

use super::law::Law;
use super::network::{Kind, Network, Node, Through};

/// A drop at which whatever lets oil by at all does, in Pa.
const PROBE: f64 = 1e8;

/// Nodes joined with each other and with no fixed pressure, or only through balls that seat
/// perfectly: their pressure is whatever it was before.
#[derive(Clone, Debug, PartialEq)]
pub struct Trapped {
    /// Its nodes, rising.
    pub nodes: Vec<Node>,
    /// What comes into them from outside and cannot leave, in m³/s. Above zero it is a pump of
    /// constant flow into a dead end: the pressure rises until something gives.
    pub inflow: f64,
}

impl Network {
    /// Whether no way yet made that lets anything by at any pressure joins a node to a fixed
    /// pressure.
    #[must_use]
    pub fn is_cut_off(&self, node: Node) -> bool {
        let lets_by = |way: usize| match &self.ways[way].through {
            Through::Law(law) => [-PROBE, PROBE]
                .iter()
                .any(|drop| law.rate(*drop).slope > 0.0),
            Through::Regulator { .. } => true,
        };
        let groups = trapped(self, lets_by);
        groups.iter().any(|group| group.nodes.contains(&node))
    }
}

/// The groups that no way that passes anything joins with a fixed pressure, by their first node.
pub(super) fn trapped(network: &Network, passes: impl Fn(usize) -> bool) -> Vec<Trapped> {
    let nodes = &network.nodes;
    let mut joined = UnionFind::<usize>::new(nodes.len());
    for (i, way) in network.ways.iter().enumerate() {
        if passes(i) {
            joined.union(way.from, way.to);
        }
    }
    let groups = joined.into_labeling();
    let mut set = vec![false; nodes.len()];
    for (group, kind) in groups.iter().zip(nodes) {
        set[*group] |= matches!(kind, Kind::Fixed(_));
    }
    let mut trapped: Vec<Trapped> = Vec::new();
    let mut places = vec![None; nodes.len()];
    for (node, group) in groups.into_iter().enumerate().filter(|(_, g)| !set[*g]) {
        let place = *places[group].get_or_insert(trapped.len());
        if place == trapped.len() {
            trapped.push(Trapped {
                nodes: Vec::new(),
                inflow: 0.0,
            });
        }
        trapped[place].nodes.push(Node(node));
        trapped[place].inflow += nodes[node].inflow();
    }
    trapped
}
