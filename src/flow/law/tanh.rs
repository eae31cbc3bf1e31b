//! The other common law of a hole, for comparison.

use std::f64::consts::PI;

use super::{Hole, Law, Rate};
use crate::flow::size::{SizeError, above_zero};
use crate::flow::{Doubt, Fluid};

/// `q = Cd·A·tanh(2λ/λc)·√(2x/ρ)` with the flow number `λ = (d/ν)·√(2x/ρ)`: a discharge coefficient
/// that fades as the flow slows (documentation of public simulation libraries).
///
/// `λc` is where it fades, and no constant of nature: creeping flow through a thin wall wants
/// [`creeping_lambda`], 46; books and libraries use 14 to 1000 (`from memory`). It moves answers for
/// cold oil greatly and hot ones little, which is why [`Orifice`](super::Orifice), which has no such
/// constant, is what the rest of the crate uses. The thickness of the hole does not count here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TanhOrifice {
    /// Flow a root of drop when the oil is thin: `Cd·A·√(2/ρ)`.
    full: f64,
    /// `2λ/λc` a root of drop.
    fade: f64,
}

/// The `λc` at which [`TanhOrifice`] has the slope of exact creeping flow through a hole in a thin
/// wall (Sampson 1891, `q = R³x/3μ`): `24π·Cd`.
#[must_use]
pub fn creeping_lambda(discharge: f64) -> f64 {
    24.0 * PI * discharge
}

impl TanhOrifice {
    /// The law of a hole for an oil.
    ///
    /// # Errors
    ///
    /// Where bore, discharge coefficient or `λc` is nothing.
    pub fn new(hole: Hole, lambda_c: f64, fluid: Fluid) -> Result<TanhOrifice, SizeError> {
        let bore = above_zero("bore", hole.bore.m())?;
        let cd = above_zero("discharge coefficient", hole.discharge)?;
        let lambda_c = above_zero("critical flow number", lambda_c)?;
        let speed = (2.0 / fluid.rho()).sqrt();
        Ok(TanhOrifice {
            full: cd * PI * bore * bore / 4.0 * speed,
            fade: 2.0 * bore * fluid.rho() / fluid.mu() * speed / lambda_c,
        })
    }
}

impl Law for TanhOrifice {
    fn rate(&self, drop: f64) -> Rate {
        let root = drop.abs().sqrt();
        let z = self.fade * root;
        let tanh = z.tanh();
        // tanh(z)/z has no value at nothing; its series has, and is exact to the last digit here.
        let ratio = if z < 1e-4 {
            1.0 - z * z / 3.0
        } else {
            tanh / z
        };
        Rate {
            flow: (self.full * root * tanh).copysign(drop),
            slope: self.full * self.fade * (ratio + 1.0 - tanh * tanh) / 2.0,
        }
    }

    fn doubts(&self, drop: f64) -> Vec<Doubt> {
        // The coefficient is neither that of thin oil nor in proportion to the root of the drop.
        let z = self.fade * drop.abs().sqrt();
        Doubt::those([(z > 0.5 && z < 1.5, Doubt::Blended)])
    }
}
