//! Physical quantities: one number in SI inside, trade units outside.
//!
//! A size in a circuit file is a text with its unit, and only that:
//!
//! ```
//! use oilpath::units::{Length, Pressure, Quantity, UnitSystem};
//!
//! let bore: Length = "0.047 in".parse()?;
//! assert_eq!(bore.m(), 0.0011938);
//! assert_eq!(bore.to_string(), "1.194 mm");
//! assert_eq!(bore.show(UnitSystem::Us), "0.047 in");
//!
//! let error = "90 psi".parse::<Length>().unwrap_err();
//! assert_eq!(error.to_string(), "`psi` measures pressure, not length");
//! assert_eq!(error.span, 3..6);
//! assert_eq!(error.remedy(), "write length in mm, µm, cm, m, in, thou or ft");
//!
//! assert_eq!("90 psi".parse::<Pressure>()?.write(), "90 psi");
//! # Ok::<(), oilpath::units::UnitError>(())
//! ```
//!
//! Reading takes a decimal number, `1.2` or `1.2e-3`, and a unit, with or
//! without a space between. The decimal mark is a point and there is no
//! thousands separator, so that `1,200` is never guessed at. Letters keep their
//! case (`mPa` is not `MPa`); powers and products may be typed plainly:
//! `cm3` for `cm³`, `um` for `µm`, `N.m`, `N m` or `Nm` for `N·m`.
//!
//! Every unit is a ratio taken from its legal definition (inch 0.0254 m, pound
//! 0.45359237 kg, standard gravity 9.80665 m/s², US gallon 231 in³, which is
//! what NIST SP 811 (2008), Appendix B rests on), so nothing is lost beyond the
//! rounding of one multiplication and one division.

mod error;
mod print;
mod read;
mod table;
mod tolerance;

use std::fmt::{self, Display};
use std::str::FromStr;

use serde::Serialize;

pub use error::{Problem, UnitError};
pub(crate) use table::Spec;
pub use table::{
    Area, Density, Displacement, DynamicViscosity, Flow, KinematicViscosity, Length, Pressure,
    Speed, Temperature, Torque, Volume,
};
pub use tolerance::Toleranced;

/// What every quantity can do, so that a reader or a table needs no list of them.
///
/// The set of quantities is closed: the trait cannot be implemented elsewhere.
///
/// ```
/// use oilpath::units::{Quantity, Temperature, Torque};
///
/// fn help<Q: Quantity>() -> String {
///     format!("{}: {}", Q::NAME, Q::accepts().join(", "))
/// }
/// assert_eq!(help::<Temperature>(), "temperature: °C, °F, K");
/// assert_eq!(Torque::from_si(9.0).write(), "9 N·m");
/// ```
pub trait Quantity: FromStr<Err = UnitError> + Display + Copy {
    /// Its row of the table of units.
    #[doc(hidden)]
    const SPEC: &'static table::Spec;

    /// What the quantity is called in a sentence: `length`, `kinematic viscosity`.
    const NAME: &'static str = Self::SPEC.name;

    /// The value in the SI base unit.
    fn si(self) -> f64;

    /// From a value in the SI base unit. Any number is taken, signed or not:
    /// a solver may need it. Only reading is strict.
    fn from_si(si: f64) -> Self;

    /// The units it may be written in, the metric one that is printed first.
    fn accepts() -> &'static [&'static str] {
        Self::SPEC.accepts
    }

    /// A regular expression (ECMA-262, Unicode) for what is read, for editors; it lets some sizes
    /// through that are too large or too low.
    #[cfg(feature = "report")]
    fn pattern() -> String {
        Self::SPEC.pattern()
    }

    /// For the eye: four significant digits, in the shop's unit.
    fn show(self, system: UnitSystem) -> String {
        Self::SPEC.show(self.si(), system)
    }

    /// For a figure that was computed, good to a few parts in a hundred: three significant digits,
    /// in the shop's unit.
    fn brief(self, system: UnitSystem) -> String {
        Self::SPEC.brief(self.si(), system)
    }

    /// For a circuit file: reads back to the very same value.
    ///
    /// It is the metric text where four digits say it all, else the US text
    /// where they do, else the shortest exact text in any accepted unit, so
    /// that `90 psi` does not come back as `6.205281563851526 bar`.
    ///
    /// Reading refuses what is not finite and, for all but pressure, what is
    /// below zero; such a value is written but does not read back.
    fn write(self) -> String {
        Self::SPEC.write(self.si())
    }
}

/// Which units a reader of the answers thinks in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum UnitSystem {
    /// Millimetres, bar, litres a minute, degrees Celsius.
    #[default]
    Metric,
    /// Inches, psi, US gallons a minute, degrees Fahrenheit.
    Us,
}

impl Display for UnitSystem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Metric => "metric",
            Self::Us => "us",
        })
    }
}

/// The text names no unit system.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a unit system: write metric or us")]
pub struct UnknownUnitSystem(
    /// The text given.
    pub String,
);

impl FromStr for UnitSystem {
    type Err = UnknownUnitSystem;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        [Self::Metric, Self::Us]
            .into_iter()
            .find(|system| system.to_string() == text)
            .ok_or_else(|| UnknownUnitSystem(text.to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unit_systems_read_as_they_print() {
        for system in [UnitSystem::Metric, UnitSystem::Us] {
            assert_eq!(system.to_string().parse(), Ok(system));
        }
        assert_eq!(
            "imperial".parse::<UnitSystem>().unwrap_err().to_string(),
            "`imperial` is not a unit system: write metric or us"
        );
    }

    #[test]
    fn a_quantity_serialises_as_its_bare_si_number() {
        let pressure = Pressure::from_pa(650e3);
        assert_eq!(serde_json::to_string(&pressure).unwrap(), "650000.0");
        assert_eq!(serde_json::to_string(&UnitSystem::Us).unwrap(), "\"us\"");
    }

    #[test]
    fn display_obeys_the_column_width() {
        assert_eq!(format!("{:>8}|", Length::from_m(1.2e-3)), "  1.2 mm|");
    }
}
