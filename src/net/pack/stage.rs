//! Many sets of faults over one state, before anything has moved.

use std::sync::OnceLock;

use super::faults::{Marked, PackedFaults};
use super::{Lanes, Pack, PackedHeld, Passing};
use crate::circuit::Level;
use crate::net::overlay::Spring;
use crate::net::{Drive, Gate, Held, Net, SUMP_CAVITY, Setting, Stage, WayId};

/// Sets of faults laid over one state of a net: [`Stage`], many side by side.
#[derive(Clone, Debug)]
pub struct PackedStage<'p> {
    pub(super) faults: &'p PackedFaults<'p>,
    pub(super) sound: Stage<'p>,
    /// For each valve and each of its positions the scenes in which it is held there whatever the
    /// oil does.
    fixed: Vec<Vec<Lanes>>,
    /// How each solenoid is driven, and in which scenes.
    drives: Vec<Vec<(Drive, Lanes)>>,
    /// How the ways that are not marked stand, for each level asked about. Made when first
    /// needed.
    settings: [OnceLock<Vec<Setting>>; 4],
}

impl<'p> PackedStage<'p> {
    /// Lays sets of faults over a stage; faults the stage has itself, and valves it holds beyond
    /// what its state does, are left out, as [`Stage::with`] does.
    #[must_use]
    pub fn new(stage: &Stage<'p>, faults: &'p PackedFaults<'p>) -> Self {
        let sound = stage.with(&[]);
        let net = sound.net();
        let all = faults.all();
        let mut fixed: Vec<Vec<Lanes>> = Vec::with_capacity(net.valves().len());
        for (i, valve) in net.valves().iter().enumerate() {
            // A spoiled spring has a say in where the lever can put it, none in where a hand does.
            let lanes = match sound.drives().by_hand[i] {
                Some(_) => all,
                None => all & !spoiled(faults, i, |_| true),
            };
            let held = sound.fixed(i);
            let positions = 0..valve.rules.len() as u32;
            let at = positions.map(|p| Lanes::all_if(held == Some(p)) & lanes);
            fixed.push(at.collect());
        }
        for (valve, position, lanes) in &faults.stuck {
            for (p, held) in (0..).zip(&mut fixed[*valve]) {
                match p == *position {
                    true => *held |= *lanes,
                    false => *held &= !*lanes,
                }
            }
        }
        PackedStage {
            drives: drives(&sound, faults),
            faults,
            sound,
            fixed,
            settings: Default::default(),
        }
    }

    /// The net it lies on.
    #[must_use]
    pub fn net(&self) -> &'p Net<'p> {
        self.sound.net()
    }

    /// The state without any faults.
    #[must_use]
    pub fn sound(&self) -> &Stage<'p> {
        &self.sound
    }

    /// The sets of faults.
    #[must_use]
    pub fn faults(&self) -> &'p PackedFaults<'p> {
        self.faults
    }

    /// All scenes.
    #[must_use]
    pub fn all(&self) -> Lanes {
        self.faults.all()
    }

    /// Scenes in which a valve is held whatever the oil does: by a fault, the state, the lever or an
    /// input.
    #[must_use]
    pub fn fixed(&self, valve: usize) -> Lanes {
        let held = self.fixed[valve].iter();
        held.fold(Lanes::NONE, |all, lanes| all | *lanes)
    }

    /// Scenes in which a valve's spring is so spoiled.
    #[must_use]
    pub fn spoiled(&self, valve: usize, how: Spring) -> Lanes {
        spoiled(self.faults, valve, |spring| spring == how)
    }

    /// Scenes in which a solenoid works as if it had current, when asked about pressures of at
    /// least `level`.
    #[must_use]
    pub fn works(&self, solenoid: usize, level: Level, raises: bool) -> Lanes {
        let drives = self.drives[solenoid].iter();
        drives
            .filter(|(drive, _)| drive.works(level, raises))
            .fold(Lanes::NONE, |all, (_, lanes)| all | *lanes)
    }

    /// All scenes with valves and shuttles standing as they do in `held`, those that are fixed
    /// excepted.
    #[must_use]
    pub fn fix(&self, held: &Held) -> PackedHeld {
        let mut packed = PackedHeld::all(self.net(), held, self.all());
        for (valve, fixed) in self.fixed.iter().enumerate() {
            for (place, lanes) in fixed.iter().enumerate() {
                packed.put(valve, place, *lanes);
            }
        }
        packed
    }

    /// Some scenes with everything that moves standing as in `held`, as they look when asked
    /// which cavities have at least pressure `level`. Scenes left out have nothing fed and
    /// nothing drained.
    #[must_use]
    pub fn scene<'s>(&'s self, held: &PackedHeld, level: Level, lanes: Lanes) -> Pack<'s> {
        let unknown: Vec<Lanes> = held.valves.iter().map(|v| !union(v)).collect();
        let marked = self.faults.marked.iter();
        let ways = marked.map(|marked| self.stands(marked, held, level, &unknown));
        let mut pack = Pack {
            ways: ways.collect(),
            lanes,
            settings: self.settings(level),
            faults: self.faults,
            rails: Vec::new(),
            vents: vec![(SUMP_CAVITY, lanes)],
            held: Vec::new(),
            unsure: Lanes::NONE,
        };
        pack.doubt();
        self.hold_pressures(&mut pack, held, level);
        pack
    }

    /// Some scenes with everything that moves standing anywhere: each way that a valve or a shuttle
    /// ball opens may be open or shut.
    #[must_use]
    pub(crate) fn anywhere(&self, level: Level, lanes: Lanes) -> Pack<'_> {
        let net = self.net();
        let mut held = self.fix(&Held::unknown(net));
        held.boosted.fill(Lanes::NONE);
        let mut pack = self.scene(&held, level, lanes);
        for (passing, marked) in pack.ways.iter_mut().zip(&self.faults.marked) {
            if let Gate::Shuttle { .. } = net.ways()[marked.way].gate {
                passing.bare |= passing.open;
                passing.doubtful |= passing.bare;
            }
        }
        pack.doubt();
        pack
    }

    /// Scenes in which a way is surely open wherever what opens and shuts it has it open.
    #[must_use]
    pub(crate) fn spared(&self, way: WayId) -> Lanes {
        match self.faults.slot(way) {
            Some(slot) => {
                let marked = &self.faults.marked[slot];
                !(marked.shut | marked.doubtful | marked.maybe_open)
            }
            None => Lanes::ALL,
        }
    }

    /// Whether where things stand may change which cavities sources feed or what keeps them down:
    /// where something moves on the way to a pump, or a state boosts a regulator by pressure.
    #[must_use]
    pub(crate) fn may_shift_pressure(&self) -> bool {
        let net = self.net();
        let mut ways = net.ways().iter();
        let draws = net.sources().iter().any(|s| s.draws != SUMP_CAVITY);
        let on_suction = ways.any(|way| {
            let moves = matches!(way.gate, Gate::Valve { .. } | Gate::Shuttle { .. });
            let mut ends = way.ends.into_iter();
            moves && ends.any(|end| end != SUMP_CAVITY && net.draws_through(end))
        });
        let boosts = self.sound.drives().boosts.iter();
        let mut boosted = net.regulators().iter().zip(boosts);
        draws && on_suction || boosted.any(|(r, boosts)| *boosts && !r.boost.is_empty())
    }

    /// How a marked way stands.
    fn stands(
        &self,
        marked: &Marked,
        held: &PackedHeld,
        level: Level,
        unknown: &[Lanes],
    ) -> Passing {
        let way = &self.net().ways()[marked.way];
        let mut open;
        let (mut bare, mut doubtful) = (Lanes::NONE, Lanes::NONE);
        match way.gate {
            Gate::Always => open = Lanes::ALL,
            Gate::Valve { valve, position } => {
                doubtful = unknown[valve as usize];
                open = held.valves[valve as usize][position as usize] | doubtful;
            }
            Gate::Solenoid {
                solenoid,
                open_when_on,
                raises,
            } => {
                let works = self.works(solenoid as usize, level, raises);
                open = if open_when_on { works } else { !works };
            }
            // Pressed off its seat the open side lets oil back out as well.
            Gate::Shuttle { shuttle, side } => {
                let sides = &held.shuttles[shuttle as usize];
                bare = sides[side as usize];
                open = !union(sides);
            }
            Gate::Above { leaves } => open = Lanes::all_if(level > leaves),
            Gate::UpTo { most } => open = Lanes::all_if(level <= most),
        }
        if marked.touched {
            bare |= marked.bared;
            doubtful &= !marked.bared;
            doubtful |= marked.doubtful & (open | bare);
            open |= marked.maybe_open;
            bare &= !marked.maybe_open;
            doubtful |= marked.maybe_open;
            // Shut wins: a plugged hole stays plugged whatever else happens to it.
            open &= !marked.shut;
            bare &= !marked.shut;
            doubtful &= !marked.shut;
        }
        Passing {
            strength: way.strength,
            open,
            bare,
            doubtful,
        }
    }

    /// How the ways that are not marked stand, by number.
    fn settings(&self, level: Level) -> &[Setting] {
        self.settings[level as usize].get_or_init(|| {
            let net = self.net();
            let held = Held::unknown(net);
            let mut settings = net.settings(&held, self.sound.drives(), level);
            self.faults.mark_settings(&mut settings);
            settings
        })
    }
}

/// Scenes in which a valve's spring is spoiled in some way.
fn spoiled(faults: &PackedFaults<'_>, valve: usize, how: impl Fn(Spring) -> bool) -> Lanes {
    let springs = faults.springs.iter();
    let springs = springs.filter(|(v, spring, _)| *v == valve && how(*spring));
    springs.fold(Lanes::NONE, |all, (_, _, lanes)| all | *lanes)
}

/// How each solenoid is driven in each scene.
fn drives(sound: &Stage<'_>, faults: &PackedFaults<'_>) -> Vec<Vec<(Drive, Lanes)>> {
    let usual = &sound.drives().solenoids;
    let own = faults.drives.iter();
    let otherwise = own.fold(Lanes::NONE, |all, own| all | Lanes::one(own.lane));
    let as_usual = faults.all() & !otherwise;
    let mut drives: Vec<Vec<(Drive, Lanes)>> =
        usual.iter().map(|drive| vec![(*drive, as_usual)]).collect();
    for own in &faults.drives {
        let mut solenoids = usual.clone();
        for [a, b] in &own.swapped {
            solenoids.swap(*a, *b);
        }
        for (solenoid, drive) in &own.drives {
            solenoids[*solenoid] = *drive;
        }
        for (known, drive) in drives.iter_mut().zip(solenoids) {
            match known.iter_mut().find(|(d, _)| *d == drive) {
                Some((_, lanes)) => lanes.insert(own.lane),
                None => known.push((drive, Lanes::one(own.lane))),
            }
        }
    }
    drives
}

pub(super) fn union(lanes: &[Lanes]) -> Lanes {
    lanes.iter().fold(Lanes::NONE, |all, lanes| all | *lanes)
}
