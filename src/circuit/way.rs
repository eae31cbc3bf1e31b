//! Ways oil can go through between two cavities, and the seals on them.

use super::Text;
use super::word::words;
use crate::units::{Length, Pressure};

/// An open way, as a rule across the face between two castings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Port {
    /// The two cavities it joins.
    pub between: [String; 2],
    /// Its diameter, where known.
    pub bore: Option<Length>,
    /// Length of its hole; that of the plate it goes through if not given.
    pub thickness: Option<Length>,
    /// Plates it passes through a hole of.
    pub through: Vec<String>,
    /// The cover it exists under: without the cover there is no such way.
    pub under: Option<String>,
    /// Cavities at whose end the way's own hole is in the casting.
    pub hole_at: Vec<String>,
    /// Label and note.
    pub text: Text,
}

/// A metered way: a drilled hole small enough to choke the flow.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Orifice {
    /// The two cavities it joins.
    pub between: [String; 2],
    /// Its diameter.
    pub bore: Option<Length>,
    /// Length of its hole; that of the plate it goes through if not given.
    pub thickness: Option<Length>,
    /// Plates it passes through a hole of.
    pub through: Vec<String>,
    /// The cover it exists under: without the cover there is no such way.
    pub under: Option<String>,
    /// Cavities at whose end the metering hole is drilled in the casting. That end stays
    /// metered when the cover is left out; an end without a hole of its own gapes.
    pub hole_at: Vec<String>,
    /// Label and note.
    pub text: Text,
}

/// A running clearance between two cavities: it always leaks a little.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Clearance {
    /// The two cavities it joins.
    pub between: [String; 2],
    /// Radial gap.
    pub gap: Option<Length>,
    /// Diameter of the running fit.
    pub diameter: Option<Length>,
    /// Length of the fit along the leak.
    pub length: Option<Length>,
    /// How much wider the gap is where the fit is worn: radial, on top of `gap`.
    pub wear: Option<Length>,
    /// Label and note.
    pub text: Text,
}

/// A check ball.
#[derive(Clone, Debug, PartialEq)]
pub struct Ball {
    /// One-way or shuttle, and the cavities it stands between.
    pub kind: BallKind,
    /// Diameter of its seat.
    pub bore: Option<Length>,
    /// Plates its seat is in.
    pub through: Vec<String>,
    /// The cover it lies under.
    pub under: Option<String>,
    /// Label and note.
    pub text: Text,
}

/// What a ball does.
#[derive(Clone, Debug, PartialEq)]
pub enum BallKind {
    /// Oil passes one way only.
    OneWay {
        /// Cavity oil comes from.
        from: String,
        /// Cavity oil goes to.
        to: String,
        /// Pressure difference that lifts a sprung ball: a bypass or relief ball.
        lifts_at: Option<Pressure>,
    },
    /// The higher of two inlets reaches the outlet and shuts the lower off.
    Shuttle {
        /// The two inlets.
        inlets: [String; 2],
        /// The outlet.
        outlet: String,
    },
}

/// A seal.
#[derive(Clone, Debug, PartialEq)]
pub struct Seal {
    /// What it looks like.
    pub kind: SealKind,
    /// What it keeps tight.
    pub seat: SealSeat,
    /// Label and note.
    pub text: Text,
}

/// What a seal looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SealKind {
    /// Sealing ring of a turning shaft.
    Ring,
    /// O-ring.
    ORing,
    /// Rubber sleeve of a tube.
    Grommet,
    /// Lip seal.
    Lip,
}

/// What a seal keeps tight.
#[derive(Clone, Debug, PartialEq)]
pub enum SealSeat {
    /// A joint on one way: failed, the way's oil runs to the sump there.
    On(String),
    /// The gap between two cavities: failed, they run into each other.
    Between([String; 2]),
}

words! { SealKind: Ring "ring", ORing "o-ring", Grommet "grommet", Lip "lip", }
