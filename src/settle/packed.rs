//! Balance in many scenes at once.

use super::Value;
use crate::net::{Cavity, Lanes, Net, Pack, Strength, Sweep, Tide};

/// The values of every cavity in every scene of a pack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackedBalance {
    fed: Vec<Lanes>,
    drained: Vec<Lanes>,
    unsure: Lanes,
}

impl PackedBalance {
    /// What a cavity holds in one scene; none where the scene has to be balanced alone, because
    /// some way in it may be open or shut, or bores may decide between supply and drain.
    #[must_use]
    pub fn value(&self, lane: usize, cavity: Cavity) -> Option<Value> {
        if self.unsure.contains(lane) {
            return None;
        }
        let at = cavity.at();
        Some(
            match (self.fed[at].contains(lane), self.drained[at].contains(lane)) {
                (true, _) => Value::Fed,
                (_, true) => Value::Drained,
                _ => Value::Undecided,
            },
        )
    }

    /// Scenes that have to be balanced alone.
    #[must_use]
    pub fn unsure(&self) -> Lanes {
        self.unsure
    }
}

/// Decides every cavity in every scene of a pack: the same values as
/// [`balance`](super::balance) finds for each scene alone, nothing known of what was held before.
#[must_use]
pub fn balance_packed(pack: &Pack<'_>) -> PackedBalance {
    let net: &Net<'_> = pack.net();
    let none = vec![Lanes::NONE; net.cavity_count()];
    // Without a way in doubt whatever is possible is definite, so one label a tide will do.
    let mut reached = [none.clone(), none.clone()];
    let mut settled = none.clone();
    let mut fed = none.clone();
    // Scenes with a contested cavity, and those where bores may decide it.
    let (mut torn, mut by_bore) = (Lanes::NONE, Lanes::NONE);
    // What each tide has reached once each strength has had its turn.
    let mut turns: Vec<[Vec<Lanes>; 2]> = Vec::new();
    let mut drained = none;
    for (tide, roots) in [(Tide::Drain, pack.vents()), (Tide::Supply, pack.rails())] {
        for (root, lanes) in roots {
            reached[tide as usize][root.at()] |= *lanes;
            settled[root.at()] |= *lanes;
        }
    }
    for (rail, lanes) in pack.rails() {
        fed[rail.at()] = *lanes;
    }
    for (vent, lanes) in pack.vents() {
        drained[vent.at()] = *lanes;
    }
    for strength in [Strength::Open, Strength::Metered, Strength::Leak] {
        for tide in [Tide::Drain, Tide::Supply] {
            let reached = &mut reached[tide as usize];
            let mut sweep = Sweep::new(net, tide);
            for cavity in net.cavities().filter(|c| reached[c.at()].any()) {
                sweep.push(cavity);
            }
            while let Some(cavity) = sweep.pop() {
                let here = reached[cavity.at()];
                pack.go_on(tide, cavity, strength, |to, lanes| {
                    // What something stronger holds is not reached by anything weaker.
                    let new = here & lanes & !settled[to.at()] & !reached[to.at()];
                    if new.any() {
                        reached[to.at()] |= new;
                        sweep.push(to);
                    }
                });
            }
        }
        for i in 0..settled.len() {
            let (drain, supply) = (reached[0][i], reached[1][i]);
            let new = (drain | supply) & !settled[i];
            torn |= new & drain & supply;
            if strength == Strength::Metered {
                by_bore |= new & drain & supply;
            }
            fed[i] |= new & supply & !drain;
            drained[i] |= new & drain & !supply;
            settled[i] |= new;
        }
        turns.push(reached.clone());
    }
    if torn.any() {
        for (tide, values) in [(Tide::Supply, &mut fed), (Tide::Drain, &mut drained)] {
            keep_the_sure(pack, tide, values, &turns, torn);
        }
    }
    if !net.meters_by_bore() {
        by_bore = Lanes::NONE;
    }
    PackedBalance {
        fed,
        drained,
        unsure: pack.unsure() | by_bore,
    }
}

/// In scenes with a contested cavity keeps the values that a route of cavities of the same value
/// reaches harder than anything of the other kind can: a one-way ball behind a contested cavity
/// passes on no more than that has.
fn keep_the_sure(
    pack: &Pack<'_>,
    tide: Tide,
    values: &mut [Lanes],
    turns: &[[Vec<Lanes>; 2]],
    torn: Lanes,
) {
    let (roots, other) = match tide {
        Tide::Supply => (pack.rails(), Tide::Drain),
        Tide::Drain => (pack.vents(), Tide::Supply),
    };
    let mut sure = vec![Lanes::NONE; values.len()];
    for (root, lanes) in roots {
        sure[root.at()] |= *lanes;
    }
    let strengths = [Strength::Open, Strength::Metered, Strength::Leak];
    for (strength, turn) in strengths.into_iter().zip(turns) {
        let opposed = &turn[other as usize];
        let mut sweep = Sweep::new(pack.net(), tide);
        for cavity in pack.net().cavities().filter(|c| sure[c.at()].any()) {
            sweep.push(cavity);
        }
        while let Some(cavity) = sweep.pop() {
            let here = sure[cavity.at()];
            pack.go_on(tide, cavity, strength, |to, lanes| {
                let at = to.at();
                let new = here & lanes & values[at] & !opposed[at] & !sure[at];
                if new.any() {
                    sure[at] |= new;
                    sweep.push(to);
                }
            });
        }
    }
    for (value, sure) in values.iter_mut().zip(&sure) {
        *value = *value & (*sure | !torn);
    }
}
