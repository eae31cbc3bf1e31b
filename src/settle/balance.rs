//! What every cavity holds with all valves held, and what lies behind it.

use crate::net::{Cavity, Strength};

/// What a cavity holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Value {
    /// Pressure.
    Fed,
    /// No pressure.
    Drained,
    /// Cannot be said.
    #[default]
    Undecided,
}

/// How hard something reaches a cavity: the weakest member of its strongest route.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Push {
    /// Nothing reaches it.
    #[default]
    None,
    /// Through a leak.
    Leak,
    /// Through a metering hole.
    Metered,
    /// Through open ways alone.
    Open,
    /// It is a source's own cavity, or the sump.
    Rail,
}

impl From<Strength> for Push {
    fn from(strength: Strength) -> Self {
        match strength {
            Strength::Leak => Push::Leak,
            Strength::Metered => Push::Metered,
            Strength::Open => Push::Open,
        }
    }
}

/// Why a cavity has its value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cause {
    /// One side reaches it, or reaches it harder than the other.
    Driven(Push),
    /// Nothing reaches it: it keeps what it held, where that is known.
    Trapped,
    /// Supply and drain reach it equally hard.
    Contested(Push),
    /// It depends on a way that may be open or shut.
    Unknown,
}

/// The value of every cavity of a scene, and what lies behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Balance {
    pub(super) values: Vec<Value>,
    /// Strongest definite arrival of either kind.
    pub(super) definite: Vec<Push>,
    /// Strongest possible arrival, surely beaten or not: of draining, of supply.
    pub(super) possible: [Vec<Push>; 2],
}

/// The two kinds of arrival, as places in arrays.
pub(super) const DRAIN: usize = 0;
pub(super) const SUPPLY: usize = 1;

impl Balance {
    /// What the cavity holds.
    #[must_use]
    pub fn value(&self, cavity: Cavity) -> Value {
        self.values[cavity.at()]
    }

    /// The values of all cavities, by number.
    #[must_use]
    pub fn values(&self) -> &[Value] {
        &self.values
    }

    /// Whether nothing surely reaches a cavity: it keeps what it held.
    pub(super) fn is_sealed(&self, cavity: Cavity) -> bool {
        self.definite[cavity.at()] == Push::None
    }

    /// The values of all cavities, by number.
    #[must_use]
    pub fn into_values(self) -> Vec<Value> {
        self.values
    }

    /// The strongest supply that may reach the cavity.
    #[must_use]
    pub fn supply(&self, cavity: Cavity) -> Push {
        self.arrives(SUPPLY, cavity)
    }

    /// The strongest draining that may reach the cavity.
    #[must_use]
    pub fn drain(&self, cavity: Cavity) -> Push {
        self.arrives(DRAIN, cavity)
    }

    /// The strongest arrival, of whichever kind, that is sure: anything weaker is beaten.
    #[must_use]
    pub fn surest(&self, cavity: Cavity) -> Push {
        self.definite[cavity.at()]
    }

    /// The strongest possible arrival of one kind that is not surely beaten.
    pub(super) fn arrives(&self, kind: usize, cavity: Cavity) -> Push {
        match self.possible[kind][cavity.at()] {
            push if push < self.definite[cavity.at()] => Push::None,
            push => push,
        }
    }

    /// The strongest possible arrival of one kind, surely beaten or not.
    pub(super) fn possible(&self, kind: usize, cavity: Cavity) -> Push {
        self.possible[kind][cavity.at()]
    }

    /// Takes a contested cavity for fed or drained.
    pub(super) fn decide(&mut self, cavity: Cavity, fed: bool) {
        let (value, beaten) = match fed {
            true => (Value::Fed, DRAIN),
            false => (Value::Drained, SUPPLY),
        };
        self.values[cavity.at()] = value;
        self.possible[beaten][cavity.at()] = Push::None;
    }

    /// Takes back what was said of a cavity.
    pub(super) fn doubt(&mut self, cavity: Cavity) {
        self.values[cavity.at()] = Value::Undecided;
    }

    /// Why it holds what it holds.
    #[must_use]
    pub fn cause(&self, cavity: Cavity) -> Cause {
        let at = cavity.at();
        let (supply, drain) = (self.supply(cavity), self.drain(cavity));
        let sure = self.definite[at];
        match self.values[at] {
            _ if sure == Push::None && supply == Push::None && drain == Push::None => {
                Cause::Trapped
            }
            Value::Fed => Cause::Driven(supply),
            Value::Drained => Cause::Driven(drain),
            Value::Undecided if supply == drain && supply == sure => Cause::Contested(sure),
            Value::Undecided => Cause::Unknown,
        }
    }
}
