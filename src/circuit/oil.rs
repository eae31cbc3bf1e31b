//! The oil in the box.

use super::Text;
use crate::units::{Density, KinematicViscosity, Temperature};

/// An oil, as its data sheet gives it.
///
/// A circuit may list several: the first is in the box unless another is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Oil {
    /// Kinematic viscosity at two temperatures, as a rule 40 °C and 100 °C, in file order.
    pub viscosity: [(Temperature, KinematicViscosity); 2],
    /// Density at 15 °C.
    pub density: Option<Density>,
    /// Label and note.
    pub text: Text,
}

impl Oil {
    /// Whether it is thinner at the hotter of its two temperatures, as every oil is.
    #[must_use]
    pub fn thins(&self) -> bool {
        let [(one, thick), (other, thin)] = self.viscosity;
        (one < other && thick > thin) || (one > other && thick < thin)
    }
}
