//! The core of most laws: a drop that is partly viscous, partly inertial.

use super::Rate;

/// `drop = R1·q + R2·q·|q|`: a viscous part that grows with the flow and an inertial part that grows
/// with its square.
///
/// Odd, strictly rising and smooth, with a finite slope at nothing and no constant to tune. The
/// inverse is closed and free of cancellation: `q = 2x/(R1 + √(R1² + 4·R2·|x|))`, slope
/// `1/√(R1² + 4·R2·|x|)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoTerm {
    /// `R1`, above zero, in Pa·s/m³.
    pub viscous: f64,
    /// `R2`, zero or more, in Pa·s²/m⁶.
    pub inertial: f64,
}

impl TwoTerm {
    /// The flow at a drop.
    #[must_use]
    pub fn rate(&self, drop: f64) -> Rate {
        let root = (self.viscous * self.viscous + 4.0 * self.inertial * drop.abs()).sqrt();
        Rate {
            flow: 2.0 * drop / (self.viscous + root),
            slope: 1.0 / root,
        }
    }

    /// The drop at a flow, in Pa.
    #[must_use]
    pub fn drop(&self, flow: f64) -> f64 {
        flow * (self.viscous + self.inertial * flow.abs())
    }

    /// Of the drop at a flow, the part that is viscous: 1 for thick oil, 0 for thin.
    #[must_use]
    pub fn viscous_share(&self, flow: f64) -> f64 {
        self.viscous / (self.viscous + self.inertial * flow.abs())
    }
}
