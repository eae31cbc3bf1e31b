//! How the gearbox is driven: states and the outside conditions they set.

use indexmap::IndexMap;

use super::Text;
use super::word::words;
use crate::units::{Speed, Temperature};

/// A named condition from outside the oil: road speed, kick-down, heat.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Input {
    /// Label and note.
    pub text: Text,
}

/// One way the gearbox is driven.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    /// Detent the lever stands in.
    pub lever: Option<String>,
    /// Solenoids with current and inputs that hold.
    pub on: Vec<String>,
    /// Solenoids driven in between.
    pub levels: IndexMap<String, Level>,
    /// Positions of valves held by hand, whatever their rules say.
    pub valves: IndexMap<String, String>,
    /// Outlets that should be applied, and no others of their kinds.
    pub applies: Vec<String>,
    /// Regulators that should be boosted.
    pub boosts: Vec<String>,
    /// Speed its pump is turned at, instead of the pump's own.
    pub speed: Option<Speed>,
    /// How hot the oil is.
    pub oil_temperature: Option<Temperature>,
    /// Label and note.
    pub text: Text,
}

/// How hard a half-driven solenoid works, or how high a pressure stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// None.
    Off,
    /// Enough to fill, not to work.
    Fill,
    /// Enough to work a little.
    Low,
    /// All there is.
    Full,
}

words! { Level: Off "off", Fill "fill", Low "low", Full "full", }
