//! The table: every quantity and every unit it may be written in, once.

use std::f64::consts::{PI, TAU};
use std::fmt;
use std::str::FromStr;

use serde::Serialize;

use super::{Quantity, UnitError, UnitSystem};

/// One unit: `si = (value + offset) × num ÷ den`.
///
/// Numerator and denominator are whole numbers that an f64 holds exactly
/// wherever the unit is a rational multiple of the SI one.
pub struct Unit {
    /// As it is printed.
    pub name: &'static str,
    /// Other spellings that are read.
    pub also: &'static [&'static str],
    pub offset: f64,
    pub num: f64,
    pub den: f64,
}

/// All that reading and printing need to know of a quantity.
pub struct Spec {
    pub name: &'static str,
    /// Whether a value below zero SI may be read.
    pub negative: bool,
    pub units: &'static [Unit],
    /// The names of `units`.
    pub accepts: &'static [&'static str],
    pub metric: &'static Unit,
    pub us: &'static Unit,
}

/// Finds a print unit while the crate is compiled; a slip in the table is a
/// compile error.
const fn named(units: &'static [Unit], name: &str) -> &'static Unit {
    let mut i = 0;
    while i < units.len() {
        if same(units[i].name.as_bytes(), name.as_bytes()) {
            return &units[i];
        }
        i += 1;
    }
    panic!("the print unit is not among the units")
}

const fn same(a: &[u8], b: &[u8]) -> bool {
    match (a, b) {
        ([], []) => true,
        ([x, a @ ..], [y, b @ ..]) => *x == *y && same(a, b),
        _ => false,
    }
}

macro_rules! quantities {
    ($(
        $(#[$doc:meta])*
        $Quantity:ident($name:literal in $si:literal, $from:ident / $get:ident,
                        negative: $negative:literal, metric: $metric:literal, us: $us:literal) {
            $($unit:literal $(| $also:literal)* = $num:tt / $den:tt $(above -$offset:literal)?,)+
        }
    )+) => {
        $(
            $(#[$doc])*
            #[doc = concat!("\n\nPrinted in ", $metric, " or ", $us, "; read in", $(" `", $unit, "`",)+ ".")]
            #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
            #[serde(transparent)]
            pub struct $Quantity(f64);

            impl $Quantity {
                #[doc = concat!("From the ", $name, " in ", $si, ".")]
                pub const fn $from(si: f64) -> Self {
                    // Adding zero turns -0 into 0: there is one zero, printed without a sign.
                    Self(si + 0.0)
                }

                #[doc = concat!("The ", $name, " in ", $si, ".")]
                pub const fn $get(self) -> f64 {
                    self.0
                }
            }

            impl Quantity for $Quantity {
                const SPEC: &'static Spec = {
                    const UNITS: &[Unit] = &[$(Unit {
                        name: $unit,
                        also: &[$($also),*],
                        offset: 0.0 $(+ $offset)?,
                        num: $num,
                        den: $den,
                    }),+];
                    &Spec {
                        name: $name,
                        negative: $negative,
                        units: UNITS,
                        accepts: &[$($unit),+],
                        metric: named(UNITS, $metric),
                        us: named(UNITS, $us),
                    }
                };

                fn si(self) -> f64 {
                    self.$get()
                }

                fn from_si(si: f64) -> Self {
                    Self::$from(si)
                }
            }

            impl FromStr for $Quantity {
                type Err = UnitError;

                fn from_str(text: &str) -> Result<Self, UnitError> {
                    Self::SPEC.read(text).map(Self::$from)
                }
            }

            /// The metric text for the eye, as [`Quantity::show`] gives it.
            impl fmt::Display for $Quantity {
                fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                    f.pad(&self.show(UnitSystem::Metric))
                }
            }
        )+

        /// Every quantity, to say what a misplaced unit measures.
        pub(super) const ALL: &[&Spec] = &[$($Quantity::SPEC),+];
    };
}

quantities! {
    /// Oil pressure above the air around it (gauge), in pascals.
    ///
    /// The only quantity that may be read below zero: a suction or vacuum.
    Pressure("pressure" in "Pa", from_pa / pa, negative: true, metric: "bar", us: "psi") {
        "bar" | "Bar" | "barg" | "bar g" = 1e5 / 1.0,
        "mbar" = 100.0 / 1.0,
        "kPa" = 1e3 / 1.0,
        "MPa" = 1e6 / 1.0,
        "Pa" = 1.0 / 1.0,
        "psi" | "PSI" | "psig" | "lbf/in²" = 8_896_443_230_521.0 / 1_290_320_000.0,
        "kgf/cm²" | "kg/cm²" = 196_133.0 / 2.0,
        "atm" = 101_325.0 / 1.0,
        // Conventional: a column of 13 595.1 kg/m³ under standard gravity (from memory).
        "inHg" | "in Hg" = 3_386_388_640_341.0 / 1e9,
    }

    /// A bore, a gap, a stroke, in metres.
    Length("length" in "m", from_m / m, negative: false, metric: "mm", us: "in") {
        "mm" = 1.0 / 1e3,
        "µm" | "micron" | "microns" = 1.0 / 1e6,
        "cm" = 1.0 / 100.0,
        "m" = 1.0 / 1.0,
        "in" | "inch" | "inches" | "\"" | "″" = 127.0 / 5000.0,
        "thou" | "mil" | "mils" = 127.0 / 5e6,
        "ft" | "feet" = 381.0 / 1250.0,
    }

    /// A piston face or a flow section, in square metres.
    Area("area" in "m²", from_m2 / m2, negative: false, metric: "cm²", us: "in²") {
        "cm²" | "sq cm" = 1.0 / 1e4,
        "mm²" | "sq mm" = 1.0 / 1e6,
        "m²" = 1.0 / 1.0,
        "in²" | "sq in" = 16_129.0 / 25e6,
    }

    /// The oil a clutch, an accumulator or a sump holds, in cubic metres.
    /// Quarts and gallons are US liquid measure.
    Volume("volume" in "m³", from_m3 / m3, negative: false, metric: "cm³", us: "in³") {
        "cm³" | "cc" | "mL" | "ml" = 1.0 / 1e6,
        "L" | "l" = 1.0 / 1e3,
        "mm³" = 1.0 / 1e9,
        "m³" = 1.0 / 1.0,
        "in³" | "cu in" = 2_048_383.0 / 125e9,
        "qt" | "US qt" = 473_176_473.0 / 500e9,
        "gal" | "US gal" = 473_176_473.0 / 125e9,
    }

    /// Volume flow, in cubic metres a second. Gallons and quarts are US liquid measure.
    Flow("flow" in "m³/s", from_m3_per_s / m3_per_s, negative: false, metric: "L/min", us: "gpm") {
        "L/min" | "l/min" | "lpm" | "LPM" = 1.0 / 60e3,
        "L/s" | "l/s" = 1.0 / 1e3,
        "cm³/min" | "cc/min" | "mL/min" | "ml/min" = 1.0 / 60e6,
        "cm³/s" | "cc/s" | "mL/s" | "ml/s" = 1.0 / 1e6,
        "m³/s" = 1.0 / 1.0,
        "gpm" | "GPM" | "gal/min" | "US gpm" = 157_725_491.0 / 25e11,
        "qt/min" = 157_725_491.0 / 1e13,
        "in³/min" = 2_048_383.0 / 75e11,
        "in³/s" = 2_048_383.0 / 125e9,
    }

    /// Oil temperature, in kelvins: the number in °C may be negative, the
    /// temperature cannot.
    Temperature("temperature" in "K", from_kelvin / kelvin, negative: false, metric: "°C", us: "°F") {
        "°C" | "C" | "° C" | "degC" | "deg C" = 1.0 / 1.0 above -273.15,
        "°F" | "F" | "° F" | "degF" | "deg F" = 5.0 / 9.0 above -459.67,
        "K" = 1.0 / 1.0,
    }

    /// Kinematic viscosity, as an oil's data sheet gives it, in square metres a second.
    KinematicViscosity("kinematic viscosity" in "m²/s", from_m2_per_s / m2_per_s, negative: false,
                       metric: "cSt", us: "cSt") {
        "cSt" | "cst" | "mm²/s" = 1.0 / 1e6,
        "St" = 1.0 / 1e4,
        "m²/s" = 1.0 / 1.0,
    }

    /// Dynamic viscosity, which the flow laws take: density times the kinematic one, in
    /// pascal seconds.
    DynamicViscosity("dynamic viscosity" in "Pa·s", from_pa_s / pa_s, negative: false,
                     metric: "cP", us: "cP") {
        "cP" | "mPa·s" = 1.0 / 1e3,
        "P" = 1.0 / 10.0,
        "Pa·s" = 1.0 / 1.0,
        "reyn" = 8_896_443_230_521.0 / 1_290_320_000.0,
    }

    /// Density, in kilograms a cubic metre.
    Density("density" in "kg/m³", from_kg_per_m3 / kg_per_m3, negative: false,
            metric: "kg/m³", us: "lb/ft³") {
        "kg/m³" | "g/L" = 1.0 / 1.0,
        "g/cm³" | "g/mL" | "g/ml" | "g/cc" | "kg/L" = 1e3 / 1.0,
        "lb/ft³" = 28_349_523_125.0 / 1_769_802_912.0,
    }

    /// Bolt torque, in newton metres.
    Torque("torque" in "N·m", from_n_m / n_m, negative: false, metric: "N·m", us: "lbf·ft") {
        "N·m" | "Nm" = 1.0 / 1.0,
        "N·cm" | "Ncm" = 1.0 / 100.0,
        "lbf·ft" | "ft·lbf" | "lb·ft" | "ft·lb" | "ft·lbs" = 3_389_544_870_828_501.0 / 25e14,
        "lbf·in" | "in·lbf" | "lb·in" | "in·lb" | "in·lbs" = 1_129_848_290_276_167.0 / 1e16,
        "kgf·m" = 196_133.0 / 20e3,
        "kgf·cm" = 196_133.0 / 2e6,
    }

    /// Turning speed, in radians a second.
    Speed("speed" in "rad/s", from_rad_per_s / rad_per_s, negative: false, metric: "rpm", us: "rpm") {
        "rpm" | "RPM" | "r/min" | "rev/min" = PI / 30.0,
        "rev/s" | "r/s" = TAU / 1.0,
        "rad/s" = 1.0 / 1.0,
    }

    /// What a pump delivers a turn, in cubic metres a **radian**.
    Displacement("displacement" in "m³/rad", from_m3_per_rad / m3_per_rad, negative: false,
                 metric: "cm³/rev", us: "in³/rev") {
        "cm³/rev" | "cc/rev" | "mL/rev" | "ml/rev" | "cm³/r" = 1.0 / (1e6 * TAU),
        "in³/rev" | "cu in/rev" | "in³/r" = 2_048_383.0 / (125e9 * TAU),
        "m³/rad" = 1.0 / 1.0,
    }
}

impl Pressure {
    /// One pound-force a square inch.
    pub const PSI: Self = Self(8_896_443_230_521.0 / 1_290_320_000.0);
}

/// Units of what no circuit file asks for, so that the error can say what they measure.
pub(super) const ELSEWHERE: &[(&str, &[&str])] = &[
    ("absolute pressure", &["psia", "bara", "bar a"]),
    ("force", &["N", "lbf", "kgf"]),
    ("mass", &["g", "kg", "lb", "lbs", "oz"]),
    ("spring rate", &["N/mm", "N/m", "lbf/in", "lb/in"]),
    ("time", &["ms", "s", "min", "h"]),
];

#[cfg(test)]
mod tests {
    use super::super::read::fold;
    use super::*;
    use std::collections::BTreeMap;

    #[test]
    fn no_spelling_means_two_units() {
        let mut seen = BTreeMap::new();
        let units = ALL.iter().flat_map(|spec| spec.units);
        let spellings = units
            .flat_map(|unit| unit.also.iter().chain([&unit.name]))
            .chain(ELSEWHERE.iter().flat_map(|(_, units)| *units));
        for &spelling in spellings {
            let twin = seen.insert(fold(spelling), spelling);
            assert_eq!(twin, None, "{spelling} is spelled twice");
        }
        assert!(seen.len() > 100, "the table was walked");
    }

    #[test]
    fn every_quantity_has_its_si_unit_and_prints_metric_first() {
        for spec in ALL {
            let si = |unit: &&Unit| (unit.offset, unit.num, unit.den) == (0.0, 1.0, 1.0);
            assert_eq!(spec.units.iter().filter(si).count(), 1, "{}", spec.name);
            assert_eq!(spec.metric.name, spec.units[0].name);
        }
    }

    /// The pound-force and the inch give every compound unit; 2⁵³ bounds what an f64 counts.
    #[test]
    fn compound_units_follow_from_the_definitions() {
        let ratio = |spec: &Spec, name| {
            let unit = spec.units.iter().find(|unit| unit.name == name).unwrap();
            assert!(unit.num < 2f64.powi(53) && unit.num.fract() == 0.0);
            unit.num / unit.den
        };
        let (inch, pound, gravity): (f64, f64, f64) = (0.0254, 0.45359237, 9.80665);
        let force = pound * gravity;
        for (spec, name, expected) in [
            (Pressure::SPEC, "psi", force / (inch * inch)),
            (Pressure::SPEC, "kgf/cm²", gravity * 1e4),
            (Pressure::SPEC, "inHg", 13_595.1 * gravity * inch),
            (Torque::SPEC, "lbf·ft", force * 12.0 * inch),
            (Torque::SPEC, "lbf·in", force * inch),
            (Torque::SPEC, "kgf·m", gravity),
            (Torque::SPEC, "kgf·cm", gravity / 100.0),
            (Flow::SPEC, "gpm", 231.0 * inch.powi(3) / 60.0),
            (Flow::SPEC, "qt/min", 231.0 * inch.powi(3) / 240.0),
            (Flow::SPEC, "in³/min", inch.powi(3) / 60.0),
            (Density::SPEC, "lb/ft³", pound / (12.0 * inch).powi(3)),
        ] {
            let error = ratio(spec, name) / expected - 1.0;
            assert!(error.abs() < 1e-15, "{name}: {error:e}");
        }
    }

    #[test]
    fn a_turn_is_tau_radians() {
        let turn: Speed = "60 rpm".parse().unwrap();
        assert!((turn.rad_per_s() / TAU - 1.0).abs() < 1e-15);
        let pump: Displacement = "14 cc/rev".parse().unwrap();
        let flow = Flow::from_m3_per_s(pump.m3_per_rad() * turn.rad_per_s());
        assert_eq!(flow.to_string(), "0.84 L/min");
    }
}
