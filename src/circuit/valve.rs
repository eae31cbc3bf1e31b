//! Spool valves.

use indexmap::IndexMap;

use super::{Rule, Text};
use crate::units::{Length, Pressure};

/// A spool in a bore.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Valve {
    /// Cavities along the bore, in order, one for each port. The first and the last are the
    /// ends of the spool.
    pub bore: Vec<String>,
    /// What the spool joins in each place it can stand, by the name of the place.
    pub positions: IndexMap<String, Position>,
    /// The end cavity its spring sits in.
    pub spring: Option<String>,
    /// Pilot pressure that just moves it against its spring.
    pub moves_at: Option<Pressure>,
    /// Diameter of the bore.
    pub diameter: Option<Length>,
    /// Radial clearance of the spool in its bore: half of what it has on the diameter.
    pub clearance: Option<Length>,
    /// Length of a land between two ports.
    pub land: Option<Length>,
    /// Diameter of the hole as large as an open port of it.
    pub opening: Option<Length>,
    /// How much wider its bore is where worn: radial, on top of `clearance`.
    pub wear: Option<Length>,
    /// Whether a bore plug closes it.
    pub plug: bool,
    /// Whether a clip or pin holds the plug.
    pub clip: bool,
    /// Whether the spool runs in a sleeve.
    pub sleeve: bool,
    /// Label and note.
    pub text: Text,
}

/// One place a spool can stand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Position {
    /// What it joins.
    pub joins: Vec<Join>,
    /// What puts the spool here.
    pub when: Option<Rule>,
    /// The spool rests here when no rule puts it elsewhere.
    pub otherwise: bool,
    /// Label and note.
    pub text: Text,
}

/// Ports that a spool joins, openly or through a metering land or notch.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Join {
    /// Two cavities or more, each joined to the next.
    pub cavities: Vec<String>,
    /// Diameter of the opening where it is metered; open where not given.
    pub bore: Option<Length>,
}
