//! What the loss of places costs, by trying: the slow rival of every clever search for cuts.

use std::collections::BTreeSet;

use oilpath::circuit::{Fault, Level, State};
use oilpath::net::{Cavity, Held, Net, SUMP_CAVITY, Scene, Stage};
use oilpath::reach::Spot;

/// A scene whose valves may stand anywhere, but for what the faults impose.
pub fn scene<'n>(net: &'n Net<'n>, faults: &[Fault]) -> Scene<'n> {
    let stage = Stage::new(net, &State::default(), faults);
    stage.scene(&stage.fix(Held::unknown(net)), Level::Low)
}

/// Every place that oil could pass on its way to a cavity, but that cavity.
pub fn spots(scene: &Scene<'_>, to: Cavity) -> Vec<Spot> {
    let cavities = || scene.net().cavities().filter(|c| *c != SUMP_CAVITY);
    let links = cavities().flat_map(|c| scene.onward(c));
    let ways: BTreeSet<Spot> = links.map(|link| Spot::Way(link.way)).collect();
    let others = cavities().filter(|c| *c != to).map(Spot::Cavity);
    others.chain(ways).collect()
}

/// Whether supply reaches a cavity without some places, by looking around wherever it got to.
pub fn fed_without(scene: &Scene<'_>, to: Cavity, lost: &[Spot]) -> bool {
    let gone = |cavity| cavity == SUMP_CAVITY || lost.contains(&Spot::Cavity(cavity));
    let mut fed = vec![false; scene.net().cavity_count()];
    let mut look: Vec<Cavity> = scene.rails().to_vec();
    look.retain(|c| !gone(*c));
    while let Some(cavity) = look.pop() {
        if std::mem::replace(&mut fed[cavity.number()], true) {
            continue;
        }
        for link in scene.onward(cavity) {
            if !gone(link.to) && !lost.contains(&Spot::Way(link.way)) {
                look.push(link.to);
            }
        }
    }
    fed[to.number()]
}

/// The pairs of `spots` that cut a cavity off, by trying each.
pub fn brute_pairs(scene: &Scene<'_>, to: Cavity, mut spots: Vec<Spot>) -> Vec<[Spot; 2]> {
    if !fed_without(scene, to, &[]) {
        return Vec::new();
    }
    spots.retain(|spot| fed_without(scene, to, &[*spot]));
    spots.sort_unstable();
    let pairs = spots.iter().enumerate().flat_map(|(i, first)| {
        let rest = spots[i + 1..].iter();
        rest.map(move |second| [*first, *second])
    });
    pairs.filter(|pair| !fed_without(scene, to, pair)).collect()
}
