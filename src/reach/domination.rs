//! What every path needs, and what lies before and beyond a part.

use std::collections::{BTreeMap, HashSet, VecDeque};

use petgraph::Direction;
use petgraph::algo::dominators::{self, Dominators};
use petgraph::graph::NodeIndex;

use super::{Graph, Point, shortest};
use crate::circuit::PartName;
use crate::net::{Cavity, Scene, WayId};

/// A scene's graph with, for each node, what every path from the supply to it passes.
///
/// Dominators by Cooper, Harvey and Kennedy, *A Simple, Fast Dominance Algorithm* (2001), as
/// petgraph has it.
#[derive(Clone, Debug)]
pub struct Domination {
    graph: Graph,
    tree: Dominators<NodeIndex>,
}

impl Domination {
    /// Works it out for a scene.
    #[must_use]
    pub fn new(scene: &Scene<'_>) -> Self {
        let graph = Graph::new(scene);
        let tree = dominators::simple_fast(graph.inner(), graph.root());
        Domination { graph, tree }
    }

    /// What every path to a point passes, in the order oil passes it, the point last. Empty for
    /// a point no supply reaches.
    #[must_use]
    pub fn chain(&self, point: Point) -> Vec<Point> {
        let node = self.graph.node(point);
        let chain = node.and_then(|n| self.tree.dominators(n));
        let mut chain: Vec<Point> = chain
            .into_iter()
            .flatten()
            .map(|n| self.graph.point(n))
            .collect();
        chain.pop(); // the root
        chain.reverse();
        chain
    }

    /// The graph without the edges that lead back to what an oil path must already have passed:
    /// no path that passes nothing twice can take them.
    #[must_use]
    pub fn onward(&self) -> Graph {
        // A node dominates another if its span in the tree holds the other's.
        let mut children: BTreeMap<NodeIndex, Vec<NodeIndex>> = BTreeMap::new();
        for node in self.graph.inner().node_indices() {
            if let Some(above) = self.tree.immediate_dominator(node) {
                children.entry(above).or_default().push(node);
            }
        }
        let mut span = vec![(0u32, 0u32); self.graph.inner().node_count()];
        let mut clock = 0;
        let mut stack = vec![(self.graph.root(), false)];
        while let Some((node, done)) = stack.pop() {
            clock += 1;
            if done {
                span[node.index()].1 = clock;
                continue;
            }
            span[node.index()].0 = clock;
            stack.push((node, true));
            for child in children.get(&node).into_iter().flatten() {
                stack.push((*child, false));
            }
        }
        let dominates = |a: NodeIndex, b: NodeIndex| {
            let (a, b) = (span[a.index()], span[b.index()]);
            a.0 <= b.0 && b.1 <= a.1
        };
        self.graph
            .keeping(|_| true, |from, to| !dominates(to, from))
    }
}

/// The parts an outlet's cavity cannot do without in this scene, in the order oil meets them:
/// its own passage last. A part with several ways (a valve, a plate, a shuttle) counts when the
/// loss of all of them together cuts the cavity off. Empty where no supply reaches it.
///
/// Only the ways of a plate count here; what it roofs and separates is for
/// [`balance`](crate::settle::balance) to weigh.
#[must_use]
pub fn needed(scene: &Scene<'_>, domination: &Domination, to: Cavity) -> Vec<PartName> {
    let chain = domination.chain(Point::Cavity(to));
    let Some(path) = shortest(scene, to) else {
        return Vec::new();
    };
    // Places along the oil's way: the chain's own, then those of the parts with several ways.
    let mut placed: Vec<(usize, PartName)> = chain
        .iter()
        .enumerate()
        .filter_map(|(i, point)| Some((2 * i, point.part(scene)?)))
        .collect();
    let single: HashSet<PartName> = placed.iter().map(|(_, part)| part.clone()).collect();
    for (part, ways) in groups(scene) {
        if single.contains(&part) || !path.steps.iter().any(|(way, _)| ways.contains(way)) {
            continue;
        }
        if !survives(scene, &ways, to) {
            // It stands after the last link of the chain that oil has passed before it.
            let mut after = chain
                .iter()
                .position(|p| *p == Point::Cavity(path.start))
                .unwrap_or(0);
            for (way, cavity) in &path.steps {
                if ways.contains(way) {
                    break;
                }
                let at = |p| chain.iter().position(|c| *c == p);
                after = at(Point::Cavity(*cavity)).unwrap_or(after);
            }
            placed.push((2 * after + 1, part));
        }
    }
    placed.sort();
    placed.into_iter().map(|(_, part)| part).collect()
}

/// Parts that own several open ways, with those ways.
fn groups(scene: &Scene<'_>) -> Vec<(PartName, HashSet<WayId>)> {
    let net = scene.net();
    let mut groups: BTreeMap<PartName, HashSet<WayId>> = BTreeMap::new();
    for (part, _) in net.circuit().parts() {
        let on = net.owned_by(&part);
        let open: HashSet<WayId> = on
            .into_iter()
            .filter(|way| scene.setting(*way).strength.is_some())
            .collect();
        // A plate that owns one way is as much needed as that way.
        if open.len() > 1 || (net.ways_of(&part).next().is_none() && !open.is_empty()) {
            groups.insert(part, open);
        }
    }
    groups.into_iter().collect()
}

/// Whether supply still reaches a cavity without some ways.
fn survives(scene: &Scene<'_>, without: &HashSet<WayId>, to: Cavity) -> bool {
    let mut seen: HashSet<Cavity> = scene.rails().iter().copied().collect();
    let mut queue: VecDeque<Cavity> = scene.rails().iter().copied().collect();
    while let Some(cavity) = queue.pop_front() {
        if cavity == to {
            return true;
        }
        for link in scene.links(cavity) {
            let onward = link.feeds && link.to != crate::net::SUMP_CAVITY;
            if onward && !without.contains(&link.way) && seen.insert(link.to) {
                queue.push_back(link.to);
            }
        }
    }
    false
}

impl Graph {
    /// Every part that oil meets on its way to (`Incoming`) or from (`Outgoing`) some points,
    /// nearest first, the points' own parts left out.
    #[must_use]
    pub fn parts_from(
        &self,
        scene: &Scene<'_>,
        points: &[Point],
        direction: Direction,
    ) -> Vec<PartName> {
        let own: HashSet<PartName> = points.iter().filter_map(|p| p.part(scene)).collect();
        let mut seen: HashSet<Point> = points.iter().copied().collect();
        let mut queue: VecDeque<Point> = points.iter().copied().collect();
        let mut met: Vec<PartName> = Vec::new();
        let mut known: HashSet<PartName> = own;
        while let Some(point) = queue.pop_front() {
            let mut next: Vec<Point> = self.next(point, direction).collect();
            next.sort_unstable();
            for to in next {
                if seen.insert(to) {
                    queue.push_back(to);
                    if let Some(part) = to.part(scene)
                        && known.insert(part.clone())
                    {
                        met.push(part);
                    }
                }
            }
        }
        met
    }
}
