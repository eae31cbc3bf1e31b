//! The invented circuits give every size that a pressure or a flow depends on.

use oilpath::circuit::{Circuit, Part, SolenoidKind};
use oilpath::flow::Oil;
use oilpath::units::Length;

use super::ask::{circuit, files};

/// Every size that a circuit could give and does not, as `part: key`.
fn missing(circuit: &Circuit) -> Vec<String> {
    let mut missing = Vec::new();
    for (name, part) in circuit.parts() {
        let given: Vec<(&str, bool)> = match part {
            Part::Oil(p) => vec![("density", p.density.is_some())],
            Part::Source(p) => vec![
                ("displacement", p.displacement.is_some()),
                ("speed", p.speed.is_some()),
                ("leakage", p.leakage.is_some()),
                ("leaks-at", p.leaks_at.is_some()),
                ("worn-leakage", p.worn_leakage.is_some()),
            ],
            Part::Regulator(p) => vec![
                ("at", p.at.is_some()),
                ("band", p.band.is_some()),
                ("bore", p.bore.is_some()),
                ("boost", p.boost.values().all(Option::is_some)),
            ],
            Part::Relief(p) => vec![
                ("at", p.at.is_some()),
                ("rise", p.rise.is_some()),
                ("bore", p.bore.is_some()),
            ],
            Part::Plate(p) => vec![
                ("thickness", p.thickness.is_some()),
                ("gap", p.gap.is_some()),
                ("wall", p.wall.is_some()),
            ],
            Part::Port(p) => vec![
                ("bore", p.bore.is_some()),
                ("thickness", long(circuit, p.thickness, &p.through)),
            ],
            Part::Orifice(p) => vec![
                ("bore", p.bore.is_some()),
                ("thickness", long(circuit, p.thickness, &p.through)),
            ],
            Part::Clearance(p) => vec![
                ("gap", p.gap.is_some()),
                ("diameter", p.diameter.is_some()),
                ("length", p.length.is_some()),
                ("wear", p.wear.is_some()),
            ],
            Part::Ball(p) => vec![("bore", p.bore.is_some())],
            Part::Valve(p) => vec![
                ("diameter", p.diameter.is_some()),
                ("clearance", p.clearance.is_some()),
                ("land", p.land.is_some()),
                ("opening", p.opening.is_some()),
                ("wear", p.wear.is_some()),
            ],
            Part::Solenoid(p) if p.kind != SolenoidKind::Plunger => {
                vec![("bore", p.bore.is_some())]
            }
            Part::Through(p) => vec![("bore", p.bore.is_some() || p.passes.is_some())],
            Part::Outlet(p) => vec![
                ("needs", p.needs.is_some()),
                ("bore", p.bore.is_some() || p.kind.by_pressure()),
                ("volume", p.volume.is_some() || !p.kind.by_pressure()),
                ("spring", p.spring.is_some() || !p.kind.by_pressure()),
                (
                    "stroked-at",
                    p.stroked_at.is_some() || !p.kind.by_pressure(),
                ),
            ],
            Part::Accumulator(p) => vec![
                ("volume", p.volume.is_some()),
                ("begins-at", p.begins_at.is_some()),
                ("full-at", p.full_at.is_some()),
            ],
            _ => Vec::new(),
        };
        let absent = given.iter().filter(|(_, given)| !given);
        missing.extend(absent.map(|(key, _)| format!("{name}: {key}")));
    }
    missing
}

/// Whether the length of a hole is known: its own, or that of each plate it goes through.
fn long(circuit: &Circuit, own: Option<Length>, through: &[String]) -> bool {
    let thick = |id: &String| circuit.plates[id].thickness.is_some();
    own.is_some() || (!through.is_empty() && through.iter().all(thick))
}

#[test]
fn every_invented_circuit_gives_every_size() {
    let mut sized = 0;
    for file in files() {
        // What a published source does not say stays unsaid.
        if file.starts_with("circuits/published") {
            continue;
        }
        let circuit = circuit(&file);
        let none: [&str; 0] = [];
        assert_eq!(missing(&circuit), none, "{}", file.display());
        assert!(!circuit.oils.is_empty(), "{}: no oil", file.display());
        sized += 1;
    }
    assert!(sized >= 8, "three full circuits and five lessons: {sized}");
}

#[test]
fn a_size_left_out_is_missed() {
    let text = std::fs::read_to_string("circuits/lessons/metered-feed.toml").unwrap();
    let without = |said: &str| {
        let left = text.replace(said, "");
        assert_ne!(left, text, "{said}");
        missing(&oilpath::sheet::read(&left).unwrap().circuit)
    };
    assert_eq!(without(r#"land = "5 mm""#), ["valve.lever-valve: land"]);
    assert_eq!(
        without(r#", thickness = "8 mm""#),
        ["port.drilling: thickness"]
    );
    assert_eq!(
        without(r#", bore = "0.6 mm""#),
        ["outlet.far-bearing: bore"]
    );
}

/// There is a law for each oil, and it is neither thinner nor thicker than the law is good for
/// from a cold morning to a hot idle.
#[test]
fn every_oil_can_be_had_at_every_temperature_of_a_day() {
    let mut had = 0;
    for file in files() {
        for (id, oil) in &circuit(&file).oils {
            let [one, other] = oil.viscosity;
            let oil = Oil::new(one, other, oil.density.unwrap()).unwrap();
            for temperature in ["-10 °C", "5 °C", "80 °C", "110 °C"] {
                let fluid = oil.at(temperature.parse().unwrap());
                assert!(fluid.is_ok(), "{}: {id} at {temperature}", file.display());
                had += 1;
            }
        }
    }
    assert!(had >= 32);
}
