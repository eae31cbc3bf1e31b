//! The circuits that come with the project: each holds together, and each answers what its story
//! or its source asks.

mod support;

use std::path::{Path, PathBuf};

use oilpath::answer::{Starve, Verdict, starve};
use oilpath::circuit::{Circuit, Fault};
use oilpath::net::Scene;
use oilpath::settle::{Status, balance, hold};
use oilpath::{lint, sheet};
use support::net;

fn circuit(path: impl AsRef<Path>) -> Circuit {
    match sheet::open(path.as_ref()) {
        Ok(sheet) => sheet.circuit,
        Err(refusal) => panic!("{refusal}"),
    }
}

/// What some faults do to the circuit of that name.
fn ask(name: &str, faults: &[&str]) -> Starve {
    let circuit = circuit(format!("circuits/{name}.toml"));
    let faults: Vec<Fault> = faults.iter().map(|f| circuit.fault(f).unwrap()).collect();
    starve(&net(&circuit), &faults, None)
}

/// Everything that is wrong in a state: outlets, and sources that will not build.
fn wrong<'s>(answer: &'s Starve, state: &str) -> Vec<(&'s str, Option<Verdict>)> {
    let state = answer
        .states
        .iter()
        .find(|s| s.state.as_deref() == Some(state));
    let state = state.unwrap();
    let sources = state.will_not_build.iter().chain(&state.cannot_draw);
    let sources = sources.map(|s| (s.id.as_str(), None));
    let outlets = state.outlets.iter().filter(|o| o.verdict.is_bad());
    sources
        .chain(outlets.map(|o| (o.outlet.id.as_str(), Some(o.verdict))))
        .collect()
}

fn starved(id: &str) -> (&str, Option<Verdict>) {
    (id, Some(Verdict::Starved))
}

fn on_when_off(id: &str) -> (&str, Option<Verdict>) {
    (id, Some(Verdict::OnWhenOff))
}

/// Every circuit file, the included ones too.
fn files() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![PathBuf::from("circuits")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "toml") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

#[test]
fn nothing_looks_wrong_in_any_circuit() {
    let files = files();
    assert!(files.len() >= 6, "{files:?}");
    for file in files {
        let circuit = circuit(&file);
        let warnings = lint::lint(&net(&circuit));
        assert_eq!(warnings, [], "{}", file.display());
        let again = sheet::read(&sheet::write(&circuit));
        assert_eq!(again.unwrap().circuit, circuit, "{}", file.display());
    }
}

/// More than the lint asks: a state that lists nothing applies nothing, and none is in doubt.
#[test]
fn every_state_applies_exactly_what_it_lists() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        for (id, state) in &circuit.states {
            let oil = balance(&Scene::new(&net, &hold(&net, state), &[]), None);
            let mut listed = state.applies.clone();
            let mut on = Vec::new();
            for outlet in net.outlets().iter().filter(|o| o.by_pressure) {
                match oil.status(outlet.user) {
                    Status::On => on.push(outlet.name.id.clone()),
                    Status::Off => {}
                    Status::Unsure => panic!("{} in {id} of {}", outlet.name, file.display()),
                }
            }
            listed.sort();
            on.sort();
            assert_eq!(on, listed, "state {id} of {}", file.display());
        }
    }
}

/// Without a fault nothing is found wrong in any state.
#[test]
fn sound_circuits_starve_nothing() {
    for file in files() {
        let circuit = circuit(&file);
        let answer = starve(&net(&circuit), &[], None);
        for state in circuit.states.keys() {
            assert_eq!(wrong(&answer, state), [], "{state} of {}", file.display());
        }
    }
}

/// The lever's oil meets the pedal valve, wide open to the sump, through its choke: it loses. The
/// pedal's oil meets the lever's valve through that same choke: it wins.
#[test]
fn the_lesson_of_the_shuttle() {
    let out = ask("lessons/shuttle", &["either:left-out"]);
    assert_eq!(wrong(&out, "lever"), [starved("winch-clutch")]);
    for state in ["rest", "pedal", "both"] {
        assert_eq!(wrong(&out, state), [], "{state}");
    }
    // With the choke gone too, line has an open way through the other valve.
    let both = ask("lessons/shuttle", &["either:left-out", "choke:oversize"]);
    for state in ["lever", "pedal"] {
        assert_eq!(wrong(&both, state)[0], ("pump", None), "{state}");
    }
}

/// The fill hole keeps the loss small enough for line to hold. Whom the loss is taken from is
/// left as the question.
#[test]
fn the_lesson_of_the_regulator() {
    let cut = ask("lessons/regulator", &["clutch-ring:cut"]);
    assert_eq!(wrong(&cut, "on")[0], starved("deck-clutch"));
    assert_eq!(wrong(&cut, "off"), []);
    let open = ask("lessons/regulator", &["clutch-ring:cut", "fill:oversize"]);
    assert_eq!(wrong(&open, "on")[0], ("pump", None));
}

/// Two channels run together: filled by the widest way in, emptied by the widest way out.
#[test]
fn the_lesson_of_the_separator_plate() {
    let loose = ask("lessons/separator-plate", &["channel-plate:loose"]);
    assert_eq!(wrong(&loose, "low"), [on_when_off("high-clutch")]);
    assert_eq!(wrong(&loose, "high"), [starved("high-clutch")]);
    assert_eq!(wrong(&loose, "stop"), []);
}
