//! One compact graph of a circuit, and cheap scenes laid over it.
//!
//! A [`Net`] is built once: cavities and ways become small numbers, every way that any state can
//! open is in it. A [`Scene`] is one state with some faults: which ways are open, how strongly,
//! what the faults add. The net does not know why it is asked.

mod arcs;
mod build;
mod change;
mod derive;
mod held;
mod movers;
mod overlay;
mod pack;
mod scene;
mod setting;
mod stage;
mod sweep;
mod user;
mod verify;
mod way;

use std::collections::HashMap;
use std::ops::Range;
use std::sync::OnceLock;

use fixedbitset::FixedBitSet;

use crate::circuit::{Circuit, Kind, Level, PartName, SUMP};

pub use build::NetError;
pub use change::Change;
pub use held::{Drive, Drives, Held};
pub use movers::{NetRegulator, NetRelief, NetShuttle, NetValve, Term};
pub use overlay::Spring;
pub use pack::{LANES, Lanes, LanesAt, Pack, PackedFaults, PackedHeld, PackedStage, Tide};
pub(crate) use pack::{Sureness, Width};
pub use scene::{Link, Scene};
pub use setting::Setting;
pub use stage::Stage;
pub use sweep::Sweep;
pub use user::{NetOutlet, NetSource, User};
pub use way::{Cavity, Passes, SUMP_CAVITY, Strength, Way, WayId};

use arcs::Arcs;
use movers::Movers;
pub(crate) use way::Gate;

/// The compact graph of one circuit.
#[derive(Clone, Debug)]
pub struct Net<'c> {
    circuit: &'c Circuit,
    names: Vec<&'c str>,
    index: HashMap<&'c str, Cavity>,
    parts: Vec<PartName>,
    ways: Vec<Way>,
    numbers: HashMap<PartName, u32>,
    /// Where each part's ways start and end in `ways`, by the part's number.
    owns: Vec<Range<u32>>,
    /// For each plate, what lies under it or passes through it.
    lying: HashMap<PartName, Vec<(PartName, &'c [String])>>,
    /// Where oil can go on to from each cavity, and where it can come from.
    onward: Arcs,
    inward: Arcs,
    /// Ways that pass one way only, by number.
    one_way: Vec<u32>,
    /// How ways stand that nothing opens or shuts, by number, and the numbers of those that something
    /// does.
    ungated: Vec<Setting>,
    gated: Vec<u32>,
    movers: Movers,
    /// The highest pressure anything is held or made at, Pa.
    highest: Option<f64>,
    /// Levels of pressure that can be told apart in this circuit, lowest first; low is always one.
    levels: Vec<Level>,
    /// For draining and for supply: the cavities in a good order to sweep them, and the place of
    /// each in it. Made when first asked for.
    orders: [OnceLock<(Vec<Cavity>, Vec<u32>)>; 2],
    sources: Vec<NetSource>,
    outlets: Vec<NetOutlet>,
    /// Cavities no pressure can reach in any state: where pumps draw.
    suction: FixedBitSet,
    /// Cavities with something that uses oil up.
    consumed: FixedBitSet,
}

impl<'c> Net<'c> {
    /// The circuit it was built from.
    #[must_use]
    pub fn circuit(&self) -> &'c Circuit {
        self.circuit
    }

    /// Number of cavities, the sump included.
    #[must_use]
    pub fn cavity_count(&self) -> usize {
        self.names.len()
    }

    /// Every cavity, the sump first.
    pub fn cavities(&self) -> impl Iterator<Item = Cavity> + use<> {
        (0..self.names.len() as u32).map(Cavity)
    }

    /// The id of a cavity.
    #[must_use]
    pub fn name(&self, cavity: Cavity) -> &'c str {
        self.names[cavity.at()]
    }

    /// The cavity of that passage id, or the sump.
    #[must_use]
    pub fn cavity(&self, text: &str) -> Option<Cavity> {
        if text == SUMP {
            return Some(SUMP_CAVITY);
        }
        self.index.get(text).copied().or_else(|| {
            let name = self.circuit.find(text, &[Kind::Passage]).ok()?;
            self.index.get(name.id.as_str()).copied()
        })
    }

    /// Every way that some state can open.
    #[must_use]
    pub fn ways(&self) -> &[Way] {
        &self.ways
    }

    /// The ways that belong to a part, as numbers into [`Net::ways`].
    pub fn ways_of(&self, part: &PartName) -> impl Iterator<Item = WayId> + use<> {
        let number = self.numbers.get(part);
        let range = number.map_or(0..0, |n| self.owns[*n as usize].clone());
        range.map(WayId)
    }

    /// The ways that go with a part: its own, and for a plate those under or through it.
    #[must_use]
    pub fn owned_by(&self, part: &PartName) -> Vec<WayId> {
        let lying = self.lying_on(part).iter().map(|(name, _)| name);
        std::iter::once(part)
            .chain(lying)
            .flat_map(|name| self.ways_of(name))
            .collect()
    }

    /// The ways at a cavity that some state can open.
    pub fn ways_at(&self, cavity: Cavity) -> impl Iterator<Item = &Way> {
        let inward = self.inward.at(cavity).iter();
        let one_way = inward.filter(|a| a.passes() != Passes::Both);
        let arcs = self.onward.at(cavity).iter().chain(one_way);
        arcs.map(|a| &self.ways[a.way().at()])
    }

    /// The cavities in an order in which a tide meets most of them after those it comes from, and
    /// the place of each cavity in it.
    fn order(&self, tide: Tide) -> (&[Cavity], &[u32]) {
        let (order, place) = self.orders[tide as usize].get_or_init(|| {
            let order = sweep::order(self, tide);
            let mut place = vec![0; order.len()];
            for (i, cavity) in order.iter().enumerate() {
                place[cavity.at()] = i as u32;
            }
            (order, place)
        });
        (order, place)
    }

    /// Whether a pump may draw through the cavity: no state puts it under pressure.
    #[must_use]
    pub fn draws_through(&self, cavity: Cavity) -> bool {
        self.suction.contains(cavity.at())
    }

    /// Whether something at the cavity uses oil up: a bearing, a gear, whatever works by flow.
    #[must_use]
    pub fn consumes(&self, cavity: Cavity) -> bool {
        self.consumed.contains(cavity.at())
    }

    /// The part a way belongs to.
    #[must_use]
    pub fn part(&self, way: &Way) -> &PartName {
        &self.parts[way.part as usize]
    }

    /// Valves with their rules, in the order of the circuit's table.
    #[must_use]
    pub fn valves(&self) -> &[NetValve] {
        &self.movers.valves
    }

    /// Shuttle balls.
    #[must_use]
    pub fn shuttles(&self) -> &[NetShuttle] {
        &self.movers.shuttles
    }

    /// Regulators, in the order of the circuit's table.
    #[must_use]
    pub fn regulators(&self) -> &[NetRegulator] {
        &self.movers.regulators
    }

    /// Relief valves, in the order of the circuit's table.
    #[must_use]
    pub fn reliefs(&self) -> &[NetRelief] {
        &self.movers.reliefs
    }

    /// Levels of pressure that can be told apart in this circuit, lowest first; low is always
    /// among them.
    #[must_use]
    pub fn levels(&self) -> &[Level] {
        &self.levels
    }

    /// Whether any metered way has a known bore.
    #[must_use]
    pub fn meters_by_bore(&self) -> bool {
        let mut ways = self.ways.iter();
        ways.any(|way| way.strength == Strength::Metered && way.bore.is_some())
    }

    /// What makes pressure.
    #[must_use]
    pub fn sources(&self) -> &[NetSource] {
        &self.sources
    }

    /// What uses oil, filters, converters and coolers included.
    #[must_use]
    pub fn outlets(&self) -> &[NetOutlet] {
        &self.outlets
    }

    /// The outlet, filter, converter or cooler of that name.
    #[must_use]
    pub fn outlet(&self, name: &PartName) -> Option<&NetOutlet> {
        self.outlets.iter().find(|o| o.name == *name)
    }

    /// How every way stands by its own kind, the valves and the solenoids, by number.
    fn settings(&self, held: &Held, drives: &Drives, level: Level) -> Vec<Setting> {
        let mut settings = self.ungated.clone();
        for way in &self.gated {
            let at = *way as usize;
            settings[at] = Setting::gated(&self.ways[at], held, drives, level);
        }
        settings
    }

    /// The number of a part, which every way of it carries.
    fn number_of(&self, part: &PartName) -> u32 {
        self.numbers.get(part).copied().unwrap_or_default()
    }

    /// The parts whose ways lie under or pass through a plate, each with the cavities at whose
    /// end it has a hole of its own.
    fn lying_on(&self, plate: &PartName) -> &[(PartName, &'c [String])] {
        self.lying.get(plate).map_or(&[], Vec::as_slice)
    }
}
