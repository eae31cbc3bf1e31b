//! Balance in many scenes at once.

use super::PackedValues;
use super::bores::decided;
use super::definite::Definite;
use crate::net::{Cavity, Lanes, Pack, Strength, Sureness, Sweep, Tide};
use crate::settle::{Push, Value};

/// The values of every cavity in every scene of a pack, and what lies behind them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackedBalance {
    pub(super) values: PackedValues,
    pub(super) turns: Turns,
}

/// What may have reached each cavity, of draining and of supply, once open ways have had their turn,
/// once metered ones have, once leaks have. What something surely stronger holds is not reached by
/// anything weaker.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Turns {
    reached: [[Vec<Lanes>; 2]; 3],
    /// Scenes in which one of the two surely reaches each cavity in the end. Without a way in doubt
    /// that is wherever anything does.
    surely: Vec<Lanes>,
    /// The same after each strength's turn; empty without a way in doubt.
    surely_by: Vec<Vec<Lanes>>,
    /// Scenes in which it hangs on the ways in doubt what reaches each cavity; empty without any.
    vary: Vec<Lanes>,
}

pub(super) const STRENGTHS: [Strength; 3] = [Strength::Open, Strength::Metered, Strength::Leak];

impl Turns {
    /// Scenes in which a tide may have reached a cavity through ways of at least some strength.
    pub fn reached(&self, tide: Tide, cavity: Cavity, least: Strength) -> Lanes {
        self.reached[STRENGTHS.len() - least as usize][tide as usize][cavity.number()]
    }

    /// Scenes in which something surely reaches a cavity: elsewhere it keeps what it held.
    pub fn settled(&self, cavity: Cavity) -> Lanes {
        self.surely[cavity.number()]
    }

    /// Scenes in which some tide reaches some cavity harder or less hard than in one scene.
    pub fn differ_from(&self, lane: usize) -> Lanes {
        let all = self.reached.iter().flatten().flatten();
        all.fold(Lanes::NONE, |differ, reached| {
            differ | (*reached ^ Lanes::all_if(reached.contains(lane)))
        })
    }

    /// Scenes in which both surely reach a cavity equally hard.
    pub fn torn(&self, cavity: Cavity) -> Lanes {
        let [_, _, [drain, supply]] = &self.reached;
        let at = cavity.number();
        drain[at] & supply[at] & !self.varies(cavity)
    }

    /// Scenes in which it hangs on the ways in doubt what reaches a cavity, and how hard.
    pub fn varies(&self, cavity: Cavity) -> Lanes {
        let vary = self.vary.get(cavity.number());
        vary.copied().unwrap_or_default()
    }

    /// Scenes in which one of the two may reach a cavity through metered ways and no wider ones.
    pub fn metered(&self, cavity: Cavity) -> Lanes {
        let at = cavity.number();
        let [open, metered, _] = &self.reached;
        (metered[0][at] & !open[0][at]) | (metered[1][at] & !open[1][at])
    }

    /// Takes a tide back from cavities in scenes in which bores decide for the other.
    fn decide(&mut self, decided: &[(usize, [Lanes; 2])]) {
        for (at, [drained, fed]) in decided {
            for [drain, supply] in &mut self.reached {
                drain[*at] &= !*fed;
                supply[*at] &= !*drained;
            }
        }
    }

    /// Scenes in which both tides reach some cavity, and those in which both first do through
    /// metered ways.
    fn contested(&self) -> (Lanes, Lanes) {
        let [open, metered, last] = self.reached.each_ref().map(|[drain, supply]| {
            let rows = drain.iter().zip(supply);
            rows.map(|(drain, supply)| [*drain & *supply, *drain | *supply])
        });
        let torn = last.fold(Lanes::NONE, |any, [both, _]| any | both);
        let metered = metered.zip(open);
        let by_metered = metered.fold(Lanes::NONE, |any, ([both, _], [_, wider])| {
            any | (both & !wider)
        });
        (torn, by_metered)
    }
}

impl PackedBalance {
    /// What a cavity holds in one scene.
    #[must_use]
    pub fn value(&self, lane: usize, cavity: Cavity) -> Value {
        self.values.value(lane, cavity)
    }

    /// How hard a tide may reach a cavity in one scene, where it does not start there.
    pub(crate) fn arrives(&self, lane: usize, tide: Tide, cavity: Cavity) -> Push {
        let mut strengths = STRENGTHS.into_iter();
        let found = strengths.find(|s| self.turns.reached(tide, cavity, *s).contains(lane));
        found.map_or(Push::None, Push::from)
    }

    /// Whether one of the two surely reaches a cavity just as hard as given in one scene, where it
    /// does not start there.
    pub(crate) fn is_sure(&self, lane: usize, cavity: Cavity, push: Push) -> bool {
        let surely = &self.turns.surely_by;
        let mut turns = STRENGTHS.into_iter().zip(surely);
        let first = turns.find(|(_, surely)| surely[cavity.number()].contains(lane));
        surely.is_empty() || first.is_some_and(|(strength, _)| Push::from(strength) == push)
    }

    /// Scenes in which a cavity is fed, and those in which it is drained.
    pub(crate) fn values_at(&self, cavity: Cavity) -> [Lanes; 2] {
        let at = cavity.number();
        [self.values.fed[at], self.values.drained[at]]
    }

    /// Everything that is told of a cavity.
    pub(crate) fn rows(&self, cavity: Cavity) -> impl Iterator<Item = Lanes> + '_ {
        let turns = self.turns.reached.iter().flatten();
        let turns = turns.map(move |reached| reached[cavity.number()]);
        let surely = self.turns.surely_by.iter();
        let surely = surely.map(move |surely| surely[cavity.number()]);
        turns.chain(surely).chain(self.values_at(cavity))
    }

    /// Scenes in which both tides reach some cavity.
    pub(super) fn contested(&self) -> Lanes {
        self.turns.contested().0
    }
}

/// Decides every cavity in every scene of a pack: the same values as
/// [`balance`](crate::settle::balance) finds for each scene alone. `before` is what each cavity
/// held earlier: a sealed cavity keeps it.
#[must_use]
pub fn balance_packed(pack: &Pack<'_>, before: Option<&PackedValues>) -> PackedBalance {
    let mut turns = turns(pack);
    let (torn, by_bore) = turns.contested();
    let by_bore = by_bore & !pack.unsure();
    if by_bore.any() && pack.net().meters_by_bore() {
        let [open, metered, _] = &turns.reached;
        turns.decide(&decided(pack, [open, metered], by_bore));
    }
    let mut values = PackedValues::undecided(pack.net());
    let [drain, supply] = &turns.reached[STRENGTHS.len() - 1];
    for (at, surely) in turns.surely.iter().enumerate() {
        // It may be sealed: what it held before counts.
        let held = before.map_or([Lanes::NONE; 2], |b| [b.fed[at], b.drained[at]]);
        let fed = supply[at] | !(*surely | held[1]);
        let drained = drain[at] | !(*surely | held[0]);
        values.fed[at] = fed & !drained;
        values.drained[at] = drained & !fed;
    }
    if torn.any() {
        for tide in [Tide::Supply, Tide::Drain] {
            keep_the_sure(pack, tide, values.of_mut(tide), &turns, torn);
        }
    }
    PackedBalance { values, turns }
}

type Roots<'p> = &'p [(Cavity, Lanes)];

fn roots<'p>(pack: &'p Pack<'_>) -> [(Tide, Roots<'p>); 2] {
    [(Tide::Drain, pack.vents()), (Tide::Supply, pack.rails())]
}

/// Follows both tides, one strength after another.
fn turns(pack: &Pack<'_>) -> Turns {
    let count = pack.net().cavity_count();
    let mut reached = [vec![Lanes::NONE; count], vec![Lanes::NONE; count]];
    let mut surely = vec![Lanes::NONE; count];
    for (tide, roots) in roots(pack) {
        for (root, lanes) in roots {
            reached[tide as usize][root.number()] |= *lanes;
            surely[root.number()] |= *lanes;
        }
    }
    let mut surely_by = Vec::new();
    let mut definite = pack.unsure().any().then(|| Definite::of(pack, &reached));
    let mut turn = |strength: Strength| {
        let before = definite.as_ref().map(|_| reached.clone());
        for tide in [Tide::Drain, Tide::Supply] {
            // What something stronger holds is not reached by anything weaker.
            let by = (Sureness::Possible, tide, strength);
            spread(pack, by, &mut reached[tide as usize], |at| surely[at]);
        }
        if let (Some(definite), Some(before)) = (&mut definite, &before) {
            definite.turn(strength, before, &mut surely);
            definite.hold_against(&reached);
        }
        // Without a way in doubt whatever is possible is definite.
        let now = reached[0].iter().zip(&reached[1]);
        for (surely, (drain, supply)) in surely.iter_mut().zip(now) {
            *surely |= (*drain | *supply) & !pack.unsure();
        }
        if definite.is_some() {
            surely_by.push(surely.clone());
        }
        reached.clone()
    };
    let reached = STRENGTHS.map(&mut turn);
    Turns {
        reached,
        surely,
        surely_by,
        vary: definite.map_or_else(Vec::new, |definite| definite.vary),
    }
}

/// Spreads scenes with a tide along ways of one strength and of stronger ones, never into a cavity in
/// scenes in which it is shut to them. What is stronger has been followed from all that is reached.
pub(super) fn spread(
    pack: &Pack<'_>,
    (sureness, tide, strength): (Sureness, Tide, Strength),
    reached: &mut [Lanes],
    shut: impl Fn(usize) -> Lanes,
) {
    let mut sweep = Sweep::new(pack.net(), tide);
    let from = pack.net().cavities();
    let from = from.filter(|c| pack.has(*c, strength) && reached[c.number()].any());
    from.for_each(|cavity| sweep.push(cavity));
    while let Some(cavity) = sweep.pop() {
        let here = reached[cavity.number()];
        pack.go_on_by(sureness, tide, cavity, strength, |to, lanes| {
            let at = to.number();
            let new = here & lanes & !reached[at] & !shut(at);
            if new.any() {
                reached[at] |= new;
                sweep.push(to);
            }
        });
    }
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
        spread(pack, (Sureness::Sure, tide, strength), &mut sure, |at| {
            let [drain, supply] = &turns.reached[STRENGTHS.len() - strength as usize];
            let opposed = match other {
                Tide::Drain => drain[at],
                Tide::Supply => supply[at],
            };
            opposed | !values[at]
        });
    }
    // What keeps what it held is not driven, and stays.
    let [_, _, driven] = &turns.reached;
    let driven = &driven[tide as usize];
    for ((value, sure), driven) in values.iter_mut().zip(&sure).zip(driven) {
        *value &= *sure | !torn | !*driven;
    }
}
