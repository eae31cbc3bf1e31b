//! Regulators: an edge opened or closed by the pressure it holds.

use super::smooth::{CORNER, ramp, step};
use super::{Law, Orifice, Rate};
use crate::flow::Doubt;
use crate::flow::size::{SizeError, from_zero, require};
use crate::units::{Length, Pressure};

/// The flow between two cavities where it depends on both pressures, not on their difference alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Between {
    /// Flow, in m³/s.
    pub flow: f64,
    /// How it changes with the pressure it comes from: never below zero.
    pub by_from: f64,
    /// How it changes with the pressure it goes to: never above zero.
    pub by_to: f64,
}

/// What opens the edge of a regulator, and how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    set: f64,
    band: f64,
}

impl Opening {
    /// Just working at `set`, fully stroked a `band` away. 5 % of the set pressure is usual where
    /// nothing is known (`common practice, no source`).
    ///
    /// # Errors
    ///
    /// Where the set pressure is below nothing or the band under 200 Pa.
    pub fn new(set: Pressure, band: Pressure) -> Result<Opening, SizeError> {
        let wide = band.pa() >= CORNER && band.pa().is_finite();
        require(wide, "band of the regulator", "200 Pa or more")?;
        Ok(Opening {
            set: from_zero("set pressure", set.pa())?,
            band: band.pa(),
        })
    }

    /// By how much a pilot raises the set pressure, a pilot pressure: the areas of its piston and of
    /// the face the held pressure acts on, `p·A = spring + pilot·A'` at the working edge.
    ///
    /// # Errors
    ///
    /// Where a diameter is nothing.
    pub fn pilot_gain(pilot: Length, held: Length) -> Result<f64, SizeError> {
        let wide = held.m() > 0.0 && held.m().is_finite();
        require(
            wide,
            "diameter the held pressure acts on",
            "more than nothing",
        )?;
        let pilot = from_zero("diameter of the pilot", pilot.m())?;
        Ok((pilot / held.m()).powi(2))
    }
}

/// A regulator that spills: held pressure above its set pressure opens a way to the sump, or to what
/// it feeds next.
///
/// `q = opening·orifice`, opening from 0 at set to 1 a band above, level at both ends. Nothing
/// comes back through it. `boost` raises the set pressure, in Pa. Where the way goes to a fixed
/// pressure this rises in the held pressure alone and the network keeps its one answer. A regulator
/// that spills to several in order is one of these for each, the bands one above the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bleed {
    opening: Opening,
    wide_open: Orifice,
    leak: f64,
}

impl Bleed {
    /// From what opens it and its way when wide open; `leak` shut, in m³/s per Pa.
    ///
    /// # Errors
    ///
    /// Where the leak is below nothing.
    pub fn new(opening: Opening, wide_open: Orifice, leak: f64) -> Result<Bleed, SizeError> {
        let leak = from_zero("leak of the regulator", leak)?;
        Ok(Bleed {
            opening,
            wide_open,
            leak,
        })
    }

    /// The flow from the held cavity.
    #[must_use]
    pub fn between(&self, held: f64, to: f64, boost: f64) -> Between {
        let Opening { set, band } = self.opening;
        let (open, open_slope) = step((held - set - boost) / band);
        let (forward, forward_slope) = ramp(held - to);
        let wide = self.wide_open.rate(forward);
        let by_drop = open * wide.slope * forward_slope + self.leak;
        Between {
            flow: open * wide.flow + self.leak * (held - to),
            by_from: by_drop + open_slope / band * wide.flow,
            by_to: -by_drop,
        }
    }
}

/// Where it spills to the sump the pressure it holds is its drop, and it is a law like others; so it
/// has its place in a [`Network`](crate::flow::Network). Boost is then laid on its set pressure.
impl Law for Bleed {
    fn rate(&self, drop: f64) -> Rate {
        let Between { flow, by_from, .. } = self.between(drop, 0.0, 0.0);
        Rate {
            flow,
            slope: by_from,
        }
    }

    fn doubts(&self, drop: f64) -> Vec<Doubt> {
        self.wide_open.doubts(drop)
    }
}

/// A regulator that reduces a feed: it closes as the pressure behind it nears its set pressure.
///
/// Opening from 1 a band below set to 0 at set. It throttles **forward flow only**; oil that comes
/// back meets the wide-open way. That is not for realism: were reverse flow throttled too, a network
/// could have two answers. The change from one to the other is made over 200 Pa of reverse drop, and
/// since the band is no narrower the flow rises with `from` and falls with `to` everywhere. `boost`
/// raises the set pressure, in Pa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reducing {
    opening: Opening,
    wide_open: Orifice,
    leak: f64,
}

impl Reducing {
    /// From what closes it and its way when wide open; `leak` shut, in m³/s per Pa.
    ///
    /// # Errors
    ///
    /// Where the leak is below nothing.
    pub fn new(opening: Opening, wide_open: Orifice, leak: f64) -> Result<Reducing, SizeError> {
        let leak = from_zero("leak of the regulator", leak)?;
        Ok(Reducing {
            opening,
            wide_open,
            leak,
        })
    }

    /// The flow from the feed to the held cavity.
    #[must_use]
    pub fn between(&self, from: f64, held: f64, boost: f64) -> Between {
        let Opening { set, band } = self.opening;
        let (open, open_slope) = step((set + boost - held) / band);
        let drop = from - held;
        let wide = self.wide_open.rate(drop);
        let (back, back_slope) = ramp(-drop);
        let reverse = self.wide_open.rate(-back);
        let by_drop = open * wide.slope + (1.0 - open) * reverse.slope * back_slope + self.leak;
        Between {
            flow: open * wide.flow + (1.0 - open) * reverse.flow + self.leak * drop,
            by_from: by_drop,
            by_to: -by_drop - open_slope / band * (wide.flow - reverse.flow),
        }
    }

    /// Where its way is outside what its law was made for.
    #[must_use]
    pub fn doubts(&self, from: f64, held: f64) -> Vec<Doubt> {
        self.wide_open.doubts(from - held)
    }
}
