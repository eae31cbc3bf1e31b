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
    /// For each added way twice: the cavity at one end, and the way. Sorted.
    added_at: Vec<(Cavity, WayId)>,
    /// Cavities with no oil passing through them at all.
    plugged: FixedBitSet,
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
        let Changes {
            mut added,
            plugged,
            shut,
            bared,
            failed,
            ..
        } = changes;
        let settings = net.ways.iter().enumerate().map(|(i, way)| {
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
            let bare = bared.contains(i);
            Setting {
                strength: (!shut.contains(i) && (open || bare)).then_some(if bare {
                    Strength::Open
                } else {
                    way.strength
                }),
                sure: sure || bare,
                passes: if bare { Passes::Both } else { way.passes },
            }
        });
        let settings: Vec<Setting> = settings.collect();
        added.sort_by_key(|w| (w.ends, w.strength, w.part));
        added.dedup();
        let base = net.ways.len();
        let mut added_at: Vec<(Cavity, WayId)> = added
            .iter()
            .enumerate()
            .flat_map(|(i, w)| w.ends.map(|end| (end, WayId((base + i) as u32))))
            .collect();
        added_at.sort_unstable();
        let mut scene = Scene {
            net,
            settings,
            added,
            added_at,
            plugged,
            rails: Vec::new(),
            held: FixedBitSet::with_capacity(net.cavity_count()),
        };
        scene.rails = scene.working_sources();
        for rail in &scene.rails {
            scene.held.insert(rail.at());
        }
        for (id, regulator) in &net.circuit.regulators {
            let name = PartName::new(Kind::Regulator, id);
            // Without a source there is nothing to regulate.
            if let Some(cavity) = net.cavity(&regulator.holds)
                && !scene.rails.is_empty()
                && !failed.contains(&name)
            {
                scene.held.insert(cavity.at());
            }
        }
        scene
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

    /// Open ways at a cavity, as seen from it. A plugged cavity has none, and none lead to it.
    pub fn links(&self, cavity: Cavity) -> impl Iterator<Item = Link> + '_ {
        let base = self.net.arcs_at(cavity).iter().map(|a| (a.way, a.forward));
        let from = self.added_at.partition_point(|(c, _)| *c < cavity);
        let added = self.added_at[from..]
            .iter()
            .take_while(move |(c, _)| *c == cavity)
            .map(move |(_, way)| (*way, self.way(*way).ends[0] == cavity));
        let here = !self.plugged.contains(cavity.at());
        base.chain(added)
            .filter(move |_| here)
            .filter_map(move |(way, forward)| {
                let Setting {
                    strength,
                    sure,
                    passes,
                } = self.setting(way);
                let to = self.way(way).ends[usize::from(forward)];
                let feeds = forward || passes == Passes::Both;
                let drains = passes == Passes::Both || (passes == Passes::Forward && !forward);
                (!self.plugged.contains(to.at())).then_some(Link {
                    to,
                    way,
                    strength: strength?,
                    sure,
                    feeds,
                    drains,
                    loses: feeds && passes != Passes::Excess,
                })
            })
    }

    /// Sources that can draw: the sump reaches their inlet through the suction side.
    fn working_sources(&self) -> Vec<Cavity> {
        let mut wet: Option<FixedBitSet> = None;
        let mut rails: Vec<Cavity> = Vec::new();
        for source in self.net.sources() {
            let draws = source.draws == SUMP_CAVITY
                || wet
                    .get_or_insert_with(|| self.suction_reach())
                    .contains(source.draws.at());
            if draws && !self.plugged.contains(source.feeds.at()) {
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
