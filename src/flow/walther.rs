//! How oil thins with heat: ASTM D341, from two measured points.
//!
//! `log₁₀ log₁₀ Z = A − B·log₁₀ T`, T in kelvins. Down to 2 cSt `Z = ν + 0.7` (the short form, after
//! C. Walther); below, [`long_z`] and its approximate inverse [`long_viscosity`]. The two forms do
//! not quite meet: at 2 cSt the viscosity steps by 0.03 %, downwards as the oil warms, so that it
//! falls with temperature throughout.
//!
//! The standard covers 0.21 to 2·10⁷ cSt (`from memory`); beyond, there is no answer.

use crate::units::{KinematicViscosity, Temperature};

/// Viscosities the standard covers, in cSt (`from memory`).
const COVERED: std::ops::RangeInclusive<f64> = 0.21..=2e7;

/// Where the long form takes over, in cSt.
pub const LONG_FORM_BELOW: KinematicViscosity = KinematicViscosity::from_m2_per_s(2e-6);

/// The line through two points on ASTM D341's chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Walther {
    /// `A` of the equation.
    pub a: f64,
    /// `B` of the equation: how steeply the oil thins.
    pub b: f64,
}

impl Walther {
    /// Through two points, in any order; `None` where no line that thins with heat goes through
    /// them, or the standard does not cover one.
    ///
    /// ```
    /// use oilpath::flow::walther::Walther;
    ///
    /// // A worked spreadsheet after ASTM D341 that takes 0 °C for 273 K prints these for
    /// // 32 cSt at 40 °C and 5.4 cSt at 100 °C.
    /// let line = Walther::through(
    ///     ("313 K".parse()?, "32 cSt".parse()?),
    ///     ("373 K".parse()?, "5.4 cSt".parse()?),
    /// ).unwrap();
    /// assert_eq!(format!("{:.4} {:.4}", line.a, line.b), "9.5259 3.7449");
    /// assert_eq!(line.at("353 K".parse()?).unwrap().to_string(), "8.533 cSt");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn through(
        one: (Temperature, KinematicViscosity),
        other: (Temperature, KinematicViscosity),
    ) -> Option<Walther> {
        let point = |(temperature, viscosity): (Temperature, KinematicViscosity)| {
            let z = z(viscosity)?;
            Some((temperature.kelvin().log10(), z.log10().log10()))
        };
        let ((t1, w1), (t2, w2)) = (point(one)?, point(other)?);
        let b = (w1 - w2) / (t2 - t1);
        let a = w1 + b * t1;
        (b > 0.0 && b.is_finite() && a.is_finite()).then_some(Walther { a, b })
    }

    /// The viscosity at a temperature; `None` where the standard does not cover it.
    #[must_use]
    pub fn at(&self, temperature: Temperature) -> Option<KinematicViscosity> {
        let w = self.a - self.b * temperature.kelvin().log10();
        let z = 10f64.powf(10f64.powf(w));
        let short = z - 0.7;
        let cst = if short >= cst(LONG_FORM_BELOW) {
            short
        } else {
            long_viscosity(z)
        };
        COVERED
            .contains(&cst)
            .then(|| KinematicViscosity::from_m2_per_s(cst / 1e6))
    }
}

fn cst(viscosity: KinematicViscosity) -> f64 {
    viscosity.m2_per_s() * 1e6
}

fn z(viscosity: KinematicViscosity) -> Option<f64> {
    let cst = cst(viscosity);
    COVERED.contains(&cst).then(|| {
        if viscosity >= LONG_FORM_BELOW {
            cst + 0.7
        } else {
            long_z(cst)
        }
    })
}

/// `Z` of the standard's long form for a viscosity in cSt, meant for below 2 cSt.
#[must_use]
pub fn long_z(cst: f64) -> f64 {
    cst + 0.7 + (-1.47 - 1.84 * cst - 0.51 * cst * cst).exp()
}

/// The standard's inverse of [`long_z`], in cSt: approximate, within 0.02 % from 0.5 to 2 cSt.
#[must_use]
pub fn long_viscosity(z: f64) -> f64 {
    let short = z - 0.7;
    short - (-0.7487 - 3.295 * short + 0.6119 * short.powi(2) - 0.3193 * short.powi(3)).exp()
}
