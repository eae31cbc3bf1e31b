//! Pumps.

use super::{Law, Rate};
use crate::flow::Doubt;
use crate::flow::size::{SizeError, above_zero, from_zero};
use crate::units::{Displacement, Flow, Pressure, Speed};

/// A pump of fixed displacement: what it moves, less what runs back through it.
///
/// As a [`Law`] from what it draws from to what it feeds. Pumping, the drop is below zero and the
/// flow above: `q = n·V + G·x`. `G` comes from the leakage at a known pressure, as film leakage
/// does in proportion to pressure; that it does not change with the oil is an assumption where
/// leakage is given for one oil only. Without leakage it is a constant flow and must have a way
/// out.
///
/// ```
/// use oilpath::flow::law::{Law, Pump};
///
/// let pump = Pump::new("18 cm³/rev".parse()?, "2000 rpm".parse()?)?
///     .leaking("6 L/min".parse()?, "20 bar".parse()?)?;
/// assert!((pump.rate(-10e5).flow * 60e3 - 33.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pump {
    moved: f64,
    leak: f64,
}

impl Pump {
    /// By its displacement and speed, tight.
    ///
    /// # Errors
    ///
    /// Where displacement or speed is below nothing.
    pub fn new(displacement: Displacement, speed: Speed) -> Result<Pump, SizeError> {
        let displacement = from_zero("displacement", displacement.m3_per_rad())?;
        Ok(Pump {
            moved: displacement * from_zero("speed", speed.rad_per_s())?,
            leak: 0.0,
        })
    }

    /// The same with inner leakage, known at one pressure.
    ///
    /// # Errors
    ///
    /// Where the leakage is below nothing or the pressure nothing.
    pub fn leaking(self, leakage: Flow, at: Pressure) -> Result<Pump, SizeError> {
        let leakage = from_zero("leakage of the pump", leakage.m3_per_s())?;
        let leak = leakage / above_zero("pressure of the leakage", at.pa())?;
        Ok(Pump { leak, ..self })
    }
}

impl Law for Pump {
    fn rate(&self, drop: f64) -> Rate {
        Rate {
            flow: self.moved + self.leak * drop,
            slope: self.leak,
        }
    }

    fn doubts(&self, _drop: f64) -> Vec<Doubt> {
        Vec::new()
    }
}
