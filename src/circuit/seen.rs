//! What someone saw, felt or read of a gearbox, as plain data.

use std::fmt;

use super::word::words;
use super::{Kind, PartName};
use crate::units::Pressure;

/// One thing that was seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Sighting {
    /// The state it was seen in; none for a circuit that declares no states, and for what is seen
    /// with no state driven.
    pub state: Option<String>,
    /// What it is.
    pub seen: Seen,
    /// When alone it is seen; none where it always is.
    pub only: Option<Only>,
    /// How sure it is, from just above a half to 1 for sure.
    pub sure: f64,
}

/// What was seen.
#[derive(Clone, Debug, PartialEq)]
pub enum Seen {
    /// How it drives.
    Drives(Symptom),
    /// It drives like this other state.
    WorksAs(String),
    /// How an outlet, filter, converter or cooler fares.
    Outlet(PartName, Fares),
    /// What a gauge in a tap shows, in a word.
    Shows(PartName, Shows),
    /// What a gauge in a tap reads.
    Reads(PartName, Pressure),
    /// Whether a pressure switch is closed.
    Switch(PartName, bool),
    /// What becomes of air blown in at a passage or an outlet, on the bench.
    Air(PartName, AirTest),
    /// Whether a valve's bore holds vacuum, or wet air, land by land.
    Vacuum(PartName, BoreTest),
}

/// How it drives.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Symptom {
    /// As it should.
    Fine,
    /// Not at all.
    None,
    /// Something is missing: it flares or does not take up.
    Flare,
    /// Something is on beside what should be.
    Bind,
    /// Something is on where nothing should be.
    Creeps,
    /// What is on has too little behind it.
    Slips,
    /// It takes up or lets go late.
    Late,
    /// It takes hold hard.
    Harsh,
}

words! { Symptom:
    Fine "fine",
    None "none",
    Flare "flare",
    Bind "bind",
    Creeps "creeps",
    Slips "slips",
    Late "late",
    Harsh "harsh",
}

/// How an outlet fares.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fares {
    /// As it should: with its oil, or without where it should have none.
    Fine,
    /// It lacks the oil that it should have.
    Starved,
    /// It has some, with too little behind it.
    Weak,
    /// It has oil that it should not have.
    On,
    /// It takes hold or lets go late.
    Late,
    /// It takes hold hard.
    Harsh,
}

words! { Fares:
    Fine "fine",
    Starved "starved",
    Weak "weak",
    On "on",
    Late "late",
    Harsh "harsh",
}

/// What a gauge shows, held against what it should.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Shows {
    /// Nothing.
    None,
    /// Less than it should.
    Low,
    /// What it should.
    Normal,
    /// More than it should.
    High,
}

words! { Shows: None "none", Low "low", Normal "normal", High "high", }

/// What becomes of air blown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AirTest {
    /// As on a sound block: a piston strokes and holds, air stays or comes out where it must.
    Holds,
    /// It hisses off where it should not.
    Leaks,
    /// Nothing strokes, or no air comes out where it must.
    Dead,
}

words! { AirTest: Holds "holds", Leaks "leaks", Dead "dead", }

/// What a valve's bore does under vacuum, or with wet air.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BoreTest {
    /// Every land holds as the maker's limit asks.
    Holds,
    /// Some land does not.
    Leaks,
}

words! { BoreTest: Holds "holds", Leaks "leaks", }

/// When alone something is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Only {
    /// With the oil hot.
    Hot,
    /// With the oil cold.
    Cold,
    /// At idle.
    Idle,
    /// At speed.
    Speed,
    /// After it has stood.
    Standing,
}

words! { Only:
    Hot "hot only",
    Cold "cold only",
    Idle "idle only",
    Speed "speed only",
    Standing "after standing",
}

/// What stands in a state's place where air was blown in.
pub(super) const AIR: &str = "air";
/// What stands in a state's place where vacuum was pulled, or wet air blown.
pub(super) const VACUUM: &str = "vacuum";

/// Words for how sure something is, with what they count as.
pub(super) const SURENESS: [(&str, f64); 3] = [("sure", 1.0), ("likely", 0.8), ("hint", 0.6)];

impl Seen {
    /// The part it is about, if it is about one.
    #[must_use]
    pub fn part(&self) -> Option<&PartName> {
        match self {
            Seen::Drives(_) | Seen::WorksAs(_) => None,
            Seen::Outlet(part, _)
            | Seen::Shows(part, _)
            | Seen::Reads(part, _)
            | Seen::Switch(part, _)
            | Seen::Air(part, _)
            | Seen::Vacuum(part, _) => Some(part),
        }
    }

    /// What stands in a state's place where it was seen on the bench.
    pub(crate) fn on_bench(&self) -> Option<&'static str> {
        match self {
            Seen::Air(..) => Some(AIR),
            Seen::Vacuum(..) => Some(VACUUM),
            _ => None,
        }
    }
}

/// As a reader would type it, parts by their bare ids.
impl fmt::Display for Seen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Seen::Drives(symptom) => write!(f, "{symptom}"),
            Seen::WorksAs(state) => write!(f, "works as {state}"),
            Seen::Outlet(part, fares) => write!(f, "{} {fares}", part.id),
            Seen::Shows(part, shows) => write!(f, "{} {shows}", part.id),
            Seen::Reads(part, pressure) => write!(f, "{} {pressure}", part.id),
            Seen::Switch(part, true) => write!(f, "{} closed", part.id),
            Seen::Switch(part, false) => write!(f, "{} open", part.id),
            Seen::Air(part, test) => write!(f, "{} {test}", part.id),
            Seen::Vacuum(part, test) => write!(f, "{} {test}", part.id),
        }
    }
}

/// As a reader would type it.
impl fmt::Display for Sighting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.seen.on_bench().or(self.state.as_deref()), &self.seen) {
            (Some(place), seen) => write!(f, "{place}: {seen}")?,
            (None, seen) => write!(f, "{seen}")?,
        }
        if let Some(only) = self.only {
            write!(f, ", {only}")?;
        }
        match SURENESS.iter().find(|(_, sure)| *sure == self.sure) {
            Some(("sure", _)) => Ok(()),
            Some((word, _)) => write!(f, ", {word}"),
            None => write!(f, ", {}", self.sure),
        }
    }
}

/// What an outlet can be called by where it is seen to fare.
pub(super) const FARING: &[Kind] = &[Kind::Outlet, Kind::Filter, Kind::Converter, Kind::Cooler];
