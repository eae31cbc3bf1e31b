//! Whether oil goes round through a filter, converter or cooler, in many scenes at once: the same as
//! [`goes_round`](crate::settle::goes_round) says of each alone.

use crate::net::{Cavity, Lanes, Pack, SUMP_CAVITY, Strength, Sureness, Sweep, Tide, WayId};
use crate::settle::loss::{passed_by_all, shortest};
use crate::settle::round::{behind, uses_up};

/// The scene without faults.
const SOUND: usize = 0;

/// Those of some scenes in which oil that passes a way from a cavity on surely goes round, and those in
/// which it may. `packs` are one end of settling as it looks at each level that can be told apart.
pub(crate) fn goes_round_packed(
    packs: &[Pack<'_>],
    asked: Lanes,
    inlet: Cavity,
    way: WayId,
) -> [Lanes; 2] {
    let mut round = Round {
        packs: packs.iter().map(|pack| pack.without(way)).collect(),
        sureness: Sureness::Possible,
        inlet,
        behind: behind(packs[0].net(), inlet, way),
    };
    let may = round.goes(asked);
    let doubt = packs.iter().fold(Lanes::NONE, |any, p| any | p.unsure()) & asked;
    round.sureness = Sureness::Sure;
    let surely = round.goes(doubt) | (may & !doubt);
    [surely, may | surely]
}

/// One way to be gone round through.
struct Round<'p> {
    /// With that way shut.
    packs: Vec<Pack<'p>>,
    /// By which ways.
    sureness: Sureness,
    inlet: Cavity,
    behind: Cavity,
}

impl Round<'_> {
    /// Those of some scenes in which oil goes round.
    fn goes(&self, asked: Lanes) -> Lanes {
        if !asked.any() {
            return Lanes::NONE;
        }
        // Mostly supply comes as in the sound circuit, and what goes on past that way comes back to
        // nothing that all supply passes.
        let usual = self.supply(SOUND).unwrap_or_default();
        let leaves = self.leaves(asked & self.stands(&usual), &usual);
        // The others are worked out one by one, where oil leaves past the inlet at all.
        let maybe = self.leaves(asked & !leaves, &[self.inlet]);
        maybe.iter().fold(leaves, |leaves, lane| {
            leaves | self.leaves(Lanes::one(lane), &self.passed_by_all(lane))
        })
    }

    /// Those of some scenes in which oil leaves behind the way without entering some cavities.
    fn leaves(&self, lanes: Lanes, never: &[Cavity]) -> Lanes {
        let net = self.packs[0].net();
        let mut leaves = Lanes::NONE;
        if never.contains(&self.behind) || !lanes.any() {
            return leaves;
        }
        let mut seen = vec![Lanes::NONE; net.cavity_count()];
        let mut sweep = Sweep::new(net, Tide::Supply);
        seen[self.behind.number()] = lanes;
        sweep.push(self.behind);
        while let Some(at) = sweep.pop() {
            leaves |= seen[at.number()] & self.ends(at);
            let here = seen[at.number()] & !leaves;
            for pack in self.packs.iter().filter(|_| here.any()) {
                let metered = Strength::Metered;
                pack.go_on_by(self.sureness, Tide::Supply, at, metered, |to, lanes| {
                    let new = here & lanes & !seen[to.number()];
                    if new.any() && !never.contains(&to) {
                        seen[to.number()] |= new;
                        sweep.push(to);
                    }
                });
            }
        }
        leaves
    }

    /// Scenes in which oil that comes to a cavity leaves there.
    fn ends(&self, cavity: Cavity) -> Lanes {
        let pack = &self.packs[0];
        match uses_up(pack.net(), cavity) {
            true => pack.all(),
            false => at_root(pack.rails(), cavity) | at_root(pack.vents(), cavity),
        }
    }

    /// The shortest way of supply to the inlet in one scene, the inlet first.
    fn supply(&self, lane: usize) -> Option<Vec<Cavity>> {
        let count = self.packs[0].net().cavity_count();
        shortest(
            count,
            self.inlet,
            |at| self.inward(at, lane),
            |at| self.feeds(at, lane),
        )
    }

    /// The cavities that all supply to the inlet passes in one scene.
    fn passed_by_all(&self, lane: usize) -> Vec<Cavity> {
        let count = self.packs[0].net().cavity_count();
        passed_by_all(
            count,
            self.inlet,
            |at| self.inward(at, lane),
            |at| self.feeds(at, lane),
        )
    }

    fn inward(&self, at: Cavity, lane: usize) -> Vec<Cavity> {
        let mut inward = Vec::new();
        for pack in &self.packs {
            pack.come_from_by(self.sureness, at, Strength::Metered, |from, lanes| {
                // No supply comes out of the sump.
                if lanes.contains(lane) && from != SUMP_CAVITY {
                    inward.push(from);
                }
            });
        }
        inward
    }

    fn feeds(&self, at: Cavity, lane: usize) -> bool {
        at_root(self.packs[0].rails(), at).contains(lane)
    }

    /// Scenes in which supply comes to the inlet by a way that it takes in the sound one.
    fn stands(&self, supply: &[Cavity]) -> Lanes {
        let Some(source) = supply.last() else {
            return Lanes::NONE;
        };
        let mut stands = at_root(self.packs[0].rails(), *source);
        for step in supply.windows(2) {
            let mut open = Lanes::NONE;
            for pack in &self.packs {
                pack.come_from_by(self.sureness, step[0], Strength::Metered, |from, lanes| {
                    if from == step[1] {
                        open |= lanes;
                    }
                });
            }
            stands &= open;
        }
        stands
    }
}

/// Scenes in which a cavity is one of some that have them.
pub(crate) fn at_root(roots: &[(Cavity, Lanes)], cavity: Cavity) -> Lanes {
    let own = roots.iter().filter(|(root, _)| *root == cavity);
    own.fold(Lanes::NONE, |any, (_, lanes)| any | *lanes)
}
