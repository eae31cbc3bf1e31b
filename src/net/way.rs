//! Cavities, and the ways that oil can go between them.

use crate::circuit::Level;
use crate::units::Length;

/// A cavity of a [`Net`](super::Net); number 0 is the sump.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cavity(pub(crate) u32);

/// A way of a [`Net`](super::Net) or, above its last, one added by a scene's faults.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WayId(pub(crate) u32);

/// The sump: where everything ends.
pub const SUMP_CAVITY: Cavity = Cavity(0);

impl Cavity {
    /// Its number: 0 is the sump.
    #[must_use]
    pub fn number(self) -> usize {
        self.0 as usize
    }

    pub(crate) fn at(self) -> usize {
        self.0 as usize
    }
}

impl WayId {
    pub(crate) fn at(self) -> usize {
        self.0 as usize
    }
}

/// How much a way lets through, by its kind alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Strength {
    /// A running clearance, a worn seat, a porous wall.
    Leak = 1,
    /// A hole small enough to choke the flow.
    Metered = 2,
    /// A port, passage, valve port, ball off its seat.
    Open = 3,
}

/// Which way pressure and draining travel along a way from its first end to its second.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Passes {
    /// Oil goes either way.
    Both,
    /// Oil goes from first to second only: the second end can be fed by the first, and the
    /// first drained by the second.
    Forward,
    /// Oil goes from first to second, but only what is too much for the first: the second end
    /// is fed and never drains the first. What a regulator spills and a sprung ball lets by.
    Excess,
}

/// What opens or shuts a way in a state.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Gate {
    /// Nothing: it is always open.
    Always,
    /// A valve, when it stands in one position.
    Valve { valve: u32, position: u32 },
    /// A solenoid, when its current is on (or off, for one that is normally open). Whether its
    /// current raises pressure matters where it is half driven.
    Solenoid {
        solenoid: u32,
        open_when_on: bool,
        raises: bool,
    },
    /// A shuttle ball, when it has left that inlet.
    Shuttle { shuttle: u32, side: u8 },
    /// A sprung ball to the sump, when asked for pressures above what it leaves behind.
    Above { leaves: Level },
    /// A reducing regulator, when asked for pressures up to its own.
    UpTo { most: Level },
}

/// One way oil can go between two cavities.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// The cavities at its ends.
    pub ends: [Cavity; 2],
    /// Which way oil goes.
    pub passes: Passes,
    /// How much, by kind.
    pub strength: Strength,
    /// Diameter of its bore, where known.
    pub bore: Option<Length>,
    /// Index of the part it belongs to in the net's list of names.
    pub(crate) part: u32,
    pub(crate) gate: Gate,
}

impl Way {
    /// The valve it belongs to and the position that opens it, by number in the circuit's table.
    #[must_use]
    pub fn position(&self) -> Option<(usize, usize)> {
        match self.gate {
            Gate::Valve { valve, position } => Some((valve as usize, position as usize)),
            _ => None,
        }
    }

    /// Whether something that moves or is switched, a valve, a shuttle ball or a solenoid, opens
    /// and shuts it.
    #[must_use]
    pub fn is_switched(&self) -> bool {
        match self.gate {
            Gate::Valve { .. } | Gate::Shuttle { .. } | Gate::Solenoid { .. } => true,
            Gate::Always | Gate::Above { .. } | Gate::UpTo { .. } => false,
        }
    }

    /// The shuttle ball it belongs to, by number in [`Net::shuttles`](super::Net::shuttles).
    #[must_use]
    pub fn shuttle(&self) -> Option<usize> {
        match self.gate {
            Gate::Shuttle { shuttle, .. } => Some(shuttle as usize),
            _ => None,
        }
    }
}
