//! What surely arrives where some way may be open or shut: the second label of a balance in many scenes
//! at once.

use super::balance::{STRENGTHS, either, spread};
use crate::net::{Cavity, Lanes, LanesAt, Pack, Strength, Sureness, Tide};

/// What is sure of what reaches each cavity, once each strength has had its turn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Sure {
    /// Scenes in which draining or supply surely reaches it by then, in those without a way in doubt
    /// wherever either does.
    turns: Vec<LanesAt>,
    /// Scenes in which it hangs on the ways in doubt what reaches it.
    vary: LanesAt,
}

impl Sure {
    /// Scenes in which draining or supply surely reaches a cavity through ways of a strength or more.
    pub fn after(&self, strength: Strength, cavity: Cavity) -> Lanes {
        self.turns[STRENGTHS.len() - strength as usize].at(cavity)
    }

    /// Scenes in which it hangs on the ways in doubt what reaches a cavity.
    pub fn varies(&self, cavity: Cavity) -> Lanes {
        self.vary.at(cavity)
    }
}

/// What surely arrives in scenes with ways in doubt, as far as the strengths have had their turn.
pub(super) struct Doubt<'p> {
    pack: &'p Pack<'p>,
    /// Of draining and of supply.
    arrived: [LanesAt; 2],
    /// Scenes in which either surely has, in those without doubt possibly.
    pub surely: LanesAt,
    known: Sure,
}

impl<'p> Doubt<'p> {
    /// With what arrives at the roots.
    pub fn of(pack: &'p Pack<'p>, start: &[LanesAt; 2]) -> Self {
        let none = LanesAt::none(pack.net(), pack.unsure());
        let mut arrived = [none.clone(), none.clone()];
        let mut surely = LanesAt::none(pack.net(), pack.all());
        for (arrived, start) in arrived.iter_mut().zip(start) {
            arrived.add_all(start);
            surely.add_all(start);
        }
        Doubt {
            pack,
            arrived,
            surely,
            known: Sure {
                turns: Vec::new(),
                vary: none,
            },
        }
    }

    /// What is known in the end.
    pub fn known(self) -> Sure {
        self.known
    }

    /// Gives one strength its turn. `before` is what may have been reached by stronger ways, `reached`
    /// what may be by now.
    pub fn turn(&mut self, strength: Strength, before: &[LanesAt; 2], reached: &[LanesAt; 2]) {
        let pack = self.pack;
        let surely = &mut self.surely;
        for tide in [Tide::Drain, Tide::Supply] {
            let opposed = &before[1 - tide as usize];
            let arrived = &mut self.arrived[tide as usize];
            let by = (Sureness::Sure, tide, strength);
            spread(pack, by, arrived, |at| surely.at(at) | opposed.at(at));
        }
        // Through a way that lets both pass, one of the two surely arrives.
        let mut one = LanesAt::none(pack.net(), pack.unsure());
        let [drain, supply] = &self.arrived;
        for rows in [&*surely, drain, supply] {
            one.add_all(rows);
        }
        let by = (Sureness::SureBothWays, Tide::Supply, strength);
        spread(pack, by, &mut one, |at| surely.at(at));
        surely.add_all(&one);
        for (reached, arrived) in reached.iter().zip(&self.arrived) {
            let cavities = pack.net().cavities();
            for at in cavities.filter(|c| reached.any(*c)) {
                let vary = &mut self.known.vary;
                vary.add(at, reached.at(at) & !arrived.at(at));
            }
        }
        // Without a way in doubt whatever is possible is sure.
        for at in pack.net().cavities() {
            surely.add(at, either(reached, at) & !pack.unsure());
        }
        self.known.turns.push(surely.clone());
    }
}
