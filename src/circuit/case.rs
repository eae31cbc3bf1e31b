//! The story of one gearbox, as plain data.

use serde::Serialize;

use super::{Fault, Sighting};

/// A case: what was seen of one gearbox, what was done about it, and what is known besides.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Case {
    /// What is told of it.
    pub story: Story,
    /// What was seen, in the order of the file.
    pub saw: Vec<Sighting>,
    /// How likely some faults are, as typed.
    pub likelihoods: Vec<String>,
    /// What checks cost, as typed.
    pub efforts: Vec<String>,
    /// What was found to be wrong.
    pub found: Vec<Fault>,
}

/// What is told of a case in the words of whoever writes it down.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct Story {
    /// What the case is, in a line.
    pub title: Option<String>,
    /// Which vehicle it is about.
    pub vehicle: Option<String>,
    /// How far it has run, as its owner writes it.
    pub odometer: Option<String>,
    /// When it came in.
    pub date: Option<String>,
    /// What the customer says, in their own words.
    pub complaint: Option<String>,
    /// Anything worth knowing.
    pub note: Option<String>,
    /// The checks, in the order of the file.
    pub checks: Vec<CheckMade>,
    /// What was done about it.
    pub done: Option<String>,
    /// Parts that were renewed.
    pub renewed: Vec<String>,
}

/// A check of a case, in the words of whoever makes it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "cli", derive(schemars::JsonSchema))]
pub struct CheckMade {
    /// What was looked at.
    pub what: String,
    /// What it came to; none where it is still to be made.
    pub came_to: Option<String>,
}
