//! Kinds of parts, names of parts, and places inside them.

use std::fmt;

use serde::Serialize;

use super::word::words;

/// What a part is; the word is also the name of its table in a circuit file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A body with passages in it.
    Casting,
    /// A cavity.
    Passage,
    /// The oil in the box.
    Oil,
    /// A pump or a fixed pressure.
    Source,
    /// Holds a cavity at a pressure.
    Regulator,
    /// Opens above a pressure.
    Relief,
    /// Separator plate, gasket, cover or bridge plate.
    Plate,
    /// An open way.
    Port,
    /// A metered way.
    Orifice,
    /// A running fit that leaks.
    Clearance,
    /// One-way or shuttle ball.
    Ball,
    /// Ring, O-ring, grommet or lip.
    Seal,
    /// A spool in a bore.
    Valve,
    /// An electric valve.
    Solenoid,
    /// A spring piston that stores oil.
    Accumulator,
    /// Oil passes through and is cleaned.
    Filter,
    /// Oil passes through a torque converter or coupling.
    Converter,
    /// Oil passes through and is cooled.
    Cooler,
    /// What the oil is for.
    Outlet,
    /// A place for a gauge.
    Tap,
    /// A pressure switch.
    Switch,
    /// A condition from outside.
    Input,
    /// A way the gearbox is driven.
    State,
}

impl Kind {
    /// The kinds oil passes through between two cavities and that are not themselves moved:
    /// what a seal may sit on.
    pub const WAYS: [Kind; 7] = [
        Kind::Port,
        Kind::Orifice,
        Kind::Clearance,
        Kind::Ball,
        Kind::Filter,
        Kind::Converter,
        Kind::Cooler,
    ];
}

words! { Kind:
    Casting "casting",
    Passage "passage",
    Oil "oil",
    Source "source",
    Regulator "regulator",
    Relief "relief",
    Plate "plate",
    Port "port",
    Orifice "orifice",
    Clearance "clearance",
    Ball "ball",
    Seal "seal",
    Valve "valve",
    Solenoid "solenoid",
    Accumulator "accumulator",
    Filter "filter",
    Converter "converter",
    Cooler "cooler",
    Outlet "outlet",
    Tap "tap",
    Switch "switch",
    Input "input",
    State "state",
}

/// A part's kind and id: unique in its circuit. Shown as `kind.id`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct PartName {
    /// What it is.
    pub kind: Kind,
    /// Its id within that kind.
    pub id: String,
}

impl PartName {
    /// Names a part; whether a circuit has it is for [`super::Circuit::get`] to say.
    #[must_use]
    pub fn new(kind: Kind, id: &str) -> Self {
        PartName {
            kind,
            id: id.to_owned(),
        }
    }
}

impl fmt::Display for PartName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.kind, self.id)
    }
}

/// One step from a part to a value inside it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// The value of a key.
    Key(String),
    /// The item of a list, from 0.
    Item(usize),
}

impl From<&str> for Step {
    fn from(key: &str) -> Self {
        Step::Key(key.to_owned())
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Self {
        Step::Item(index)
    }
}

/// Where in a circuit something stands, said without knowing any file: a part, then steps
/// inside it. No steps means the part itself; no part means the circuit's own keys.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The part, or none for the circuit itself.
    pub part: Option<PartName>,
    /// The way from the part to the value.
    pub steps: Vec<Step>,
}

impl Place {
    /// The part itself.
    #[must_use]
    pub fn of(part: PartName) -> Self {
        Place {
            part: Some(part),
            steps: Vec::new(),
        }
    }

    /// One step further in.
    #[must_use]
    pub fn then(mut self, step: impl Into<Step>) -> Self {
        self.steps.push(step.into());
        self
    }
}

/// Words of the rule language, which are no ids.
pub(crate) const RESERVED: [&str; 3] = ["and", "or", "not"];

/// [`is_id`] as a regular expression, but for the reserved words.
#[cfg(feature = "report")]
pub(crate) const ID_PATTERN: &str = r"[\p{Alphabetic}\p{N}][\p{Alphabetic}\p{N}_-]*";

/// Whether a text may serve as an id: letters, digits, `-` and `_`, starting with a letter or
/// digit, and not a word of the rule language.
///
/// ```
/// use oilpath::circuit::is_id;
/// assert!(is_id("low-feed"));
/// assert!(is_id("2nd-clutch"));
/// assert!(!is_id("low feed"));
/// assert!(!is_id("or"));
/// ```
#[must_use]
pub fn is_id(text: &str) -> bool {
    text.starts_with(char::is_alphanumeric)
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || c == '-' || c == '_')
        && !RESERVED.contains(&text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_reads_back_from_its_word_and_stands_in_order() {
        for kind in Kind::ALL {
            assert_eq!(kind.word().parse(), Ok(*kind));
        }
        assert!(Kind::ALL.is_sorted());
    }
}
