//! One state with some faults, before anything has moved.

use fixedbitset::FixedBitSet;

use super::overlay::{Overlay, Spring};
use super::{
    Cavity, Drives, Gate, Held, Net, Passes, SUMP_CAVITY, Scene, Setting, Strength, Way, WayId,
};
use crate::circuit::{Fault, Level, PartName, State};

/// One state with some faults laid over a net, before anything has moved.
#[derive(Clone, Debug)]
pub struct Stage<'n> {
    net: &'n Net<'n>,
    overlay: Overlay<'n>,
    drives: Drives,
    /// Valves that stand where a fault, the state, the lever or an input holds them, by number.
    fixed: Vec<Option<u32>>,
    /// Cavities kept under pressure, or kept without.
    pinned: Vec<(Cavity, bool)>,
    /// Whether no source works: the engine stands.
    stands: bool,
    /// Ways that pass nothing, as a block lies on the bench, by number.
    apart: Vec<WayId>,
    /// Ends of ways that stand open on the bench, as ways to the sump.
    opened: Vec<Way>,
}

impl<'n> Stage<'n> {
    /// Lays a state and faults over a net. The order of the faults does not matter.
    #[must_use]
    pub fn new(net: &'n Net<'n>, state: &State, faults: &[Fault]) -> Self {
        let drives = Drives::of(net, state);
        Stage {
            net,
            overlay: Overlay::of(net, &[]),
            fixed: Vec::new(),
            pinned: Vec::new(),
            stands: false,
            apart: Vec::new(),
            opened: Vec::new(),
            drives,
        }
        .with(faults)
    }

    /// The same state with other faults.
    #[must_use]
    pub fn with(&self, faults: &[Fault]) -> Self {
        let mut stage = Stage {
            net: self.net,
            overlay: Overlay::of(self.net, faults),
            fixed: Vec::new(),
            pinned: self.pinned.clone(),
            stands: self.stands,
            apart: self.apart.clone(),
            opened: self.opened.clone(),
            drives: self.drives.clone(),
        };
        for [a, b] in &stage.overlay.swapped {
            stage.drives.solenoids.swap(*a, *b);
        }
        for (solenoid, drive) in &stage.overlay.drives {
            stage.drives.solenoids[*solenoid] = *drive;
        }
        let held = self.drives.by_hand.iter().zip(&self.drives.put);
        let held = held.enumerate().map(|(valve, (by_hand, put))| {
            // A spoiled spring has a say in where the lever can put it.
            let put = put.filter(|_| stage.spring(valve).is_none());
            by_hand.or(put)
        });
        stage.fixed = held.collect();
        for (valve, position) in &stage.overlay.stuck {
            stage.fixed[*valve] = Some(*position);
        }
        stage
    }

    /// The same with a valve held in a position.
    #[must_use]
    pub fn holding(&self, valve: usize, position: u32) -> Self {
        let mut stage = self.clone();
        stage.fixed[valve] = Some(position);
        stage
    }

    /// The same with a cavity kept under pressure, or kept without.
    #[must_use]
    pub fn pinning(&self, cavity: Cavity, fed: bool) -> Self {
        let mut stage = self.clone();
        stage.pinned.push((cavity, fed));
        stage
    }

    /// The same with the engine standing: no source makes pressure, so no regulator and no relief
    /// has any to hold.
    #[must_use]
    pub fn standing(&self) -> Self {
        Stage {
            stands: true,
            ..self.clone()
        }
    }

    /// The same on the bench: no source works, some ways pass nothing, and some cavities stand open
    /// to the air, each where a way that was taken apart has its end and as wide as given.
    #[must_use]
    pub fn on_bench(&self, apart: &[WayId], open: &[(Cavity, WayId, Strength)]) -> Self {
        let opened = open.iter().map(|(at, way, strength)| Way {
            ends: [SUMP_CAVITY, *at],
            passes: Passes::Both,
            strength: *strength,
            bore: None,
            part: self.net.ways[way.at()].part,
            gate: Gate::Always,
        });
        Stage {
            apart: apart.to_vec(),
            opened: opened.collect(),
            ..self.standing()
        }
    }

    /// The net it lies on.
    #[must_use]
    pub fn net(&self) -> &'n Net<'n> {
        self.net
    }

    /// What the state and the faults set from outside.
    #[must_use]
    pub fn drives(&self) -> &Drives {
        &self.drives
    }

    /// Where a valve is held whatever the oil does: by a fault, the state, the lever or an input.
    #[must_use]
    pub fn fixed(&self, valve: usize) -> Option<u32> {
        self.fixed[valve]
    }

    /// Whether the same pressures send everything that moves where they do on another stage.
    pub(crate) fn moves_as(&self, other: &Stage<'_>) -> bool {
        self.drives == other.drives
            && self.fixed == other.fixed
            && self.overlay.springs == other.overlay.springs
    }

    /// What is wrong with a valve's spring, if anything.
    #[must_use]
    pub fn spring(&self, valve: usize) -> Option<Spring> {
        let mut springs = self.overlay.springs.iter();
        springs.find(|(v, _)| *v == valve).map(|(_, s)| *s)
    }

    /// Whether a fault shuts a way of the net.
    #[must_use]
    pub fn shuts(&self, way: WayId) -> bool {
        self.overlay.shut.contains(&way.at())
    }

    /// Whether a fault has a regulator, by number, no longer keep its cavity down.
    #[must_use]
    pub fn raises(&self, regulator: usize) -> bool {
        self.overlay.raised.contains(&regulator)
    }

    /// Accumulators that no longer take up oil, each with the cavity it should fill from.
    #[must_use]
    pub fn jammed_accumulators(&self) -> &[(PartName, Cavity)] {
        &self.overlay.jammed
    }

    /// The same with valves and shuttles standing as they do in `held`, those that are fixed
    /// excepted.
    #[must_use]
    pub fn fix(&self, mut held: Held) -> Held {
        for (stands, fixed) in held.valves.iter_mut().zip(&self.fixed) {
            *stands = fixed.or(*stands);
        }
        held
    }

    /// Whether the engine stands.
    pub(super) fn stands(&self) -> bool {
        self.stands
    }

    /// Cavities kept under pressure, or kept without.
    pub(super) fn pinned(&self) -> &[(Cavity, bool)] {
        &self.pinned
    }

    /// The scene with everything that moves standing as in `held`, as it looks when asked which
    /// cavities have at least pressure `level`.
    #[must_use]
    pub fn scene(&self, held: &Held, level: Level) -> Scene<'n> {
        let net = self.net;
        let overlay = &self.overlay;
        let mut scene = Scene {
            net,
            settings: net.settings(held, &self.drives, level),
            added_onward: Vec::new(),
            added_inward: Vec::new(),
            added_at: FixedBitSet::new(),
            rails: Vec::new(),
            vents: vec![SUMP_CAVITY],
            held: FixedBitSet::with_capacity(net.cavity_count()),
            added: overlay.added.clone(),
        };
        for way in &overlay.bared {
            scene.settings[*way] = Setting::BARE;
        }
        for way in &overlay.doubtful {
            scene.settings[*way] = scene.settings[*way].doubted();
        }
        for way in &overlay.maybe_open {
            scene.settings[*way] = Setting::open(net.ways[*way].strength).doubted();
        }
        // Shut wins: a plugged hole stays plugged whatever else happens to it.
        for way in &overlay.shut {
            scene.settings[*way] = Setting::SHUT;
        }
        for way in &self.apart {
            scene.settings[way.at()] = Setting::SHUT;
        }
        let plugged = |way: &&Way| way.ends.iter().any(|end| overlay.plugged.contains(end));
        let opened = self.opened.iter().filter(|way| !plugged(way));
        scene.added.extend(opened.cloned());
        scene.link_added();
        self.hold_pressures(&mut scene, held, level);
        scene
    }

    /// The scene with every way that any position, current or level can open.
    #[must_use]
    pub fn all_open(&self) -> Scene<'n> {
        let mut scene = self.scene(&Held::unknown(self.net), Level::Low);
        let ways = self.net.ways.iter().map(|way| Setting::open(way.strength));
        scene.settings = ways.collect();
        scene
    }

    /// Finds which cavities sources feed at this level and which regulators and reliefs keep
    /// below it.
    fn hold_pressures(&self, scene: &mut Scene<'n>, held: &Held, level: Level) {
        let net = self.net;
        let overlay = &self.overlay;
        let working = match self.stands {
            true => Vec::new(),
            false => scene.working_sources(&overlay.plugged),
        };
        // Without a source there is nothing to regulate.
        let any = !working.is_empty();
        let mut capped: Vec<(Cavity, Level)> = Vec::new();
        for (i, regulator) in net.regulators().iter().enumerate() {
            if any && !overlay.failed.contains(&i) {
                let unboosted = self.drives.boosts[i] && !held.boosted[i];
                let level = match unboosted {
                    true => regulator.level.min(Level::Low),
                    false => regulator.level,
                };
                scene.held.insert(regulator.holds.at());
                capped.push((regulator.holds, level));
            }
        }
        let reliefs = net.reliefs().iter().filter(|_| !self.stands);
        capped.extend(reliefs.map(|r| (r.on, r.level)));
        for (i, feeds) in working {
            let source = &net.sources()[i];
            let weak = overlay.weak.contains(&i);
            let own = if weak { Level::Low } else { source.level };
            let caps = capped.iter().filter(|(at, _)| *at == feeds);
            let reaches = caps.map(|(_, cap)| *cap).fold(own, Level::min);
            if reaches >= level {
                scene.rails.push(feeds);
            } else {
                scene.vents.push(feeds);
            }
            scene.held.insert(feeds.at());
        }
        let below = capped.into_iter().filter(|(_, cap)| *cap < level);
        scene.vents.extend(below.map(|(at, _)| at));
        for (cavity, fed) in &self.pinned {
            match fed {
                true => scene.rails.push(*cavity),
                false => scene.vents.push(*cavity),
            }
        }
        for cavities in [&mut scene.rails, &mut scene.vents] {
            cavities.sort_unstable();
            cavities.dedup();
        }
        let vents = &scene.vents;
        scene.rails.retain(|rail| !vents.contains(rail));
    }
}
