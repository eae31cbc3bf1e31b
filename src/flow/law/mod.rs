//! The laws: pressure drop in, flow out, one smooth rising curve a part.
//!
//! | part | law | |
//! |---|---|---|
//! | orifice, port, solenoid seat | [`Orifice`] | viscous and inertial drop added |
//! | the same, the other way to join the two | [`TanhOrifice`] | a discharge coefficient that fades |
//! | passage, tube, drilling, with bends and steps | [`Passage`], [`minor`] | Churchill's friction |
//! | clearance, land, worn bore, loose plate | [`Film`] | laminar film, and its edges where they count |
//! | one-way and shuttle ball | [`OneWay`], [`Shuttle`] | an orifice above a lift pressure |
//! | relief | [`Relief`] | linear above its set pressure |
//! | regulator | [`Bleed`], [`Reducing`] | an orifice opened by pressure |
//! | pump | [`Pump`] | displacement less leakage |
//! | filter, converter, cooler, bearing | [`Rated`], [`Bypassed`] | one known point of flow and drop |
//!
//! # What a solver may count on
//!
//! A [`Law`] is a function of the drop alone. It is continuous with a continuous slope (C1) and
//! never falls; but for a ball that seats perfectly and a pump without leakage it strictly rises.
//! Passive laws pass nothing at no drop, and all but those of balls and valves are odd: the other
//! way round, the same. Slopes are finite everywhere, at no drop too. A network of such laws is the
//! gradient of a convex function, whose minimum along a line can be found from flows alone; so a
//! law gives a flow and a slope and no more. What depends on more than its drop is not a `Law`:
//! [`Reducing`] and, unless it spills to the sump, [`Bleed`] give a flow and its slopes to both
//! pressures and to what a [`Boost`] adds; a network takes them as a [`Regulator`].
//!
//! Laws are small structs behind a trait, not variants of one enum: a law that holds others
//! ([`OneWay`], [`Bypassed`]) is then a struct with fields, and a new one touches no list. One
//! virtual call is small beside the square root in it. What they hold is worked out once, from
//! checked sizes and one [`Fluid`](super::Fluid); [`Law::rate`] is arithmetic on f64.

mod ball;
mod boost;
mod film;
mod friction;
pub mod minor;
mod orifice;
mod passage;
mod pump;
mod rated;
mod regulator;
mod relief;
mod same;
mod section;
mod smooth;
mod stand;
mod tanh;
mod two_term;

pub use ball::{OneWay, SEATED_LEAK, Shuttle};
pub use boost::Boost;
pub use film::Film;
pub use friction::{Friction, friction};
pub use orifice::{Hole, Orifice, SHARP_EDGED};
pub use passage::{Passage, Run};
pub use pump::Pump;
pub use rated::{Bypassed, Rated, Rating};
pub use regulator::{Between, Bleed, Opening, Reducing, Regulator};
pub use relief::Relief;
pub use same::Same;
pub use section::Section;
pub use stand::Stand;
pub use tanh::{TanhOrifice, creeping_lambda};
pub use two_term::TwoTerm;

use super::Doubt;

/// The flow at one pressure drop.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rate {
    /// Flow, in m³/s.
    pub flow: f64,
    /// How much the flow grows with the drop, in m³/s per Pa.
    pub slope: f64,
}

/// How oil passes a part. A law is a value: two of one kind with the same figures are the same law.
pub trait Law: std::fmt::Debug + Send + Sync + Same {
    /// The flow at a drop in Pa, and its slope there.
    fn rate(&self, drop: f64) -> Rate;

    /// Where the law is outside what it was made for, at that drop.
    fn doubts(&self, drop: f64) -> Vec<Doubt>;

    /// Where the part stands at that drop; nothing for one that never moves.
    fn stand(&self, drop: f64) -> Option<Stand> {
        let _ = drop;
        None
    }
}

impl<L: Law + PartialEq + ?Sized> Law for Box<L> {
    fn rate(&self, drop: f64) -> Rate {
        (**self).rate(drop)
    }

    fn doubts(&self, drop: f64) -> Vec<Doubt> {
        (**self).doubts(drop)
    }

    fn stand(&self, drop: f64) -> Option<Stand> {
        (**self).stand(drop)
    }
}
