//! Balance in many scenes at once.

use super::PackedValues;
use super::bores::decided;
use super::doubt::{Doubt, Sure};
use crate::net::{Cavity, Lanes, LanesAt, Net, Pack, Strength, Sureness, Sweep, Tide};
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
    reached: [[LanesAt; 2]; 3],
    /// What is sure where there are ways in doubt; without any, whatever is possible is sure.
    doubt: Option<Sure>,
    /// Scenes in which both tides reached some cavity before bores were looked at.
    both: Lanes,
}

pub(super) const STRENGTHS: [Strength; 3] = [Strength::Open, Strength::Metered, Strength::Leak];

impl Turns {
    /// Scenes in which a tide may have reached a cavity through ways of at least some strength.
    pub fn reached(&self, tide: Tide, cavity: Cavity, least: Strength) -> Lanes {
        self.reached[STRENGTHS.len() - least as usize][tide as usize].at(cavity)
    }

    /// Scenes in which something surely reaches a cavity: elsewhere it keeps what it held.
    pub fn settled(&self, cavity: Cavity) -> Lanes {
        match &self.doubt {
            Some(sure) => sure.after(Strength::Leak, cavity),
            None => either(&self.reached[2], cavity),
        }
    }

    /// Scenes in which some tide reaches some cavity harder or less hard than in one scene.
    pub fn differ_from(&self, lane: usize) -> Lanes {
        let all = self.reached.iter().flatten();
        all.fold(Lanes::NONE, |differ, reached| {
            differ | reached.differ_from(lane)
        })
    }

    /// Scenes in which both surely reach a cavity equally hard.
    pub fn torn(&self, cavity: Cavity) -> Lanes {
        let [_, _, [drain, supply]] = &self.reached;
        drain.at(cavity) & supply.at(cavity) & !self.varies(cavity)
    }

    /// Scenes in which it hangs on the ways in doubt what reaches a cavity, and how hard.
    pub fn varies(&self, cavity: Cavity) -> Lanes {
        let doubt = self.doubt.as_ref();
        doubt.map_or(Lanes::NONE, |sure| sure.varies(cavity))
    }

    /// Scenes in which one of the two may reach a cavity through metered ways and no wider ones.
    pub fn metered(&self, cavity: Cavity) -> Lanes {
        let [open, metered, _] = &self.reached;
        let first = |tide: usize| metered[tide].at(cavity) & !open[tide].at(cavity);
        first(0) | first(1)
    }

    /// Takes a tide back from cavities in scenes in which bores decide for the other.
    fn decide(&mut self, decided: &[(Cavity, [Lanes; 2])]) {
        for (at, [drained, fed]) in decided {
            for [drain, supply] in &mut self.reached {
                drain.take(*at, *fed);
                supply.take(*at, *drained);
            }
        }
    }

    /// Scenes in which both tides reach some cavity, and those in which both first do through
    /// metered ways.
    fn contested(&self, net: &Net<'_>) -> (Lanes, Lanes) {
        let [open, metered, [drain, supply]] = &self.reached;
        let (mut torn, mut by_metered) = (Lanes::NONE, Lanes::NONE);
        // What has come to a cavity is there at every later turn.
        for at in net.cavities().filter(|c| drain.any(*c) && supply.any(*c)) {
            torn |= drain.at(at) & supply.at(at);
            let both = metered[0].at(at) & metered[1].at(at);
            by_metered |= both & !(open[0].at(at) | open[1].at(at));
        }
        (torn, by_metered)
    }
}

impl PackedBalance {
    /// Decides every cavity, of what has reached it.
    pub(super) fn of(pack: &Pack<'_>, turns: Turns, before: Option<&PackedValues>) -> Self {
        let mut values = PackedValues::undecided(pack.net());
        let [drain, supply] = &turns.reached[STRENGTHS.len() - 1];
        for cavity in pack.net().cavities() {
            let (at, surely) = (cavity.number(), turns.settled(cavity));
            // It may be sealed: what it held before counts.
            let held = before.map_or([Lanes::NONE; 2], |b| [b.fed[at], b.drained[at]]);
            let fed = supply.at(cavity) | !(surely | held[1]);
            let drained = drain.at(cavity) | !(surely | held[0]);
            values.fed[at] = fed & !drained;
            values.drained[at] = drained & !fed;
        }
        if turns.both.any() {
            for tide in [Tide::Supply, Tide::Drain] {
                keep_the_sure(pack, tide, values.of_mut(tide), &turns);
            }
        }
        PackedBalance { values, turns }
    }

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
        self.turns.doubt.as_ref().is_none_or(|sure| {
            let mut turns = STRENGTHS.into_iter();
            let first = turns.find(|strength| sure.after(*strength, cavity).contains(lane));
            first.is_some_and(|strength| Push::from(strength) == push)
        })
    }

    /// Scenes in which a cavity is fed, and those in which it is drained.
    pub(crate) fn values_at(&self, cavity: Cavity) -> [Lanes; 2] {
        let at = cavity.number();
        [self.values.fed[at], self.values.drained[at]]
    }

    /// Everything that is told of a cavity.
    pub(crate) fn rows(&self, cavity: Cavity) -> impl Iterator<Item = Lanes> + '_ {
        let turns = self.turns.reached.iter().flatten();
        let turns = turns.map(move |reached| reached.at(cavity));
        let surely = self.turns.doubt.iter().flat_map(move |sure| {
            let turns = STRENGTHS.into_iter();
            turns.map(move |strength| sure.after(strength, cavity))
        });
        turns.chain(surely).chain(self.values_at(cavity))
    }

    /// Scenes in which both tides reach some cavity.
    pub(super) fn contested(&self, net: &Net<'_>) -> Lanes {
        self.turns.contested(net).0
    }
}

/// Decides every cavity in every scene of a pack: the same values as
/// [`balance`](crate::settle::balance) finds for each scene alone. `before` is what each cavity
/// held earlier: a sealed cavity keeps it.
#[must_use]
pub fn balance_packed(pack: &Pack<'_>, before: Option<&PackedValues>) -> PackedBalance {
    PackedBalance::of(pack, turns(pack), before)
}

pub(super) type Roots<'p> = &'p [(Cavity, Lanes)];

/// Where each tide starts.
pub(super) fn roots<'p>(pack: &'p Pack<'_>) -> [(Tide, Roots<'p>); 2] {
    [(Tide::Drain, pack.vents()), (Tide::Supply, pack.rails())]
}

/// Follows both tides, one strength after another.
fn turns(pack: &Pack<'_>) -> Turns {
    let none = LanesAt::none(pack.net(), pack.all());
    let mut start = [none.clone(), none];
    for (tide, roots) in roots(pack) {
        for (root, lanes) in roots {
            start[tide as usize].add(*root, *lanes);
        }
    }
    let mut doubt = pack.unsure().any().then(|| Doubt::of(pack, &start));
    let mut turn = |before: &[LanesAt; 2], strength: Strength| {
        let mut reached = before.clone();
        for tide in [Tide::Drain, Tide::Supply] {
            let by = (Sureness::Possible, tide, strength);
            let reached = &mut reached[tide as usize];
            // What something stronger holds is not reached by anything weaker.
            match &doubt {
                Some(doubt) => spread(pack, by, reached, |at| doubt.surely.at(at)),
                None => spread(pack, by, reached, |at| either(before, at)),
            }
        }
        if let Some(doubt) = &mut doubt {
            doubt.turn(strength, before, &reached);
        }
        reached
    };
    let open = turn(&start, Strength::Open);
    let metered = turn(&open, Strength::Metered);
    let leak = turn(&metered, Strength::Leak);
    let mut turns = Turns {
        reached: [open, metered, leak],
        doubt: doubt.map(Doubt::known),
        both: Lanes::NONE,
    };
    let (torn, by_bore) = turns.contested(pack.net());
    turns.both = torn;
    let by_bore = by_bore & !pack.unsure();
    if by_bore.any() && pack.net().meters_by_bore() {
        let [open, metered, _] = &turns.reached;
        turns.decide(&decided(pack, [open, metered], by_bore));
    }
    turns
}

/// Scenes in which either tide has reached a cavity.
#[inline]
pub(super) fn either([drain, supply]: &[LanesAt; 2], cavity: Cavity) -> Lanes {
    drain.at(cavity) | supply.at(cavity)
}

/// Spreads scenes with a tide along ways of one strength and of stronger ones, never into a cavity in
/// scenes in which it is shut to them. What is stronger has been followed from all that is reached.
pub(super) fn spread(
    pack: &Pack<'_>,
    (sureness, tide, strength): (Sureness, Tide, Strength),
    reached: &mut LanesAt,
    shut: impl Fn(Cavity) -> Lanes,
) {
    let mut sweep = Sweep::new(pack.net(), tide);
    let from = pack.net().cavities();
    let from = from.filter(|c| pack.has(*c, strength) && reached.any(*c));
    from.for_each(|cavity| sweep.push(cavity));
    while let Some(cavity) = sweep.pop() {
        let here = reached.at(cavity);
        pack.go_on_by(sureness, tide, cavity, strength, |to, lanes| {
            if reached.is_all(to) {
                return;
            }
            // Mostly what comes has come already.
            let new = here & lanes & !reached.at(to);
            if !new.any() {
                return;
            }
            let new = new & !shut(to);
            if new.any() {
                reached.add(to, new);
                sweep.push(to);
            }
        });
    }
}

/// In scenes with a contested cavity keeps the values that a route of cavities of the same value
/// reaches harder than anything of the other kind can: a one-way ball behind a contested cavity
/// passes on no more than that has.
fn keep_the_sure(pack: &Pack<'_>, tide: Tide, values: &mut [Lanes], turns: &Turns) {
    let (roots, other) = match tide {
        Tide::Supply => (pack.rails(), Tide::Drain),
        Tide::Drain => (pack.vents(), Tide::Supply),
    };
    let mut sure = LanesAt::none(pack.net(), pack.all());
    for (root, lanes) in roots {
        sure.add(*root, *lanes);
    }
    for strength in STRENGTHS {
        spread(pack, (Sureness::Sure, tide, strength), &mut sure, |at| {
            let [drain, supply] = &turns.reached[STRENGTHS.len() - strength as usize];
            let opposed = match other {
                Tide::Drain => drain.at(at),
                Tide::Supply => supply.at(at),
            };
            opposed | !values[at.number()]
        });
    }
    // What keeps what it held is not driven, and stays.
    let [_, _, driven] = &turns.reached;
    let driven = &driven[tide as usize];
    for cavity in pack.net().cavities().filter(|c| driven.any(*c)) {
        let doubtful = turns.both & driven.at(cavity) & !sure.at(cavity);
        values[cavity.number()] &= !doubtful;
    }
}
