//! Passages: drillings, tubes and cast channels, with their bends and steps.

use super::friction::{Friction, friction};
use super::{Law, Rate, Section};
use crate::flow::size::{SizeError, above_zero, from_zero, require};
use crate::flow::{Doubt, Fluid};
use crate::units::Length;

/// A run of passage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Its shape across.
    pub section: Section,
    /// Its length along the flow.
    pub length: Length,
    /// Height of the roughness of its wall.
    pub roughness: Length,
    /// Loss coefficients of its bends, steps and ends, added up ([`minor`](super::minor)).
    pub fittings: f64,
}

/// The law of a [`Run`]: Darcy's `x = f·(L/D)·ρv²/2` with Churchill's friction factor
/// ([`friction`]), and `K·ρv²/2` for its fittings.
///
/// A rectangular channel is exact in laminar flow and goes by its hydraulic diameter in turbulent
/// flow, good to some 10 % (`from memory`). Developed flow is taken from end to end
/// ([`Doubt::Developing`] under ten bores). Between Re 2000 and 4000 a real passage is either
/// laminar or turbulent, this law between ([`Doubt::Transition`]).
///
/// ```
/// use oilpath::flow::{Oil, law::{Law, Passage, Run, Section, minor}};
/// use oilpath::units::Length;
///
/// let gallery = Run {
///     section: Section::Round { bore: "6 mm".parse()? },
///     length: "15 cm".parse()?,
///     roughness: "0.05 mm".parse()?,
///     fittings: 2.0 * minor::mitre_bend(std::f64::consts::FRAC_PI_2) + minor::EXIT,
/// };
/// let law = Passage::new(gallery, Oil::generic().at("90 °C".parse()?)?)?;
/// let rate = law.rate(20e3);
/// assert!((law.drop(rate.flow) / 20e3 - 1.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Reynolds number a flow.
    reynolds: f64,
    /// Drop a `f·Re²`.
    wall: f64,
    /// Drop of the fittings a `Re²`, over `wall`.
    fittings: f64,
    relative_roughness: f64,
    laminar: f64,
    developing: bool,
}

/// A step of Newton's so small a part that its square is nothing to an f64.
const CLOSE: f64 = 1e-9;

impl Passage {
    /// The law of a run for an oil.
    ///
    /// # Errors
    ///
    /// Where bore, width, depth or length is nothing, the roughness or the fittings below nothing,
    /// or the roughness half a bore or more.
    pub fn new(run: Run, fluid: Fluid) -> Result<Passage, SizeError> {
        let measures = run.section.measures()?;
        let (diameter, area) = (measures.hydraulic_diameter, measures.area);
        let length = above_zero("length", run.length.m())?;
        let roughness = from_zero("roughness", run.roughness.m())?;
        require(
            roughness < diameter / 2.0,
            "roughness",
            "under half the bore",
        )?;
        let fittings = from_zero("loss of the fittings", run.fittings)?;
        let (rho, mu) = (fluid.rho(), fluid.mu());
        Ok(Passage {
            reynolds: rho * diameter / (area * mu),
            wall: length * mu * mu / (2.0 * rho * diameter.powi(3)),
            fittings: fittings * diameter / length,
            relative_roughness: roughness / diameter,
            laminar: measures.laminar,
            developing: length < 10.0 * diameter,
        })
    }

    /// The Reynolds number at a flow.
    #[must_use]
    pub fn reynolds(&self, flow: f64) -> f64 {
        self.reynolds * flow.abs()
    }

    /// The drop at a flow, in Pa.
    #[must_use]
    pub fn drop(&self, flow: f64) -> f64 {
        (self.wall * self.losses(self.reynolds(flow)).f_re2).copysign(flow)
    }

    /// Wall and fittings together, as friction.
    fn losses(&self, reynolds: f64) -> Friction {
        let wall = friction(reynolds, self.relative_roughness, self.laminar);
        Friction {
            f_re2: wall.f_re2 + self.fittings * reynolds * reynolds,
            slope: wall.slope + 2.0 * self.fittings * reynolds,
        }
    }

    /// The Reynolds number at which wall and fittings lose as much: a Newton search kept between
    /// bounds.
    fn solve(&self, losses: f64) -> f64 {
        // Were the wall laminar throughout, it would lose less and the flow be greater.
        let root = (self.laminar.powi(2) + 4.0 * self.fittings * losses).sqrt();
        let (mut low, mut high) = (0.0, 2.0 * losses / (self.laminar + root));
        // A turbulent flow starts from a usual friction factor, far nearer.
        let mut reynolds = high.min((losses / (0.03 + self.fittings)).sqrt());
        // As many halvings as an f64 has digits, should Newton never help; 5 to 9 steps as a rule.
        for _ in 0..64 {
            let here = self.losses(reynolds);
            let excess = here.f_re2 - losses;
            if excess > 0.0 {
                high = reynolds;
            } else {
                low = reynolds;
            }
            let newton = reynolds - excess / here.slope;
            let inside = newton > low && newton < high;
            let next = if inside { newton } else { (low + high) / 2.0 };
            let step = (next - reynolds).abs();
            reynolds = next;
            // A step of Newton's leaves about its square.
            let enough = if inside { CLOSE } else { 2.0 * f64::EPSILON };
            if step <= enough * reynolds {
                break;
            }
        }
        reynolds
    }
}

impl Law for Passage {
    fn rate(&self, drop: f64) -> Rate {
        let reynolds = self.solve(drop.abs() / self.wall);
        Rate {
            flow: (reynolds / self.reynolds).copysign(drop),
            slope: 1.0 / (self.wall * self.losses(reynolds).slope * self.reynolds),
        }
    }

    fn doubts(&self, drop: f64) -> Vec<Doubt> {
        let reynolds = self.reynolds(self.rate(drop).flow);
        Doubt::those([
            (self.developing, Doubt::Developing),
            ((2000.0..4000.0).contains(&reynolds), Doubt::Transition),
            (
                self.fittings > 0.0 && reynolds < 2000.0,
                Doubt::LaminarFittings,
            ),
            (self.relative_roughness > 0.05, Doubt::Rough),
        ])
    }
}
