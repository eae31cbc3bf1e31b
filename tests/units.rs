//! Units against their legal definitions, and promises that hold for every value and text.

use std::collections::BTreeMap;

use oilpath::units::{
    Area, Density, Displacement, DynamicViscosity, Flow, KinematicViscosity, Length, Pressure,
    Problem, Quantity, Speed, Temperature, Torque, UnitError, UnitSystem, Volume,
};
use proptest::prelude::*;
use toml::{Table, Value};

/// Exact rationals from the definitions in NIST SP 811 (2008), Appendix B; each case names its source.
const REFERENCE: &str = include_str!("reference/hydraulic/units.toml");

type Reader = fn(&str) -> Result<f64, UnitError>;

fn read<Q: Quantity>(text: &str) -> Result<f64, UnitError> {
    text.parse::<Q>().map(Q::si)
}

/// Which quantity has this SI unit, as the reference file spells it.
fn reader(si_unit: &str) -> Option<Reader> {
    Some(match si_unit {
        "Pa" => read::<Pressure>,
        "m" => read::<Length>,
        "m2" => read::<Area>,
        "m3" => read::<Volume>,
        "m3/s" => read::<Flow>,
        "m2/s" => read::<KinematicViscosity>,
        "Pa.s" => read::<DynamicViscosity>,
        "kg/m3" => read::<Density>,
        _ => return None,
    })
}

fn text<'a>(table: &'a Value, key: &str) -> &'a str {
    table[key].as_str().expect(key)
}

fn number(table: &Value, key: &str) -> f64 {
    table[key].as_float().expect(key)
}

/// The reference file marks US liquid measure; here there is no other.
fn unit<'a>(table: &'a Value, key: &str) -> &'a str {
    text(table, key).trim_end_matches("_US")
}

#[track_caller]
fn close(id: &str, got: f64, expected: f64, rel_tol: f64) {
    let error = (got - expected).abs();
    assert!(
        error <= rel_tol * expected.abs(),
        "{id}: {got:e} is not {expected:e}"
    );
}

#[test]
fn every_reference_case() {
    let reference: Table = REFERENCE.parse().unwrap();
    let cases = reference["case"].as_array().unwrap();
    let mut si_units = BTreeMap::new();
    let mut checked = 0;
    let mut not_covered = Vec::new();
    for case in cases {
        let (inputs, expected) = (&case["inputs"], &case["expected"]);
        let (id, rel_tol) = (text(case, "id"), number(case, "rel_tol"));
        match text(case, "law") {
            "unit_factor" => {
                let (unit, si_unit) = (unit(inputs, "unit"), text(inputs, "si_unit"));
                si_units.insert(unit, si_unit);
                let Some(read) = reader(si_unit) else {
                    // Not covered, yet known: the error says what the unit measures.
                    match read::<Length>(&format!("1 {unit}")).unwrap_err().problem {
                        Problem::OtherQuantity { measures, .. } => not_covered.push((id, measures)),
                        other => panic!("{id}: {other:?}"),
                    }
                    continue;
                };
                let factor = read(&format!("1 {unit}")).unwrap();
                close(id, factor, number(expected, "factor"), rel_tol);
            }
            "unit_convert" => {
                let (from, to) = (unit(inputs, "from"), unit(inputs, "to"));
                let read = reader(si_units[from]).unwrap();
                let given = read(&format!("{} {from}", number(inputs, "value"))).unwrap();
                let one = read(&format!("1 {to}")).unwrap();
                close(id, given / one, number(expected, "value"), rel_tol);
            }
            "temperature" => {
                let kelvin = number(expected, "t_K");
                for (value, scale) in [
                    (number(inputs, "t_C"), "°C"),
                    (number(expected, "t_F"), "°F"),
                    (kelvin, "K"),
                ] {
                    let got = read::<Temperature>(&format!("{value} {scale}")).unwrap();
                    close(id, got, kelvin, rel_tol);
                }
            }
            law => panic!("{id}: no check for {law}"),
        }
        checked += 1;
    }
    assert_eq!(
        not_covered,
        [
            ("unit-lbf", "force"),
            ("unit-kgf", "force"),
            ("unit-lb", "mass"),
            ("unit-lbf_per_in", "spring rate"),
        ],
        "no circuit file asks for these quantities"
    );
    assert_eq!(checked + not_covered.len(), cases.len());
}

/// Every accepted unit reads one of itself, and what is written reads back.
fn units_read_back<Q: Quantity>() {
    for unit in Q::accepts() {
        let one: Q = format!("1 {unit}")
            .parse()
            .unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(
            read::<Q>(&one.write()).map(f64::to_bits),
            Ok(one.si().to_bits())
        );
    }
}

fn writes_exactly<Q: Quantity>(si: f64) -> Result<(), TestCaseError> {
    let value = Q::from_si(si);
    let written = value.write();
    let back = read::<Q>(&written).map_err(|error| TestCaseError::fail(error.to_string()))?;
    prop_assert_eq!(back.to_bits(), value.si().to_bits(), "{}", written);
    Ok(())
}

/// What is shown is within half of the fourth digit, and never scientific.
fn shows_nearly<Q: Quantity>(si: f64) -> Result<(), TestCaseError> {
    for system in [UnitSystem::Metric, UnitSystem::Us] {
        let shown = Q::from_si(si).show(system);
        let plain = |c: char| "-.0123456789 ".contains(c);
        prop_assert!(
            shown.trim_end_matches(|c| c != ' ').chars().all(plain),
            "{}",
            shown
        );
        let back = read::<Q>(&shown).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert!(
            (back - si).abs() <= 5.001e-4 * si.abs(),
            "{} for {}",
            shown,
            si
        );
    }
    Ok(())
}

fn fails_well<Q: Quantity>(text: &str) -> Result<(), TestCaseError> {
    match text.parse::<Q>() {
        Ok(value) => prop_assert!(value.si().is_finite()),
        Err(error) => {
            prop_assert!(text.get(error.span.clone()).is_some(), "{:?}", error.span);
            prop_assert!(!error.span.is_empty() || text.is_empty());
            prop_assert!(!error.to_string().is_empty() && !error.remedy().is_empty());
        }
    }
    Ok(())
}

/// Runs a generic check for every quantity; pressure alone takes a negative.
macro_rules! for_all {
    ($check:ident($($value:expr)?)) => {{
        for_all!($check($($value)?): Length Area Volume Flow Temperature KinematicViscosity
                 DynamicViscosity Density Torque Speed Displacement)
    }};
    ($check:ident($value:expr): $($Q:ident)+) => {{
        $check::<Pressure>($value)?;
        $($check::<$Q>($value.abs())?;)+
    }};
    ($check:ident(): $($Q:ident)+) => {{
        $check::<Pressure>();
        $($check::<$Q>();)+
    }};
}

#[test]
fn every_unit_reads_back() {
    for_all!(units_read_back());
}

/// A number and a unit as typed, and what comes near it.
fn typed() -> impl Strategy<Value = String> {
    let number = "[-+−]?[0-9]{0,4}[.,]?[0-9]{0,4}([eE][-+]?[0-9]{1,3})?";
    let unit = "(mm|µm|in|thou|bar|psi|kPa|L/min|gpm|°C|F|K|cSt|N·m|ft-lb|rpm|cm³/rev|kg/m3|[a-zµ°²/ ]{0,3})";
    (number, "[ \u{a0}]{0,2}", unit).prop_map(|(number, space, unit)| number + &space + &unit)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn any_finite_value_reads_back(si in any::<f64>().prop_filter("finite", |si| si.is_finite())) {
        for_all!(writes_exactly(si));
    }

    #[test]
    fn any_subnormal_reads_back(si in proptest::num::f64::SUBNORMAL | proptest::num::f64::ZERO) {
        for_all!(writes_exactly(si));
    }

    #[test]
    fn shop_values_read_back_and_show_plainly(mantissa in 100u32..100_000) {
        let part = f64::from(mantissa) / 1e5;
        shows_nearly::<Pressure>(-part * 1e5)?;
        shows_nearly::<Pressure>(part * 30e5)?;
        shows_nearly::<Length>(part * 0.1)?;
        shows_nearly::<Area>(part * 0.1)?;
        shows_nearly::<Volume>(part * 0.02)?;
        shows_nearly::<Flow>(part * 2e-3)?;
        shows_nearly::<Temperature>(200.0 + part * 300.0)?;
        shows_nearly::<KinematicViscosity>(part * 1e-2)?;
        shows_nearly::<DynamicViscosity>(part * 10.0)?;
        shows_nearly::<Density>(part * 1e3)?;
        shows_nearly::<Torque>(part * 300.0)?;
        shows_nearly::<Speed>(part * 1e3)?;
        shows_nearly::<Displacement>(part * 1e-4)?;
        for_all!(writes_exactly(part));
    }

    /// Opening a file and saving it settles at once: what is written is written so again.
    #[test]
    fn writing_settles(tenths in 0u32..100_000, unit in prop::sample::select(Pressure::accepts())) {
        let typed: Pressure = format!("{} {unit}", f64::from(tenths) / 10.0).parse().unwrap();
        let written = typed.write();
        prop_assert_eq!(written.parse::<Pressure>().unwrap().write(), written);
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,24}") {
        for_text(&text)?;
    }

    #[test]
    fn no_typing_slip_panics(text in typed()) {
        for_text(&text)?;
    }
}

fn for_text(text: &str) -> Result<(), TestCaseError> {
    fails_well::<Pressure>(text)?;
    fails_well::<Length>(text)?;
    fails_well::<Temperature>(text)?;
    fails_well::<Torque>(text)?;
    fails_well::<Displacement>(text)
}
