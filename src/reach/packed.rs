//! Reach in many scenes at once.

use crate::net::{Cavity, LanesAt, Pack, SUMP_CAVITY, Strength, Sweep, Tide};

/// For each cavity the scenes of a pack in which some working source can feed it: the same as
/// [`supplied`](super::supplied) says of each scene alone.
#[must_use]
pub fn supplied_packed(pack: &Pack<'_>) -> LanesAt {
    supplied_past(pack, None)
}

/// For each cavity the scenes in which all oil to it passes another.
pub(crate) fn hangs_on_packed(pack: &Pack<'_>, on: Cavity) -> LanesAt {
    let (mut hangs, past) = (supplied_packed(pack), supplied_past(pack, Some(on)));
    for cavity in pack.net().cavities().filter(|c| past.any(*c)) {
        hangs.take(cavity, past.at(cavity));
    }
    hangs
}

/// For each cavity the scenes in which some working source can feed it without passing another.
fn supplied_past(pack: &Pack<'_>, never: Option<Cavity>) -> LanesAt {
    let net = pack.net();
    let mut fed = LanesAt::none(net, pack.all());
    let mut sweep = Sweep::new(net, Tide::Supply);
    for (rail, lanes) in pack.rails().iter().filter(|(rail, _)| Some(*rail) != never) {
        fed.add(*rail, *lanes);
        sweep.push(*rail);
    }
    while let Some(cavity) = sweep.pop() {
        let here = fed.at(cavity);
        pack.go_on(Tide::Supply, cavity, Strength::Leak, |to: Cavity, lanes| {
            if to == SUMP_CAVITY || Some(to) == never || fed.is_all(to) {
                return;
            }
            let new = here & lanes & !fed.at(to);
            if new.any() {
                fed.add(to, new);
                sweep.push(to);
            }
        });
    }
    fed
}
