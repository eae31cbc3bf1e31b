//! Scenes in which faults change nothing that anyone could tell.

use super::{PackedSettle, balance_packed, goes_round_packed};
use crate::circuit::Level;
use crate::net::{Cavity, Lanes, Pack, SUMP_CAVITY, Strength, Tide, User};
use crate::settle::{Counting, Push, Value, balance, losses};

/// The scene that has no faults.
const SOUND: usize = 0;

impl PackedSettle<'_> {
    /// Scenes in which nothing differs from the first, which must have no faults: everything
    /// stands alike, every cavity holds the same at every level, supply and drain reach it equally
    /// hard, and so it is at each filter, converter and cooler with its own way shut; what passes
    /// these goes round where it does when sound. No new or
    /// wider way leads from a cavity that is not drained anyway, as hard and past nothing that
    /// holds it; nothing is wrong with a source, a regulator, an accumulator or where a pump
    /// draws. Whatever is asked of an outlet, the answer is that of the sound circuit.
    ///
    /// Never names a scene with a way in doubt; none at all where the first has to be settled alone or has
    /// several ends.
    #[must_use]
    pub fn quiet(&self) -> Lanes {
        let decided = self.steady();
        if !decided.contains(SOUND) {
            return Lanes::NONE;
        }
        let pack = self.stage.scene(&self.end.held, Level::Low, decided);
        let mut loud = self.stage.faults().at_the_source() | self.stands_elsewhere();
        for level in &self.end.pressures.values {
            loud |= level.differ_from(SOUND);
        }
        loud |= self.oil().turns.differ_from(SOUND);
        loud |= pack.rooted_otherwise(SOUND);
        loud |= self.loses_more(&pack);
        let mut quiet = decided & !loud & !pack.unsure();
        let levels = self.at_each_level(decided);
        for outlet in self.stage.net().outlets() {
            if let User::Through { inlet, way } = outlet.user
                && quiet.any()
            {
                quiet &= !differs(pack.opens(way));
                quiet &= !self.passes_otherwise(&pack.without(way), inlet);
                let round = goes_round_packed(&levels, quiet, inlet, way).map(differs);
                quiet &= !(round[0] | round[1]);
            }
        }
        quiet
    }

    fn stands_elsewhere(&self) -> Lanes {
        let held = &self.end.held;
        let movers = (0..held.movers()).flat_map(|mover| held.places(mover));
        movers
            .chain(&held.boosted)
            .fold(Lanes::NONE, |any, lanes| any | differs(*lanes))
    }

    /// Scenes in which a new or wider way may lose oil that the sound circuit does not.
    fn loses_more(&self, pack: &Pack<'_>) -> Lanes {
        let stage = self.stage.sound();
        let scene = stage.scene(&self.end.held.lane(SOUND), Level::Low);
        let low = self.end.pressures.at_least(Level::Low);
        let cavities = scene.net().cavities();
        let before: Vec<Value> = cavities.map(|c| low.value(SOUND, c)).collect();
        let oil = balance(&scene, Some(&before));
        let lost = losses(&scene, &oil, None, Counting::Possible).all;
        let mut loses = Lanes::NONE;
        pack.wider(pack, SOUND, |[from, _], strength, lanes| {
            // What a drained cavity loses it loses anyway.
            let runs_off = oil.value(from) == Value::Drained
                && !scene.holds(from)
                && lost[from.number()] >= Push::from(strength);
            if from != SUMP_CAVITY && !runs_off {
                loses |= lanes;
            }
        });
        loses
    }

    /// Scenes in which the inlet of a filter, converter or cooler whose way is shut is fed or
    /// reached otherwise than when sound.
    fn passes_otherwise(&self, without: &Pack<'_>, inlet: Cavity) -> Lanes {
        let before = self.end.pressures.at_least(Level::Low);
        let oil = balance_packed(without, Some(before));
        let strengths = [Strength::Leak, Strength::Metered, Strength::Open];
        let reached = strengths.map(|least| oil.turns.reached(Tide::Supply, inlet, least));
        let values = [
            oil.values.fed[inlet.number()],
            oil.values.drained[inlet.number()],
        ];
        let all = reached.into_iter().chain(values);
        all.fold(Lanes::NONE, |loud, lanes| loud | differs(lanes))
    }
}

/// Scenes that are not as the sound one.
fn differs(lanes: Lanes) -> Lanes {
    lanes.differ_from(SOUND)
}
