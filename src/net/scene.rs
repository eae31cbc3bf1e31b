//! One state with some faults, laid over a net.

use fixedbitset::FixedBitSet;

use super::arcs::Arcs;
use super::faults::Changes;
use super::{Cavity, Net, Passes, SUMP_CAVITY, Setting, Strength, Way, WayId};
use crate::circuit::{Condition, Fault, Kind, PartName, State, Truth};

/// Where every valve stands and which solenoids have current, as far as is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// Position of each valve, in the order of the circuit's table.
    pub valves: Vec<Option<u32>>,
    /// Current of each solenoid, in the order of the circuit's table.
    pub solenoids: Vec<Truth>,
}

impl Held {
    /// Solenoids as the state drives them, and no valve's position known.
    ///
    /// A solenoid driven in between is neither on nor off.
    #[must_use]
    pub fn driven(net: &Net<'_>, state: &State) -> Self {
        let circuit = net.circuit();
        let on = |id: &String| {
            let names = |text: &str| {
                circuit
                    .find(text, &[Kind::Solenoid, Kind::Input])
                    .is_ok_and(|n| n.kind == Kind::Solenoid && n.id == *id)
            };
            if state.levels.keys().any(|l| names(l)) {
                Truth::Unknown
            } else {
                state.on.iter().any(|o| names(o)).into()
            }
        };
        Held {
            valves: vec![None; circuit.valves.len()],
            solenoids: circuit.solenoids.keys().map(on).collect(),
        }
    }

    /// The same, with what stuck valves and solenoids impose.
    #[must_use]
    pub fn with_stuck(mut self, net: &Net<'_>, faults: &[Fault]) -> Self {
        let circuit = net.circuit();
        for fault in faults {
            match &fault.condition {
                Condition::StuckIn(position) => {
                    if let Some((valve, _, part)) = circuit.valves.get_full(&fault.part.id) {
                        let position = part.positions.get_index_of(position);
                        self.valves[valve] = position.map(|p| p as u32);
                    }
                }
                Condition::StuckOn | Condition::StuckOff if fault.part.kind == Kind::Solenoid => {
                    if let Some(solenoid) = circuit.solenoids.get_index_of(&fault.part.id) {
                        self.solenoids[solenoid] = (fault.condition == Condition::StuckOn).into();
                    }
                }
                _ => {}
            }
        }
        self
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

/// One state with some faults: which ways are open and what is fed by a source.
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
    /// Cavities that a working source or regulator holds at pressure.
    held: FixedBitSet,
}

impl<'n> Scene<'n> {
    /// Lays valve positions, solenoids and faults over a net. The order of the faults does
    /// not matter.
    #[must_use]
    pub fn new(net: &'n Net<'n>, held: &Held, faults: &[Fault]) -> Self {
        let changes = Changes::of(net, faults);
        let mut scene = Scene {
            net,
            settings: net
                .ways
                .iter()
                .map(|way| Setting::gated(way, held))
                .collect(),
            added_onward: Vec::new(),
            added_inward: Vec::new(),
            rails: Vec::new(),
            held: FixedBitSet::with_capacity(net.cavity_count()),
            added: changes.added,
        };
        for way in &changes.bared {
            scene.settings[*way] = Setting::BARE;
        }
        // Shut wins: a plugged hole stays plugged whatever else happens to it.
        for way in &changes.shut {
            scene.settings[*way] = Setting::SHUT;
        }
        scene.link_added(&changes.bared);
        scene.rails = scene.working_sources(&changes.plugged);
        for rail in &scene.rails {
            scene.held.insert(rail.at());
        }
        for (id, regulator) in &net.circuit.regulators {
            let name = PartName::new(Kind::Regulator, id);
            // Without a source there is nothing to regulate.
            if let Some(cavity) = net.cavity(&regulator.holds)
                && !scene.rails.is_empty()
                && !changes.failed.contains(&name)
            {
                scene.held.insert(cavity.at());
            }
        }
        scene
    }

    fn link_added(&mut self, bared: &[usize]) {
        let base = self.settings.len();
        let mut link = |way: usize, from: Cavity, to: Cavity, strength| {
            let link = |to| Link {
                to,
                way: WayId(way as u32),
                strength,
                sure: true,
                passes: Passes::Both,
            };
            self.added_onward.push((from, link(to)));
            self.added_inward.push((to, link(from)));
        };
        for (i, way) in self.added.iter().enumerate() {
            link(base + i, way.ends[0], way.ends[1], way.strength);
            link(base + i, way.ends[1], way.ends[0], way.strength);
        }
        // A one-way way wide open gains its other direction.
        for i in bared {
            let way = &self.net.ways[*i];
            if way.passes != Passes::Both
                && let Some(strength) = self.settings[*i].strength()
            {
                link(*i, way.ends[1], way.ends[0], strength);
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

    /// How the ways of the net stand, by number.
    pub(super) fn settings(&self) -> &[Setting] {
        &self.settings
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
        let gains_direction = now.bared() && self.way(way).passes != Passes::Both;
        now.strength() > then.strength() || gains_direction
    }

    /// Shuts one more way: what would be if it were not there.
    #[must_use]
    pub fn without(&self, way: WayId) -> Self {
        let mut scene = self.clone();
        if let Some(setting) = scene.settings.get_mut(way.at()) {
            *setting = Setting::SHUT;
        }
        scene
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

    /// Sources that can draw: the sump reaches their inlet through the suction side.
    fn working_sources(&self, plugged: &[Cavity]) -> Vec<Cavity> {
        let mut wet: Option<FixedBitSet> = None;
        let mut rails: Vec<Cavity> = Vec::new();
        for source in self.net.sources() {
            let draws = source.draws == SUMP_CAVITY
                || wet
                    .get_or_insert_with(|| self.suction_reach())
                    .contains(source.draws.at());
            if draws && !plugged.contains(&source.feeds) {
                rails.push(source.feeds);
            }
        }
        rails.sort_unstable();
        rails.dedup();
        rails
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
