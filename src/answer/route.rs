//! The shortest routes of oil to a cavity and out of it, as the parts they cross.

use crate::circuit::PartName;
use crate::net::{Cavity, Link, Scene};
use crate::reach::{self, Path, Search};
use crate::settle::Push;

/// The search for the shortest route, of the given strength at least, by which a cavity's oil runs off
/// to the sump.
pub(super) fn search_out(scene: &Scene<'_>, cavity: Cavity, least: Push) -> Search {
    reach::search_out(scene, cavity, |link| runs_off_by(scene, link, least))
}

/// The route that search has in another scene, if it ends at whatever has this turn, the first at which
/// the two may differ.
pub(super) fn way_out_at(
    search: &Search,
    turn: usize,
    scene: &Scene<'_>,
    least: Push,
) -> Option<Path> {
    reach::way_out_at(search, turn, scene, |link| runs_off_by(scene, link, least))
}

/// Whether oil may run off by a link, of the given strength at least.
fn runs_off_by(scene: &Scene<'_>, link: &Link, least: Push) -> bool {
    Push::from(link.strength) >= least && !scene.holds(link.to)
}

/// Parts of the shortest route by which oil comes to a cavity.
pub(super) fn way_in(scene: &Scene<'_>, cavity: Cavity) -> Vec<PartName> {
    parts(scene, reach::shortest(scene, cavity))
}

/// The parts that a path crosses.
pub(super) fn parts(scene: &Scene<'_>, path: Option<Path>) -> Vec<PartName> {
    let net = scene.net();
    let steps = path.into_iter().flat_map(|p| p.steps);
    steps
        .map(|(way, _)| net.part(scene.way(way)).clone())
        .collect()
}
