//! Where pressure can get at all: connection only, no strengths weighed.
//!
//! Works on one [`Scene`]. Uncertain ways count as open. Here a removal never adds supply.

mod domination;
mod graph;
mod path;

use fixedbitset::FixedBitSet;

use crate::net::{Cavity, SUMP_CAVITY, Scene};

pub use domination::{Domination, needed};
pub use graph::{Graph, Point};
pub use path::{Path, all_paths, least_restricted, shortest, suction};

/// Cavities that some working source can feed, by number. The sump is never among them.
///
/// ```
/// use oilpath::{net::{Held, Net, Scene}, reach, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube", "spare"] }
///     [source]
///     pump = { feeds = "line" }
///     [port]
///     hole = { between = ["line", "lube"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let held = Held::driven(&net, &Default::default());
/// let fed = reach::supplied(&Scene::new(&net, &held, &[]));
/// let names: Vec<_> = net.cavities().filter(|c| reach::has(&fed, *c)).map(|c| net.name(c)).collect();
/// assert_eq!(names, ["line", "lube"]);
/// ```
#[must_use]
pub fn supplied(scene: &Scene<'_>) -> FixedBitSet {
    let mut fed = FixedBitSet::with_capacity(scene.net().cavity_count());
    let mut queue: Vec<Cavity> = Vec::new();
    for rail in scene.rails() {
        if *rail != SUMP_CAVITY && !fed.put(rail.at()) {
            queue.push(*rail);
        }
    }
    while let Some(cavity) = queue.pop() {
        for link in scene.links(cavity) {
            if link.feeds && link.to != SUMP_CAVITY && !fed.put(link.to.at()) {
                queue.push(link.to);
            }
        }
    }
    fed
}

/// Whether a set of cavities has that one.
#[must_use]
pub fn has(cavities: &FixedBitSet, cavity: Cavity) -> bool {
    cavities.contains(cavity.at())
}
