//! Many scenes of one net side by side: a bit for each in every word.
//!
//! [`PackedFaults`] are laid over a net once; [`PackedStage`] lays them over a state; a [`Pack`]
//! is that with everything standing somewhere, asked about one level, to be searched in one pass.
//! Everything that moves stands in each scene where it will.

mod at;
mod bores;
mod compare;
mod faults;
mod held;
mod lanes;
mod pressed;
mod stage;

use super::{Cavity, Net, Passes, Setting, Strength, WayId};

pub use at::LanesAt;
pub(crate) use bores::Width;
pub use faults::PackedFaults;
pub use held::PackedHeld;
pub use lanes::{LANES, Lanes};
pub use stage::PackedStage;

/// Up to [`LANES`] scenes of one net: [`Scene`](super::Scene), many side by side.
#[derive(Clone, Debug)]
pub struct Pack<'s> {
    faults: &'s PackedFaults<'s>,
    lanes: Lanes,
    /// How each way stands in all scenes, but for those that are marked.
    settings: &'s [Setting],
    /// How those stand, by slot.
    ways: Vec<Passing>,
    /// Cavities that working sources feed, and in which scenes.
    rails: Vec<(Cavity, Lanes)>,
    /// The sump and cavities that something keeps down, and in which scenes.
    vents: Vec<(Cavity, Lanes)>,
    /// Cavities that a working source or regulator holds at pressure, and in which scenes.
    held: Vec<(Cavity, Lanes)>,
    /// Scenes in which some way may be open or shut.
    unsure: Lanes,
}

/// How a way stands: the scenes in which it is open as its kind has it, those in which it is wide
/// open in both directions, and those of either in which it may as well be shut.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Passing {
    strength: Strength,
    open: Lanes,
    bare: Lanes,
    doubtful: Lanes,
}

/// Which ways are followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sureness {
    /// All that may be open.
    Possible,
    /// Those that surely are.
    Sure,
    /// Those that surely let oil go either way.
    SureBothWays,
}

impl Passing {
    fn at_least(&self, strength: Strength) -> Lanes {
        match strength <= self.strength {
            true => self.open | self.bare,
            false => self.bare,
        }
    }

    /// The scenes in which it is followed, of a kind that passes so.
    fn lets(&self, sureness: Sureness, passes: Passes, strength: Strength) -> Lanes {
        match sureness {
            Sureness::Possible => self.at_least(strength),
            Sureness::SureBothWays if passes != Passes::Both => self.bare & !self.doubtful,
            Sureness::Sure | Sureness::SureBothWays => self.at_least(strength) & !self.doubtful,
        }
    }
}

/// Which of the two goes on through a pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tide {
    /// Draining, from the sump against the oil.
    Drain,
    /// Supply, from the sources with the oil.
    Supply,
}

impl<'s> Pack<'s> {
    /// The net it lies on.
    #[must_use]
    pub fn net(&self) -> &'s Net<'s> {
        self.faults.net()
    }

    /// All its scenes.
    #[must_use]
    pub fn all(&self) -> Lanes {
        self.lanes
    }

    /// Whether another pack of the same stage stands as this one: what is asked of both, at whatever
    /// level, has one answer.
    pub(crate) fn stands_as(&self, other: &Pack<'_>) -> bool {
        self.lanes == other.lanes
            && self.ways == other.ways
            && self.rails == other.rails
            && self.vents == other.vents
            && self.held == other.held
            && self.settings == other.settings
    }

    /// Scenes in which some way may be open or shut.
    #[must_use]
    pub fn unsure(&self) -> Lanes {
        self.unsure
    }

    /// Cavities that working sources feed, and in which scenes.
    #[must_use]
    pub fn rails(&self) -> &[(Cavity, Lanes)] {
        &self.rails
    }

    /// The sump and cavities that something keeps below the level asked about, and in which
    /// scenes.
    #[must_use]
    pub fn vents(&self) -> &[(Cavity, Lanes)] {
        &self.vents
    }

    /// Cavities that a working source or regulator holds at pressure, and in which scenes.
    #[must_use]
    pub fn held(&self) -> &[(Cavity, Lanes)] {
        &self.held
    }

    /// Scenes in which a way lets anything through.
    #[must_use]
    pub fn opens(&self, way: WayId) -> Lanes {
        let passing = match self.faults.slot(way) {
            Some(slot) => self.ways[slot].at_least(Strength::Leak),
            None => Lanes::all_if(self.settings[way.at()].strength().is_some()),
        };
        passing & self.lanes
    }

    /// Shuts the way through a filter, converter or cooler: what would be if it were not there.
    #[must_use]
    pub fn without(&self, way: WayId) -> Self {
        let mut pack = self.clone();
        if let Some(slot) = self.faults.slot(way) {
            let passing = &mut pack.ways[slot];
            passing.open = Lanes::NONE;
            passing.bare = Lanes::NONE;
            passing.doubtful = Lanes::NONE;
            pack.doubt();
        }
        pack
    }

    /// Finds the scenes in which some way is in doubt.
    fn doubt(&mut self) {
        let ways = self.ways.iter();
        let unsure = ways.fold(Lanes::NONE, |any, way| any | way.doubtful);
        self.unsure = unsure & self.lanes;
    }

    /// Whether any way or link of just that strength ends at a cavity in some scene. Open ones are
    /// taken to be everywhere.
    #[must_use]
    pub fn has(&self, cavity: Cavity, strength: Strength) -> bool {
        self.faults.has(cavity, strength)
    }

    /// Calls `visit` for each cavity that supply or draining goes on to from one, with the scenes
    /// in which it gets through something of at least that strength.
    pub fn go_on(
        &self,
        tide: Tide,
        from: Cavity,
        least: Strength,
        visit: impl FnMut(Cavity, Lanes),
    ) {
        self.follow(Sureness::Possible, tide, false, from, least, visit);
    }

    /// The same by ways that are surely open, or whichever.
    pub(crate) fn go_on_by(
        &self,
        sureness: Sureness,
        tide: Tide,
        from: Cavity,
        least: Strength,
        visit: impl FnMut(Cavity, Lanes),
    ) {
        self.follow(sureness, tide, false, from, least, visit);
    }

    /// Calls `visit` for each cavity next to one by a way that no fault shuts, open in just this place
    /// or not, with how strong the way is and the scenes that have it so.
    pub(crate) fn next_to(&self, cavity: Cavity, mut visit: impl FnMut(Cavity, Strength, Lanes)) {
        let net = self.net();
        for arc in net.onward.at(cavity).iter().chain(net.inward.at(cavity)) {
            let way = arc.way();
            let mut lanes = self.lanes;
            if let Some(slot) = self.faults.slot(way) {
                lanes &= !self.faults.marked[slot].shut;
                visit(arc.to, Strength::Open, self.ways[slot].bare);
            }
            visit(arc.to, net.ways()[way.at()].strength, lanes);
        }
        // Links that faults add go both ways and stand at both ends.
        if self.faults.added.len() > 0 {
            for link in self.faults.added.at(cavity) {
                visit(link.to, link.strength, link.lanes);
            }
        }
    }

    /// Calls `visit` for each cavity that a cavity's oil drains to, with the scenes in which it
    /// gets through something of at least that strength: what only lets excess by drains nothing.
    pub fn drains_to(&self, from: Cavity, least: Strength, visit: impl FnMut(Cavity, Lanes)) {
        self.drains_to_by(Sureness::Possible, from, least, visit);
    }

    /// The same by ways that are surely open, or whichever.
    pub(crate) fn drains_to_by(
        &self,
        sureness: Sureness,
        from: Cavity,
        least: Strength,
        mut visit: impl FnMut(Cavity, Lanes),
    ) {
        for arc in self.net().onward.at(from) {
            let setting = self.settings[arc.way().at()];
            let excess = arc.passes() == Passes::Excess;
            if setting.is_marked() {
                let passing = &self.ways[self.faults.slot_of_marked(arc.way())];
                let lets = passing.lets(sureness, Passes::Both, least);
                visit(arc.to, if excess { lets & passing.bare } else { lets });
            } else if !excess && setting.strength() >= Some(least) {
                visit(arc.to, self.lanes);
            }
        }
        self.follow_added(sureness, Tide::Supply, from, least, visit);
    }

    /// Calls `visit` for each cavity that oil can come from to this one, what only lets excess by
    /// included, with the scenes in which it gets through something of at least that strength.
    pub fn come_from(&self, to: Cavity, least: Strength, visit: impl FnMut(Cavity, Lanes)) {
        self.come_from_by(Sureness::Possible, to, least, visit);
    }

    /// The same by ways that are surely open, or whichever.
    pub(crate) fn come_from_by(
        &self,
        sureness: Sureness,
        to: Cavity,
        least: Strength,
        visit: impl FnMut(Cavity, Lanes),
    ) {
        self.follow(sureness, Tide::Drain, true, to, least, visit);
    }

    fn follow(
        &self,
        sureness: Sureness,
        tide: Tide,
        excess: bool,
        from: Cavity,
        least: Strength,
        mut visit: impl FnMut(Cavity, Lanes),
    ) {
        let net = self.faults.net();
        let arcs = match tide {
            Tide::Supply => net.onward.at(from),
            Tide::Drain => net.inward.at(from),
        };
        for arc in arcs {
            if tide == Tide::Drain && arc.passes() == Passes::Excess && !excess {
                continue;
            }
            let setting = self.settings[arc.way().at()];
            if setting.is_marked() {
                let slot = self.faults.slot_of_marked(arc.way());
                visit(arc.to, self.ways[slot].lets(sureness, arc.passes(), least));
            } else if setting.strength() >= Some(least)
                && (sureness != Sureness::SureBothWays || arc.passes() == Passes::Both)
            {
                visit(arc.to, self.lanes);
            }
        }
        self.follow_added(sureness, tide, from, least, visit);
    }

    /// Follows the links that faults add, and those that they turn round.
    fn follow_added(
        &self,
        sureness: Sureness,
        tide: Tide,
        from: Cavity,
        least: Strength,
        mut visit: impl FnMut(Cavity, Lanes),
    ) {
        if self.faults.added.len() > 0 {
            for link in self.faults.added.at(from) {
                if link.strength >= least {
                    visit(link.to, link.lanes);
                }
            }
        }
        let turned = &self.faults.turned[tide as usize];
        if turned.len() > 0 {
            for link in turned.at(from) {
                let passing = &self.ways[link.slot as usize];
                // Only what is wide open goes this way, whatever its kind passes.
                visit(
                    link.to,
                    passing.lets(sureness, Passes::Forward, Strength::Open) & passing.bare,
                );
            }
        }
    }
}
