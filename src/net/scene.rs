//! One state with some faults, and everything that moves standing somewhere.

use fixedbitset::FixedBitSet;

use super::arcs::Arcs;
use super::overlay::{Overlay, Spring};
use super::{Cavity, Drives, Held, Net, Passes, SUMP_CAVITY, Setting, Strength, Way, WayId};
use crate::circuit::{Fault, Level, PartName, State};

/// One state with some faults laid over a net, before anything has moved.
#[derive(Clone, Debug)]
pub struct Stage<'n> {
    net: &'n Net<'n>,
    overlay: Overlay<'n>,
    drives: Drives,
    /// Valves that stand where a fault or the state holds them, by number.
    fixed: Vec<Option<u32>>,
    /// Cavities kept under pressure, or kept without.
    pinned: Vec<(Cavity, bool)>,
    /// Whether no source works: the engine stands.
    stands: bool,
}

impl<'n> Stage<'n> {
    /// Lays a state and faults over a net. The order of the faults does not matter.
    #[must_use]
    pub fn new(net: &'n Net<'n>, state: &State, faults: &[Fault]) -> Self {
        let drives = Drives::of(net, state);
        Stage {
            net,
            overlay: Overlay::of(net, &[]),
            fixed: drives.by_hand.clone(),
            pinned: Vec::new(),
            stands: false,
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
            fixed: self.drives.by_hand.clone(),
            pinned: self.pinned.clone(),
            stands: self.stands,
            drives: self.drives.clone(),
        };
        for [a, b] in &stage.overlay.swapped {
            stage.drives.solenoids.swap(*a, *b);
        }
        for (solenoid, drive) in &stage.overlay.drives {
            stage.drives.solenoids[*solenoid] = *drive;
        }
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

    /// Where a valve is held by the state or by a fault, whatever its rule says.
    #[must_use]
    pub fn fixed(&self, valve: usize) -> Option<u32> {
        self.fixed[valve]
    }

    /// What is wrong with a valve's spring, if anything.
    #[must_use]
    pub fn spring(&self, valve: usize) -> Option<Spring> {
        let mut springs = self.overlay.springs.iter();
        springs.find(|(v, _)| *v == valve).map(|(_, s)| *s)
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
            settings: Vec::with_capacity(net.ways.len()),
            added_onward: Vec::new(),
            added_inward: Vec::new(),
            rails: Vec::new(),
            vents: vec![SUMP_CAVITY],
            held: FixedBitSet::with_capacity(net.cavity_count()),
            added: overlay.added.clone(),
        };
        let settings = net.ways.iter();
        scene
            .settings
            .extend(settings.map(|way| Setting::gated(way, held, &self.drives, level)));
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

/// A way as seen from one of its ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Link {
    /// The cavity at the other end.
    pub to: Cavity,
    /// The way.
    pub way: WayId,
    /// How much it lets through.
    pub strength: Strength,
    /// False where it may as well be shut.
    pub sure: bool,
    /// Which way oil goes.
    pub passes: Passes,
}

impl Link {
    /// Whether the end that oil leaves runs dry when the other end does. What only lets excess by
    /// never drains what it comes from.
    #[must_use]
    pub fn drains(&self) -> bool {
        self.passes != Passes::Excess
    }
}

/// One state with some faults and everything that moves standing somewhere: which ways are open,
/// what is fed and what is kept down.
#[derive(Clone, Debug)]
pub struct Scene<'n> {
    net: &'n Net<'n>,
    settings: Vec<Setting>,
    added: Vec<Way>,
    /// Links that faults add, where oil goes on and where it comes from, sorted by cavity.
    added_onward: Vec<(Cavity, Link)>,
    added_inward: Vec<(Cavity, Link)>,
    /// Cavities that a working source feeds.
    rails: Vec<Cavity>,
    /// The sump, and cavities that something keeps below the level asked about.
    vents: Vec<Cavity>,
    /// Cavities that a working source or regulator holds at pressure.
    held: FixedBitSet,
}

impl<'n> Scene<'n> {
    fn link_added(&mut self) {
        let base = self.settings.len();
        let mut link = |way: usize, from: Cavity, to: Cavity, strength, sure| {
            let link = |to| Link {
                to,
                way: WayId(way as u32),
                strength,
                sure,
                passes: Passes::Both,
            };
            self.added_onward.push((from, link(to)));
            self.added_inward.push((to, link(from)));
        };
        for (i, way) in self.added.iter().enumerate() {
            link(base + i, way.ends[0], way.ends[1], way.strength, true);
            link(base + i, way.ends[1], way.ends[0], way.strength, true);
        }
        // A one-way way wide open gains its other direction.
        for i in &self.net.one_way {
            let (way, setting) = (&self.net.ways[*i as usize], self.settings[*i as usize]);
            if setting.bared()
                && let Some(strength) = setting.strength()
            {
                let sure = setting.sure();
                link(*i as usize, way.ends[1], way.ends[0], strength, sure);
            }
        }
        self.added_onward.sort_by_key(|(at, link)| (*at, link.way));
        self.added_inward.sort_by_key(|(at, link)| (*at, link.way));
    }

    /// The net it lies on.
    #[must_use]
    pub fn net(&self) -> &'n Net<'n> {
        self.net
    }

    /// A way of the net or one that a fault added.
    #[must_use]
    pub fn way(&self, way: WayId) -> &Way {
        match way.at().checked_sub(self.net.ways.len()) {
            None => &self.net.ways[way.at()],
            Some(added) => &self.added[added],
        }
    }

    /// Number of ways, those that faults added included.
    #[must_use]
    pub fn way_count(&self) -> usize {
        self.settings.len() + self.added.len()
    }

    /// How a way stands.
    #[must_use]
    pub fn setting(&self, way: WayId) -> Setting {
        match way.at().checked_sub(self.settings.len()) {
            None => self.settings[way.at()],
            Some(added) => Setting::open(self.added[added].strength),
        }
    }

    /// Whether every way is surely open or surely shut.
    #[must_use]
    pub fn is_certain(&self) -> bool {
        self.settings.iter().all(|s| s.sure())
    }

    /// Whether a way lets more through than in a `sound` scene of the same net, or does not exist
    /// there.
    #[must_use]
    pub fn wider(&self, sound: &Scene<'_>, way: WayId) -> bool {
        if way.at() >= self.settings.len() {
            return true;
        }
        let (now, then) = (self.setting(way), sound.setting(way));
        let gains_direction = now.bared() && !then.bared() && self.way(way).passes != Passes::Both;
        now.strength() > then.strength() || gains_direction
    }

    /// Shuts more ways: what would be if they were not there. Those that faults added stay.
    #[must_use]
    pub fn without(&self, ways: impl IntoIterator<Item = WayId>) -> Self {
        let mut scene = self.clone();
        for way in ways {
            if let Some(setting) = scene.settings.get_mut(way.at()) {
                *setting = Setting::SHUT;
            }
        }
        scene
    }

    /// The sump, and cavities that a regulator or relief keeps below the level asked about.
    #[must_use]
    pub fn vents(&self) -> &[Cavity] {
        &self.vents
    }

    /// Cavities that a working source feeds.
    #[must_use]
    pub fn rails(&self) -> &[Cavity] {
        &self.rails
    }

    /// Whether a working source or regulator holds the cavity at pressure.
    #[must_use]
    pub fn holds(&self, cavity: Cavity) -> bool {
        self.held.contains(cavity.at())
    }

    /// Open ways by which oil can go on from a cavity.
    pub fn onward(&self, cavity: Cavity) -> impl Iterator<Item = Link> + '_ {
        self.links(&self.net.onward, &self.added_onward, cavity)
    }

    /// Open ways by which oil can come to a cavity.
    pub fn inward(&self, cavity: Cavity) -> impl Iterator<Item = Link> + '_ {
        self.links(&self.net.inward, &self.added_inward, cavity)
    }

    fn links<'l>(
        &'l self,
        arcs: &'l Arcs,
        added: &'l [(Cavity, Link)],
        cavity: Cavity,
    ) -> impl Iterator<Item = Link> + 'l {
        let base = arcs.at(cavity).iter().filter_map(|arc| {
            let setting = self.settings[arc.way().at()];
            Some(Link {
                to: arc.to,
                way: arc.way(),
                strength: setting.strength()?,
                sure: setting.sure(),
                passes: if setting.bared() {
                    Passes::Both
                } else {
                    arc.passes()
                },
            })
        });
        // Hardly any cavity has an added link, so the look-up must cost nothing without any.
        let added = if added.is_empty() {
            added
        } else {
            let from = added.partition_point(|(at, _)| *at < cavity);
            let here = &added[from..];
            &here[..here.partition_point(|(at, _)| *at == cavity)]
        };
        base.chain(added.iter().map(|(_, link)| *link))
    }

    /// Sources that can draw, with what they feed: the sump reaches their inlet through the
    /// suction side.
    fn working_sources(&self, plugged: &[Cavity]) -> Vec<(usize, Cavity)> {
        let mut wet: Option<FixedBitSet> = None;
        let mut working = Vec::new();
        for (i, source) in self.net.sources().iter().enumerate() {
            let draws = source.draws == SUMP_CAVITY
                || wet
                    .get_or_insert_with(|| self.suction_reach())
                    .contains(source.draws.at());
            if draws && !plugged.contains(&source.feeds) {
                working.push((i, source.feeds));
            }
        }
        working
    }

    /// Whether a pump can draw through a link: it stays on the suction side, and a mere leak is no
    /// supply.
    #[must_use]
    pub fn draws(&self, link: &Link) -> bool {
        link.strength > Strength::Leak && self.net.draws_through(link.to)
    }

    /// Cavities that oil reaches from the sump without pressure.
    fn suction_reach(&self) -> FixedBitSet {
        let mut wet = FixedBitSet::with_capacity(self.net.cavity_count());
        let mut queue = vec![SUMP_CAVITY];
        while let Some(cavity) = queue.pop() {
            for link in self.onward(cavity) {
                if self.draws(&link) && !wet.put(link.to.at()) {
                    queue.push(link.to);
                }
            }
        }
        wet
    }
}
