//! Where pressure can get at all: connection only, no strengths weighed.
//!
//! Works on one [`Scene`]. Uncertain ways count as open. Here a removal never adds supply.

mod dominator;
mod double;
mod hitting;
mod needed;
mod packed;
mod path;
mod search;
mod side;

use fixedbitset::FixedBitSet;

use crate::net::{Cavity, Link, SUMP_CAVITY, Scene};

pub use dominator::Dominators;
pub use double::{Spot, double_points};
pub use hitting::hitting_sets;
pub use needed::Needs;
pub(crate) use packed::hangs_on_packed;
pub use packed::supplied_packed;
pub use path::{
    Gauge, Path, all_paths, least_restricted, shortest, suction, way_in, way_out, widest,
};
pub(crate) use path::{search_out, way_out_at};
pub(crate) use search::Search;
pub use side::{Side, side};

/// Cavities that some working source can feed, by number. The sump is never among them.
///
/// ```
/// use oilpath::{circuit::Level, net::{Held, Net, Stage}, reach, sheet};
/// let circuit = sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube", "spare"] }
///     [source]
///     pump = { feeds = "line" }
///     [port]
///     hole = { between = ["line", "lube"] }
/// "#).unwrap().circuit;
/// let net = Net::new(&circuit).unwrap();
/// let stage = Stage::new(&net, &Default::default(), &[]);
/// let fed = reach::supplied(&stage.scene(&Held::unknown(&net), Level::Low));
/// let names: Vec<_> = net.cavities().filter(|c| reach::has(&fed, *c)).map(|c| net.name(c)).collect();
/// assert_eq!(names, ["line", "lube"]);
/// ```
#[must_use]
pub fn supplied(scene: &Scene<'_>) -> FixedBitSet {
    flood(scene, |_| true)
}

/// Cavities that some working source can feed by the ways that `may` be taken.
fn flood(scene: &Scene<'_>, may: impl Fn(&Link) -> bool) -> FixedBitSet {
    let mut fed = FixedBitSet::with_capacity(scene.net().cavity_count());
    // Oil goes nowhere from the sump: as if it had been looked at.
    fed.insert(SUMP_CAVITY.at());
    let mut queue: Vec<Cavity> = Vec::new();
    for rail in scene.rails() {
        if !fed.put(rail.at()) {
            queue.push(*rail);
        }
    }
    let mut next = 0;
    while let Some(cavity) = queue.get(next).copied() {
        next += 1;
        scene.onward(cavity).for_each(|link| {
            if may(&link) && !fed.put(link.to.at()) {
                queue.push(link.to);
            }
        });
    }
    fed.remove(SUMP_CAVITY.at());
    fed
}

/// Whether a set of cavities has that one.
#[must_use]
pub fn has(cavities: &FixedBitSet, cavity: Cavity) -> bool {
    cavities.contains(cavity.at())
}
