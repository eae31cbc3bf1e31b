//! The shape of a passage across.

use std::f64::consts::PI;

use crate::flow::size::{SizeError, above_zero};
use crate::units::Length;

/// The shape of a passage across the flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Section {
    /// A drilling or a tube.
    Round {
        /// Its diameter.
        bore: Length,
    },
    /// A cast or milled channel under a plate.
    Rectangular {
        /// One side.
        width: Length,
        /// The other.
        depth: Length,
    },
}

/// What friction asks of a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Measures {
    /// In m².
    pub(super) area: f64,
    /// Four times the area a rim length, in m.
    pub(super) hydraulic_diameter: f64,
    /// Darcy friction factor times Reynolds number of developed laminar flow.
    pub(super) laminar: f64,
}

impl Section {
    pub(super) fn measures(self) -> Result<Measures, SizeError> {
        Ok(match self {
            Section::Round { bore } => {
                let bore = above_zero("bore", bore.m())?;
                Measures {
                    area: PI * bore * bore / 4.0,
                    hydraulic_diameter: bore,
                    laminar: 64.0,
                }
            }
            Section::Rectangular { width, depth } => {
                let width = above_zero("width", width.m())?;
                let depth = above_zero("depth", depth.m())?;
                Measures {
                    area: width * depth,
                    hydraulic_diameter: 2.0 * width * depth / (width + depth),
                    laminar: Section::laminar_factor(width.min(depth) / width.max(depth)),
                }
            }
        })
    }

    /// Darcy friction factor times Reynolds number, on the hydraulic diameter, of developed laminar
    /// flow between rectangular walls, for short side over long: 56.9 for a square, 96 for a slot.
    ///
    /// The exact series `S = 1 − (192a/π⁵)·Σ tanh(nπ/2a)/n⁵` over odd `n` (White, Viscous Fluid
    /// Flow; table in Shah & London 1978), summed as what tanh falls short of 1: those terms shrink
    /// by e^−π each, where the plain sum would need a thousand.
    ///
    /// ```
    /// use oilpath::flow::law::Section;
    /// // Shah & London print 14.2271 for Fanning's factor, a quarter of Darcy's.
    /// assert_eq!(format!("{:.4}", Section::laminar_factor(1.0) / 4.0), "14.2271");
    /// ```
    #[must_use]
    pub fn laminar_factor(aspect: f64) -> f64 {
        /// Σ 1/n⁵ over odd n: 31/32 of ζ(5).
        const ALL: f64 = 31.0 / 32.0 * 1.036_927_755_143_37;
        let short = |n: f64| 2.0 / ((n * PI / aspect).exp() + 1.0) / n.powi(5);
        let missing: f64 = [1.0, 3.0, 5.0, 7.0, 9.0, 11.0].into_iter().map(short).sum();
        let shape = 1.0 - 192.0 * aspect / PI.powi(5) * (ALL - missing);
        96.0 / ((1.0 + aspect).powi(2) * shape)
    }
}
