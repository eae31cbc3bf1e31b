//! Check balls.

use super::smooth::ramp;
use super::{Law, Orifice, Rate, Stand};
use crate::flow::Doubt;
use crate::flow::size::{SizeError, from_zero};
use crate::units::Pressure;

/// What a good ball lets past its seat, in m³/s per Pa: at 10 bar a drop in some eight minutes. Not a measurement
/// but just enough that every cavity has a pressure.
pub const SEATED_LEAK: f64 = 1e-16;

/// A ball that lets oil one way: shut until the drop lifts it, then its seat is an [`Orifice`] that
/// feels the drop less the pressure that lifts it.
///
/// The corner at lifting is rounded over 200 Pa; outside that it is exact. Seated it leaks in
/// proportion to the drop. With a leak of nothing the law is level while seated: a cavity that only
/// such ways reach has no pressure of its own, and a solver must say so (trapped), not guess.
///
/// ```
/// use oilpath::flow::{Oil, law::{Hole, Law, OneWay, Orifice, SEATED_LEAK}};
///
/// let hot = Oil::generic().at("90 °C".parse()?)?;
/// let seat = Orifice::new(Hole::drilled("4 mm".parse()?, "1 mm".parse()?), hot)?;
/// let bypass = OneWay::new(seat, "1.5 bar".parse()?, SEATED_LEAK)?;
/// assert!(bypass.rate(1.4e5).flow < 1e-10 && bypass.rate(-5e5).flow > -1e-9);
/// assert!((bypass.rate(2e5).flow / seat.rate(0.5e5).flow - 1.0).abs() < 1e-6);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OneWay {
    seat: Orifice,
    lifts_at: f64,
    leak: f64,
}

impl OneWay {
    /// A ball on a seat, lifted by a drop of `lifts_at`: nothing for one that lies loose. `leak` is
    /// in m³/s per Pa: [`SEATED_LEAK`] for a good one, more for a worn seat.
    ///
    /// # Errors
    ///
    /// Where lift pressure or leak is below nothing.
    pub fn new(seat: Orifice, lifts_at: Pressure, leak: f64) -> Result<OneWay, SizeError> {
        Ok(OneWay {
            seat,
            lifts_at: from_zero("pressure that lifts the ball", lifts_at.pa())?,
            leak: from_zero("leak of the seat", leak)?,
        })
    }

    /// Whether the drop lifts the ball.
    #[must_use]
    pub fn lifted(&self, drop: f64) -> bool {
        drop > self.lifts_at
    }
}

impl Law for OneWay {
    fn rate(&self, drop: f64) -> Rate {
        let (felt, felt_slope) = ramp(drop - self.lifts_at);
        let through = self.seat.rate(felt);
        Rate {
            flow: through.flow + self.leak * drop,
            slope: through.slope * felt_slope + self.leak,
        }
    }

    fn doubts(&self, drop: f64) -> Vec<Doubt> {
        if self.lifted(drop) {
            self.seat.doubts(drop - self.lifts_at)
        } else {
            Vec::new()
        }
    }

    fn stand(&self, drop: f64) -> Option<Stand> {
        Some(Stand::of_lift(self.lifted(drop)))
    }
}

/// A ball between two inlets and one outlet: the higher inlet feeds and shuts the lower.
///
/// Two one-way ways into the outlet, [`inlet`](Shuttle::inlet) for each, keep the network one with
/// one answer. They differ from the real ball in this: when both inlets fall, the outlet cannot
/// empty back through them, where a real ball stays off the seat it left last. A solver that finds
/// the outlet trapped above both puts the [`open`](Shuttle::open) seat at the higher inlet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shuttle {
    seat: Orifice,
    leak: f64,
}

impl Shuttle {
    /// Two seats of one size, `leak` in m³/s per Pa as for [`OneWay::new`].
    ///
    /// # Errors
    ///
    /// Where the leak is below nothing.
    pub fn new(seat: Orifice, leak: f64) -> Result<Shuttle, SizeError> {
        let leak = from_zero("leak of the seat", leak)?;
        Ok(Shuttle { seat, leak })
    }

    /// From either inlet to the outlet.
    #[must_use]
    pub fn inlet(&self) -> OneWay {
        OneWay {
            seat: self.seat,
            lifts_at: 0.0,
            leak: self.leak,
        }
    }

    /// A seat the ball is off, both ways.
    #[must_use]
    pub fn open(&self) -> Orifice {
        self.seat
    }
}
