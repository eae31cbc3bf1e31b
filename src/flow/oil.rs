//! The oil: how thick and how heavy, at which temperature.

use super::Doubt;
use super::size::{SizeError, above_zero};
use super::walther::{LONG_FORM_BELOW, Walther};
use crate::units::{Density, DynamicViscosity, KinematicViscosity, Temperature};

/// Where densities of oils are stated.
const DENSITY_AT: Temperature = Temperature::from_kelvin(288.15);

/// Densities at 15 °C that the lubricating-oil table covers, kg/m³ (API MPMS 11.1).
const DENSITIES: std::ops::RangeInclusive<f64> = 801.0..=1164.0;

/// The oil in the gearbox: two viscosities and a density, as its data sheet gives them.
///
/// Between and beyond the two temperatures viscosity follows ASTM D341 ([`walther`](super::walther)).
/// Density follows the lubricating-oil group of API MPMS 11.1 (ASTM D1250, ISO 91; the 1980 form):
/// with `α = 0.6278/ρ₁₅` per kelvin and `t` the kelvins above 15 °C, `ρ = ρ₁₅·exp(−αt(1 + 0.8αt))`.
/// Pressure is taken to change neither: at 20 bar it would by 0.1 % and 4 % (`from memory`).
#[derive(Clone, Debug, PartialEq)]
pub struct Oil {
    line: Walther,
    /// Where the viscosities were given, colder first.
    given: [Temperature; 2],
    density: Density,
    generic: bool,
}

/// The oil at one temperature: what the laws need of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fluid {
    density: Density,
    viscosity: DynamicViscosity,
}

/// No oil is like this.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum OilError {
    /// Both viscosities are given for one temperature, or the hotter oil is not the thinner, or a
    /// viscosity is one the standard does not know.
    #[error("{} at {} and {} at {}: no oil thins like this", .0.1, .0.0, .1.1, .1.0)]
    NoLine(
        (Temperature, KinematicViscosity),
        (Temperature, KinematicViscosity),
    ),
    /// At that temperature its viscosity is beyond 0.21 to 2·10⁷ cSt.
    #[error("the viscosity of this oil at {0} cannot be said")]
    NoViscosity(Temperature),
    /// A density or viscosity of nothing.
    #[error(transparent)]
    Size(#[from] SizeError),
}

impl Oil {
    /// From two points of its data sheet, as a rule at 40 °C and 100 °C, and its density at 15 °C.
    ///
    /// # Errors
    ///
    /// [`OilError::NoLine`] where no oil has these two viscosities, [`OilError::Size`] where the
    /// density is none.
    ///
    /// ```
    /// use oilpath::flow::Oil;
    ///
    /// let cold = ("40 °C".parse()?, "24 cSt".parse()?);
    /// let hot = ("100 °C".parse()?, "5.4 cSt".parse()?);
    /// let oil = Oil::new(cold, hot, "850 kg/m³".parse()?)?;
    /// let fluid = oil.at("80 °C".parse()?)?;
    /// assert_eq!(fluid.viscosity().to_string(), "6.481 cP");
    ///
    /// let error = Oil::new(cold, cold, "850 kg/m³".parse()?).unwrap_err();
    /// assert_eq!(error.to_string(), "24 cSt at 40 °C and 24 cSt at 40 °C: no oil thins like this");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn new(
        one: (Temperature, KinematicViscosity),
        other: (Temperature, KinematicViscosity),
        density_at_15_c: Density,
    ) -> Result<Oil, OilError> {
        let line = Walther::through(one, other).ok_or(OilError::NoLine(one, other))?;
        above_zero("density of the oil", density_at_15_c.kg_per_m3())?;
        let colder_first = one.0 <= other.0;
        Ok(Oil {
            line,
            given: if colder_first {
                [one.0, other.0]
            } else {
                [other.0, one.0]
            },
            density: density_at_15_c,
            generic: false,
        })
    }

    /// Stands in where the circuit names no oil: 30 cSt at 40 °C, 6 cSt at 100 °C, 850 kg/m³ at
    /// 15 °C. An assumption, no oil in particular: of the order of gearbox oils in use
    /// (`common practice, no source`).
    #[must_use]
    pub fn generic() -> Oil {
        Oil {
            // The line through its two points, written out; a test holds it to them.
            line: Walther {
                a: 8.542_729_004_563_12,
                b: 3.353_849_352_233_57,
            },
            given: [40.0, 100.0].map(|celsius| Temperature::from_kelvin(celsius + 273.15)),
            density: Density::from_kg_per_m3(850.0),
            generic: true,
        }
    }

    /// Whether it only stands in for the real oil: a result that rests on it should say so.
    #[must_use]
    pub fn is_generic(&self) -> bool {
        self.generic
    }

    /// Its density at a temperature.
    #[must_use]
    pub fn density(&self, temperature: Temperature) -> Density {
        let at_15 = self.density.kg_per_m3();
        let swelling = 0.6278 / at_15 * (temperature.kelvin() - DENSITY_AT.kelvin());
        Density::from_kg_per_m3(at_15 * (-swelling * (1.0 + 0.8 * swelling)).exp())
    }

    /// Its kinematic viscosity at a temperature.
    ///
    /// # Errors
    ///
    /// [`OilError::NoViscosity`] where it would be beyond 0.21 to 2·10⁷ cSt.
    pub fn kinematic(&self, temperature: Temperature) -> Result<KinematicViscosity, OilError> {
        let viscosity = self.line.at(temperature);
        viscosity.ok_or(OilError::NoViscosity(temperature))
    }

    /// The oil at a temperature.
    ///
    /// # Errors
    ///
    /// As [`Oil::kinematic`].
    pub fn at(&self, temperature: Temperature) -> Result<Fluid, OilError> {
        let (kinematic, density) = (self.kinematic(temperature)?, self.density(temperature));
        let dynamic = kinematic.m2_per_s() * density.kg_per_m3();
        Ok(Fluid::new(density, DynamicViscosity::from_pa_s(dynamic))?)
    }

    /// What is unsure of the oil at a temperature.
    ///
    /// ```
    /// use oilpath::flow::{Doubt, Oil};
    ///
    /// let oil = Oil::generic();
    /// assert_eq!(oil.doubts("80 °C".parse()?), []);
    /// assert_eq!(oil.doubts("-20 °C".parse()?), [Doubt::Extrapolated]);
    /// # Ok::<(), oilpath::units::UnitError>(())
    /// ```
    #[must_use]
    pub fn doubts(&self, temperature: Temperature) -> Vec<Doubt> {
        let [colder, hotter] = self.given;
        let thin = |v: KinematicViscosity| v < LONG_FORM_BELOW;
        let tests = [
            (
                !(colder..=hotter).contains(&temperature),
                Doubt::Extrapolated,
            ),
            (self.line.at(temperature).is_some_and(thin), Doubt::Thin),
            (
                !DENSITIES.contains(&self.density.kg_per_m3()),
                Doubt::Density,
            ),
        ];
        Doubt::those(tests)
    }
}

impl Fluid {
    /// From its density and its dynamic viscosity.
    ///
    /// # Errors
    ///
    /// Where either is nothing or no number.
    pub fn new(density: Density, viscosity: DynamicViscosity) -> Result<Fluid, SizeError> {
        above_zero("density of the oil", density.kg_per_m3())?;
        above_zero("viscosity of the oil", viscosity.pa_s())?;
        Ok(Fluid { density, viscosity })
    }

    /// Its density.
    #[must_use]
    pub fn density(&self) -> Density {
        self.density
    }

    /// Its dynamic viscosity.
    #[must_use]
    pub fn viscosity(&self) -> DynamicViscosity {
        self.viscosity
    }

    /// Density in kg/m³.
    pub(super) fn rho(&self) -> f64 {
        self.density.kg_per_m3()
    }

    /// Dynamic viscosity in Pa·s.
    pub(super) fn mu(&self) -> f64 {
        self.viscosity.pa_s()
    }
}
