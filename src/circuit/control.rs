//! What makes, holds, limits, switches and stores pressure.

use indexmap::IndexMap;

use super::Text;
use crate::units::{Displacement, Flow, Length, Pressure, Speed, Volume};

/// Where oil under pressure comes from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Source {
    /// Cavity it feeds.
    pub feeds: String,
    /// Cavity it draws from; none is the sump itself.
    pub draws: Option<String>,
    /// Oil moved per turn, for a pump.
    pub displacement: Option<Displacement>,
    /// Speed it is turned at, where a state or question does not say.
    pub speed: Option<Speed>,
    /// Inner leakage at the pressure it works against.
    pub leakage: Option<Flow>,
    /// Pressure at which its leakage was given.
    pub leaks_at: Option<Pressure>,
    /// Inner leakage at that pressure where it is worn, instead of `leakage`.
    pub worn_leakage: Option<Flow>,
    /// A fixed pressure instead of a pump.
    pub pressure: Option<Pressure>,
    /// Label and note.
    pub text: Text,
}

/// A valve that holds one cavity at a pressure.
#[derive(Clone, Debug, PartialEq)]
pub struct Regulator {
    /// Cavity it holds.
    pub holds: String,
    /// Pressure it holds it at.
    pub at: Option<Pressure>,
    /// How it holds it.
    pub work: Work,
    /// Cavities whose pressure raises it, and by how much.
    pub boost: IndexMap<String, Option<Pressure>>,
    /// Rise of pressure from just working to wide open.
    pub band: Option<Pressure>,
    /// Diameter of the hole as large as its port wide open.
    pub bore: Option<Length>,
    /// Label and note.
    pub text: Text,
}

/// How a regulator holds its cavity.
#[derive(Clone, Debug, PartialEq)]
pub enum Work {
    /// By spilling what is too much, to each in turn.
    Spills(Vec<String>),
    /// By reducing a feed.
    Reduces(String),
}

/// A valve that opens above a pressure and is otherwise shut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Relief {
    /// Cavity it guards.
    pub on: String,
    /// Cavity it opens to; none is the sump.
    pub to: Option<String>,
    /// Pressure it opens at.
    pub at: Option<Pressure>,
    /// Rise of pressure above `at` from just opening to wide open.
    pub rise: Option<Pressure>,
    /// Diameter of the hole as large as its port wide open.
    pub bore: Option<Length>,
    /// Label and note.
    pub text: Text,
}

/// An electric valve.
#[derive(Clone, Debug, PartialEq)]
pub struct Solenoid {
    /// What it opens, shuts or pushes.
    pub kind: SolenoidKind,
    /// Whether its way is open with no current.
    pub normally_open: bool,
    /// Diameter of its seat.
    pub bore: Option<Length>,
    /// Diameter of the hole as large as its mean opening where it is driven in between.
    pub driven: Option<Length>,
    /// Label and note.
    pub text: Text,
}

/// What a solenoid does.
#[derive(Clone, Debug, PartialEq)]
pub enum SolenoidKind {
    /// Dumps a pilot to the sump.
    Bleed {
        /// The pilot cavity.
        on: String,
    },
    /// Joins two cavities.
    TwoWay {
        /// The two cavities.
        between: [String; 2],
    },
    /// Pushes a valve and passes no oil: rules of valves name it.
    Plunger,
}

/// A spring piston that stores oil and softens a rise of pressure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Accumulator {
    /// Cavity it fills from.
    pub at: String,
    /// Cavity behind its piston; none is the sump.
    pub back: Option<String>,
    /// Oil it takes.
    pub volume: Option<Volume>,
    /// Pressure at which its piston starts to move.
    pub begins_at: Option<Pressure>,
    /// Pressure at which it is full.
    pub full_at: Option<Pressure>,
    /// Label and note.
    pub text: Text,
}
