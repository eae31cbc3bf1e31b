//! What is to be drawn: plain data, before any place or colour.

mod build;
mod detail;
mod error;
mod fault;
mod laid;
mod overlay;
mod part;
mod plate;
mod rank;
mod scope;

use serde::Serialize;

use super::role::Role;
use crate::answer::Verdict;
use crate::circuit::{Fault, PartName};
use crate::units::UnitSystem;

pub use build::picture;
pub use error::DrawError;
pub use laid::{Laid, Layer};

/// What to draw of a circuit.
#[derive(Clone, Debug, Default)]
pub struct View<'v> {
    /// The state laid over it; none draws every way open, unless the circuit declares no states.
    pub state: Option<&'v str>,
    /// What is wrong.
    pub faults: &'v [Fault],
    /// How much of it.
    pub scope: Scope,
    /// Units of sizes.
    pub units: UnitSystem,
}

/// How much of a circuit to draw.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Scope {
    /// All of it.
    #[default]
    Whole,
    /// What lies next to a part, two cavities away at most.
    Around(PartName),
    /// The oil's way to a part, as [`answer::trace`](crate::answer::trace) tells it, and nothing
    /// else.
    Trace(PartName),
    /// These cavities (passages) and parts, and what joins them.
    Only(Vec<PartName>),
}

/// A circuit, or a part of it, made ready to be drawn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Picture {
    /// What the circuit is called.
    pub title: String,
    /// Which state, which faults, how much of the circuit.
    pub about: String,
    /// Whether a settled state lies over it: then roles say what has become of the oil, else what
    /// it is there for.
    pub settled: bool,
    /// Cavities and parts.
    pub items: Vec<Item>,
    /// What joins a cavity and a part.
    pub pipes: Vec<Pipe>,
    /// Bodies that the items lie in.
    pub castings: Vec<Casting>,
    /// Plates that the items lie under or pass.
    pub plates: Vec<Plate>,
}

/// A cavity or a part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Item {
    /// The cavity (a passage) or part; what a leak that a fault opened belongs to.
    pub name: PartName,
    /// Unique in its picture, and the same for every picture of the circuit: `cavity-line`,
    /// `ball-quick-off`, `leak-hop-cover-1`.
    pub key: String,
    /// What it looks like.
    pub shape: Shape,
    /// What people call it, in lines short enough to be drawn.
    pub label: Vec<String>,
    /// A size, a pressure or a position, short.
    pub detail: Option<String>,
    /// Everything there is to say of it, unshortened.
    pub title: String,
    /// Number of the casting it lies in.
    pub casting: Option<usize>,
    /// What has become of its oil; none for a part.
    pub role: Option<Role>,
    /// Where it opens to the sump or draws from it.
    pub tank: Option<Tank>,
    /// Numbers of the plates that roof it, and whether it passes through each or lies under it.
    pub plates: Vec<(usize, Over)>,
    /// Taps, switches and seals on it.
    pub chips: Vec<Chip>,
    /// Whether oil passes it.
    pub passing: Passing,
    /// What is wrong with it.
    pub fault: Option<String>,
    /// What became of an outlet.
    pub verdict: Option<Verdict>,
    /// Its numbers in the report of a trace.
    pub steps: Vec<usize>,
    /// Whether more lies beyond it than is drawn.
    pub cut: bool,
}

/// What an item looks like.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// A cavity.
    Cavity,
    /// An open way.
    Port,
    /// A metered way.
    Orifice,
    /// A running clearance.
    Clearance,
    /// A one-way ball; sprung where it needs pressure to lift.
    Ball {
        /// Whether a spring holds it down.
        sprung: bool,
    },
    /// A shuttle ball.
    Shuttle,
    /// A spool valve.
    Valve(Spool),
    /// Holds a pressure.
    Regulator,
    /// Opens above a pressure.
    Relief,
    /// An electric valve.
    Solenoid,
    /// A pump or a fixed pressure.
    Source,
    /// A spring piston.
    Accumulator,
    /// A filter.
    Filter,
    /// A converter.
    Converter,
    /// A cooler.
    Cooler,
    /// A clutch, brake, servo: works by pressure.
    Pressed,
    /// A bearing, gear, lube point: consumes oil.
    Oiled,
    /// A way that a fault opened.
    Leak,
}

/// A spool in its bore.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Spool {
    /// The ports in order: whether each opens to the sump.
    pub ports: Vec<bool>,
    /// Pairs of ports joined where it stands, by number.
    pub joined: Vec<[usize; 2]>,
    /// The port that is its spring pocket.
    pub spring: Option<usize>,
}

/// Where a part meets the sump.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tank {
    /// Oil comes from it.
    Draws,
    /// Oil runs off to it.
    Drains,
}

/// How a plate lies over an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Over {
    /// It roofs the cavity, or the way lies under it.
    Roof,
    /// The way passes a hole of it.
    Through,
}

/// A small part that sits on a cavity or way.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Chip {
    /// The tap, switch or seal.
    pub name: PartName,
    /// What people call it, short.
    pub label: String,
    /// Everything there is to say of it.
    pub title: String,
    /// What is wrong with it.
    pub fault: Option<String>,
}

/// Whether oil passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Passing {
    /// It does.
    Open,
    /// It does not.
    Shut,
    /// It may.
    Unsure,
}

impl Passing {
    /// Its word, which is also its class in a drawing.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Passing::Open => "open",
            Passing::Shut => "shut",
            Passing::Unsure => "unsure",
        }
    }
}

/// What joins a cavity and a part. Drawn from `from` to `to`, which is down the page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Pipe {
    /// The item nearer to the source.
    pub from: usize,
    /// The item further from it.
    pub to: usize,
    /// Which of the two is the cavity.
    pub cavity: usize,
    /// The items that arrows point into, where oil goes one way only or is traced: both where a
    /// traced way goes in and comes back.
    pub arrows: Vec<usize>,
    /// The role of the cavity's oil.
    pub role: Role,
    /// Whether oil passes between the two.
    pub passing: Passing,
    /// Whether it only pushes: a pilot on a spool's end, boost on a regulator.
    pub pushes: bool,
    /// What stands at the part's end: the number of a valve's port, the order of a spill, a side.
    pub tag: String,
    /// Whether the traced oil takes it.
    pub traced: bool,
}

/// A body that items lie in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Casting {
    /// Its id.
    pub id: String,
    /// What people call it.
    pub label: String,
}

/// A plate that items lie under or pass.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Plate {
    /// Its id.
    pub id: String,
    /// What people call it, with its kind where that does not say it.
    pub label: String,
    /// The letter that stands for it in the drawing.
    pub letter: String,
    /// What is wrong with it.
    pub fault: Option<String>,
}

impl Pipe {
    /// The item at the other end.
    #[must_use]
    pub fn other(&self, item: usize) -> Option<usize> {
        match item {
            item if item == self.from => Some(self.to),
            item if item == self.to => Some(self.from),
            _ => None,
        }
    }
}
