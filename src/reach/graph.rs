//! A scene as a directed graph in which ways are nodes like cavities, with one root of all oil.

use std::collections::{HashMap, HashSet};

use petgraph::Direction;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::{Dfs, Reversed};

use crate::circuit::{Kind, PartName};
use crate::net::{Cavity, SUMP_CAVITY, Scene, Strength, WayId};

/// One node of a [`Graph`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Point {
    /// The root: oil in the sump.
    Supply,
    /// A cavity that oil is drawn through, without pressure.
    Drawn(Cavity),
    /// A way that oil is drawn through.
    DrawnWay(WayId),
    /// A source, by its number.
    Source(usize),
    /// A cavity under pressure.
    Cavity(Cavity),
    /// A way that oil under pressure takes.
    Way(WayId),
}

/// Where pressure can go in a scene. Cavities and ways are nodes alike, so that both can be what
/// every path needs.
#[derive(Clone, Debug)]
pub struct Graph {
    inner: DiGraph<Point, ()>,
    index: HashMap<Point, NodeIndex>,
    root: NodeIndex,
}

impl Graph {
    /// The graph of a scene, only what supply reaches.
    #[must_use]
    pub fn new(scene: &Scene<'_>) -> Self {
        let mut inner = DiGraph::new();
        let root = inner.add_node(Point::Supply);
        let mut graph = Graph {
            inner,
            index: HashMap::from([(Point::Supply, root)]),
            root,
        };
        graph.draw(scene);
        let mut queue: Vec<Cavity> = Vec::new();
        for (i, source) in scene.net().sources().iter().enumerate() {
            if !scene.rails().contains(&source.feeds) {
                continue;
            }
            let from = match source.draws {
                SUMP_CAVITY => Point::Supply,
                cavity => Point::Drawn(cavity),
            };
            if graph.index.contains_key(&from) {
                graph.join(from, Point::Source(i));
                if graph.join(Point::Source(i), Point::Cavity(source.feeds)) {
                    queue.push(source.feeds);
                }
            }
        }
        while let Some(cavity) = queue.pop() {
            for link in scene.links(cavity) {
                if link.feeds && link.to != SUMP_CAVITY {
                    graph.join(Point::Cavity(cavity), Point::Way(link.way));
                    if graph.join(Point::Way(link.way), Point::Cavity(link.to)) {
                        queue.push(link.to);
                    }
                }
            }
        }
        graph
    }

    /// The suction side: what oil is drawn through from the sump.
    fn draw(&mut self, scene: &Scene<'_>) {
        if scene.net().sources().iter().all(|s| s.draws == SUMP_CAVITY) {
            return;
        }
        let mut queue = vec![(SUMP_CAVITY, Point::Supply)];
        while let Some((cavity, point)) = queue.pop() {
            for link in scene.links(cavity) {
                let wet = link.feeds && link.strength > Strength::Leak;
                if wet && link.to != SUMP_CAVITY && scene.net().draws_through(link.to) {
                    self.join(point, Point::DrawnWay(link.way));
                    let to = Point::Drawn(link.to);
                    if self.join(Point::DrawnWay(link.way), to) {
                        queue.push((link.to, to));
                    }
                }
            }
        }
    }

    /// Adds an edge; true if its end is new.
    fn join(&mut self, from: Point, to: Point) -> bool {
        let new = !self.index.contains_key(&to);
        let ends = [from, to].map(|point| {
            *self
                .index
                .entry(point)
                .or_insert_with(|| self.inner.add_node(point))
        });
        self.inner.update_edge(ends[0], ends[1], ());
        new
    }

    /// The part of this graph from which a cavity can be reached.
    #[must_use]
    pub fn leading_to(&self, to: Cavity) -> Self {
        let mut leads = HashSet::new();
        if let Some(target) = self.node(Point::Cavity(to)) {
            let mut search = Dfs::new(Reversed(&self.inner), target);
            while let Some(node) = search.next(Reversed(&self.inner)) {
                leads.insert(node);
            }
        }
        self.keeping(|node| leads.contains(&node), |_, _| true)
    }

    /// The graph with only some nodes and edges; the root always stays.
    pub(super) fn keeping(
        &self,
        node: impl Fn(NodeIndex) -> bool,
        edge: impl Fn(NodeIndex, NodeIndex) -> bool,
    ) -> Self {
        let inner = self.inner.filter_map(
            |n, point| (n == self.root || node(n)).then_some(*point),
            |e, ()| {
                let (from, to) = self.inner.edge_endpoints(e)?;
                edge(from, to).then_some(())
            },
        );
        let index: HashMap<Point, NodeIndex> =
            inner.node_indices().map(|n| (inner[n], n)).collect();
        Graph {
            root: index[&Point::Supply],
            inner,
            index,
        }
    }

    /// The petgraph graph inside.
    #[must_use]
    pub fn inner(&self) -> &DiGraph<Point, ()> {
        &self.inner
    }

    /// The node all oil comes from.
    #[must_use]
    pub fn root(&self) -> NodeIndex {
        self.root
    }

    /// The node of a point, if supply reaches it.
    #[must_use]
    pub fn node(&self, point: Point) -> Option<NodeIndex> {
        self.index.get(&point).copied()
    }

    /// What a node stands for.
    #[must_use]
    pub fn point(&self, node: NodeIndex) -> Point {
        self.inner[node]
    }

    /// The points one edge further, in the direction oil goes or against it.
    pub(super) fn next(
        &self,
        point: Point,
        direction: Direction,
    ) -> impl Iterator<Item = Point> + '_ {
        self.node(point)
            .into_iter()
            .flat_map(move |n| self.inner.neighbors_directed(n, direction))
            .map(|n| self.inner[n])
    }
}

impl Point {
    /// The part a point belongs to; the root belongs to none.
    #[must_use]
    pub fn part(self, scene: &Scene<'_>) -> Option<PartName> {
        let net = scene.net();
        match self {
            Point::Supply => None,
            Point::Drawn(cavity) | Point::Cavity(cavity) => {
                Some(PartName::new(Kind::Passage, net.name(cavity)))
            }
            Point::DrawnWay(way) | Point::Way(way) => Some(net.part(scene.way(way)).clone()),
            Point::Source(source) => Some(net.sources()[source].name.clone()),
        }
    }
}
