//! What the oil is for, and where its pressure can be seen.

use super::Text;
use super::word::words;
use crate::units::{Flow, Length, Pressure, Temperature, Volume};

/// A clutch, brake, servo, bearing or other user of oil: a leaf on its cavity.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlet {
    /// What it is.
    pub kind: OutletKind,
    /// Where it sits.
    pub seat: Seat,
    /// What it must get to do its work.
    pub needs: Option<Needs>,
    /// Oil it takes to stroke.
    pub volume: Option<Volume>,
    /// Pressure that just overcomes its return spring.
    pub spring: Option<Pressure>,
    /// Pressure that its return spring takes at the end of the stroke.
    pub stroked_at: Option<Pressure>,
    /// Diameter of the hole that would let as much by, for one that lives by flow.
    pub bore: Option<Length>,
    /// Label and note.
    pub text: Text,
}

/// What an outlet is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutletKind {
    /// Joins two turning parts; needs pressure.
    Clutch,
    /// Holds a part still; needs pressure.
    Brake,
    /// Piston that works a band; needs pressure.
    Servo,
    /// Clutch of the converter; needs pressure.
    LockUp,
    /// Ball or roller bearing; needs flow.
    Bearing,
    /// Plain bearing; needs flow.
    Bushing,
    /// Seal that lives by oil; needs flow.
    Seal,
    /// Gears oiled by spray or bath; need flow.
    Gear,
    /// Any other lubrication; needs flow.
    Lube,
}

impl OutletKind {
    /// Whether it works by pressure (it is applied) rather than by flow (it consumes oil).
    #[must_use]
    pub fn by_pressure(self) -> bool {
        matches!(
            self,
            OutletKind::Clutch | OutletKind::Brake | OutletKind::Servo | OutletKind::LockUp
        )
    }
}

/// Where an outlet sits.
#[derive(Clone, Debug, PartialEq)]
pub enum Seat {
    /// On one cavity.
    At(String),
    /// On two: applied when `apply` is up and `release` is not.
    TwoSided {
        /// Cavity that applies it.
        apply: String,
        /// Cavity that releases it.
        release: String,
    },
}

impl Seat {
    /// The cavity that feeds it.
    #[must_use]
    pub fn feed(&self) -> &str {
        match self {
            Seat::At(at) => at,
            Seat::TwoSided { apply, .. } => apply,
        }
    }
}

/// What an outlet must get.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Needs {
    /// At least this pressure.
    Pressure(Pressure),
    /// At least this flow.
    Flow(Flow),
}

/// A filter, converter or cooler: oil passes through, and it needs that oil too.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Through {
    /// Cavity before it and cavity after it.
    pub between: [String; 2],
    /// Diameter of the hole that would cost as much pressure.
    pub bore: Option<Length>,
    /// Instead of a bore: a flow that passes it.
    pub passes: Option<Flow>,
    /// What that flow costs: pressure before it less pressure after it.
    pub drop: Option<Pressure>,
    /// How hot the oil was then.
    pub passes_at: Option<Temperature>,
    /// The ball that lets oil past when it is blocked.
    pub bypass: Option<String>,
    /// Flow it must get.
    pub needs: Option<Flow>,
    /// Label and note.
    pub text: Text,
}

/// A place to screw a gauge in.
#[derive(Clone, Debug, PartialEq)]
pub struct Tap {
    /// Cavity it shows.
    pub at: String,
    /// How hard it is to reach.
    pub access: Access,
    /// Label and note.
    pub text: Text,
}

/// A pressure switch.
#[derive(Clone, Debug, PartialEq)]
pub struct Switch {
    /// Cavity it watches.
    pub at: String,
    /// Pressure at which it closes.
    pub closes_at: Option<Pressure>,
    /// How hard it is to reach.
    pub access: Access,
    /// Label and note.
    pub text: Text,
}

/// How hard a place is to reach.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Access {
    /// From outside, gearbox in place.
    #[default]
    Outside,
    /// With the oil pan off.
    PanOff,
    /// Only with the gearbox on the bench.
    Bench,
}

words! { OutletKind:
    Clutch "clutch",
    Brake "brake",
    Servo "servo",
    LockUp "lock-up",
    Bearing "bearing",
    Bushing "bushing",
    Seal "seal",
    Gear "gear",
    Lube "lube",
}

words! { Access: Outside "outside", PanOff "pan-off", Bench "bench", }
