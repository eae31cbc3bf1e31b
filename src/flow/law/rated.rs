//! Parts known by one point: filters, converters, coolers, bearings and other users of oil.

use super::{Law, OneWay, Rate, Stand, TwoTerm};
use crate::flow::size::{SizeError, above_zero, require};
use crate::flow::{Doubt, Fluid};
use crate::units::{Flow, Pressure};

/// One known point: this flow at this drop with this oil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// What goes through.
    pub flow: Flow,
    /// What it costs.
    pub drop: Pressure,
    /// The oil it was with.
    pub with: Fluid,
    /// The part of the drop that is viscous there: 1 for a filter's cloth or a bearing's film, 0 for
    /// a hole, between for the tubes of a cooler.
    pub viscous: f64,
}

/// The law through a [`Rating`]: its viscous part goes with flow and viscosity, the rest with the
/// square of the flow and density.
///
/// A filter, converter or cooler is a way with two ends; a bearing or gear that takes oil has the
/// sump behind it and so feels the whole pressure of its cavity. Where only "the hole that would
/// cost as much" is known, that is an [`Orifice`](super::Orifice).
///
/// ```
/// use oilpath::flow::{Oil, law::{Law, Rated, Rating}};
///
/// let oil = Oil::generic();
/// let cloth = Rating {
///     flow: "20 L/min".parse()?,
///     drop: "0.1 bar".parse()?,
///     with: oil.at("80 °C".parse()?)?,
///     viscous: 1.0,
/// };
/// let hot = Rated::new(cloth, oil.at("80 °C".parse()?)?)?;
/// assert!((hot.drop(10.0 / 60e3) - 5e3).abs() < 1e-6);
/// let cold = Rated::new(cloth, oil.at("-20 °C".parse()?)?)?;
/// assert!(cold.drop(10.0 / 60e3) > 5e5);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rated {
    drops: TwoTerm,
}

/// The least viscous part: with none at all the slope at no drop would be infinite.
const SOME_VISCOUS: f64 = 1e-6;

impl Rated {
    /// The law for an oil.
    ///
    /// # Errors
    ///
    /// Where flow or drop is nothing or the viscous part not from 0 to 1.
    pub fn new(rating: Rating, fluid: Fluid) -> Result<Rated, SizeError> {
        let flow = above_zero("rated flow", rating.flow.m3_per_s())?;
        let drop = above_zero("rated drop", rating.drop.pa())?;
        let inside = (0.0..=1.0).contains(&rating.viscous);
        require(inside, "viscous part", "from 0 to 1")?;
        let viscous = rating.viscous.max(SOME_VISCOUS);
        Ok(Rated {
            drops: TwoTerm {
                viscous: viscous * drop / flow * (fluid.mu() / rating.with.mu()),
                inertial: (1.0 - viscous) * drop / (flow * flow)
                    * (fluid.rho() / rating.with.rho()),
            },
        })
    }

    /// The drop at a flow, in Pa.
    #[must_use]
    pub fn drop(&self, flow: f64) -> f64 {
        self.drops.drop(flow)
    }
}

impl Law for Rated {
    fn rate(&self, drop: f64) -> Rate {
        self.drops.rate(drop)
    }

    fn doubts(&self, _drop: f64) -> Vec<Doubt> {
        Vec::new()
    }
}

/// A part with a bypass ball beside it: their flows add.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bypassed<L> {
    /// The filter, cooler or converter.
    pub part: L,
    /// The ball that lets oil past it.
    pub bypass: OneWay,
}

impl<L: Law + PartialEq> Law for Bypassed<L> {
    fn rate(&self, drop: f64) -> Rate {
        let (part, bypass) = (self.part.rate(drop), self.bypass.rate(drop));
        Rate {
            flow: part.flow + bypass.flow,
            slope: part.slope + bypass.slope,
        }
    }

    fn doubts(&self, drop: f64) -> Vec<Doubt> {
        let mut doubts = self.part.doubts(drop);
        doubts.extend(self.bypass.doubts(drop));
        doubts.sort_unstable();
        doubts.dedup();
        doubts
    }

    fn stand(&self, drop: f64) -> Option<Stand> {
        self.bypass.stand(drop)
    }
}
