//! Many scenes of one net side by side: a bit for each in every word.
//!
//! [`PackedFaults`] are laid over a net once; [`PackedStage`] lays them over a state; a [`Pack`]
//! is that with everything standing somewhere, asked about one level, to be searched in one pass.
//! Everything that moves stands in each scene where it will.

mod faults;
mod held;
mod lanes;
mod pressed;
mod stage;

use super::{Cavity, Net, Passes, Setting, Strength, WayId};

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

/// How a way stands: the scenes in which it is open as its kind has it, and those in which it is
/// wide open in both directions.
#[derive(Clone, Copy, Debug)]
struct Passing {
    strength: Strength,
    open: Lanes,
    bare: Lanes,
}

impl Passing {
    fn at_least(&self, strength: Strength) -> Lanes {
        match strength <= self.strength {
            true => self.open | self.bare,
            false => self.bare,
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

    /// Scenes in which some way may be open or shut: those are to be searched alone.
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
            pack.ways[slot].open = Lanes::NONE;
            pack.ways[slot].bare = Lanes::NONE;
        }
        pack
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
        self.follow(tide, false, from, least, visit);
    }

    /// Calls `visit` for each cavity that a cavity's oil drains to, with the scenes in which it
    /// gets through something of at least that strength: what only lets excess by drains nothing.
    pub fn drains_to(&self, from: Cavity, least: Strength, mut visit: impl FnMut(Cavity, Lanes)) {
        for arc in self.net().onward.at(from) {
            let setting = self.settings[arc.way().at()];
            let excess = arc.passes() == Passes::Excess;
            if setting.is_marked() {
                let passing = &self.ways[self.faults.slot_of_marked(arc.way())];
                visit(
                    arc.to,
                    if excess {
                        passing.bare
                    } else {
                        passing.at_least(least)
                    },
                );
            } else if !excess && setting.strength() >= Some(least) {
                visit(arc.to, self.lanes);
            }
        }
        self.follow_added(Tide::Supply, from, least, visit);
    }

    /// Calls `visit` for where oil drains from and to by each way that one scene of another pack
    /// of the same stage and level, the `sound` one, has not or has narrower, with how strong the
    /// way is and the scenes.
    pub fn wider(
        &self,
        sound: &Pack<'_>,
        lane: usize,
        mut visit: impl FnMut([Cavity; 2], Strength, Lanes),
    ) {
        for (from, link) in self.faults.added.iter() {
            visit([from, link.to], link.strength, link.lanes & self.lanes);
        }
        let marked = self.faults.marked.iter().zip(&self.ways).zip(&sound.ways);
        for ((marked, now), sound) in marked {
            let way = &self.net().ways()[marked.way];
            let [a, b] = way.ends;
            let was_bare = sound.bare.contains(lane);
            let was_open = was_bare || sound.open.contains(lane);
            let gains = way.strength < Strength::Open || way.passes != Passes::Both || !was_open;
            if gains && !was_bare {
                let bare = now.bare & self.lanes;
                visit([a, b], Strength::Open, bare);
                visit([b, a], Strength::Open, bare);
            }
            if !was_open {
                let open = now.open & !now.bare & self.lanes;
                if way.passes != Passes::Excess {
                    visit([a, b], way.strength, open);
                }
                if way.passes == Passes::Both {
                    visit([b, a], way.strength, open);
                }
            }
        }
    }

    /// Calls `visit` for each cavity that oil can come from to this one, what only lets excess by
    /// included, with the scenes in which it gets through something of at least that strength.
    pub fn come_from(&self, to: Cavity, least: Strength, visit: impl FnMut(Cavity, Lanes)) {
        self.follow(Tide::Drain, true, to, least, visit);
    }

    fn follow(
        &self,
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
                visit(arc.to, self.ways[slot].at_least(least));
            } else if setting.strength() >= Some(least) {
                visit(arc.to, self.lanes);
            }
        }
        self.follow_added(tide, from, least, visit);
    }

    /// Follows the links that faults add, and those that they turn round.
    fn follow_added(
        &self,
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
                visit(link.to, self.ways[link.slot as usize].bare);
            }
        }
    }
}
