//! What raises the set pressure of a regulator.

use super::smooth::{Curve, step};
use crate::flow::size::{SizeError, above_zero, from_zero};
use crate::units::Pressure;

/// How the pressure of another cavity raises the set pressure of a regulator.
///
/// ```
/// use oilpath::flow::law::Boost;
///
/// // Reverse adds 4 bar once it is up; up is 6 bar here.
/// let reverse = Boost::when_up("4 bar".parse()?, "6 bar".parse()?)?;
/// assert_eq!(reverse.rise(0.0), 0.0);
/// assert_eq!(reverse.rise(3e5), 2e5);
/// assert_eq!(reverse.rise(9e5), 4e5);
/// // A pilot on half the area adds half its pressure.
/// assert_eq!(Boost::pilot(0.5)?.rise(3e5), 1.5e5);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Boost(Kind);

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Pilot { gain: f64 },
    WhenUp { amount: f64, full_at: f64 },
}

impl Boost {
    /// In proportion to the pressure: `gain` as of [`Opening::pilot_gain`](super::Opening::pilot_gain).
    ///
    /// # Errors
    ///
    /// Where the gain is below nothing.
    pub fn pilot(gain: f64) -> Result<Boost, SizeError> {
        let gain = from_zero("gain of the boost", gain)?;
        Ok(Boost(Kind::Pilot { gain }))
    }

    /// By `amount` once the cavity is at `full_at`, by nothing at no pressure, and between the two
    /// along a smooth rise: a boost plug that moves as its cavity comes up.
    ///
    /// # Errors
    ///
    /// Where the amount is below nothing or the pressure nothing.
    pub fn when_up(amount: Pressure, full_at: Pressure) -> Result<Boost, SizeError> {
        Ok(Boost(Kind::WhenUp {
            amount: from_zero("boost", amount.pa())?,
            full_at: above_zero("pressure of full boost", full_at.pa())?,
        }))
    }

    /// What it adds to the set pressure at a pressure of its cavity, both in Pa.
    #[must_use]
    pub fn rise(&self, pressure: f64) -> f64 {
        self.curve(pressure).0
    }

    pub(in crate::flow) fn curve(&self, pressure: f64) -> Curve {
        match self.0 {
            Kind::Pilot { gain } => (gain * pressure, gain),
            Kind::WhenUp { amount, full_at } => {
                let (up, slope) = step(pressure / full_at);
                (amount * up, amount / full_at * slope)
            }
        }
    }
}
