//! What surely arrives where some way may be open or shut: the second label of a balance in many scenes
//! at once.

use super::balance::spread;
use crate::net::{Lanes, Pack, Strength, Sureness, Tide};

/// What surely arrives in scenes with ways in doubt.
pub(super) struct Definite<'p> {
    pack: &'p Pack<'p>,
    /// Of draining and of supply.
    arrived: [Vec<Lanes>; 2],
    /// Scenes in which something may have arrived at some turn and has not surely.
    pub vary: Vec<Lanes>,
}

impl<'p> Definite<'p> {
    /// With what arrives at the roots.
    pub fn of(pack: &'p Pack<'p>, roots: &[Vec<Lanes>; 2]) -> Self {
        let within = |rows: &Vec<Lanes>| rows.iter().map(|row| *row & pack.unsure()).collect();
        Definite {
            pack,
            arrived: roots.each_ref().map(within),
            vary: vec![Lanes::NONE; pack.net().cavity_count()],
        }
    }

    /// Notes where more may have arrived after a turn than surely has.
    pub fn hold_against(&mut self, reached: &[Vec<Lanes>; 2]) {
        for (reached, arrived) in reached.iter().zip(&self.arrived) {
            for (vary, (reached, arrived)) in self.vary.iter_mut().zip(reached.iter().zip(arrived))
            {
                *vary |= *reached & !*arrived & self.pack.unsure();
            }
        }
    }

    /// Gives one strength its turn: adds to what one of the two surely reaches. `before` is what
    /// may have been reached by stronger ways.
    pub fn turn(&mut self, strength: Strength, before: &[Vec<Lanes>; 2], surely: &mut [Lanes]) {
        let pack = self.pack;
        for tide in [Tide::Drain, Tide::Supply] {
            let opposed = &before[1 - tide as usize];
            let arrived = &mut self.arrived[tide as usize];
            let by = (Sureness::Sure, tide, strength);
            spread(pack, by, arrived, |at| surely[at] | opposed[at]);
        }
        // Through a way that lets both pass, one of the two surely arrives.
        let held = surely.iter().map(|row| *row & pack.unsure());
        let [drain, supply] = &self.arrived;
        let mut either: Vec<Lanes> = held
            .zip(drain)
            .zip(supply)
            .map(|((a, b), c)| a | *b | *c)
            .collect();
        let by = (Sureness::SureBothWays, Tide::Supply, strength);
        spread(pack, by, &mut either, |at| surely[at]);
        for (surely, either) in surely.iter_mut().zip(either) {
            *surely |= either;
        }
    }
}
