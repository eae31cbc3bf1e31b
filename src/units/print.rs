//! Printing: for the eye, and for a file that must read back exactly.

use super::UnitSystem;
use super::table::{Spec, Unit};

/// Digits that a gauge, a caliper or a torque wrench is good for.
const SHOWN: usize = 4;
/// Digits that a computed figure is good for.
const BRIEF: usize = 3;
/// Digits that tell any two f64 apart.
const EXACT: usize = 17;

impl Spec {
    /// The value in the system's unit, to four significant digits.
    pub fn show(&self, si: f64, system: UnitSystem) -> String {
        self.rounded(si, system, SHOWN)
    }

    /// The value in the system's unit, to three significant digits.
    pub fn brief(&self, si: f64, system: UnitSystem) -> String {
        self.rounded(si, system, BRIEF)
    }

    fn rounded(&self, si: f64, system: UnitSystem, digits: usize) -> String {
        let unit = match system {
            UnitSystem::Metric => self.metric,
            UnitSystem::Us => self.us,
        };
        unit.text(unit.value_of(si), digits)
    }

    /// The name of the SI unit.
    pub fn si_unit(&self) -> &'static str {
        let si = |unit: &&Unit| (unit.offset, unit.num, unit.den) == (0.0, 1.0, 1.0);
        self.units.iter().find(si).map_or("", |unit| unit.name)
    }

    /// The friendliest text that reads back to the same value.
    pub fn write(&self, si: f64) -> String {
        let shortest = || {
            let exact = self.units.iter().filter_map(|unit| unit.exact(si, EXACT));
            exact.min_by_key(|text| text.chars().count())
        };
        (self.metric.exact(si, SHOWN))
            .or_else(|| self.us.exact(si, SHOWN))
            .or_else(shortest)
            // Only what is not finite has no exact text: the SI unit always gives one.
            .unwrap_or_else(|| self.show(si, UnitSystem::Metric))
    }
}

impl Unit {
    pub fn to_si(&self, value: f64) -> f64 {
        (value + self.offset) * self.num / self.den
    }

    fn value_of(&self, si: f64) -> f64 {
        let value = si * self.den / self.num - self.offset;
        if self.offset == 0.0 {
            return value;
        }
        // Near the zero of the scale the subtraction leaves rounding dust, 1e-13 of a degree.
        format!("{value:.9}").parse().unwrap_or(value)
    }

    /// The text with the fewest digits, at most `most`, that reads back to `si`.
    fn exact(&self, si: f64, most: usize) -> Option<String> {
        let value = self.value_of(si);
        let reads_back = |&digits: &usize| self.to_si(round(value, digits)) == si;
        let digits = (1..=most).find(reads_back)?;
        Some(self.text(value, digits))
    }

    fn text(&self, value: f64, digits: usize) -> String {
        let rounded = round(value, digits);
        let usual = rounded == 0.0 || (1e-4..1e9).contains(&rounded.abs());
        let number = if usual {
            rounded.to_string()
        } else {
            format!("{rounded:e}")
        };
        format!("{number} {}", self.name)
    }
}

/// The nearest number of that many significant digits; never -0.
fn round(value: f64, digits: usize) -> f64 {
    let text = format!("{value:.*e}", digits.saturating_sub(1));
    text.parse().unwrap_or(value) + 0.0
}

#[cfg(test)]
mod tests {
    use super::super::*;

    #[track_caller]
    fn check<Q: Quantity>(text: &str, metric: &str, us: &str, written: &str) {
        let Ok(value) = text.parse::<Q>() else {
            panic!("{text} was not read");
        };
        assert_eq!(value.show(UnitSystem::Metric), metric);
        assert_eq!(value.show(UnitSystem::Us), us);
        assert_eq!(value.write(), written);
    }

    #[test]
    fn shown_and_written() {
        check::<Length>("1.2 mm", "1.2 mm", "0.04724 in", "1.2 mm");
        check::<Length>("0.047 in", "1.194 mm", "0.047 in", "0.047 in");
        check::<Length>("12.7 mm", "12.7 mm", "0.5 in", "12.7 mm");
        check::<Length>("1.23456 mm", "1.235 mm", "0.0486 in", "1.23456 mm");
        check::<Length>("0 m", "0 mm", "0 in", "0 mm");
        check::<Pressure>("90 psi", "6.205 bar", "90 psi", "90 psi");
        check::<Pressure>("-30 kPa", "-0.3 bar", "-4.351 psi", "-0.3 bar");
        check::<Flow>("1.5 L/min", "1.5 L/min", "0.3963 gpm", "1.5 L/min");
        check::<Flow>("2e-8 L/min", "2e-8 L/min", "5.283e-9 gpm", "2e-8 L/min");
        check::<Volume>("5.5 qt", "5205 cm³", "317.6 in³", "5.5 qt");
        check::<Area>("3 cm²", "3 cm²", "0.465 in²", "3 cm²");
        check::<Temperature>("80 °C", "80 °C", "176 °F", "80 °C");
        check::<Temperature>("32 °F", "0 °C", "32 °F", "0 °C");
        check::<Temperature>("0.1 °C", "0.1 °C", "32.18 °F", "0.1 °C");
        check::<KinematicViscosity>("1083 cSt", "1083 cSt", "1083 cSt", "1083 cSt");
        check::<Density>("0.87 g/cm3", "870 kg/m³", "54.31 lb/ft³", "870 kg/m³");
        check::<Torque>("96 in-lb", "10.85 N·m", "8 lbf·ft", "8 lbf·ft");
        check::<Speed>("700 rpm", "700 rpm", "700 rpm", "700 rpm");
        check::<Displacement>("14 cc/rev", "14 cm³/rev", "0.8543 in³/rev", "14 cm³/rev");
    }

    #[test]
    fn what_is_not_finite_still_prints() {
        assert_eq!(Flow::from_m3_per_s(f64::NAN).write(), "NaN L/min");
        assert_eq!(Pressure::from_pa(f64::INFINITY).to_string(), "inf bar");
    }

    #[test]
    fn a_solver_may_print_a_backward_flow() {
        assert_eq!(Flow::from_m3_per_s(-25e-6).to_string(), "-1.5 L/min");
    }
}
