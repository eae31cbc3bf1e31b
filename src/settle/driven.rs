//! What everything that moves standing somewhere makes of any earlier pressures.

use super::pressures::words;
use super::{Balance, Pressures, Push, Value, balance};
use crate::circuit::Level;
use crate::net::{Cavity, Held, Scene, Stage};

/// What each cavity is driven to with everything that moves standing somewhere, and where earlier
/// pressures have a say: worked out once, whatever those are.
#[derive(Clone)]
pub(super) struct Driven {
    cavities: usize,
    /// For each level the cavities that supply may reach, those that draining may, and those that
    /// nothing surely reaches, a bit each. What both may reach is undecided; what keeps what it held
    /// may be reached by that as well.
    rows: Box<[u64]>,
}

impl Driven {
    /// Works out each level.
    pub fn of(stage: &Stage<'_>, held: &Held, levels: &[Level]) -> Self {
        let mut rows: Vec<u64> = Vec::new();
        let mut last: Option<(Scene<'_>, Vec<u64>)> = None;
        for level in levels {
            let scene = stage.scene(held, *level);
            // Many levels stand alike.
            let weighed = match last.take() {
                Some((last, weighed)) if last.stands_as(&scene) => weighed,
                _ => weighed(&scene),
            };
            rows.extend(&weighed);
            last = Some((scene, weighed));
        }
        Driven::known(stage.net().cavity_count(), rows.into())
    }

    /// With what is known of each level.
    pub fn known(cavities: usize, rows: Box<[u64]>) -> Self {
        Driven { cavities, rows }
    }

    /// What becomes of earlier pressures.
    pub fn after(&self, before: &Pressures) -> Pressures {
        let words = words(self.cavities);
        let levels = before.levels();
        let mut found: Vec<u64> = Vec::with_capacity(2 * words * levels.len());
        let mut keeps = false;
        for (place, driven) in self.rows.chunks(3 * words).enumerate() {
            let [fed, drained] = before.rows(place);
            let (supply, rest) = driven.split_at(words);
            let (drain, sealed) = rest.split_at(words);
            keeps |= sealed.iter().any(|sealed| *sealed != 0);
            let either = |at: usize| {
                let may_feed = supply[at] | sealed[at] & !drained[at];
                let may_drain = drain[at] | sealed[at] & !fed[at];
                (may_feed, may_drain)
            };
            let both = (0..words).map(either);
            found.extend(both.clone().map(|(feed, drain)| feed & !drain));
            found.extend(both.map(|(feed, drain)| drain & !feed));
        }
        Pressures::of(levels.clone(), self.cavities, found, keeps)
    }
}

/// What may reach each cavity of a scene, and what nothing surely does.
///
/// A cavity that something may reach and nothing surely does holds what it held only if that is what
/// may reach it, and where some cavity is contested not even then: what is not surely driven is
/// doubted. Surely driven are only cavities that something surely reaches, and those hold what they do
/// whatever was before.
fn weighed(scene: &Scene<'_>) -> Vec<u64> {
    let words = words(scene.net().cavity_count());
    let mut weighed = vec![0; 3 * words];
    let balance = balance(scene, None);
    let mut cavities = scene.net().cavities();
    let contested = cavities.any(|c| reached(&balance, c) == [true; 2]);
    for cavity in scene.net().cavities() {
        let sealed = balance.is_sealed(cavity);
        let [drain, supply] = match balance.value(cavity) {
            _ if sealed => match reached(&balance, cavity) {
                reached if contested => [reached.contains(&true); 2],
                reached => reached,
            },
            Value::Fed => [false, true],
            Value::Drained => [true, false],
            Value::Undecided => [true, true],
        };
        let (at, bit) = (cavity.number() / 64, cavity.number() % 64);
        for (row, holds) in [supply, drain, sealed].into_iter().enumerate() {
            weighed[row * words + at] |= u64::from(holds) << bit;
        }
    }
    weighed
}

/// Whether draining may reach a cavity, and whether supply may.
fn reached(balance: &Balance, cavity: Cavity) -> [bool; 2] {
    [balance.drain(cavity), balance.supply(cavity)].map(|push| push > Push::None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::Net;
    use crate::settle::pressures::rows;

    /// Whatever was before, what a stand makes of it is what weighing each level anew does: with
    /// ways in doubt beside contested cavities as well.
    #[test]
    fn a_stand_makes_of_what_was_before_what_weighing_it_anew_does() {
        let text = include_str!("../../circuits/six-speed-bus.toml");
        let circuit = crate::sheet::read(text).unwrap().circuit;
        let net = Net::new(&circuit).unwrap();
        let mut seed: u64 = 1;
        let mut below = |n: u32| {
            // Marsaglia's xorshift, Journal of Statistical Software 8(14), 2003.
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            (seed % u64::from(n)) as u32
        };
        let mut doubtful = 0;
        for state in circuit.states.values().cycle().take(300) {
            let stage = Stage::new(&net, state, &[]);
            let mut held = Held::unknown(&net);
            for (stands, valve) in held.valves.iter_mut().zip(net.valves()) {
                *stands = below(valve.rules.len() as u32 + 1).checked_sub(1);
            }
            held.boosted.iter_mut().for_each(|b| *b = below(2) == 0);
            let values = [Value::Fed, Value::Drained, Value::Undecided];
            let values = net.cavities().map(|_| values[below(3) as usize]);
            let before = Pressures::given(&stage, &values.collect::<Vec<_>>());
            let mut keeps = false;
            let anew = net.levels().iter().flat_map(|level| {
                let scene = stage.scene(&held, *level);
                let oil = balance(&scene, Some(&before.values(*level)));
                keeps |= net.cavities().any(|c| oil.is_sealed(c));
                let mut both = net.cavities().map(|c| reached(&oil, c));
                doubtful += usize::from(!scene.is_certain() && both.any(|b| b == [true; 2]));
                rows(oil.values())
            });
            let anew: Vec<u64> = anew.collect();
            let levels = before.levels().clone();
            let anew = Pressures::of(levels, net.cavity_count(), anew, keeps);
            assert_eq!(Driven::of(&stage, &held, net.levels()).after(&before), anew);
        }
        assert!(doubtful > 100, "{doubtful}");
    }
}
