//! A drilled hole.

use std::f64::consts::PI;

use super::{Law, Rate, TwoTerm};
use crate::flow::size::{SizeError, above_zero, from_zero, require};
use crate::flow::{Doubt, Fluid};
use crate::units::Length;

/// Discharge coefficient of a sharp edge: π/(π+2), exact for a slit (Kirchhoff 1869, in Merritt,
/// Hydraulic Control Systems, 1967, ch. 3). Measured round holes: 0.60 to 0.62.
pub const SHARP_EDGED: f64 = PI / (PI + 2.0);

/// Of a plate drilled at least one bore thick, where the jet fills the hole again: 0.7 to 0.8
/// (`from memory`).
const DRILLED: f64 = 0.75;

/// A round hole through a plate or a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Its diameter.
    pub bore: Length,
    /// How thick the metal is.
    pub thickness: Length,
    /// Discharge coefficient when the oil is thin.
    pub discharge: f64,
}

impl Hole {
    /// A hole with square edges, its discharge coefficient by its shape: [`SHARP_EDGED`] up to half
    /// a bore thick, 0.75 from one bore (`from memory`), and straight between the two (an
    /// assumption, so that an answer does not jump as a hole is drilled larger).
    ///
    /// ```
    /// use oilpath::flow::law::{Hole, SHARP_EDGED};
    /// use oilpath::units::Length;
    ///
    /// let plate = Hole::drilled("4 mm".parse()?, "1 mm".parse()?);
    /// assert_eq!(plate.discharge, SHARP_EDGED);
    /// let plug = Hole::drilled("1 mm".parse()?, "4 mm".parse()?);
    /// assert_eq!(plug.discharge, 0.75);
    /// // Of no thickness it is sharp-edged.
    /// assert_eq!(Hole::drilled("1 mm".parse()?, Length::from_m(0.0)).discharge, SHARP_EDGED);
    /// # Ok::<(), oilpath::units::UnitError>(())
    /// ```
    #[must_use]
    pub fn drilled(bore: Length, thickness: Length) -> Hole {
        let bores = thickness.m() / bore.m();
        let fills = (2.0 * bores - 1.0).clamp(0.0, 1.0);
        Hole {
            bore,
            thickness,
            discharge: SHARP_EDGED + fills * (DRILLED - SHARP_EDGED),
        }
    }
}

/// The law of a [`Hole`]: [`TwoTerm`], right in both limits, approximate between.
///
/// Viscous: creeping flow through a hole in a thick wall, `R1 = μ(3/R³ + 8L/(πR⁴))`, their fit
/// within 1 % of the exact series (Dagan, Weinbaum & Pfeffer, J. Fluid Mech. 115, 1982; without
/// thickness it is Sampson 1891). Inertial: `R2 = ρ/(2(Cd·A)²)` (Merritt 1967, ch. 3). Between the
/// two no law of one curve is exact: [`Doubt::Blended`] where neither takes nine tenths of the drop.
///
/// ```
/// use oilpath::flow::{Oil, law::{Hole, Law, Orifice}};
///
/// let hot = Oil::generic().at("90 °C".parse()?)?;
/// let hop = Orifice::new(Hole::drilled("1.2 mm".parse()?, "1.5 mm".parse()?), hot)?;
/// let rate = hop.rate(5e5);
/// assert!((hop.drop(rate.flow) / 5e5 - 1.0).abs() < 1e-12);
/// // Half the bore passes a quarter of the oil, and a little less: oil clings.
/// let half = Orifice::new(Hole::drilled("0.6 mm".parse()?, "1.5 mm".parse()?), hot)?;
/// assert!((3.9..4.4).contains(&(rate.flow / half.rate(5e5).flow)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orifice {
    drops: TwoTerm,
}

impl Orifice {
    /// The law of a hole for an oil.
    ///
    /// # Errors
    ///
    /// Where bore or discharge coefficient is nothing, the coefficient above 1 or the thickness
    /// below nothing.
    pub fn new(hole: Hole, fluid: Fluid) -> Result<Orifice, SizeError> {
        let radius = above_zero("bore", hole.bore.m())? / 2.0;
        let length = from_zero("thickness", hole.thickness.m())?;
        let cd = above_zero("discharge coefficient", hole.discharge)?;
        require(cd <= 1.0, "discharge coefficient", "at most 1")?;
        let (cubed, area) = (radius.powi(3), PI * radius * radius);
        Ok(Orifice {
            drops: TwoTerm {
                viscous: fluid.mu() * (3.0 / cubed + 8.0 * length / (PI * cubed * radius)),
                inertial: fluid.rho() / (2.0 * (cd * area).powi(2)),
            },
        })
    }

    /// Its two terms.
    #[must_use]
    pub fn terms(&self) -> TwoTerm {
        self.drops
    }

    /// The drop at a flow, in Pa.
    #[must_use]
    pub fn drop(&self, flow: f64) -> f64 {
        self.drops.drop(flow)
    }
}

impl Law for Orifice {
    fn rate(&self, drop: f64) -> Rate {
        self.drops.rate(drop)
    }

    fn doubts(&self, drop: f64) -> Vec<Doubt> {
        let share = self.drops.viscous_share(self.rate(drop).flow);
        Doubt::those([((0.1..0.9).contains(&share), Doubt::Blended)])
    }
}
