//! The circuits that come with the project: each holds together, and each answers what its story
//! or its source asks.

mod ask;
mod every_fault;
mod loader;
mod six_speed_plates;
mod six_speed_valves;
mod six_speed_walks;
mod sizes;
mod training;

#[path = "../support/mod.rs"]
mod support;

use ask::{ask, circuit, files, on_when_off, starved, wrong};
use oilpath::answer::{Verdict, starve};
use oilpath::circuit::Level;
use oilpath::net::Stage;
use oilpath::settle::{Course, Status, Value, balance, settle};
use oilpath::{lint, sheet};
use support::net;

#[test]
fn nothing_looks_wrong_in_any_circuit() {
    let files = files();
    assert!(files.len() >= 10, "{files:?}");
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
            let settled = settle(&Stage::new(&net, state, &[]));
            assert_eq!(settled.course, Course::Steady, "{id} of {}", file.display());
            let oil = &settled.ends[0].pressures;
            let mut listed = state.applies.clone();
            let mut on = Vec::new();
            for outlet in net.outlets().iter().filter(|o| o.by_pressure) {
                match oil.status(outlet.user, true) {
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

/// Oil that reaches a boost cavity raises line; what is only held there from earlier is no part of
/// what a state asks for.
#[test]
fn every_state_raises_what_it_says_it_boosts() {
    for file in files() {
        let circuit = circuit(&file);
        let net = net(&circuit);
        for (id, state) in &circuit.states {
            let stage = Stage::new(&net, state, &[]);
            let settled = settle(&stage);
            let oil = balance(&stage.scene(settled.held(), Level::Low), None);
            let fed = |c: &String| oil.value(net.cavity(c).unwrap()) == Value::Fed;
            let regulators = circuit.regulators.iter();
            let raised: Vec<&String> = regulators
                .filter(|(_, r)| r.boost.keys().any(fed))
                .map(|(r, _)| r)
                .collect();
            let listed: Vec<&String> = state.boosts.iter().collect();
            assert_eq!(raised, listed, "state {id} of {}", file.display());
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
    for state in ["rest", "pedal"] {
        assert_eq!(wrong(&out, state), [], "{state}");
    }
    // Both at once: what came through the choke alone now comes past it as well.
    let hard = ("winch-clutch", Some(Verdict::Harsh));
    assert_eq!(wrong(&out, "both"), [hard]);
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

/// Plugged, the release hole leaves the band on beside the high clutch: the box locks. The cover
/// over the chain's oil is missed by the chain alone.
#[test]
fn transfer_box_release_hole_and_chain_cover() {
    let plugged = ask("transfer-box", &["release-hole:plugged"]);
    for state in ["two-wheel", "four-wheel"] {
        assert_eq!(wrong(&plugged, state), [on_when_off("low-band")], "{state}");
    }
    for state in ["low", "neutral"] {
        assert_eq!(wrong(&plugged, state), [], "{state}");
    }
    let loose = ask("transfer-box", &["chain-cover:loose"]);
    for state in ["two-wheel", "low", "neutral"] {
        assert_eq!(wrong(&loose, state), [starved("chain")], "{state}");
    }
}
