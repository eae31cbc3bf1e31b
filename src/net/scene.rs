//! One state with some faults, laid over a net.

use fixedbitset::FixedBitSet;

use super::faults::Changes;
use super::{Cavity, Gate, Net, Passes, SUMP_CAVITY, Strength, Way, WayId};
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

/// How a way stands in a scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Setting {
    /// How much it lets through; none is shut.
    pub strength: Option<Strength>,
    /// False where it may as well be shut.
    pub sure: bool,
    /// Which way oil goes.
    pub passes: Passes,
}

impl Setting {
    /// Wide open in both directions.
    const BARE: Setting = Setting {
        strength: Some(Strength::Open),
        sure: true,
        passes: Passes::Both,
    };

    /// How a way stands by its own kind, the valves and the solenoids.
    fn gated(way: &Way, held: &Held) -> Self {
        let (open, sure) = match way.gate {
            Gate::Always => (true, true),
            Gate::Valve { valve, position } => match held.valves[valve as usize] {
                Some(stands) => (stands == position, true),
                None => (true, false),
            },
            Gate::Solenoid {
                solenoid,
                open_when_on,
            } => match held.solenoids[solenoid as usize] {
                Truth::Unknown => (true, false),
                on => ((on == Truth::True) == open_when_on, true),
            },
        };
        Setting {
            strength: open.then_some(way.strength),
            sure,
            passes: way.passes,
        }
    }

    /// The way as seen from one end, if it is open.
    fn link(self, way: WayId, to: Cavity, forward: bool) -> Option<Link> {
        let both = self.passes == Passes::Both;
        let feeds = forward || both;
        Some(Link {
            to,
            way,
            strength: self.strength?,
            sure: self.sure,
            feeds,
            drains: both || (self.passes == Passes::Forward && !forward),
            loses: feeds && self.passes != Passes::Excess,
        })
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
    /// Whether pressure goes from here to `to`.
    pub feeds: bool,
    /// Whether draining goes from here to `to`: whether `to` loses its oil when this end does.
    pub drains: bool,
    /// Whether draining comes from `to`: whether this end loses its oil when `to` does.
    pub loses: bool,
}

/// One state with some faults: which ways are open and what is fed by a source.
#[derive(Clone, Debug)]
pub struct Scene<'n> {
    net: &'n Net<'n>,
    settings: Vec<Setting>,
    added: Vec<Way>,
    /// Both ends of every added way, sorted by the cavity they are at.
    added_links: Vec<(Cavity, Link)>,
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
        let mut changes = Changes::new(net);
        for fault in faults {
            changes.take(fault);
        }
        changes.plug();
        let mut scene = Scene {
            net,
            settings: net
                .ways
                .iter()
                .map(|way| Setting::gated(way, held))
                .collect(),
            added_links: Vec::new(),
            rails: Vec::new(),
            held: FixedBitSet::with_capacity(net.cavity_count()),
            added: changes.added,
        };
        for way in changes.bared.ones() {
            scene.settings[way] = Setting::BARE;
        }
        // Shut wins: a plugged hole stays plugged whatever else happens to it.
        for way in changes.shut.ones() {
            scene.settings[way].strength = None;
        }
        scene.link_added();
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

    fn link_added(&mut self) {
        self.added.sort_by_key(|w| (w.ends, w.strength, w.part));
        self.added.dedup();
        let base = self.settings.len();
        let links = self.added.iter().enumerate().flat_map(|(i, way)| {
            let setting = Setting {
                strength: Some(way.strength),
                sure: true,
                passes: way.passes,
            };
            [(0, true), (1, false)].map(|(end, forward)| {
                let id = WayId((base + i) as u32);
                let link = setting.link(id, way.ends[1 - end], forward);
                (way.ends[end], link)
            })
        });
        self.added_links = links.filter_map(|(at, link)| Some((at, link?))).collect();
        self.added_links.sort_by_key(|(at, link)| (*at, link.way));
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
            Some(added) => {
                let way = &self.added[added];
                Setting {
                    strength: Some(way.strength),
                    sure: true,
                    passes: way.passes,
                }
            }
        }
    }

    /// Whether a way lets more through than in a `sound` scene of the same net, or does not exist
    /// there.
    #[must_use]
    pub fn wider(&self, sound: &Scene<'_>, way: WayId) -> bool {
        if way.at() >= self.settings.len() {
            return true;
        }
        let (now, then) = (self.setting(way), sound.setting(way));
        now.strength > then.strength || (now.passes == Passes::Both && then.passes != Passes::Both)
    }

    /// Shuts one more way: what would be if it were not there.
    #[must_use]
    pub fn without(&self, way: WayId) -> Self {
        let mut scene = self.clone();
        if let Some(setting) = scene.settings.get_mut(way.at()) {
            setting.strength = None;
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

    /// Open ways at a cavity, as seen from it.
    pub fn links(&self, cavity: Cavity) -> impl Iterator<Item = Link> + '_ {
        let base = self.net.arcs_at(cavity).iter();
        let base = base.filter_map(|a| self.settings[a.way.at()].link(a.way, a.to, a.forward));
        // Hardly any cavity has an added way, so the look-up must cost nothing without any.
        let added = if self.added_links.is_empty() {
            &[]
        } else {
            let from = self.added_links.partition_point(|(at, _)| *at < cavity);
            let here = &self.added_links[from..];
            &here[..here.partition_point(|(at, _)| *at == cavity)]
        };
        base.chain(added.iter().map(|(_, link)| *link))
    }

    /// Sources that can draw: the sump reaches their inlet through the suction side.
    fn working_sources(&self, plugged: &FixedBitSet) -> Vec<Cavity> {
        let mut wet: Option<FixedBitSet> = None;
        let mut rails: Vec<Cavity> = Vec::new();
        for source in self.net.sources() {
            let draws = source.draws == SUMP_CAVITY
                || wet
                    .get_or_insert_with(|| self.suction_reach())
                    .contains(source.draws.at());
            if draws && !plugged.contains(source.feeds.at()) {
                rails.push(source.feeds);
            }
        }
        rails.sort_unstable();
        rails.dedup();
        rails
    }

    /// Cavities that oil reaches from the sump without pressure. A mere leak is no supply.
    fn suction_reach(&self) -> FixedBitSet {
        let mut wet = FixedBitSet::with_capacity(self.net.cavity_count());
        let mut queue = vec![SUMP_CAVITY];
        while let Some(cavity) = queue.pop() {
            for link in self.links(cavity) {
                let draws = link.feeds && link.strength > Strength::Leak;
                if draws && self.net.suction.contains(link.to.at()) && !wet.put(link.to.at()) {
                    queue.push(link.to);
                }
            }
        }
        wet
    }
}
