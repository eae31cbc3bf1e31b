//! Paths of oil from a source to a cavity.

use std::collections::{HashMap, HashSet};
use std::hash::RandomState;

use petgraph::graph::{DiGraph, NodeIndex};

use super::search::Search;
use crate::net::{Cavity, Link, Passes, SUMP_CAVITY, Scene, Strength, WayId};
use crate::units::Length;

/// A walk of oil: where it starts, then each way with the cavity it leads to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Path {
    /// The cavity it starts at: one that a source feeds, unless it is a way out.
    pub start: Cavity,
    /// Each way crossed and the cavity behind it.
    pub steps: Vec<(WayId, Cavity)>,
}

/// A path with the fewest ways, or none where no source reaches.
#[must_use]
pub fn shortest(scene: &Scene<'_>, to: Cavity) -> Option<Path> {
    way_in(scene, to, |_| true)
}

/// A path from a source to a cavity by links that `may` be taken, with the fewest ways, or none.
#[must_use]
pub fn way_in(scene: &Scene<'_>, to: Cavity, may: impl Fn(&Link) -> bool) -> Option<Path> {
    let arrived = |at: Cavity| at == to && at != SUMP_CAVITY;
    Search::of(scene, scene.rails(), arrived, may).path()
}

/// A path by which a cavity runs off to where no pressure is kept, by links that `may` be taken,
/// with the fewest ways, or none. It starts at the cavity.
#[must_use]
pub fn way_out(scene: &Scene<'_>, from: Cavity, may: impl Fn(&Link) -> bool) -> Option<Path> {
    search_out(scene, from, may).path()
}

/// The search for such a path.
pub(crate) fn search_out(scene: &Scene<'_>, from: Cavity, may: impl Fn(&Link) -> bool) -> Search {
    let arrived = |at: Cavity| scene.vents().contains(&at);
    Search::of(scene, &[from], arrived, |link| link.drains() && may(link))
}

/// The path that a search has in another scene with the same vents, in which all that had its turn
/// before is alike; none where it does not end at whatever has this turn.
pub(crate) fn way_out_at(
    search: &Search,
    turn: usize,
    scene: &Scene<'_>,
    may: impl Fn(&Link) -> bool,
) -> Option<Path> {
    let arrived = |at: Cavity| scene.vents().contains(&at);
    search.path_at(turn, scene, arrived, |link| link.drains() && may(link))
}

/// A path whose narrowest place is as wide as can be: no leak if it can be avoided, no metering
/// hole if it can be avoided, and among metered ones the largest smallest bore. Of those the one
/// with the fewest ways.
///
/// A way of unknown bore counts as wide as its kind allows.
#[must_use]
pub fn least_restricted(scene: &Scene<'_>, to: Cavity) -> Option<Path> {
    widest(scene, |gauge| {
        way_in(scene, to, |link| gauge.passes(scene, link))
    })
}

/// How wide a way must be to be taken.
#[derive(Clone, Copy, Debug)]
pub struct Gauge {
    /// The narrowest kind it may be.
    pub least: Strength,
    /// The smallest bore a way of just that kind may have, m.
    bore: f64,
}

impl Gauge {
    /// Whether a link is wide enough. A way of unknown bore is, if its kind is.
    #[must_use]
    pub fn passes(&self, scene: &Scene<'_>, link: &Link) -> bool {
        let narrow = |bore: Length| link.strength == self.least && bore.m() < self.bore;
        link.strength >= self.least && !scene.way(link.way).bore.is_some_and(narrow)
    }
}

/// Of the paths that `find` finds by links wide enough, one whose narrowest place is widest.
#[must_use]
pub fn widest(scene: &Scene<'_>, find: impl Fn(Gauge) -> Option<Path>) -> Option<Path> {
    let mut bores: Vec<f64> = (0..scene.way_count() as u32)
        .filter_map(|i| scene.way(WayId(i)).bore)
        .map(|b| b.m())
        .chain([0.0])
        .collect();
    bores.sort_by(f64::total_cmp);
    bores.dedup();
    let strengths = [Strength::Open, Strength::Metered, Strength::Leak];
    strengths.into_iter().find_map(|least| {
        let with = |bore: f64| find(Gauge { least, bore });
        // Wider demands only ever lose paths, so the widest that still has one is found by
        // halving.
        let passable = bores.partition_point(|bore| with(*bore).is_some());
        with(*bores.get(passable.checked_sub(1)?)?)
    })
}

/// Paths that pass no cavity and no way twice, `most` at most, and whether there are more. Where
/// there are, these are the first found, not the shortest; they come fewest ways first.
#[must_use]
pub fn all_paths(scene: &Scene<'_>, to: Cavity, most: usize) -> (Vec<Path>, bool) {
    let (graph, nodes) = split(scene, to);
    let [Some(root), Some(target)] = [Point::Supply, Point::Cavity(to)].map(|p| nodes.get(&p))
    else {
        return (Vec::new(), false);
    };
    let simple =
        petgraph::algo::all_simple_paths::<Vec<_>, _, RandomState>(&graph, *root, *target, 0, None);
    let mut paths: Vec<Path> = simple
        .take(most + 1)
        .filter_map(|nodes| {
            let mut cavities = nodes.iter().filter_map(|n| match graph[*n] {
                Point::Cavity(cavity) => Some(cavity),
                _ => None,
            });
            let ways = nodes.iter().filter_map(|n| match graph[*n] {
                Point::Way(way) => Some(way),
                _ => None,
            });
            let start = cavities.next()?;
            Some(Path {
                start,
                steps: ways.zip(cavities).collect(),
            })
        })
        .collect();
    let more = paths.len() > most;
    paths.truncate(most);
    let sprung = |path: &Path| {
        let ways = path.steps.iter().map(|(way, _)| *way);
        ways.filter(|way| is_sprung(scene, *way)).count()
    };
    paths.sort_by_cached_key(|path| (path.steps.len(), sprung(path), path.clone()));
    (paths, more)
}

/// A node of the graph that paths are listed on: ways are nodes too, so that two ways between the
/// same cavities make two paths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Point {
    Supply,
    Cavity(Cavity),
    Way(WayId),
}

/// What lies on the way from a source to a cavity. Cavities from which it cannot be reached are
/// left out: a listing would lose itself in them.
fn split(scene: &Scene<'_>, to: Cavity) -> (DiGraph<Point, ()>, HashMap<Point, NodeIndex>) {
    let mut leads: HashSet<Cavity> = HashSet::from([to]);
    let mut queue = vec![to];
    while let Some(cavity) = queue.pop() {
        for link in scene.inward(cavity) {
            if link.to != SUMP_CAVITY && leads.insert(link.to) {
                queue.push(link.to);
            }
        }
    }
    let mut graph = DiGraph::new();
    let mut nodes = HashMap::new();
    let mut join = |from: Point, to: Point| {
        let ends = [from, to].map(|p| *nodes.entry(p).or_insert_with(|| graph.add_node(p)));
        graph.update_edge(ends[0], ends[1], ());
    };
    for rail in scene.rails().iter().filter(|rail| leads.contains(rail)) {
        join(Point::Supply, Point::Cavity(*rail));
    }
    let mut from: Vec<Cavity> = leads.iter().copied().collect();
    from.sort_unstable();
    for cavity in from {
        for link in scene.onward(cavity) {
            if leads.contains(&link.to) {
                join(Point::Cavity(cavity), Point::Way(link.way));
                join(Point::Way(link.way), Point::Cavity(link.to));
            }
        }
    }
    (graph, nodes)
}

/// The shortest way oil takes from the sump to where a source draws, or none where it cannot
/// draw. Empty where it draws from the sump itself.
#[must_use]
pub fn suction(scene: &Scene<'_>, draws: Cavity) -> Option<Path> {
    let may = |link: &Link| scene.draws(link);
    Search::of(scene, &[SUMP_CAVITY], |at| at == draws, may).path()
}

fn is_sprung(scene: &Scene<'_>, way: WayId) -> bool {
    scene.way(way).passes == Passes::Excess && !scene.setting(way).bared()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::Level;
    use crate::net::{Held, Net, Stage};
    use crate::sheet;

    #[test]
    fn oil_goes_through_a_filter_before_it_lifts_the_bypass_ball() {
        let circuit = sheet::read(
            r#"
            [casting]
            block = { passages = ["line", "clean"] }
            [source]
            pump = { feeds = "line" }
            [ball]
            bypass = { from = "line", to = "clean", lifts-at = "2 bar" }
            [filter]
            screen = { between = ["line", "clean"], bypass = "bypass" }
            "#,
        );
        let circuit = circuit.unwrap().circuit;
        let net = Net::new(&circuit).unwrap();
        let stage = Stage::new(&net, &Default::default(), &[]);
        let scene = stage.scene(&Held::unknown(&net), Level::Low);
        let clean = net.cavity("clean").unwrap();
        let (all, _) = all_paths(&scene, clean, 5);
        assert_eq!(all.len(), 2);
        let found = [shortest(&scene, clean), least_restricted(&scene, clean)];
        for path in found.iter().flatten().chain(all.first()) {
            assert_eq!(net.part(scene.way(path.steps[0].0)).id, "screen");
        }
    }
}
