//! What lies before and beyond a part: what its oil has passed, and what hangs on it.

use petgraph::Direction;
use serde::Serialize;

use super::{Answer, Depth, states};
use crate::circuit::{Kind, PartName};
use crate::net::{Net, Scene, User};
use crate::reach::{Domination, Graph, Point};
use crate::settle::hold;

/// Which side of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// Between the supply and the part.
    Before,
    /// Where the part's oil can go on to.
    Beyond,
}

/// What lies on one side of a part, state by state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Around {
    /// The part asked about.
    pub part: PartName,
    /// The side.
    pub side: Side,
    /// How deep the answer looks.
    pub depth: Depth,
    /// One entry for all states that agree, in the order of the first of each.
    pub states: Vec<AroundState>,
}

/// What lies on one side of a part in some states.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AroundState {
    /// The states; empty for a circuit that declares none.
    pub states: Vec<String>,
    /// Whether supply reaches the part at all.
    pub supplied: bool,
    /// Parts that oil passes: from the source on for before, from the part on for beyond.
    pub parts: Vec<PartName>,
    /// Outlets among what lies there, those fed and those passed.
    pub outlets: Vec<PartName>,
}

impl Answer for Around {
    const NAME: &'static str = "around";
    const VERSION: u32 = 1;

    fn wrong(&self) -> bool {
        false
    }
}

/// Asks what lies before or beyond a part, in one state or in all.
///
/// Only paths that pass nothing twice count, as oil goes; valves stand where the sound circuit
/// has them. A plate stands for the ways under and through it.
#[must_use]
pub fn around(net: &Net<'_>, part: &PartName, side: Side, state: Option<&str>) -> Around {
    let mut answer = Around {
        part: part.clone(),
        side,
        depth: Depth::Reach,
        states: Vec::new(),
    };
    for (id, state) in states(net.circuit(), state) {
        let scene = Scene::new(net, &hold(net, state), &[]);
        let graph = Domination::new(&scene).onward();
        let points: Vec<Point> = points(net, part)
            .into_iter()
            .filter(|p| graph.node(*p).is_some())
            .collect();
        let entry = look(&scene, &graph, &points, side);
        let known = answer.states.iter_mut().find(|known| {
            (known.supplied, &known.parts, &known.outlets)
                == (entry.supplied, &entry.parts, &entry.outlets)
        });
        let name = id.map(str::to_owned);
        match known {
            Some(known) => known.states.extend(name),
            None => answer.states.push(AroundState {
                states: name.into_iter().collect(),
                ..entry
            }),
        }
    }
    answer
}

fn look(scene: &Scene<'_>, graph: &Graph, points: &[Point], side: Side) -> AroundState {
    let net = scene.net();
    let direction = match side {
        Side::Before => Direction::Incoming,
        Side::Beyond => Direction::Outgoing,
    };
    let mut parts = graph.parts_from(scene, points, direction);
    let fed = |cavity| {
        let name = net.name(cavity);
        parts
            .iter()
            .any(|p| p.kind == Kind::Passage && p.id == name)
            || points.contains(&Point::Cavity(cavity))
    };
    let outlets = net
        .outlets()
        .iter()
        .filter(|outlet| match outlet.user {
            User::Leaf(at) => side == Side::Beyond && fed(at),
            User::TwoSided { apply, release } => {
                side == Side::Beyond && (fed(apply) || fed(release))
            }
            User::Through { .. } => parts.contains(&outlet.name),
        })
        .map(|outlet| outlet.name.clone())
        .collect();
    if side == Side::Before {
        let from_source = graph.parts_from(scene, &[Point::Supply], Direction::Outgoing);
        parts = (from_source.into_iter())
            .filter(|part| parts.contains(part))
            .collect();
    }
    AroundState {
        states: Vec::new(),
        supplied: !points.is_empty(),
        parts,
        outlets,
    }
}

/// Where a part stands in a graph: its cavity, its ways, or itself as a source.
fn points(net: &Net<'_>, part: &PartName) -> Vec<Point> {
    match part.kind {
        Kind::Passage => {
            let cavity = net.cavity(&part.id);
            let both = |c| [Point::Cavity(c), Point::Drawn(c)];
            cavity.into_iter().flat_map(both).collect()
        }
        Kind::Source => {
            let at = net.sources().iter().position(|s| s.name == *part);
            at.map(Point::Source).into_iter().collect()
        }
        Kind::Outlet | Kind::Tap | Kind::Switch | Kind::Accumulator => {
            super::trace::cavity_of(net, part)
                .map(Point::Cavity)
                .into_iter()
                .collect()
        }
        _ => net
            .owned_by(part)
            .into_iter()
            .flat_map(|way| [Point::Way(way), Point::DrawnWay(way)])
            .collect(),
    }
}
