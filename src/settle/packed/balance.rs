//! Balance in many scenes at once.

use super::PackedValues;
use crate::net::{Cavity, Lanes, Pack, Strength, Sweep, Tide};
use crate::settle::{Push, Value};

/// The values of every cavity in every scene of a pack, and what lies behind them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackedBalance {
    pub(super) values: PackedValues,
    pub(super) turns: Turns,
    unsure: Lanes,
}

/// What has reached each cavity, of draining and of supply, once open ways have had their turn,
/// once metered ones have, once leaks have. What something stronger holds is not reached by
/// anything weaker.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Turns([[Vec<Lanes>; 2]; 3]);

pub(super) const STRENGTHS: [Strength; 3] = [Strength::Open, Strength::Metered, Strength::Leak];

impl Turns {
    /// Scenes in which a tide has reached a cavity through ways of at least some strength.
    pub fn reached(&self, tide: Tide, cavity: Cavity, least: Strength) -> Lanes {
        self.0[STRENGTHS.len() - least as usize][tide as usize][cavity.number()]
    }

    /// Scenes in which something reaches a cavity: elsewhere it keeps what it held.
    pub fn settled(&self, cavity: Cavity) -> Lanes {
        let [drain, supply] = &self.0[STRENGTHS.len() - 1];
        drain[cavity.number()] | supply[cavity.number()]
    }

    /// Scenes in which some tide reaches some cavity harder or less hard than in one scene.
    pub fn differ_from(&self, lane: usize) -> Lanes {
        let all = self.0.iter().flatten().flatten();
        all.fold(Lanes::NONE, |differ, reached| {
            differ | (*reached ^ Lanes::all_if(reached.contains(lane)))
        })
    }
}

impl PackedBalance {
    /// What a cavity holds in one scene; none where the scene has to be balanced alone, because
    /// some way in it may be open or shut, or bores may decide between supply and drain.
    #[must_use]
    pub fn value(&self, lane: usize, cavity: Cavity) -> Option<Value> {
        (!self.unsure.contains(lane)).then(|| self.values.value(lane, cavity))
    }

    /// How hard a tide reaches a cavity in one scene, where it does not start there.
    pub(crate) fn arrives(&self, lane: usize, tide: Tide, cavity: Cavity) -> Push {
        let mut strengths = STRENGTHS.into_iter();
        let found = strengths.find(|s| self.turns.reached(tide, cavity, *s).contains(lane));
        found.map_or(Push::None, Push::from)
    }

    /// Scenes in which a cavity is fed, and those in which it is drained.
    pub(crate) fn values_at(&self, cavity: Cavity) -> [Lanes; 2] {
        let at = cavity.number();
        [self.values.fed[at], self.values.drained[at]]
    }

    /// Everything that is told of a cavity.
    pub(crate) fn rows(&self, cavity: Cavity) -> impl Iterator<Item = Lanes> + '_ {
        let turns = self.turns.0.iter().flatten();
        let turns = turns.map(move |reached| reached[cavity.number()]);
        turns.chain(self.values_at(cavity))
    }

    /// Scenes that have to be balanced alone.
    #[must_use]
    pub fn unsure(&self) -> Lanes {
        self.unsure
    }
}

/// Decides every cavity in every scene of a pack: the same values as
/// [`balance`](crate::settle::balance) finds for each scene alone. `before` is what each cavity
/// held earlier: a sealed cavity keeps it.
#[must_use]
pub fn balance_packed(pack: &Pack<'_>, before: Option<&PackedValues>) -> PackedBalance {
    let turns = turns(pack);
    let mut values = PackedValues::undecided(pack.net());
    let mut settled = vec![Lanes::NONE; pack.net().cavity_count()];
    for (tide, roots) in roots(pack) {
        for (root, lanes) in roots {
            values.of_mut(tide)[root.number()] |= *lanes;
            settled[root.number()] |= *lanes;
        }
    }
    // Scenes with a contested cavity, and those where bores may decide it.
    let (mut torn, mut by_bore) = (Lanes::NONE, Lanes::NONE);
    for (strength, [drain, supply]) in STRENGTHS.into_iter().zip(&turns.0) {
        for at in 0..settled.len() {
            let (drain, supply) = (drain[at], supply[at]);
            let new = (drain | supply) & !settled[at];
            torn |= new & drain & supply;
            if strength == Strength::Metered {
                by_bore |= new & drain & supply;
            }
            values.fed[at] |= new & supply & !drain;
            values.drained[at] |= new & drain & !supply;
            settled[at] |= new;
        }
    }
    if torn.any() {
        for tide in [Tide::Supply, Tide::Drain] {
            keep_the_sure(pack, tide, values.of_mut(tide), &turns, torn);
        }
    }
    if let Some(before) = before {
        for (at, settled) in settled.iter().enumerate() {
            values.fed[at] |= before.fed[at] & !*settled;
            values.drained[at] |= before.drained[at] & !*settled;
        }
    }
    if !pack.net().meters_by_bore() {
        by_bore = Lanes::NONE;
    }
    PackedBalance {
        values,
        turns,
        unsure: pack.unsure() | by_bore,
    }
}

type Roots<'p> = &'p [(Cavity, Lanes)];

fn roots<'p>(pack: &'p Pack<'_>) -> [(Tide, Roots<'p>); 2] {
    [(Tide::Drain, pack.vents()), (Tide::Supply, pack.rails())]
}

/// Follows both tides, one strength after another. Without a way in doubt whatever is possible is
/// definite, so one label a tide will do.
fn turns(pack: &Pack<'_>) -> Turns {
    let count = pack.net().cavity_count();
    let mut reached = [vec![Lanes::NONE; count], vec![Lanes::NONE; count]];
    let mut settled = vec![Lanes::NONE; count];
    for (tide, roots) in roots(pack) {
        for (root, lanes) in roots {
            reached[tide as usize][root.number()] |= *lanes;
            settled[root.number()] |= *lanes;
        }
    }
    let mut turn = |strength: Strength| {
        for tide in [Tide::Drain, Tide::Supply] {
            let reached = &mut reached[tide as usize];
            // What is stronger has been followed from all that is reached.
            let mut sweep = Sweep::new(pack.net(), tide);
            let from = pack.net().cavities();
            let from = from.filter(|c| pack.has(*c, strength) && reached[c.number()].any());
            from.for_each(|cavity| sweep.push(cavity));
            while let Some(cavity) = sweep.pop() {
                let here = reached[cavity.number()];
                pack.go_on(tide, cavity, strength, |to, lanes| {
                    let at = to.number();
                    // What something stronger holds is not reached by anything weaker.
                    let new = here & lanes & !settled[at] & !reached[at];
                    if new.any() {
                        reached[at] |= new;
                        sweep.push(to);
                    }
                });
            }
        }
        let both = reached[0].iter().zip(&reached[1]);
        for (settled, (drain, supply)) in settled.iter_mut().zip(both) {
            *settled |= *drain | *supply;
        }
        reached.clone()
    };
    Turns(STRENGTHS.map(&mut turn))
}

/// In scenes with a contested cavity keeps the values that a route of cavities of the same value
/// reaches harder than anything of the other kind can: a one-way ball behind a contested cavity
/// passes on no more than that has.
fn keep_the_sure(pack: &Pack<'_>, tide: Tide, values: &mut [Lanes], turns: &Turns, torn: Lanes) {
    let (roots, other) = match tide {
        Tide::Supply => (pack.rails(), Tide::Drain),
        Tide::Drain => (pack.vents(), Tide::Supply),
    };
    let mut sure = vec![Lanes::NONE; values.len()];
    for (root, lanes) in roots {
        sure[root.number()] |= *lanes;
    }
    for strength in STRENGTHS {
        let mut sweep = Sweep::new(pack.net(), tide);
        let from = pack.net().cavities();
        let from = from.filter(|c| pack.has(*c, strength) && sure[c.number()].any());
        from.for_each(|cavity| sweep.push(cavity));
        while let Some(cavity) = sweep.pop() {
            let here = sure[cavity.number()];
            pack.go_on(tide, cavity, strength, |to, lanes| {
                let at = to.number();
                let opposed = turns.reached(other, to, strength);
                let new = here & lanes & values[at] & !opposed & !sure[at];
                if new.any() {
                    sure[at] |= new;
                    sweep.push(to);
                }
            });
        }
    }
    for (value, sure) in values.iter_mut().zip(&sure) {
        *value &= *sure | !torn;
    }
}
