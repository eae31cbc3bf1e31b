//! What can be wrong with a size, where, and what would be right.

use std::ops::Range;

/// A text is not the quantity it should be.
///
/// ```
/// use oilpath::units::{Length, Problem};
///
/// let error = "1.2 mmm".parse::<Length>().unwrap_err();
/// assert_eq!(error.to_string(), "`mmm` is not a unit of length");
/// assert_eq!(error.remedy(), "did you mean `mm`?");
/// assert_eq!(&"1.2 mmm"[error.span], "mmm");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.problem.describe(self.quantity))]
pub struct UnitError {
    /// The bytes of the given text to point at; all of it when it is blank.
    pub span: Range<usize>,
    /// What is wrong.
    pub problem: Problem,
    /// The quantity that is wanted, such as `length`.
    pub quantity: &'static str,
    /// The units that would be right.
    pub accepts: &'static [&'static str],
}

/// What is wrong with a size. The texts are quoted as given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Problem {
    /// Nothing is written.
    Empty,
    /// It does not start with a number.
    NoNumber(String),
    /// What stands for the number is none: `1.2.3`, `1 200`, `1/16`.
    NotANumber(String),
    /// A comma in the number; whether for decimals or thousands is not guessed.
    DecimalComma(String),
    /// A bare number.
    NoUnit(String),
    /// No quantity has this unit.
    UnknownUnit {
        /// The unit as given.
        unit: String,
        /// An accepted unit that is spelled nearly so.
        nearest: Option<&'static str>,
    },
    /// The unit belongs to another quantity.
    OtherQuantity {
        /// The unit as given.
        unit: String,
        /// The name of what it measures.
        measures: &'static str,
    },
    /// No finite number of SI units.
    TooLarge(String),
    /// Less than nothing, or colder than absolute zero.
    TooLow {
        /// The size as given.
        given: String,
        /// The least that would be taken.
        least: String,
    },
    /// A tolerance where none is taken.
    NoTolerance(String),
    /// A tolerance below nothing.
    ToleranceBelowNothing(String),
    /// A tolerance as large as its size or larger.
    ToleranceTooWide {
        /// The tolerance as given.
        off: String,
        /// The size as given.
        size: String,
    },
}

impl Problem {
    fn describe(&self, quantity: &str) -> String {
        match self {
            Self::Empty => format!("no {quantity} is written"),
            Self::NoNumber(given) => format!("`{given}` does not start with a number"),
            Self::NotANumber(given) => format!("`{given}` is not a decimal number"),
            Self::DecimalComma(given) => {
                format!("`{given}` has a comma: decimals take a point, thousands take nothing")
            }
            Self::NoUnit(given) => format!("`{given}` has no unit"),
            Self::UnknownUnit { unit, .. } => format!("`{unit}` is not a unit of {quantity}"),
            Self::OtherQuantity { unit, measures } => {
                format!("`{unit}` measures {measures}, not {quantity}")
            }
            Self::TooLarge(given) => format!("`{given}` is too large"),
            Self::TooLow { given, least } => {
                format!("`{given}` is below {least}, the least {quantity} there is")
            }
            Self::NoTolerance(given) => {
                format!("`{given}` is a tolerance, and this size takes none")
            }
            Self::ToleranceBelowNothing(given) => {
                format!("a tolerance of `{given}` is below nothing")
            }
            Self::ToleranceTooWide { off, size } => {
                format!("a tolerance of `{off}` leaves nothing of `{size}`")
            }
        }
    }
}

impl UnitError {
    /// Whether it is the tolerance that is wrong, not the size.
    pub fn is_of_tolerance(&self) -> bool {
        matches!(
            self.problem,
            Problem::NoTolerance(_)
                | Problem::ToleranceBelowNothing(_)
                | Problem::ToleranceTooWide { .. }
        )
    }

    /// What to do about it, as a line of help.
    pub fn remedy(&self) -> String {
        if let Problem::UnknownUnit {
            nearest: Some(unit),
            ..
        } = self.problem
        {
            return format!("did you mean `{unit}`?");
        }
        match self.problem {
            Problem::NoTolerance(_) => return "write the size alone".to_owned(),
            Problem::ToleranceBelowNothing(_) | Problem::ToleranceTooWide { .. } => {
                return "write how far it may be off either way, less than the size itself"
                    .to_owned();
            }
            _ => {}
        }
        match self.accepts {
            [rest @ .., last] if !rest.is_empty() => {
                format!("write {} in {} or {last}", self.quantity, rest.join(", "))
            }
            units => format!("write {} in {}", self.quantity, units.concat()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::*;

    #[track_caller]
    fn check<Q: Quantity>(text: &str, wrong: &str, message: &str) {
        let Err(error) = text.parse::<Q>() else {
            panic!("{text} was read");
        };
        assert_eq!(&text[error.span.clone()], wrong);
        assert_eq!(error.to_string(), message);
        assert_eq!(error.quantity, Q::NAME);
        assert_eq!(error.accepts, Q::accepts());
    }

    #[test]
    fn each_problem_points_at_its_place() {
        check::<Length>("", "", "no length is written");
        check::<Length>("  ", "  ", "no length is written");
        check::<Length>(" mm ", "mm", "`mm` does not start with a number");
        check::<Length>("NaN mm", "NaN mm", "`NaN mm` does not start with a number");
        check::<Length>("1.2.3 mm", "1.2.3", "`1.2.3` is not a decimal number");
        check::<Length>("1/16 in", "1/16", "`1/16` is not a decimal number");
        check::<Speed>("1 200 rpm", "1 200", "`1 200` is not a decimal number");
        check::<Speed>("1_200 rpm", "1_200", "`1_200` is not a decimal number");
        check::<Length>(
            " 1,2 mm",
            "1,2",
            "`1,2` has a comma: decimals take a point, thousands take nothing",
        );
        check::<Length>("4.0", "4.0", "`4.0` has no unit");
        check::<Length>("1e5", "1e5", "`1e5` has no unit");
        check::<Length>("1.2 zöll", "zöll", "`zöll` is not a unit of length");
        check::<Length>("90 psi", "psi", "`psi` measures pressure, not length");
        check::<Pressure>(
            "90 psia",
            "psia",
            "`psia` measures absolute pressure, not pressure",
        );
        check::<KinematicViscosity>(
            "30 cP",
            "cP",
            "`cP` measures dynamic viscosity, not kinematic viscosity",
        );
        check::<Length>("1e999 mm", "1e999 mm", "`1e999 mm` is too large");
        check::<Pressure>("1e305 bar", "1e305 bar", "`1e305 bar` is too large");
        check::<Length>(
            "-1 mm",
            "-1 mm",
            "`-1 mm` is below 0 mm, the least length there is",
        );
        check::<Temperature>(
            "-500 °F",
            "-500 °F",
            "`-500 °F` is below 0 K, the least temperature there is",
        );
    }

    #[test]
    fn a_near_miss_is_named() {
        let remedy = |error: UnitError| error.remedy();
        let length = |text: &str| remedy(text.parse::<Length>().unwrap_err());
        let pressure = |text: &str| remedy(text.parse::<Pressure>().unwrap_err());
        assert_eq!(length("1.2 MM"), "did you mean `mm`?");
        assert_eq!(pressure("6 mPa"), "did you mean `MPa`?");
        assert_eq!(pressure("90 pis"), "did you mean `psi`?");
        assert_eq!(
            length("1.2 parsec"),
            "write length in mm, µm, cm, m, in, thou or ft"
        );
        assert_eq!(length("4.0"), length(""));
    }
}
