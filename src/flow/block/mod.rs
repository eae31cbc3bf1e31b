//! The control block in one state as a network of laws.
//!
//! [`Block::lay`] takes everything that moves as standing where it is told to stand, as
//! [settling](crate::settle) found it, and gives every way oil can take there its law. Where the
//! circuit lacks a size that a law needs, another stands in and is named: whether an answer may
//! rest on it is not decided here.

mod control;
mod fault;
mod measured;
mod mouth;
mod piston;
mod way;

use std::collections::BTreeMap;
use std::sync::Arc;

use super::lists::Lists;
use super::network::{self, Network, Node};
use super::size::SizeError;
use super::sizes::{Asked, SizeOf, Sizes};
use super::{Fluid, Oil, OilError};
use crate::circuit::{Circuit, Condition, Fault, Kind, Level, PartName};
use crate::net::{Cavity, Held, Net, SUMP_CAVITY, Scene, Stage, WayId};
use crate::units::{Pressure, Speed, Temperature};

pub use measured::{Measured, Stream};
pub use piston::{Filling, Stroke, Strokes};

use mouth::Mouth;
use way::Made;

/// How the gearbox runs while it is measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Running {
    /// Turning speed of the pumps; what the circuit gives if none.
    pub speed: Option<Speed>,
    /// What is in it.
    pub oil: Oil,
    /// The oil as it is now.
    pub fluid: Fluid,
}

impl Running {
    /// At a speed, with an oil at a temperature.
    ///
    /// # Errors
    ///
    /// Where the oil's viscosity at that temperature cannot be said.
    pub fn new(
        speed: Option<Speed>,
        oil: Oil,
        temperature: Temperature,
    ) -> Result<Running, OilError> {
        let fluid = oil.at(temperature)?;
        Ok(Running { speed, oil, fluid })
    }
}

/// One state with its faults, everything that moves standing somewhere.
#[derive(Clone, Copy, Debug)]
pub struct Standing<'a> {
    /// The state, with its faults laid over it.
    pub stage: &'a Stage<'a>,
    /// The faults, which say how large what they open is.
    pub faults: &'a [Fault],
    /// Where everything that moves stands.
    pub held: &'a Held,
    /// How to take a way that may be open or shut.
    pub doubtful_open: bool,
}

/// Why no law can be made of a part.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Unsized {
    /// A size of it cannot be.
    #[error(transparent)]
    Size(#[from] SizeError),
    /// What it was measured with is no oil.
    #[error(transparent)]
    Oil(#[from] OilError),
}

/// A part of which no law can be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{part}: {why}")]
pub struct BlockError {
    /// The part.
    pub part: PartName,
    /// What is wrong with it.
    pub why: Unsized,
}

/// Where oil can go in the block, by one part.
#[derive(Clone, Debug, PartialEq)]
struct Run {
    part: PartName,
    ends: [Cavity; 2],
    /// The nodes between which it is.
    mouths: [Node; 2],
    way: network::Way,
}

/// A control block in one state as a network of laws.
#[derive(Debug)]
pub struct Block {
    network: Network,
    cores: Vec<Node>,
    runs: Vec<Run>,
    /// By cavity, the runs that meet there.
    meeting: Arc<Lists<u32>>,
    /// Where sources feed.
    fed: Vec<Cavity>,
    dead_ended: Vec<PartName>,
    /// Every size that was looked for, with what the file or the question gives, in its SI unit.
    pub asked: BTreeMap<SizeOf, Option<f64>>,
    /// Sizes that are not known and what stands in for each, in its SI unit.
    pub stand_ins: BTreeMap<SizeOf, f64>,
}

impl Block {
    /// Lays the network of a block.
    ///
    /// # Errors
    ///
    /// Every part that has a size of which no law can be made.
    pub fn lay(
        standing: Standing<'_>,
        running: &Running,
        sizes: &Sizes,
    ) -> Result<Block, Vec<BlockError>> {
        let scene = standing.stage.scene(standing.held, Level::Low);
        let net = scene.net();
        let mut laying = Laying {
            standing,
            circuit: net.circuit(),
            net,
            scene,
            running,
            asked: Asked::of(sizes),
            network: Network::default(),
            cores: Vec::new(),
            mouths: Vec::new(),
            runs: Vec::new(),
            dead_ended: Vec::new(),
            wrong: Vec::new(),
        };
        laying.place_cavities();
        laying.lay_ways();
        laying.lay_leaks_of_valves();
        laying.lay_users();
        laying.lay_controls();
        if !laying.wrong.is_empty() {
            return Err(laying.wrong);
        }
        let (asked, stand_ins) = laying.asked.told();
        let ends = laying.runs.iter().zip(0..);
        let ends = ends.flat_map(|(run, i)| run.ends.map(|cavity| (cavity.number() as u32, i)));
        Ok(Block {
            meeting: Arc::new(Lists::new(laying.cores.len(), ends)),
            fed: net.sources().iter().map(|source| source.feeds).collect(),
            network: laying.network,
            cores: laying.cores,
            runs: laying.runs,
            dead_ended: laying.dead_ended,
            asked,
            stand_ins,
        })
    }

    /// Holds a cavity at a pressure, in Pa, whatever that takes; or no longer.
    pub fn hold(&mut self, cavity: Cavity, pressure: Option<f64>) {
        self.network.hold(self.cores[cavity.number()], pressure);
    }
}

/// A block being laid.
struct Laying<'a> {
    standing: Standing<'a>,
    circuit: &'a Circuit,
    net: &'a Net<'a>,
    scene: Scene<'a>,
    running: &'a Running,
    asked: Asked<'a>,
    network: Network,
    /// The node of each cavity.
    cores: Vec<Node>,
    /// How oil gets from each cavity to the ways at it.
    mouths: Vec<Option<Mouth>>,
    runs: Vec<Run>,
    dead_ended: Vec<PartName>,
    wrong: Vec<BlockError>,
}

impl Laying<'_> {
    fn place_cavities(&mut self) {
        for cavity in self.net.cavities() {
            let node = match (cavity, self.made_at(cavity)) {
                (SUMP_CAVITY, _) => self.network.fixed(0.0),
                (_, Some(pressure)) => self.network.fixed(pressure.pa()),
                (_, None) => self.network.free(0.0),
            };
            self.cores.push(node);
            let mouth = self.mouth_of(cavity);
            self.mouths.push(mouth);
        }
    }

    fn lay_ways(&mut self) {
        for number in 0..self.scene.way_count() {
            let way = WayId(number as u32);
            let law = match number < self.net.ways().len() {
                true => self.law_of_way(way),
                false => self.law_of_fault(way),
            };
            let Some(law) = law else { continue };
            let laid = self.scene.way(way);
            let (part, ends) = (self.net.part(laid).clone(), laid.ends);
            self.run(&part, ends, law);
        }
    }

    /// Whether a cavity is plugged: then nothing passes it, by whatever way.
    fn is_plugged(&self, cavity: Cavity) -> bool {
        let name = PartName::new(Kind::Passage, self.net.name(cavity));
        self.is(&name, |condition| *condition == Condition::Plugged)
    }

    /// A run from one cavity to another through the mouths of both.
    fn run(&mut self, part: &PartName, ends: [Cavity; 2], law: Made) {
        if ends.into_iter().any(|cavity| self.is_plugged(cavity)) {
            return;
        }
        if let Some(law) = self.sized(part, law) {
            let [from, to] = ends.map(|cavity| self.mouth(cavity));
            let way = self.network.way(from, to, law);
            self.note(part, ends, [from, to], way);
        }
    }

    fn note(&mut self, part: &PartName, ends: [Cavity; 2], mouths: [Node; 2], way: network::Way) {
        self.runs.push(Run {
            part: part.clone(),
            ends,
            mouths,
            way,
        });
    }

    /// What was made of sizes, unless they were wrong: then that is noted.
    fn sized<T>(&mut self, part: &PartName, made: Result<T, impl Into<Unsized>>) -> Option<T> {
        let part = part.clone();
        let note = |why: _| {
            self.wrong.push(BlockError {
                part,
                why: Into::into(why),
            })
        };
        made.map_err(note).ok()
    }

    fn at(&self, cavity: Cavity) -> Node {
        self.cores[cavity.number()]
    }

    /// The condition a part is in, if any of the faults is of it and fits.
    fn is(&self, part: &PartName, fits: impl Fn(&Condition) -> bool) -> bool {
        let mut faults = self.standing.faults.iter();
        faults.any(|fault| fault.part == *part && fits(&fault.condition))
    }

    /// The pressure at which a source of fixed pressure holds a cavity.
    fn made_at(&mut self, cavity: Cavity) -> Option<Pressure> {
        let net = self.net;
        let mut sources = net.sources().iter().filter(|s| s.feeds == cavity);
        let source = sources.find(|s| self.circuit.sources[&s.name.id].displacement.is_none())?;
        self.fixed_pressure(source)
    }
}
