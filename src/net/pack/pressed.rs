//! What is fed and what is kept down, in many scenes at once.

use super::stage::union;
use super::{Lanes, Pack, PackedHeld, PackedStage};
use crate::circuit::Level;
use crate::net::{SUMP_CAVITY, Strength, Tide};

impl PackedStage<'_> {
    /// Finds which cavities sources feed at this level and which regulators and reliefs keep
    /// below it, each with the scenes.
    pub(super) fn hold_pressures(&self, pack: &mut Pack<'_>, held: &PackedHeld, level: Level) {
        let net = self.net();
        let lanes = pack.lanes;
        let within = |of: &[(usize, Lanes)], number: usize| {
            let found = of.iter().find(|(n, _)| *n == number);
            found.map_or(Lanes::NONE, |(_, lanes)| *lanes)
        };
        let wet = self.suction_reach(pack);
        let working: Vec<Lanes> = net
            .sources()
            .iter()
            .map(|source| {
                if self.sound.stands() {
                    return Lanes::NONE;
                }
                let draws = match source.draws {
                    SUMP_CAVITY => lanes,
                    draws => wet[draws.at()] & lanes,
                };
                let plugged = self.faults.plugged.iter();
                let plugged = plugged.filter(|(cavity, _)| *cavity == source.feeds);
                plugged.fold(draws, |draws, (_, plugged)| draws & !*plugged)
            })
            .collect();
        // Without a source there is nothing to regulate.
        let any = union(&working);
        let mut below = Vec::new();
        for (i, regulator) in net.regulators().iter().enumerate() {
            let holds = any & !within(&self.faults.failed, i);
            pack.held.push((regulator.holds, holds));
            let lowered = match self.sound.drives().boosts[i] {
                true => !held.boosted[i],
                false => Lanes::NONE,
            };
            let low = Lanes::all_if(regulator.level.min(Level::Low) < level) & lowered;
            let set = Lanes::all_if(regulator.level < level) & !lowered;
            below.push((regulator.holds, holds & (low | set)));
        }
        let reliefs = net.reliefs().iter().filter(|_| !self.sound.stands());
        let reliefs = reliefs.filter(|relief| relief.level < level);
        below.extend(reliefs.map(|relief| (relief.on, lanes)));
        for (i, source) in net.sources().iter().enumerate() {
            let weak = within(&self.faults.weak, i);
            let makes = (Lanes::all_if(Level::Low >= level) & weak)
                | (Lanes::all_if(source.level >= level) & !weak);
            let caps = below.iter().filter(|(at, _)| *at == source.feeds);
            let reaches = caps.fold(makes, |reaches, (_, cap)| reaches & !*cap);
            pack.rails.push((source.feeds, working[i] & reaches));
            pack.vents.push((source.feeds, working[i] & !reaches));
            pack.held.push((source.feeds, working[i]));
        }
        pack.vents.extend(below);
        for (cavity, fed) in self.sound.pinned() {
            match fed {
                true => pack.rails.push((*cavity, lanes)),
                false => pack.vents.push((*cavity, lanes)),
            }
        }
        for cavities in [&mut pack.rails, &mut pack.vents, &mut pack.held] {
            cavities.sort_unstable_by_key(|(cavity, _)| *cavity);
            cavities.dedup_by(|(cavity, lanes), (kept, all)| {
                let same = cavity == kept;
                if same {
                    *all |= *lanes;
                }
                same
            });
            cavities.retain(|(_, lanes)| lanes.any());
        }
        for (rail, lanes) in &mut pack.rails {
            if let Some((_, vented)) = pack.vents.iter().find(|(vent, _)| vent == rail) {
                *lanes &= !*vented;
            }
        }
        pack.rails.retain(|(_, lanes)| lanes.any());
    }

    /// Scenes in which oil reaches each cavity from the sump without pressure. Empty where every
    /// source draws from the sump itself.
    fn suction_reach(&self, pack: &Pack<'_>) -> Vec<Lanes> {
        let net = self.net();
        if net.sources().iter().all(|s| s.draws == SUMP_CAVITY) {
            return Vec::new();
        }
        let mut wet = vec![Lanes::NONE; net.cavity_count()];
        wet[SUMP_CAVITY.at()] = pack.lanes;
        let mut queue = vec![SUMP_CAVITY];
        while let Some(cavity) = queue.pop() {
            let here = wet[cavity.at()];
            // A mere leak is no supply.
            pack.go_on(Tide::Supply, cavity, Strength::Metered, |to, lanes| {
                let new = here & lanes & !wet[to.at()];
                if net.draws_through(to) && new.any() {
                    wet[to.at()] |= new;
                    queue.push(to);
                }
            });
        }
        wet
    }
}
