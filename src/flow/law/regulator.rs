//! Regulators: an edge opened or closed by the pressure it holds.

use super::smooth::{CORNER, ramp, step};
use super::{Law, Orifice, Rate, Stand};
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
    /// How it changes with what boost adds to the set pressure.
    pub by_boost: f64,
}

impl Between {
    /// Where the drop alone counts.
    pub(in crate::flow) fn of_drop(flow: f64, slope: f64) -> Between {
        Between {
            flow,
            by_from: slope,
            by_to: -slope,
            by_boost: 0.0,
        }
    }
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

    /// The same stroke worked off by several edges in order: a share of the band for each, one above
    /// the other.
    fn shared(self, edges: usize) -> impl Iterator<Item = Opening> {
        let band = self.band / edges as f64;
        (0..edges).map(move |i| Opening {
            set: self.set + i as f64 * band,
            band,
        })
    }

    /// The same with a band of at least this share of the set pressure.
    fn widened(self, share: f64) -> Opening {
        Opening {
            band: self.band.max(share * self.set),
            ..self
        }
    }

    /// How far a pressure is into the band, from 0 to 1 across it.
    fn stroke(self, pressure: f64, boost: f64) -> f64 {
        (pressure - self.set - boost) / self.band
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
/// that spills to several is one of these for each ([`in_order`](Bleed::in_order)).
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

    /// One regulator that spills to several in order, a way when wide open for each: one spool whose
    /// stroke, the band of `opening`, opens the first over its first share and the last over its last.
    /// How a real spool shares its stroke is drawn on no chart: equal shares are an assumption.
    ///
    /// ```
    /// use oilpath::flow::{Oil, law::{Bleed, Hole, Opening, Orifice, SEATED_LEAK}};
    ///
    /// let hot = Oil::generic().at("90 °C".parse()?)?;
    /// let edge = Orifice::new(Hole::drilled("4 mm".parse()?, "1 mm".parse()?), hot)?;
    /// let opening = Opening::new("16 bar".parse()?, "0.8 bar".parse()?)?;
    /// let edges = Bleed::in_order(opening, &[edge, edge], SEATED_LEAK)?;
    /// // At 16.4 bar the first gets all it can and the second nothing yet.
    /// assert!(edges[0].between(16.4e5, 0.0, 0.0).flow > 1e-4);
    /// assert!(edges[1].between(16.4e5, 0.0, 0.0).flow < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Where the leak is below nothing.
    pub fn in_order(
        opening: Opening,
        wide_open: &[Orifice],
        leak: f64,
    ) -> Result<Vec<Bleed>, SizeError> {
        let shares = opening.shared(wide_open.len());
        let edges = shares.zip(wide_open);
        edges
            .map(|(share, wide)| Bleed::new(share, *wide, leak))
            .collect()
    }

    /// The flow from the held cavity.
    #[must_use]
    pub fn between(&self, held: f64, to: f64, boost: f64) -> Between {
        let (open, open_slope) = step(self.opening.stroke(held, boost));
        let (forward, forward_slope) = ramp(held - to);
        let wide = self.wide_open.rate(forward);
        let by_drop = open * wide.slope * forward_slope + self.leak;
        let by_held = open_slope / self.opening.band * wide.flow;
        Between {
            flow: open * wide.flow + self.leak * (held - to),
            by_from: by_drop + by_held,
            by_to: -by_drop,
            by_boost: -by_held,
        }
    }

    /// Where it stands.
    #[must_use]
    pub fn stand(&self, held: f64, boost: f64) -> Stand {
        Stand::of_opening(self.opening.stroke(held, boost))
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

    fn stand(&self, drop: f64) -> Option<Stand> {
        Some(Bleed::stand(self, drop, 0.0))
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
        let (open, open_slope) = step(-self.opening.stroke(held, boost));
        let drop = from - held;
        let wide = self.wide_open.rate(drop);
        let (back, back_slope) = ramp(-drop);
        let reverse = self.wide_open.rate(-back);
        let by_drop = open * wide.slope + (1.0 - open) * reverse.slope * back_slope + self.leak;
        let by_held = open_slope / self.opening.band * (wide.flow - reverse.flow);
        Between {
            flow: open * wide.flow + (1.0 - open) * reverse.flow + self.leak * drop,
            by_from: by_drop,
            by_to: -by_drop - by_held,
            by_boost: by_held,
        }
    }

    /// Where it stands.
    #[must_use]
    pub fn stand(&self, held: f64, boost: f64) -> Stand {
        Stand::of_opening(-self.opening.stroke(held, boost))
    }

    /// Where its way is outside what its law was made for.
    #[must_use]
    pub fn doubts(&self, from: f64, held: f64) -> Vec<Doubt> {
        self.wide_open.doubts(from - held)
    }
}

/// A regulator of either kind, as a [`Network`](crate::flow::Network) takes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Regulator {
    /// Holds the pressure it comes from.
    Bleed(Bleed),
    /// Holds the pressure it goes to.
    Reducing(Reducing),
}

impl From<Bleed> for Regulator {
    fn from(bleed: Bleed) -> Regulator {
        Regulator::Bleed(bleed)
    }
}

impl From<Reducing> for Regulator {
    fn from(reducing: Reducing) -> Regulator {
        Regulator::Reducing(reducing)
    }
}

impl Regulator {
    /// The flow from one cavity to the other.
    #[must_use]
    pub fn between(&self, from: f64, to: f64, boost: f64) -> Between {
        match self {
            Regulator::Bleed(bleed) => bleed.between(from, to, boost),
            Regulator::Reducing(reducing) => reducing.between(from, to, boost),
        }
    }

    /// Where it stands.
    #[must_use]
    pub fn stand(&self, from: f64, to: f64, boost: f64) -> Stand {
        match self {
            Regulator::Bleed(bleed) => bleed.stand(from, boost),
            Regulator::Reducing(reducing) => reducing.stand(to, boost),
        }
    }

    /// Where its way is outside what its law was made for.
    #[must_use]
    pub fn doubts(&self, from: f64, to: f64) -> Vec<Doubt> {
        match self {
            Regulator::Bleed(bleed) => bleed.doubts(from - to),
            Regulator::Reducing(reducing) => reducing.doubts(from, to),
        }
    }

    /// Its way wide open.
    pub(in crate::flow) fn wide_open(&self) -> &Orifice {
        match self {
            Regulator::Bleed(bleed) => &bleed.wide_open,
            Regulator::Reducing(reducing) => &reducing.wide_open,
        }
    }

    /// The same with a band of at least this share of its set pressure: softer, for a solver to begin
    /// with.
    pub(in crate::flow) fn widened(&self, share: f64) -> Regulator {
        match *self {
            Regulator::Bleed(bleed) => Regulator::Bleed(Bleed {
                opening: bleed.opening.widened(share),
                ..bleed
            }),
            Regulator::Reducing(reducing) => Regulator::Reducing(Reducing {
                opening: reducing.opening.widened(share),
                ..reducing
            }),
        }
    }
}
