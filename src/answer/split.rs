//! Where oil splits off the way to a part.

use std::collections::BTreeSet;

use serde::Serialize;

use super::trace::position;
use super::{Route, states};
use crate::circuit::{Fault, Level, PartName};
use crate::net::{Cavity, Net, SUMP_CAVITY, Scene, Stage, Strength};
use crate::settle::settle;

/// A way by which oil leaves a route.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Split {
    /// The cavity of the route that it leaves.
    pub from: String,
    /// The part it goes through.
    pub part: PartName,
    /// Where a valve must stand to let it pass.
    pub position: Option<String>,
    /// How much the way lets through, by kind.
    pub strength: Strength,
    /// The cavity it enters; the sump, or one further down the route, ends it.
    pub to: String,
    /// Whether it comes back to the route there.
    pub rejoins: bool,
    /// Outlets it reaches without coming back to the route and through no mere leak beyond this
    /// way, in file order.
    pub outlets: Vec<PartName>,
}

/// Asks where oil splits off a route that [`trace`](super::trace) found with these faults, in the
/// first state that takes it: cavity by cavity down the route.
#[must_use]
pub fn splits(net: &Net<'_>, route: &Route, faults: &[Fault]) -> Vec<Split> {
    let asked = states(net.circuit(), route.states.first().map(String::as_str));
    let Some((_, state)) = asked.first() else {
        return Vec::new();
    };
    let stage = Stage::new(net, state, faults);
    let scene = stage.scene(settle(&stage).held(), Level::Low);
    let hops = route.hops.iter().map(|hop| &hop.to);
    let spine: Vec<Cavity> = std::iter::once(&route.start)
        .chain(hops)
        .filter_map(|id| net.cavity(id))
        .collect();
    let mut splits: Vec<Split> = Vec::new();
    for (at, from) in spine.iter().enumerate() {
        for link in scene.onward(*from) {
            let part = net.part(scene.way(link.way));
            let on = spine.iter().position(|c| *c == link.to);
            let taken = route.hops.get(at).is_some_and(|hop| hop.part == *part);
            if on.is_some_and(|on| on < at || on == at + 1 && taken) {
                continue;
            }
            let split = Split {
                from: net.name(*from).to_owned(),
                part: part.clone(),
                position: position(&scene, link.way),
                strength: link.strength,
                to: net.name(link.to).to_owned(),
                rejoins: on.is_some(),
                outlets: match on {
                    Some(_) => Vec::new(),
                    None => beyond(&scene, link.to, &spine),
                },
            };
            if !splits.contains(&split) {
                splits.push(split);
            }
        }
    }
    splits
}

/// The outlets that oil reaches from a cavity, by more than leaks, without passing some others or
/// the sump.
fn beyond(scene: &Scene<'_>, from: Cavity, but: &[Cavity]) -> Vec<PartName> {
    let mut seen: BTreeSet<Cavity> = but.iter().copied().collect();
    seen.insert(SUMP_CAVITY);
    let mut reached = BTreeSet::new();
    let mut queue = vec![from];
    while let Some(at) = queue.pop() {
        if seen.insert(at) {
            reached.insert(at);
            let links = scene.onward(at);
            let carries = links.filter(|link| link.strength > Strength::Leak);
            queue.extend(carries.map(|link| link.to));
        }
    }
    let outlets = scene.net().outlets().iter();
    let fed = outlets.filter(|o| reached.contains(&o.user.feed()));
    fed.map(|o| o.name.clone()).collect()
}
