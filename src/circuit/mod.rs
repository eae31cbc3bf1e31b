//! The parts of an oil circuit, the states it is driven in, and what can go wrong with each part.
//!
//! A [`Circuit`] is plain data: one ordered table per [`Kind`], keyed by id, every reference
//! a string as its author wrote it. [`Circuit::find`] turns such a string into a [`PartName`],
//! and [`Circuit::problems`] lists every rule the data breaks. Neither files nor graph indices
//! are known here.

mod case;
mod catalogue;
mod condition;
mod control;
mod fault;
mod find;
mod name;
mod oil;
mod outlet;
mod plate;
mod problem;
mod refer;
mod rule;
mod rule_cover;
mod rules;
mod seen;
mod shown;
mod sighting;
mod state;
mod valve;
mod way;
mod word;

use std::collections::BTreeMap;

use indexmap::IndexMap;

pub use case::{Case, CheckMade, Story};
pub use condition::Condition;
pub use control::{Accumulator, Regulator, Relief, Solenoid, SolenoidKind, Source, Work};
pub use fault::{Fault, FaultError};
pub use find::FindError;
pub(crate) use find::{article, join_and, join_or, nearest};
#[cfg(feature = "report")]
pub(crate) use name::{ID_PATTERN, RESERVED};
pub use name::{Kind, PartName, Place, Step, is_id};
pub use oil::Oil;
pub use outlet::{Access, Needs, Outlet, OutletKind, Seat, Switch, Tap, Through};
pub use plate::{Plate, PlateKind};
pub use problem::{Problem, Trouble};
pub use refer::Reference;
pub use rule::{Rule, RuleError, Truth};
pub use seen::{AirTest, BoreTest, Fares, Only, Seen, Shows, Sighting, Symptom};
pub(crate) use shown::shown;
pub use sighting::SightingError;
pub use state::{Input, Level, State};
pub use valve::{Join, Position, Valve};
pub use way::{Ball, BallKind, Clearance, Orifice, Port, Seal, SealKind, SealSeat};
pub(crate) use word::{Word, words};

use crate::units::{Length, Volume};

/// The id that stands for the sump wherever a cavity may be named.
pub const SUMP: &str = "sump";

/// Free text that any part may carry: a human name and a remark.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Text {
    /// What people call the part, shown instead of its id in prose.
    pub label: Option<String>,
    /// Anything worth knowing; shown in parts lists, never interpreted.
    pub note: Option<String>,
}

/// A body with passages in it: case, control block, cover, shaft.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Casting {
    /// Label and note.
    pub text: Text,
}

/// A cavity: a volume of oil at one pressure inside one casting.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Passage {
    /// Id of the casting it lies in.
    pub casting: String,
    /// Inner diameter, where it is a drilling or a tube.
    pub bore: Option<Length>,
    /// Width of a rectangular channel, instead of a bore.
    pub width: Option<Length>,
    /// Depth of a rectangular channel, instead of a bore.
    pub depth: Option<Length>,
    /// Length along the flow.
    pub length: Option<Length>,
    /// How many right-angle bends it has.
    pub bends: Option<u32>,
    /// Oil it holds.
    pub volume: Option<Volume>,
    /// Label and note.
    pub text: Text,
}

/// A whole oil circuit as its author described it.
///
/// ```
/// let circuit = oilpath::sheet::read(r#"
///     [casting]
///     block = { passages = ["line", "lube"] }
///     [source]
///     pump = { feeds = "line" }
///     [orifice]
///     hop = { between = ["line", "lube"], bore = "1.2 mm" }
///     [outlet]
///     bearing = { kind = "bearing", at = "lube" }
/// "#).unwrap().circuit;
/// assert_eq!(circuit.passages.len(), 2);
/// assert_eq!(circuit.parts().count(), 6);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Circuit {
    /// What the circuit is, in a line.
    pub title: Option<String>,
    /// Anything worth knowing about the whole: its source, its doubts.
    pub note: Option<String>,
    /// Detents of the selector lever, in the order the lever passes them.
    pub lever: Vec<String>,
    /// How far sizes may be off either way, by part and key of the file, in the SI unit of the size.
    pub tolerances: BTreeMap<(PartName, String), f64>,
    /// Bodies the passages lie in.
    pub castings: IndexMap<String, Casting>,
    /// Cavities, in the order their castings list them.
    pub passages: IndexMap<String, Passage>,
    /// Oils; the first is in the box unless another is asked for.
    pub oils: IndexMap<String, Oil>,
    /// Pumps and fixed pressures.
    pub sources: IndexMap<String, Source>,
    /// Valves that hold a cavity at a pressure.
    pub regulators: IndexMap<String, Regulator>,
    /// Valves that open above a pressure.
    pub reliefs: IndexMap<String, Relief>,
    /// Separator plates, gaskets, covers, bridge plates.
    pub plates: IndexMap<String, Plate>,
    /// Open ways between cavities.
    pub ports: IndexMap<String, Port>,
    /// Metered ways.
    pub orifices: IndexMap<String, Orifice>,
    /// Running clearances that always leak a little.
    pub clearances: IndexMap<String, Clearance>,
    /// One-way and shuttle balls.
    pub balls: IndexMap<String, Ball>,
    /// Rings, O-rings, grommets, lips.
    pub seals: IndexMap<String, Seal>,
    /// Spool valves.
    pub valves: IndexMap<String, Valve>,
    /// Electric valves.
    pub solenoids: IndexMap<String, Solenoid>,
    /// Spring pistons that store oil.
    pub accumulators: IndexMap<String, Accumulator>,
    /// Filters: oil passes through.
    pub filters: IndexMap<String, Through>,
    /// Torque converters or couplings: oil passes through.
    pub converters: IndexMap<String, Through>,
    /// Coolers: oil passes through.
    pub coolers: IndexMap<String, Through>,
    /// Whatever the oil is for.
    pub outlets: IndexMap<String, Outlet>,
    /// Places for a gauge.
    pub taps: IndexMap<String, Tap>,
    /// Pressure switches.
    pub switches: IndexMap<String, Switch>,
    /// Named outside conditions: road speed, kick-down, heat.
    pub inputs: IndexMap<String, Input>,
    /// Ways the gearbox is driven.
    pub states: IndexMap<String, State>,
}

/// One part of a circuit, borrowed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Part<'c> {
    /// A body with passages in it.
    Casting(&'c Casting),
    /// A cavity.
    Passage(&'c Passage),
    /// The oil in the box.
    Oil(&'c Oil),
    /// A pump or a fixed pressure.
    Source(&'c Source),
    /// Holds a cavity at a pressure.
    Regulator(&'c Regulator),
    /// Opens above a pressure.
    Relief(&'c Relief),
    /// Separator plate, gasket, cover or bridge plate.
    Plate(&'c Plate),
    /// An open way.
    Port(&'c Port),
    /// A metered way.
    Orifice(&'c Orifice),
    /// A running fit that leaks.
    Clearance(&'c Clearance),
    /// One-way or shuttle ball.
    Ball(&'c Ball),
    /// Ring, O-ring, grommet or lip.
    Seal(&'c Seal),
    /// A spool in a bore.
    Valve(&'c Valve),
    /// An electric valve.
    Solenoid(&'c Solenoid),
    /// A spring piston that stores oil.
    Accumulator(&'c Accumulator),
    /// A filter, converter or cooler.
    Through(&'c Through),
    /// What the oil is for.
    Outlet(&'c Outlet),
    /// A place for a gauge.
    Tap(&'c Tap),
    /// A pressure switch.
    Switch(&'c Switch),
    /// A condition from outside.
    Input(&'c Input),
    /// A way the gearbox is driven.
    State(&'c State),
}

/// One row a kind: its word, its table in [`Circuit`], its variant of [`Part`].
/// A new kind is added here and in [`Kind`]; the compiler then asks for the rest.
macro_rules! tables {
    ($($kind:ident $table:ident $part:ident;)*) => {
        impl Circuit {
            /// The part of that kind and id, if there is one.
            #[must_use]
            pub fn get(&self, kind: Kind, id: &str) -> Option<Part<'_>> {
                match kind { $(Kind::$kind => self.$table.get(id).map(Part::$part),)* }
            }

            /// The ids of one kind, in file order.
            pub fn ids(&self, kind: Kind) -> Box<dyn Iterator<Item = &str> + '_> {
                match kind { $(Kind::$kind => Box::new(self.$table.keys().map(String::as_str)),)* }
            }

            /// Every part with its name: kind by kind, then in file order.
            pub fn parts(&self) -> impl Iterator<Item = (PartName, Part<'_>)> {
                std::iter::empty()
                    $(.chain(self.$table.iter().map(|(id, part)| {
                        (PartName::new(Kind::$kind, id), Part::$part(part))
                    })))*
            }
        }
    };
}

tables! {
    Casting castings Casting;
    Passage passages Passage;
    Oil oils Oil;
    Source sources Source;
    Regulator regulators Regulator;
    Relief reliefs Relief;
    Plate plates Plate;
    Port ports Port;
    Orifice orifices Orifice;
    Clearance clearances Clearance;
    Ball balls Ball;
    Seal seals Seal;
    Valve valves Valve;
    Solenoid solenoids Solenoid;
    Accumulator accumulators Accumulator;
    Filter filters Through;
    Converter converters Through;
    Cooler coolers Through;
    Outlet outlets Outlet;
    Tap taps Tap;
    Switch switches Switch;
    Input inputs Input;
    State states State;
}

impl<'c> Part<'c> {
    /// Label and note of the part.
    #[must_use]
    pub fn text(self) -> &'c Text {
        match self {
            Part::Casting(p) => &p.text,
            Part::Passage(p) => &p.text,
            Part::Oil(p) => &p.text,
            Part::Source(p) => &p.text,
            Part::Regulator(p) => &p.text,
            Part::Relief(p) => &p.text,
            Part::Plate(p) => &p.text,
            Part::Port(p) => &p.text,
            Part::Orifice(p) => &p.text,
            Part::Clearance(p) => &p.text,
            Part::Ball(p) => &p.text,
            Part::Seal(p) => &p.text,
            Part::Valve(p) => &p.text,
            Part::Solenoid(p) => &p.text,
            Part::Accumulator(p) => &p.text,
            Part::Through(p) => &p.text,
            Part::Outlet(p) => &p.text,
            Part::Tap(p) => &p.text,
            Part::Switch(p) => &p.text,
            Part::Input(p) => &p.text,
            Part::State(p) => &p.text,
        }
    }
}
