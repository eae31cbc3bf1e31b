//! Reach in many scenes at once.

use crate::net::{Cavity, Lanes, Net, Pack, SUMP_CAVITY, Strength, Sweep, Tide};

/// For each cavity, by number, the scenes of a pack in which some working source can feed it: the
/// same as [`supplied`](super::supplied) says of each scene alone.
#[must_use]
pub fn supplied_packed(pack: &Pack<'_>) -> Vec<Lanes> {
    supplied_past(pack, None)
}

/// For each cavity, by number, the scenes in which all oil to it passes another.
pub(crate) fn hangs_on_packed(pack: &Pack<'_>, on: Cavity) -> Vec<Lanes> {
    let (all, past) = (supplied_packed(pack), supplied_past(pack, Some(on)));
    all.iter()
        .zip(past)
        .map(|(all, past)| *all & !past)
        .collect()
}

/// For each cavity the scenes in which some working source can feed it without passing another.
fn supplied_past(pack: &Pack<'_>, never: Option<Cavity>) -> Vec<Lanes> {
    let net: &Net<'_> = pack.net();
    let mut fed = vec![Lanes::NONE; net.cavity_count()];
    let mut sweep = Sweep::new(net, Tide::Supply);
    for (rail, lanes) in pack.rails().iter().filter(|(rail, _)| Some(*rail) != never) {
        fed[rail.at()] |= *lanes;
        sweep.push(*rail);
    }
    while let Some(cavity) = sweep.pop() {
        let here = fed[cavity.at()];
        pack.go_on(Tide::Supply, cavity, Strength::Leak, |to: Cavity, lanes| {
            let new = here & lanes & !fed[to.at()];
            if to != SUMP_CAVITY && Some(to) != never && new.any() {
                fed[to.at()] |= new;
                sweep.push(to);
            }
        });
    }
    fed
}
